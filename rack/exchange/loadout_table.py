"""The list of a sent load as CSV and as XLSX, drawn from the list alone; nothing in it is a formula."""

import csv
import io
import re

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.worksheet.worksheet import Worksheet

from rack.calc.lengths import Length
from rack.calc.loadlist import PROTECTORS, LoadContent, LoadLine, condition, sum_of
from rack.exchange.sheet_csv import text_cell

#: What a workbook cannot hold: the control letters that XML refuses.
_REFUSED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")

Cell = str | float | int | None


def write_csv(content: LoadContent) -> str:
    """Return the CSV text of a load: commas, lines ended by CR LF, byte order mark first.

    A cell of text that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in (*head_rows(content), (), *table_rows(content)):
        out.writerow([text_cell(cell) if isinstance(cell, str) else cell for cell in row])
    return sink.getvalue()


def write_xlsx(content: LoadContent) -> bytes:
    """Return a workbook of the load: the list, its lifts, and the return note of a rental.

    Text is written as text, whatever it begins with; lengths are figures, rounded as they are shown.
    """
    book = Workbook(write_only=True)
    head = head_rows(content)
    _fill(book.create_sheet("List"), [*head, (), *table_rows(content)], len(head) + 1)
    _fill(book.create_sheet("Lifts"), lift_rows(content), 0)
    if content.is_return:
        _fill(book.create_sheet("Return note"), note_rows(content), 0)
    sink = io.BytesIO()
    book.save(sink)
    return sink.getvalue()


def _fill(sheet: Worksheet, rows: list[tuple[Cell, ...]], bold: int) -> None:
    for n, row in enumerate(rows):
        sheet.append([_cell(sheet, value, bold=n == bold) for value in row])


def _cell(sheet: Worksheet, value: Cell, *, bold: bool) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, value=None)
    if isinstance(value, str):
        cell.value = _REFUSED.sub(" ", value)
        cell.data_type = "s"  # else "=1+1" would be read as a formula
    else:
        cell.value = value
    if bold:
        cell.font = Font(bold=True)
    return cell


def head_rows(content: LoadContent) -> list[tuple[Cell, ...]]:
    """What stands over the list."""
    return [
        ("Site", f"{content.site_name} ({content.site_code})"),
        ("Load", str(content.number)),
        ("Revision", f"{content.revision}, list {content.code}"),
        ("To", content.to),
        ("Why", content.why),
        ("Carrier", content.carrier),
        ("Remark", content.remark),
        ("Sent", f"{content.sent_at} by {content.sent_by}"),
    ]


def table_rows(content: LoadContent) -> list[tuple[Cell, ...]]:
    """The list itself, with its headings and its total."""
    heads = (
        "Line", "Lift", "Painted", "Serial", "Owner's number", "Tag", "Item", f"Length ({content.unit})",
        "Kind of length", "Weight (lb/ft)", "Weight from", "Weight (lb)", "Protectors", "Damage", "Held",
        "Exact length (nm)",
    )  # fmt: skip
    whole = sum_of("", content.lines)
    total = ("Total", "", "", "", "", "", f"{content.count} pieces", _length(content, whole.nm), "", None, "",
             round(float(whole.lb), 1), "", "", "", content.sum_nm)  # fmt: skip
    return [heads, *(_row(content, line) for line in content.lines), total]


def _row(content: LoadContent, line: LoadLine) -> tuple[Cell, ...]:
    return (
        line.n, line.lift, line.painted, line.serial, line.owner_no, line.tag, line.item,
        _length(content, line.nm), line.length_kind, line.mlb_ft / 1000 if line.mlb_ft else None,
        line.weight_basis, None if line.lb is None else round(float(line.lb), 1),
        PROTECTORS.get(line.protectors, line.protectors), line.damage, "; ".join(line.holds), line.nm,
    )  # fmt: skip


def lift_rows(content: LoadContent) -> list[tuple[Cell, ...]]:
    """Each lift with its count, length, weight and protectors."""
    heads: tuple[Cell, ...] = (
        "Lift", "Pieces", f"Length ({content.unit})", "Without a length", "Weight (lb)", "Weight (kg)",
        "Not in the weight", "Protectors",
    )  # fmt: skip
    return [heads, *(
        (lift.name, lift.count, _length(content, lift.nm), lift.no_length, round(float(lift.lb), 1),
         round(float(lift.kg), 1), lift.not_weighed, lift.protectors)
        for lift in content.lifts
    )]  # fmt: skip


def note_rows(content: LoadContent) -> list[tuple[Cell, ...]]:
    """The return note, one row a thing that is said of a piece."""
    rows: list[tuple[Cell, ...]] = [
        ("Line", "Piece", "Hire from", "Hire to", "What", "At delivery", "Now", "Mark")
    ]
    for line in content.lines:
        hire = (line.n, line.name, line.received_on, content.sent_at[:10])
        rows += [
            (*hire, what, then, now, "!" if marked else "")
            for what, then, now, marked in condition(line, content.unit, content.digits)
        ]
    return rows


def _length(content: LoadContent, nm: int | None) -> float | None:
    """A figure as it is shown; a workbook's own floats carry all of its digits."""
    return None if nm is None else float(Length(nm).shown(content.unit, content.digits).replace(",", ""))
