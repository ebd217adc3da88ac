"""Hours and footage as CSV and as XLSX: hours in figures and to the second, units in the headings."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rack.calc.hours import CLOCK_NAMES, Amount, hours_shown
from rack.exchange.book import Cell, Figure, Table, length, workbook
from rack.exchange.sheet_csv import text_cell

#: So many figures after the point: a second is 0.0003 h, and is seen.
HOUR_DIGITS = 4
MIND = "Hours are rounded to four places; seconds are exact, and they add up."


@dataclass(frozen=True)
class HoursTable:
    """What stands in the file: `head` label and words, `labels` the headings of the first columns.

    `clocks` are those that get columns; a row is its labels and what it earned. `total` is the sum of all.
    """

    name: str
    head: Sequence[tuple[str, str]]
    labels: Sequence[str]
    clocks: Sequence[str]
    rows: Sequence[tuple[Sequence[Cell], Mapping[str, Amount]]]
    total: Mapping[str, Amount]
    unit: str
    digits: int


def write_csv(table: HoursTable) -> str:
    """Return the CSV text: commas, lines ended by CR LF, byte order mark first, no thousands, no formula."""
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in (*_head(table), (), headings(table), *_rows(table), _total(table)):
        out.writerow([_text(cell) for cell in row])
    return sink.getvalue()


def write_xlsx(table: HoursTable) -> bytes:
    """Return the workbook: figures as figures, text as text, whatever it begins with."""
    return workbook([Table(table.name, _head(table), headings(table), list(_rows(table)), [_total(table)])])


def headings(table: HoursTable) -> list[str]:
    """The headings with their units; a clock of hours has two columns."""
    found = list(table.labels)
    for clock in table.clocks:
        name = CLOCK_NAMES[clock].capitalize()
        if clock.endswith("_s"):
            found += [f"{name} h", f"{name} s"]
        else:
            found.append(f"{name} {table.unit}" if clock.endswith("_nm") else name)
    return [*found, "Not known in part"]


def _head(table: HoursTable) -> list[tuple[Cell, ...]]:
    hours = any(clock.endswith("_s") for clock in table.clocks)
    return [*table.head, *([("Mind", MIND)] if hours else [])]


def _rows(table: HoursTable) -> list[list[Cell]]:
    return [[*labels, *_cells(table, amounts)] for labels, amounts in table.rows]


def _total(table: HoursTable) -> list[Cell]:
    blank: list[Cell] = [None] * (len(table.labels) - 1)
    return ["All together", *blank, *_cells(table, table.total)]


def _cells(table: HoursTable, amounts: Mapping[str, Amount]) -> list[Cell]:
    """What is known of each clock; blank where it is not kept. Which are more than that is said last."""
    found: list[Cell] = []
    for clock in table.clocks:
        least = amounts[clock].least if clock in amounts else None
        if clock.endswith("_s"):
            found += [None if least is None else hours_figure(least), least]
        else:
            found.append(length(least, table.unit, table.digits) if clock.endswith("_nm") else least)
    gaps = [CLOCK_NAMES[clock] for clock in table.clocks if clock in amounts and not amounts[clock].known]
    return [*found, ", ".join(gaps)]


def hours_figure(seconds: int) -> Figure:
    """Return whole seconds as hours, rounded once, half up, to four places."""
    text = hours_shown(seconds, digits=HOUR_DIGITS).replace(",", "")
    return Figure(Decimal(text), HOUR_DIGITS)


def _text(cell: Cell) -> str:
    if isinstance(cell, Figure):
        return cell.text
    return "" if cell is None else text_cell(cell) if isinstance(cell, str) else str(cell)
