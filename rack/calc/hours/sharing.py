"""A line's hours shared out to the pieces that turned: whole seconds, and the parts add up exactly."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from rack.calc.hours.cutting import END, START, cuts, share_of, span
from rack.calc.hours.legs import LINE_CLOCKS, Leg, Membership
from rack.calc.hours.rules import WHOLE_RUN, policy_for, rule_for, turning

#: Clocks that a line moves; runs, connections and hits are counted for the run.
LEG_CLOCKS: tuple[str, ...] = ("rotating_s", "circulating_s", "bottom_s", "below_rotary_s", "footage_nm")


@dataclass(frozen=True)
class Share:
    """What one piece earns from one line.

    `spans` are the parts of the line in which it was in, as fractions, None when that cannot be told.
    `amounts` maps each clock that its kind keeps to whole seconds or nanometres, None = not known.
    `why` says in a sentence how it was counted.
    """

    piece: int | str
    kind: str
    policy: str
    spans: tuple[tuple[Fraction, Fraction], ...] | None
    amounts: Mapping[str, int | None]
    why: str


@dataclass(frozen=True)
class Part:
    """One part of a line between two cuts: its amounts by the line's own clocks, and the pieces in it."""

    begins: Fraction
    ends: Fraction
    amounts: Mapping[str, int | None]
    pieces: tuple[int | str, ...]


def footage_of(leg: Leg) -> int | None:
    """Return the footage of `leg` in nanometres, None when it is not known.

    Depth gained, unless the line says that the bit was never on bottom, or that nothing turned and slid:
    running in gains depth and drills nothing. Raises nothing. Source: common practice.
    """
    turned = (leg.rotating_s, leg.sliding_s)
    if leg.bottom_s == 0 or (leg.bottom_s is None and turned == (0, 0)):
        return 0
    return None if leg.gained_nm is None else max(leg.gained_nm, 0)


def earned(leg: Leg, *, below_motor: bool = False) -> Mapping[str, int | None]:
    """Return what a piece that was in for the whole of `leg` earns, clock by clock, None = not known.

    `below_motor` pieces turn while sliding as well. Whole seconds, footage in nanometres. Raises nothing.
    Source: table hours_basis, common practice.
    """
    parts = [getattr(leg, clock) for clock in turning(below_motor=below_motor)]
    turned = None if None in parts else sum(parts)
    return MappingProxyType(
        {
            "rotating_s": turned,
            "circulating_s": leg.circulating_s,
            "bottom_s": leg.bottom_s,
            "below_rotary_s": leg.below_rotary_s,
            "footage_nm": footage_of(leg),
        }
    )


def share(
    leg: Leg, memberships: Sequence[Membership], policy: Mapping[str, str] | None = None
) -> tuple[Share, ...]:
    """Return what each piece earns from `leg`, from the bit upward; each piece stands once.

    `memberships` are the stays of one run, in any order; one piece may have several. `policy` is kind ->
    "whole run" or "by joint" over the table's default. By joint a piece earns the parts of the line in
    which it was in; whole run, all of it. Whole seconds and nanometres, rounded cumulatively. Raises
    ValueError for an unknown kind or policy. Source: trade guide 4 and table hours_basis, common practice.
    """
    stays: dict[int | str, list[Membership]] = {}
    for membership in sorted(memberships, key=_order):
        stays.setdefault(membership.piece, []).append(membership)
    return tuple(_one(leg, piece, of_piece, policy) for piece, of_piece in stays.items())


def _order(membership: Membership) -> tuple[int, str, str]:
    return membership.rank, str(membership.piece), repr(membership)


def _one(
    leg: Leg, piece: int | str, stays: Sequence[Membership], policy: Mapping[str, str] | None
) -> Share:
    kind = stays[-1].kind
    chosen = policy_for(kind, policy)
    clocks = [clock for clock in rule_for(kind).clocks if clock in LEG_CLOCKS]
    if chosen == WHOLE_RUN:
        whole = earned(leg, below_motor=any(stay.below_motor for stay in stays))
        amounts = {clock: whole[clock] for clock in clocks}
        why = "Credited the whole line: the whole run is the safe side."
        return Share(piece, kind, chosen, ((START, END),), MappingProxyType(amounts), why)
    found = _spans(leg, stays)
    if found is None:
        whole = earned(leg, below_motor=any(stay.below_motor for stay in stays))
        amounts = {clock: 0 if whole[clock] == 0 else None for clock in clocks}
        why = f"Line {leg.n} has neither the times nor the depths to say when it was in: not known."
        return Share(piece, kind, chosen, None, MappingProxyType(amounts), why)
    amounts = {clock: _sum_of(leg, found, clock) for clock in clocks}
    spans = tuple((begins, ends) for begins, ends, _, _ in found)
    by = sorted({words for _, _, _, words in found})
    why = f"Cut by {' and '.join(by)}." if found and by != ["the whole line"] else (
        "In for the whole line." if found else "Not in the string during this line.")  # fmt: skip
    return Share(piece, kind, chosen, spans, MappingProxyType(amounts), why)


def _spans(
    leg: Leg, stays: Iterable[Membership]
) -> list[tuple[Fraction, Fraction, bool, str]] | None:
    """The stays of one piece as parts of the line that never overlap; None when one cannot be placed."""
    placed = []
    for stay in stays:
        found = span(leg, stay)
        if found is None:
            return None
        placed.append((found.begins, found.ends, stay.below_motor, found.by))
    parts, last = [], START
    for begins, ends, below, by in sorted(placed):
        begins = max(begins, last)
        if begins < ends:
            parts.append((begins, ends, below, by))
            last = ends
    return parts


def _sum_of(leg: Leg, spans: Iterable[tuple[Fraction, Fraction, bool, str]], clock: str) -> int | None:
    total = 0
    for begins, ends, below, _ in spans:
        whole = earned(leg, below_motor=below)[clock]
        if whole is None:
            return None
        total += share_of(whole, ends) - share_of(whole, begins)
    return total


def parts(leg: Leg, memberships: Sequence[Membership]) -> tuple[Part, ...]:
    """Return `leg` cut at every change of membership, part by part, with the pieces in each.

    `memberships` in any order. The amounts of the parts (whole seconds by the line's clocks, footage in
    nanometres) add up to the line exactly. A piece that cannot be placed stands in no part. Raises nothing.
    Source: trade guide 4, common practice.
    """
    amounts: dict[str, int | None] = {clock: getattr(leg, clock) for clock in LINE_CLOCKS}
    amounts["footage_nm"] = footage_of(leg)
    placed = [(stay, span(leg, stay)) for stay in sorted(memberships, key=_order)]
    places = cuts(leg, memberships)
    found = []
    for begins, ends in zip(places, places[1:], strict=False):
        part = {
            clock: None if whole is None else share_of(whole, ends) - share_of(whole, begins)
            for clock, whole in amounts.items()
        }
        pieces = [stay.piece for stay, at in placed if at and at.begins <= begins and ends <= at.ends]
        found.append(Part(begins, ends, MappingProxyType(part), tuple(dict.fromkeys(pieces))))
    return tuple(found)
