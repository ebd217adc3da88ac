"""The page around one joint, in columns: one strap, nothing of the other one."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from rack.calc.lengths import Length
from rack.calc.tally import Page, average_shown, pages, summary
from rack.models import Line, Tally
from rack.models.strapping import column_of


@dataclass(frozen=True)
class Cell:
    """One line as it stands in its column."""

    line: int
    painted: str
    shown: str
    here: bool
    asks: bool


@dataclass(frozen=True)
class Column:
    caption: str
    cells: tuple[Cell, ...]
    count: int
    total: str


@dataclass(frozen=True)
class Sheet:
    """One page: its columns, and what is carried to it."""

    columns: tuple[Column, ...]
    carried: str


def sheet_of(tally: Tally, strap_n: int, line: Line | None, asked: Collection[int]) -> dict[str, Any]:
    """Context of `_strap_sheet.html`: the page with `line`, or the last one, and the sums of the strap.

    `asked` are the lines whose reading asks something.
    """
    rows = list(
        tally.lines.standing().in_order().values_list("pk", "painted", "serial_typed", column_of(strap_n))
    )
    lengths = [None if nm is None else Length(nm) for _, _, _, nm in rows]
    place = next((n for n, row in enumerate(rows) if line and row[0] == line.pk), max(len(rows) - 1, 0))
    cut = pages(lengths, column=tally.column_n, page=tally.page_n)
    made = Sheet((), "")
    if cut:
        made = _sheet(tally, cut[place // tally.page_n], rows, line.pk if line else None, asked)
    whole = summary(lengths)
    return {
        "sheet": made, "total": whole.total.shown(tally.unit, tally.digits),
        "average": average_shown(whole.average, tally.unit, tally.digits),
    }


def _sheet(tally: Tally, page: Page, rows: list[Any], here: int | None, asked: Collection[int]) -> Sheet:
    def shown(length: Length | None) -> str:
        return "" if length is None else length.shown(tally.unit, tally.digits)

    columns = []
    for column in page.columns:
        first = column.first - 1
        cells = tuple(
            Cell(pk, painted or serial, shown(length), pk == here, pk in asked)
            for (pk, painted, serial, _), length in zip(
                rows[first : first + len(column.entries)], column.entries, strict=True
            )
        )
        caption = f"{cells[0].painted} to {cells[-1].painted}"
        columns.append(Column(caption, cells, column.count, shown(column.total) if column.count else ""))
    carried = f"{shown(page.carried)} {tally.unit}" if page.number > 1 else ""
    return Sheet(tuple(columns), carried)
