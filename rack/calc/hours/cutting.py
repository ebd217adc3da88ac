"""Where a time line is cut: every change of membership as an exact fraction of the line, 0 to 1."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from rack.calc.hours.legs import Leg, Membership, seconds_between

START, END = Fraction(0), Fraction(1)


@dataclass(frozen=True)
class Span:
    """The part of a line during which a piece was in: `begins` and `ends` as fractions of the line.

    `by` says what placed the two cuts ("time", "depth", "time and depth", "the whole line").
    """

    begins: Fraction
    ends: Fraction
    by: str


def share_of(amount: int, fraction: Fraction) -> int:
    """Return what of `amount` has passed when `fraction` of the line has, a whole number, half up.

    `amount` is 0 or more, in any unit that is counted in whole numbers; `fraction` is 0 to 1. Parts are
    differences of two such figures: rounded cumulatively, so that they always add up to `amount` exactly.
    Raises nothing. Source: cumulative rounding, common practice.
    """
    return (2 * amount * fraction.numerator + fraction.denominator) // (2 * fraction.denominator)


def _within(passed: int, whole: int) -> Fraction:
    return min(max(Fraction(passed, whole), START), END)


def _by_time(leg: Leg, at: datetime) -> Fraction | None:
    duration = leg.duration_s
    if duration is not None and duration > 0 and leg.from_at is not None:
        return _within(seconds_between(leg.from_at, at), duration)
    if leg.from_at is not None and seconds_between(leg.from_at, at) <= 0:
        return START
    if leg.to_at is not None and seconds_between(leg.to_at, at) >= 0:
        return END
    return None


def _by_depth(leg: Leg, nm: int) -> Fraction | None:
    """Where a piece joined that was made up at a depth of the bit."""
    gained = leg.gained_nm
    if gained is not None and leg.from_nm is not None and leg.to_nm is not None:
        if gained > 0:
            return _within(nm - leg.from_nm, gained)
        # No depth gained: what was in at the end depth; the deeper end where the bit came up (safe side).
        return START if nm <= max(leg.from_nm, leg.to_nm) else END
    return _by_one_depth(leg, nm)


def _by_one_depth(leg: Leg, nm: int) -> Fraction | None:
    """A line with one depth known still says what lies clearly before or after it."""
    if leg.from_nm is not None and nm < leg.from_nm:
        return START
    if leg.to_nm is not None and nm > leg.to_nm:
        return END
    return None


def _joined(leg: Leg, at: datetime | None, nm: int | None) -> tuple[Fraction | None, str]:
    if at is None and nm is None:
        return START, ""
    placed = None if at is None else _by_time(leg, at)
    if placed is not None:
        return placed, "time"
    return (None if nm is None else _by_depth(leg, nm)), "depth"


def _left(leg: Leg, at: datetime | None, nm: int | None) -> tuple[Fraction | None, str]:
    """Only a time cuts: whatever leaves comes out past depths that were drilled while it was in."""
    placed = None if at is None else _by_time(leg, at)
    if placed is not None:
        return placed, "time"
    return (END, "") if at is None or nm is not None else (None, "")


def span(leg: Leg, membership: Membership) -> Span | None:
    """Return the part of `leg` during which the piece of `membership` was in the string.

    By time where the change and the line both have it, else by depth: the piece is in from the depth at
    which it joined. A line that gains no depth goes to what was in at its end depth. A depth at which a
    piece left cuts nothing, because a trip passes every depth again: without a time it is in for the whole
    line, the safe side. None when neither time nor depth can place the change: unknown, not zero. Raises
    nothing. Source: trade guide 4, common practice.
    """
    begins, by_one = _joined(leg, membership.joined_at, membership.joined_nm)
    ends, by_other = _left(leg, membership.left_at, membership.left_nm)
    if begins == END or ends == START:
        return Span(START, START, by_one if begins == END else by_other)
    if begins is None or ends is None:
        return None
    words = " and ".join(sorted({by_one, by_other} - {""}, reverse=True)) or "the whole line"
    return Span(begins, max(begins, ends), words)


def cuts(leg: Leg, memberships: Iterable[Membership]) -> tuple[Fraction, ...]:
    """Return the places at which `leg` is cut, 0 and 1 among them, in order.

    `memberships` in any order; those that cannot be placed cut nothing. Fractions of the line, no unit.
    Raises nothing. Source: as `span`.
    """
    places = {START, END}
    for membership in memberships:
        found = span(leg, membership)
        if found is not None and found.begins < found.ends:
            places |= {found.begins, found.ends}
    return tuple(sorted(places))
