"""The string as it was at a moment: how deep the run had come by then, and whether a piece had joined."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from rack.calc.hours.legs import Leg, in_order, seconds_between


def drilled_at(legs: Sequence[Leg], at: datetime) -> int | None:
    """Return the deepest that `legs` had come at the instant `at`, in whole nanometres; None if none says.

    Inside a line depth goes on evenly with time, cut off to a whole nanometre. Lines whose times or depths
    are not known say nothing. Raises ValueError for a time without zone. Source: common practice.
    """
    deepest: int | None = None
    for leg in legs:
        nm = _depth_in(leg, at)
        if nm is not None and (deepest is None or nm > deepest):
            deepest = nm
    return deepest


def _depth_in(leg: Leg, at: datetime) -> int | None:
    if leg.from_at is None or leg.to_at is None or leg.from_nm is None or leg.to_nm is None:
        return None
    gone, lasts = seconds_between(leg.from_at, at), seconds_between(leg.from_at, leg.to_at)
    if gone < 0:
        return None
    if gone >= lasts:
        return max(leg.from_nm, leg.to_nm)
    return leg.from_nm + (leg.to_nm - leg.from_nm) * gone // lasts


def reached_at(legs: Sequence[Leg], nm: int) -> tuple[Leg, datetime | None] | None:
    """Return the first of `legs` that came to the depth `nm` (nanometres), and when; None if none did.

    The instant is None where the line has no times. Inside a line time goes on evenly with depth, cut off
    to a whole second. Raises nothing. Source: common practice.
    """
    for leg in in_order(legs):
        if leg.from_nm is None or leg.to_nm is None or not leg.from_nm <= nm <= leg.to_nm:
            continue
        if leg.from_at is None or leg.to_at is None:
            return leg, None
        gained, lasts = leg.to_nm - leg.from_nm, seconds_between(leg.from_at, leg.to_at)
        gone = lasts * (nm - leg.from_nm) // gained if gained else 0
        return leg, (leg.from_at.astimezone(UTC) + timedelta(seconds=gone)).astimezone(leg.from_at.tzinfo)
    return None


def had_joined(
    entered: datetime, noted: datetime | None, nm: int | None, *, at: datetime, in_nm: int | None,
    drilled_nm: int | None,
) -> bool:  # fmt: skip
    """Return whether a piece had joined the string at the instant `at`.

    `noted` is the time that the hand wrote down, `entered` that of the entry, `nm` the bit's depth when it
    joined. Without a noted time an entry that came before `at` has happened; one that came later has too
    if its depth lies between `in_nm`, where the run began, and `drilled_nm`, how deep the run had come by
    then: it was written down afterwards. Depths in nanometres. Raises nothing. Source: by time where noted,
    else by depth, a counting rule of this project (trade guide 4, common practice).
    """
    if noted is not None:
        return noted <= at
    if entered <= at:
        return True
    known = nm is not None and in_nm is not None and drilled_nm is not None
    return known and in_nm <= nm <= drilled_nm  # type: ignore[operator]
