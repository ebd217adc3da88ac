"""A plain list, of what is picked or handed over, as CSV and as XLSX; nothing in it is a formula."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from rack.exchange.book import Cell, Figure, Table, workbook
from rack.exchange.sheet_csv import text_cell


@dataclass(frozen=True)
class ListFile:
    """What stands in the file: `head` in pairs of label and words, `rows` under `headings`, `notes`.

    `name` is the name of the sheet of a workbook.
    """

    name: str
    head: Sequence[tuple[str, str]]
    headings: Sequence[str]
    rows: Sequence[Sequence[Cell]]
    notes: Sequence[str] = ()


def write_csv(content: ListFile) -> str:
    """Return the CSV text of a list: commas, lines ended by CR LF, byte order mark first.

    A cell of text that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    notes = [("Note", text) for text in content.notes]
    for row in (*content.head, (), tuple(content.headings), *content.rows, *([()] if notes else []), *notes):
        out.writerow([_plain(cell) for cell in row])
    return sink.getvalue()


def write_xlsx(content: ListFile) -> bytes:
    """Return a workbook of the list: figures as figures, text as text, whatever it begins with."""
    head = [*content.head, *(("Note", text) for text in content.notes)]
    return workbook([Table(content.name, head, content.headings, content.rows)])


def _plain(cell: Cell) -> str | int | None:
    if isinstance(cell, Figure):
        return cell.text
    return text_cell(cell) if isinstance(cell, str) else cell
