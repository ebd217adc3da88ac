"""Two lists laid beside each other so that a skipped joint shows: which reading belongs to which."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length

_APART, _GAP = 2, 3
#: How many more skips than the difference in count are looked for.
_SIDEWAYS = 6

#: Places in the two lists; None where the other list has nothing that belongs here.
Step = tuple[int | None, int | None]


@dataclass(frozen=True)
class Alignment:
    """The steps in order, and what the laying cost: 2 for two readings apart, 3 for one left alone."""

    steps: tuple[Step, ...]
    cost: int


def align(first: Sequence[Length], second: Sequence[Length], *, within: Length) -> Alignment:
    """Lay `second` beside `first` so that as few readings as can be are apart or alone.

    Readings belong together when they are at most `within` apart. Looks as far sideways as the
    counts differ and six more, which keeps 2,000 joints quick. Raises nothing.
    Source: tally check T04; the least-cost alignment of two rows, from memory.
    """
    band = abs(len(first) - len(second)) + _SIDEWAYS
    costs = _costs(first, second, within.nanometres, band)
    steps: list[Step] = []
    row, column = len(first), len(second)
    while row or column:
        here = costs[row, column]
        apart = _apart(first, second, row, column, within.nanometres)
        if row and column and costs.get((row - 1, column - 1), here + 1) + apart == here:
            row, column = row - 1, column - 1
            steps.append((row, column))
        elif row and costs.get((row - 1, column), here + 1) + _GAP == here:
            row -= 1
            steps.append((row, None))
        else:
            column -= 1
            steps.append((None, column))
    return Alignment(tuple(reversed(steps)), costs[len(first), len(second)])


def _costs(
    first: Sequence[Length], second: Sequence[Length], within: int, band: int
) -> dict[tuple[int, int], int]:
    costs = {(0, 0): 0}
    for row in range(len(first) + 1):
        for column in range(max(0, row - band), min(len(second), row + band) + 1):
            ways = []
            if (row - 1, column - 1) in costs:
                ways.append(costs[row - 1, column - 1] + _apart(first, second, row, column, within))
            if (row - 1, column) in costs:
                ways.append(costs[row - 1, column] + _GAP)
            if (row, column - 1) in costs:
                ways.append(costs[row, column - 1] + _GAP)
            if ways:
                costs[row, column] = min(ways)
    return costs


def _apart(first: Sequence[Length], second: Sequence[Length], row: int, column: int, within: int) -> int:
    if not row or not column:
        return _APART
    return _APART if abs(first[row - 1].nanometres - second[column - 1].nanometres) > within else 0


def cost_as_it_stands(pairs: Sequence[tuple[Length | None, Length | None]], *, within: Length) -> int:
    """Return what the lists cost line by line, by the same measure as `align`.

    A pair is what the two straps read on one line, None for unread. Raises nothing.
    Source: as `align`.
    `pairs` are the lines in order, `within` how far good straps lie apart, in shown steps.
    """
    cost = 0
    for one, other in pairs:
        if one is not None and other is not None:
            cost += _APART if abs(one.nanometres - other.nanometres) > within.nanometres else 0
        elif one is not None or other is not None:
            cost += _GAP
    return cost
