"""A list that is shifted against the other, because one strap skipped a row or taped a joint twice."""

from collections.abc import Sequence
from typing import NamedTuple

from rack.calc.aligning import Alignment, align, cost_as_it_stands
from rack.calc.lengths import ZERO, Length
from rack.calc.strapped import BothRead, Finding, Pair, Terms


class Shift(NamedTuple):
    """The skips that were found, and the readings put back beside each other."""

    findings: list[Finding]
    read: list[BothRead]


def shifted(pairs: Sequence[Pair], terms: Terms) -> Shift | None:
    """Return the skips that explain why the readings are apart, None where a shift explains nothing.

    A skipped joint moves all readings that follow by a line; 4 in 5 of the moved ones must agree with
    the line they belong to. Raises nothing. Source: tally check T04, common practice.
    `pairs` are the lines in order, `terms` the unit, figures and gate.
    """
    standing = cost_as_it_stands([pair.lengths for pair in pairs], within=terms.gate)
    if not standing:
        return None
    here, first = _column(pairs, 0)
    there, second = _column(pairs, 1)
    laid = align(first, second, within=terms.gate)
    if standing - laid.cost < 2:
        return None
    together = _together(laid, here, there)
    moved = [pair for pair, line in together if pair.line != line]
    if not moved or 5 * sum(not terms.outside(pair) for pair in moved) < 4 * len(moved):
        return None
    skips = _skips(laid, here, there, terms) or [_blank(moved, pairs, terms)]
    return Shift(skips, [pair for pair, _ in together])


def _column(pairs: Sequence[Pair], strap: int) -> tuple[list[Pair], list[Length]]:
    """What one strap has read, with the lines it stands on."""
    kept, lengths = [], []
    for pair in pairs:
        length = pair.lengths[strap]
        if length is not None:
            kept.append(pair)
            lengths.append(length)
    return kept, lengths


def _together(laid: Alignment, here: list[Pair], there: list[Pair]) -> list[tuple[BothRead, int]]:
    """The readings that belong together, each with the line on which the second strap has it."""
    made = []
    for row, column in laid.steps:
        if row is None or column is None:
            continue
        one, other = here[row].lengths[0], there[column].lengths[1]
        if one is not None and other is not None:
            pair = here[row]
            both = BothRead(pair.line, pair.name, one, other, pair.lost("pin"), pair.lost("loss"))
            made.append((both, there[column].line))
    return made


def _skips(laid: Alignment, here: list[Pair], there: list[Pair], terms: Terms) -> list[Finding]:
    do = "Count the joints on the rack, then move the readings that follow to their own joints."
    made = []
    for row, column in laid.steps:
        if column is None and row is not None:
            pair, read = here[row], here[row].lengths[0] or ZERO
            words = (
                f"{pair.name} ({terms.shown(read)} in the {terms.first}) is not in the {terms.second}: "
                "a row was skipped and the list is shifted from there."
            )
            made.append(Finding("T04", (pair.line,), words, do, first=read))
        elif row is None and column is not None:
            pair, read = there[column], there[column].lengths[1] or ZERO
            twice = _same_as_neighbour(column, there, terms)
            other = f"the {terms.first} skipped"
            why = f"it taped a joint twice, or {other} one" if twice else f"{other} a row"
            words = (
                f"The {terms.second} has a reading more at {_low(pair)} ({terms.shown(read)}): {why}, "
                "and the list is shifted from there."
            )
            made.append(Finding("T04", (pair.line,), words, do, second=read))
    return made


def _blank(moved: Sequence[BothRead], pairs: Sequence[Pair], terms: Terms) -> Finding:
    """Every reading of one strap has its own in the other, on another line: a line was left blank."""
    gaps = [pair.line for pair in pairs if None in pair.lengths]
    words = (
        f"From {_low(moved[0])} on the {terms.second} stands on other lines than the {terms.first}: a line "
        "was left blank and the list is shifted, and no joint was skipped."
    )
    do = "Count the joints on the rack, then move the readings to their own joints."
    return Finding("T04", tuple(sorted({*gaps, *(pair.line for pair in moved)})), words, do)


def _same_as_neighbour(column: int, there: list[Pair], terms: Terms) -> bool:
    near = [there[place].lengths[1] for place in (column - 1, column + 1) if 0 <= place < len(there)]
    read = there[column].lengths[1]
    return read is not None and any(
        each is not None and abs(each.nanometres - read.nanometres) <= terms.gate.nanometres for each in near
    )


def unread(pairs: Sequence[Pair]) -> list[Finding]:
    """Return one finding for each strap that has no reading where the other has one.

    Raises nothing. Source: tally check T04, the count must match exactly; common practice.
    `pairs` are the lines in order.
    """
    made = []
    for strap, mine, others in (("second", 1, 0), ("first", 0, 1)):
        missing = [pair for pair in pairs if pair.lengths[mine] is None and pair.lengths[others] is not None]
        if missing:
            words = f"The {strap} strap has no reading for {_named(missing)}, the other strap has."
            do = "Look for the joint on the rack and tape it, or withdraw its line with a reason."
            only = missing[0].lengths[others] if len(missing) == 1 else None
            one, other = (only, None) if strap == "second" else (None, only)
            made.append(Finding("T04", tuple(pair.line for pair in missing), words, do, one, other))
    return made


def _named(pairs: Sequence[Pair]) -> str:
    listed = ", ".join(_low(pair) for pair in pairs[:10])
    return f"{listed} and {len(pairs) - 10} more" if len(pairs) > 10 else listed


def _low(pair: Pair | BothRead) -> str:
    """The joint's name inside a sentence."""
    return pair.name[0].lower() + pair.name[1:]
