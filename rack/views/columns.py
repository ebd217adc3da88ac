"""A tally as a page shows it: its columns and pages, with what stands under each."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.calc.tally import Page, pages


@dataclass(frozen=True)
class Row:
    """One joint: what it is called, its length (None: unread), how it stands out.

    `mark` is "asked", "differs", "skipped" or nothing; `words` stand in place of a length.
    """

    name: str
    length: Length | None = None
    mark: str = ""
    words: str = ""
    tag: str = ""
    serial: str = ""


@dataclass(frozen=True)
class Cell:
    row: Row
    shown: str


@dataclass(frozen=True)
class ShownColumn:
    """The joints of one column and, where anything is read, their count, their total and the total so far."""

    caption: str
    cells: tuple[Cell, ...]
    count: int
    total: str
    running: str


@dataclass(frozen=True)
class ShownPage:
    """One page of joints; `carried` comes from the page before, `running` goes to the next."""

    number: int
    words: str
    columns: tuple[ShownColumn, ...]
    count: int
    total: str
    carried: str
    running: str


def shown_pages(
    rows: Sequence[Row], unit: str, digits: int, *, column: int = 10, page: int = 50
) -> list[ShownPage]:
    """The rows cut into pages of `page` lines, every figure rounded once from the exact length."""
    cut = pages([row.length for row in rows], column=column, page=page)
    return [_page(page, rows, unit, digits) for page in cut]


def _page(page: Page, rows: Sequence[Row], unit: str, digits: int) -> ShownPage:
    def shown(length: Length | None) -> str:
        return "" if length is None else length.shown(unit, digits)

    columns = []
    for column in page.columns:
        first = column.first - 1
        here = rows[first : first + len(column.entries)]
        cells = tuple(Cell(row, row.words or shown(row.length)) for row in here)
        columns.append(
            ShownColumn(
                caption=f"{here[0].name} to {here[-1].name}", cells=cells, count=column.count,
                total=shown(column.total) if column.count else "",
                running=shown(column.running) if column.count else "",
            )
        )
    first, last = page.columns[0].first, page.columns[-1].first + len(page.columns[-1].entries) - 1
    return ShownPage(
        number=page.number, words=f"{first:,} to {last:,} of {len(rows):,}", columns=tuple(columns),
        count=page.count, total=shown(page.total), running=shown(page.running),
        carried=shown(page.carried) if page.number > 1 else "",
    )


def page_number(text: str, last: int) -> int:
    """The page that an address asks for, kept between 1 and the last one."""
    return max(1, min(int(text), max(last, 1))) if text.isdecimal() and len(text) < 7 else 1
