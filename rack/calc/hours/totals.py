"""A run's lines added up by piece, with its runs, connections and hits, and the balances that must hold."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from rack.calc.checks import Problem, stops
from rack.calc.hours.legs import CLOCK_NAMES, LINE_CLOCKS, Leg, Membership
from rack.calc.hours.rules import rule_for
from rack.calc.hours.sharing import Share, earned, share
from rack.calc.hours.texts import hours_shown
from rack.calc.lengths import Length


@dataclass(frozen=True)
class Amount:
    """What is known of a total: at `least` so much (seconds, nanometres or times), and whether it is all."""

    least: int = 0
    known: bool = True

    def __add__(self, more: "Amount") -> "Amount":
        return Amount(self.least + more.least, self.known and more.known)


@dataclass(frozen=True)
class RunShare:
    """What one piece earns from a whole run, clock by clock; `policy` is printed beside the hours."""

    piece: int | str
    kind: str
    policy: str
    amounts: Mapping[str, Amount]


def amount_shown(clock: str, amount: Amount, *, unit: str = "ft", digits: int = 2) -> str:
    """Return `amount` of a `clock` as it is read: "at least 12.50" hours, "300.00" feet, "3" runs.

    `unit` and `digits` are those of lengths; hours have `digits` figures too. Raises ValueError for an
    unknown clock, unit or digits. Source: law 8 of the house, unknown is not zero.
    """
    if clock not in CLOCK_NAMES:
        raise ValueError(f"clock: {clock!r} is no clock; there are {', '.join(CLOCK_NAMES)}")
    if clock.endswith("_s"):
        return hours_shown(amount.least, known=amount.known, digits=digits)
    text = f"{amount.least:,}" if clock.endswith("_n") else Length(amount.least).shown(unit, digits)
    return text if amount.known else f"at least {text}"


def sum_of(amounts: Iterable[int | None]) -> Amount:
    """Return the sum of `amounts` (one unit throughout), None counted as unknown and not as zero.

    Raises nothing. Source: law 8 of the house, unknown is not zero.
    """
    total = Amount()
    for amount in amounts:
        total += Amount(amount or 0, known=amount is not None)
    return total


def run_totals(legs: Sequence[Leg]) -> Mapping[str, Amount]:
    """Return the run's own totals by the line's clocks and footage: what a piece present throughout earns.

    `legs` in any order; whole seconds, footage in nanometres. Raises nothing. Source: addition.
    """
    totals = {clock: sum_of(getattr(leg, clock) for leg in legs) for clock in LINE_CLOCKS}
    totals["footage_nm"] = sum_of(earned(leg)["footage_nm"] for leg in legs)
    return MappingProxyType(totals)


def connections_made(memberships: Sequence[Membership]) -> int:
    """Return how many connections were made while the run was on: the joints that came one by one.

    `memberships` of one run in any order. Pieces that joined at the same moment and depth came as one stand
    and made one connection below the top drive; what was in from the start made none in this run, nor did
    casing around the string. A number, no unit. Raises nothing. Source: table hours_basis, common practice.
    """
    joined = {(stay.joined_at, stay.joined_nm) for stay in memberships if not stay.around}
    return len(joined - {(None, None)})


def share_run(
    legs: Sequence[Leg],
    memberships: Sequence[Membership],
    policy: Mapping[str, str] | None = None,
    *,
    hits: Mapping[int | str, int] | None = None,
    connections: int | None = None,
) -> tuple[RunShare, ...]:
    """Return what each piece earns from the whole run, from the bit upward.

    `legs` and `memberships` of one run in any order, `policy` kind -> "whole run" or "by joint" over the
    table, `hits` the blows up and down of each jar by piece (a jar without an entry had none), `connections`
    the number made, where somebody counted; None takes the joints that came one by one. Whole seconds,
    nanometres and times. Raises ValueError as `share` does. Source: table hours_basis, common practice.
    """
    made = connections_made(memberships) if connections is None else connections
    shares: dict[int | str, list[Share]] = {}
    for leg in legs:
        for one in share(leg, memberships, policy):
            shares.setdefault(one.piece, []).append(one)
    # A run without lines still counts as a run of everything that was in it.
    first = {one.piece: one for one in share(Leg(), memberships, policy)}
    return tuple(
        RunShare(piece, one.kind, one.policy,
                 MappingProxyType(_added(one, shares.get(piece, []), (hits or {}).get(piece, 0), made)))
        for piece, one in first.items()
    )  # fmt: skip


def _added(one: Share, shares: Sequence[Share], hits: int, connections: int) -> dict[str, Amount]:
    counted = {"runs_n": Amount(1), "hits_n": Amount(hits), "connections_n": Amount(connections)}
    return {
        clock: counted[clock] if clock in counted else sum_of(each.amounts[clock] for each in shares)
        for clock in rule_for(one.kind).clocks
    }


def balance(
    legs: Sequence[Leg], memberships: Sequence[Membership], shares: Sequence[RunShare]
) -> tuple[Problem, ...]:
    """Return what does not balance: no piece may exceed the run, a piece present throughout equals it.

    `legs`, `memberships` and the `shares` made of them, in any order; whole seconds and nanometres. Every
    problem STOPS: hours that do not balance are not posted. Raises nothing. Source: trade guide 4, balance
    check, common practice.
    """
    stays: dict[int | str, list[Membership]] = {}
    for stay in memberships:
        stays.setdefault(stay.piece, []).append(stay)
    found = []
    for one in shares:
        of_piece = stays.get(one.piece, [])
        below = any(stay.below_motor for stay in of_piece)
        throughout = bool(of_piece) and all(stay.throughout for stay in of_piece)
        whole = [earned(leg, below_motor=below) for leg in legs]
        for clock, amount in one.amounts.items():
            if clock.endswith("_n"):
                continue
            run = sum_of(each[clock] for each in whole)
            if amount.known and run.known and amount.least > run.least:
                found.append(_unbalanced(one, clock, amount, run, "more than the run has"))
            elif throughout and amount != run:
                found.append(_unbalanced(one, clock, amount, run, "though it was in for the whole run"))
    return tuple(found)


def _unbalanced(one: RunShare, clock: str, amount: Amount, run: Amount, words: str) -> Problem:
    name, has, whole = CLOCK_NAMES[clock], amount_shown(clock, amount), amount_shown(clock, run)
    return stops(
        f"Piece {one.piece} has {has} {name}, {words}; the run has {whole}.",
        code="H20", measured=has, limit=whole, unit="ft" if clock == "footage_nm" else "h",
        source="balance check, common practice",
    )  # fmt: skip


def add_up(rows: Iterable[Mapping[str, Amount]]) -> dict[str, Amount]:
    """Return the sum of `rows` clock by clock: whole seconds, nanometres and times; {} for none.

    A part that is not known makes its sum "at least". In whatever groups rows are added up first, the sum
    of the groups is the same. Raises nothing. Source: addition; law 8 of the house.
    """
    found: dict[str, Amount] = {}
    for row in rows:
        for clock, amount in row.items():
            found[clock] = found.get(clock, Amount()) + amount
    return found
