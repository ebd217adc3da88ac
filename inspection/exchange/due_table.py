"""The due list as CSV and as XLSX: what the page shows, one row a piece; nothing in it is a formula."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from rack.exchange.book import Table, workbook
from rack.exchange.sheet_csv import text_cell

HEADINGS = (
    "Serial", "Painted", "Tag", "Item", "Lies on", "State", "Class", "Scheme", "Edition", "Stands",
    "Soon on", "Due on", "Overdue on", "Why",
)  # fmt: skip


@dataclass(frozen=True)
class DueTable:
    """What stands in the file: `head` pairs of label and words, `rows` cells under `HEADINGS`."""

    head: Sequence[tuple[str, str]]
    rows: Sequence[tuple[str, ...]]


def write_csv(table: DueTable) -> str:
    """Return the CSV text: commas, lines ended by CR LF, byte order mark first.

    A cell that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in (*table.head, (), HEADINGS, *table.rows):
        out.writerow([text_cell(cell) for cell in row])
    return sink.getvalue()


def write_xlsx(table: DueTable) -> bytes:
    """Return a workbook of one sheet; every cell is text."""
    return workbook([Table("Due", table.head, HEADINGS, table.rows, [("Pieces", len(table.rows))])])
