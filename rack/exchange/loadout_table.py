"""The list of a sent load as CSV and as XLSX, drawn from the list alone; nothing in it is a formula."""

import csv
import io
from decimal import Decimal

from rack.calc.hours import Amount, amount_shown
from rack.calc.loadlist import PROTECTORS, LoadContent, LoadLine, condition, sum_of
from rack.calc.return_note import heading_of
from rack.exchange.book import Cell, Figure, Table, as_shown, decimal, workbook
from rack.exchange.sheet_csv import text_cell

#: The two figures of a clock.
_WHEN = ("on this hire", "in all")


def write_csv(content: LoadContent) -> str:
    """Return the CSV text of a load: commas, lines ended by CR LF, byte order mark first.

    A cell of text that a spreadsheet would take for a formula is written with an apostrophe before it.
    """
    sink = io.StringIO()
    sink.write("\ufeff")
    out = csv.writer(sink, lineterminator="\r\n")
    for row in (*head_rows(content), (), *table_rows(content)):
        out.writerow([_plain(cell) for cell in row])
    return sink.getvalue()


def _plain(cell: Cell) -> str | int | None:
    if isinstance(cell, Figure):
        return cell.text
    return text_cell(cell) if isinstance(cell, str) else cell


def write_xlsx(content: LoadContent, address: str = "") -> bytes:
    """Return a workbook of the load: the list, its lifts, and the return note of a rental.

    Text is written as text, whatever it begins with; lengths are figures, rounded as they are shown.
    `address` is where the code on the paper leads.
    """
    head = head_rows(content)
    head.insert(3, ("Live page", address))
    tables = [_table("List", table_rows(content), head), _table("Lifts", lift_rows(content))]
    if content.is_return:
        tables.append(_table("Return note", note_rows(content)))
    return workbook(tables)


def _table(name: str, rows: list[tuple[Cell, ...]], head: list[tuple[Cell, ...]] | None = None) -> Table:
    """A table whose headings are its first row; the list's last row is its total."""
    body = rows[1:]
    totals = [body.pop()] if head else []
    return Table(name, head or (), [str(cell) for cell in rows[0]], body, totals)


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
    """The list itself, with its headings and its total; that of a rental has what it ran, and its events."""
    heads = (
        "Line", "Lift", "Painted", "Serial", "Owner's number", "Tag", "Item", f"Length ({content.unit})",
        "Kind of length", "Weight (lb/ft)", "Weight from", "Weight (lb)", "Protectors", "Damage", "Held",
        "Exact length (nm)",
    )  # fmt: skip
    whole = sum_of("", content.lines)
    total = ("Total", "", "", "", "", "", f"{content.count} pieces", _length(content, whole.nm), "", None, "",
             decimal(float(whole.lb), 1), "", "", "", content.sum_nm)  # fmt: skip
    kept = clocks_on(content)
    more = tuple(f"{heading_of(clock, content.unit)} {when}" for clock in kept for when in _WHEN)
    more += ("What happened",) if content.is_return else ()
    rows = [(*_row(content, line), *_ran(content, line, kept)) for line in content.lines]
    return [(*heads, *more), *rows, (*total, *("" for _ in more))]


def clocks_on(content: LoadContent) -> tuple[str, ...]:
    """The clocks that any piece of the list keeps, in the order in which they first come."""
    return tuple(dict.fromkeys(one.clock for line in content.lines for one in line.clocks))


def _ran(content: LoadContent, line: LoadLine, kept: tuple[str, ...]) -> tuple[Cell, ...]:
    """What a rental ran: a figure where all is known, "at least" in words where it is not."""
    if not content.is_return:
        return ()
    by_clock = {one.clock: one for one in line.clocks}
    cells: list[Cell] = []
    for one in (by_clock.get(clock) for clock in kept):
        cells += [
            _amount(content, one.clock, one.hire, known=one.hire_known),
            _amount(content, one.clock, one.life, known=one.life_known),
        ] if one else ["", ""]
    return (*cells, "; ".join(line.events))


def _amount(content: LoadContent, clock: str, least: int, *, known: bool) -> Cell:
    text = amount_shown(clock, Amount(least, known), unit=content.unit, digits=content.digits)
    if not known or clock.endswith("_n"):
        return least if known else text
    return Figure(Decimal(text.replace(",", "")), content.digits)


def _row(content: LoadContent, line: LoadLine) -> tuple[Cell, ...]:
    return (
        line.n, line.lift, line.painted, line.serial, line.owner_no, line.tag, line.item,
        _length(content, line.nm), line.length_kind, decimal(line.mlb_ft / 1000, 3) if line.mlb_ft else None,
        line.weight_basis, None if line.lb is None else decimal(float(line.lb), 1),
        PROTECTORS.get(line.protectors, line.protectors), line.damage, "; ".join(line.holds), line.nm,
    )  # fmt: skip


def lift_rows(content: LoadContent) -> list[tuple[Cell, ...]]:
    """Each lift with its count, length, weight and protectors."""
    heads: tuple[Cell, ...] = (
        "Lift", "Pieces", f"Length ({content.unit})", "Without a length", "Weight (lb)", "Weight (kg)",
        "Not in the weight", "Protectors",
    )  # fmt: skip
    return [heads, *(
        (lift.name, lift.count, _length(content, lift.nm), lift.no_length, decimal(float(lift.lb), 1),
         decimal(float(lift.kg), 1), lift.not_weighed, lift.protectors)
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


def _length(content: LoadContent, nm: int | None) -> Figure | None:
    """A figure as it is shown."""
    return as_shown(nm, content.unit, content.digits)
