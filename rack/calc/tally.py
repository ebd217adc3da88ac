"""A tally added up as on the sheet: columns, pages, running and carried totals.

Everything is exact; what is shown is rounded afterwards, once each. An unread line is None: it
keeps its place on the sheet and is not counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.lengths import ZERO, Length, shown_steps, steps_of

#: How many lines a column may have, and how many lines then stand on a page (trade guide 5.3: ten is
#: usual; the longer ones are common practice). Longer columns are fewer and wider.
_PAGE_OF = {10: 50, 20: 40, 25: 50}
COLUMNS = tuple(_PAGE_OF)


def page_of(column: int) -> int:
    """Return how many lines stand on a page of columns of `column` lines. Raises ValueError for others.

    Source: trade guide 5.3, common practice.
    """
    if column not in _PAGE_OF:
        raise ValueError(f"a column has {', '.join(map(str, COLUMNS))} lines; not {column}")
    return _PAGE_OF[column]


@dataclass(frozen=True)
class Column:
    """One column: `first` is the number of its first line in the tally, counted from 1.

    `count` and `total` are of what is read in it, `running` is the total from the tally's start.
    """

    first: int
    entries: tuple[Length | None, ...]
    count: int
    total: Length
    running: Length


@dataclass(frozen=True)
class Page:
    """One page, `number` from 1: `carried` comes from the pages before, `running` goes to the next."""

    number: int
    columns: tuple[Column, ...]
    count: int
    total: Length
    carried: Length
    running: Length


@dataclass(frozen=True)
class Summary:
    """A tally in one line. `average` is in nanometres, exact; it and the extremes are None for no reading."""

    count: int
    total: Length
    average: Fraction | None
    shortest: Length | None
    longest: Length | None


def pages(lengths: Sequence[Length | None], *, column: int = 10, page: int = 50) -> list[Page]:
    """Return the sheet of `lengths` in their order, `column` lines a column and `page` lines a page.

    None is an unread line. An empty tally has no page. Raises ValueError when a column has no line
    or a page is not a whole number of columns. Source: trade guide 5.3, common practice.
    """
    if column < 1 or page < column or page % column:
        raise ValueError(f"a page of {page} lines cannot be cut into columns of {column}")
    made: list[Page] = []
    carried = ZERO
    for start in range(0, len(lengths), page):
        columns = _columns(lengths[start : start + page], start, column, carried)
        count = sum(each.count for each in columns)
        total = sum((each.total for each in columns), ZERO)
        made.append(Page(len(made) + 1, columns, count, total, carried, carried + total))
        carried += total
    return made


def _columns(lines: Sequence[Length | None], start: int, column: int, carried: Length) -> tuple[Column, ...]:
    made = []
    running = carried
    for offset in range(0, len(lines), column):
        entries = tuple(lines[offset : offset + column])
        read = [length for length in entries if length is not None]
        total = sum(read, ZERO)
        running += total
        made.append(Column(start + offset + 1, entries, len(read), total, running))
    return tuple(made)


def summary(lengths: Sequence[Length | None]) -> Summary:
    """Return count, total, average, shortest and longest of what is read in `lengths`.

    None is an unread line and counts for nothing. Raises nothing. Source: common practice.
    """
    read = [length for length in lengths if length is not None]
    total = sum(read, ZERO)
    if not read:
        return Summary(0, total, None, None, None)
    return Summary(len(read), total, Fraction(total.nanometres, len(read)), min(read), max(read))


def average_shown(average: Fraction | None, unit: str, digits: int) -> str:
    """Return an exact average in nanometres as it is read in `unit`, "" for None; rounded once, half up.

    `digits` are the figures after the point. Raises ValueError as `Length.shown` does.
    Source: law 1 of the house.
    `average` is exact, in nanometres.
    """
    if average is None:
        return ""
    return shown_steps(steps_of(average, unit, digits), digits)


def shown_lines_add_up(lengths: Sequence[Length | None], unit: str, digits: int) -> bool:
    """Say whether the lines as shown in `unit` with `digits` figures add up to the total as shown.

    Where they do not, the sheet says so: each figure is rounded once from the exact length, and a
    mix of units can leave a hundredth between. None is an unread line. Raises ValueError as
    `Length.shown` does. Source: law 1 of the house.
    `lengths` are those of the lines in order.
    """
    read = [length for length in lengths if length is not None]
    lines = sum(length.in_shown_units(unit, digits) for length in read)
    return lines == sum(read, ZERO).in_shown_units(unit, digits)
