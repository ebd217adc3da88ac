"""A printed casing plan as CSV and XLSX: the running list and the casing detail, drawn from its text alone.

No cell is ever a formula: text that a spreadsheet would compute stands behind an apostrophe in the CSV and
as plain text in the workbook.
"""

import csv
import io
from collections.abc import Sequence
from decimal import Decimal

from rack.calc.casing_content import CasingContent, CasingRow
from rack.calc.lengths import Length
from rack.exchange import book
from rack.exchange.sheet_csv import text_cell

Cell = str | int


class Figure(str):
    """One of our own figures as text: digits, one point, perhaps a minus. A number in a workbook."""

    __slots__ = ()


def running_rows(content: CasingContent) -> list[list[Cell]]:
    """Return the running list from the bottom up, headings first."""
    unit = content.unit
    made: list[list[Cell]] = [[
        "Run", "Joint", "Number", "What", "Serial", f"Length ({unit})", f"Loss ({unit})",
        f"Effective ({unit})", f"Total ({unit})", f"Top ({unit})", f"Bottom ({unit})", "Drift",
        "Threads", "Thread-locked", "Centralizers", "Exact effective (nm)",
    ]]
    layout = content.layout()
    run = [row for row in content.rows if row.role == "run" and not row.item().above]
    for one, row in zip(layout.stood, run, strict=True):
        made.append([
            one.n, one.joint_n if one.item.is_joint else "", row.name, row.words, row.serial,
            *_figures(content, row, one.effective, one.total, one.top, one.bottom),
            *("yes" if done else "" for done in (row.drifted, row.threads, row.locked)), row.centralizers,
            one.effective.nanometres if one.effective else "",
        ])
    for row in content.rows:
        if row.role == "run" and row.item().above:
            figures = _figures(content, row, row.item().effective, None, None, None)
            made.append(["", "", row.name, f"{row.words}, above the landing shoulder", row.serial, *figures])
    return made


def detail_rows(content: CasingContent) -> list[list[Cell]]:
    """Return the casing detail from the top down, one item a row, headings first."""
    unit = content.unit
    made: list[list[Cell]] = [[f"Top ({unit})", f"Bottom ({unit})", f"Length ({unit})", "Number", "What",
                               "Serial", "Thread-locked", "Centralizers"]]
    layout = content.layout()
    run = [row for row in content.rows if row.role == "run" and not row.item().above]
    for one, row in zip(reversed(layout.stood), reversed(run), strict=True):
        made.append([*(_plain(content, each) for each in (one.top, one.bottom, one.effective)), row.name,
                     row.words, row.serial, "yes" if row.locked else "", row.centralizers])
    return made


def head_rows(content: CasingContent) -> list[list[Cell]]:
    """Return the head of the plan: whose, which revision, datum, shoe, the counts."""
    layout = content.layout()
    rows: list[list[Cell]] = [
        ["Site", f"{content.site_name} ({content.site_code})"], ["Well", content.well],
        ["String", content.string],
        ["Plan", f"tally {content.tally_no}, revision {content.revision}, sheet {content.code}"],
        ["Printed", f"{content.printed_at} by {content.printed_by}"],
        ["Kind of length", content.length_kind],
        ["Datum", f"{content.datum}, {content.measured}"],
        [f"Landing shoulder ({content.unit})", _plain(content, layout.anchor)],
        [f"Below the shoulder ({content.unit})", _plain(content, layout.total)],
        [f"Shoe ({content.unit})", _plain(content, layout.shoe)],
        ["Pins that lose length", layout.pins],
        [f"Stick-up ({content.unit})", _plain(content, layout.stick_up)],
        ["Received", content.received], ["To run", content.to_run], ["Spare", content.spare],
        ["Left out", content.left_out], ["Must lie on the rack", len(content.on_rack)],
        ["On the rack", ", ".join(content.on_rack)],
    ]
    rows += [["Left out", f"{row.name}: {row.reason}"] for row in content.rows if row.role == "out"]
    if content.reason:
        rows.append(["Reason", content.reason])
    return rows


def csv_text(content: CasingContent, rows: Sequence[Sequence[Cell]]) -> str:
    """Return head and `rows` as CSV text: byte order mark, commas, CR LF."""
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in [*head_rows(content), [], *rows]:
        out.writerow([text_cell(cell) if type(cell) is str else cell for cell in row])
    return sink.getvalue()


def xlsx(content: CasingContent, address: str = "") -> bytes:
    """Return the workbook: head, running list, casing detail, each on a sheet of its own.

    `address` is where the code on the paper leads; figures are as printed, rounded once.
    """
    top = [["Plan", f"tally {content.tally_no}, revision {content.revision}, sheet {content.code}"],
           ["Live page", address]]  # fmt: skip
    head = head_rows(content)
    head.insert(4, ["Live page", address])
    running, detail = running_rows(content), detail_rows(content)
    return book.workbook([
        book.Table("Head", [_cells(row) for row in head]),
        book.Table("Running list", top, _words(running[0]), [_cells(row) for row in running[1:]]),
        book.Table("Casing detail", top, _words(detail[0]), [_cells(row) for row in detail[1:]]),
    ])  # fmt: skip


def _words(row: Sequence[Cell]) -> list[str]:
    return [str(cell) for cell in row]


def _cells(row: Sequence[Cell]) -> list[book.Cell]:
    return [_cell(value) for value in row]


def _cell(value: Cell) -> book.Cell:
    """A figure as a number with the digits that it is printed with; an unknown one stays empty."""
    if not isinstance(value, Figure):
        return value
    return book.Figure(Decimal(value), len(value.partition(".")[2])) if value else None


def _figures(content: CasingContent, row: CasingRow, *after: Length | None) -> list[Figure]:
    item = row.item()
    own = [_plain(content, item.length), _plain(content, item.off, 1)]
    return own + [_plain(content, one) for one in after]


def _plain(content: CasingContent, length: Length | None, more: int = 0) -> Figure:
    return Figure("" if length is None else content.shown(length, more).replace(",", ""))
