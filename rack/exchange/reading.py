"""One sheet from its first row to its last: pieces, sums, lines of text and blank rows, each counted once."""

from dataclasses import dataclass, field, replace

from rack.calc.checks import Problem, asks, note
from rack.calc.lengths import Length
from rack.calc.outliers import shown_digits
from rack.calc.receiving import Mapping, ReadRow, SheetMapping, Total
from rack.exchange.cells import Cell, column_letters
from rack.exchange.rows import RowReader
from rack.exchange.sums import (
    SumRow,
    chained,
    count_said,
    figure_in,
    is_heading_again,
    label_alone,
    looks_like_sum,
    sum_label,
    total_of,
)
from rack.exchange.table import Sheet


@dataclass
class SheetRead:
    """What has been read of one sheet so far."""

    sheet: Sheet
    mapped: SheetMapping
    reader: RowReader
    rows: list[ReadRow] = field(default_factory=list)
    sums: list[SumRow] = field(default_factory=list)
    counts: list[tuple[int, str, str]] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    digits: int = 0
    blank_rows: int = 0
    text_rows: int = 0
    sum_rows: int = 0


def read_sheet(sheet: Sheet, mapped: SheetMapping, mapping: Mapping) -> SheetRead:
    read = SheetRead(sheet, mapped, RowReader(sheet, mapped, mapping))
    last = max((at for at, row in enumerate(sheet.rows) if any(cell.strip() for cell in row)), default=-1)
    for at in range(last + 1):
        if sheet.lines[at] < mapped.heading_row:
            _read_above(read, at)
        elif sheet.lines[at] > mapped.last_heading_row:
            _read_below(read, at, mapping)
    read.notes += [note(text, code="text") for text in sheet.notes]
    if not read.reader.has_length:
        read.notes.append(
            note(
                "The list has no column of lengths; the pieces are accepted without and strapped later.",
                code="no length",
            )
        )
    return read


def _read_above(read: SheetRead, at: int) -> None:
    """Keep a total or a count that stands above the headings: it speaks of all rows."""
    for index, cell in enumerate(read.sheet.rows[at]):
        count = count_said(cell)
        if count is not None:
            read.counts.append((count, cell.strip(), _where(read, at, index)))
        label = sum_label(cell)
        if label:
            beside = ((n, each) for n, each in enumerate(read.sheet.rows[at]) if n > index and each.strip())
            to, right = next(beside, (index, ""))
            where = to if _is_formula(right) and not figure_in(cell) else index
            _add_sum(read, at, where, cell, "grand", figure_in(cell) or right, rows_before=-1)


def _read_below(read: SheetRead, at: int, mapping: Mapping) -> None:
    row = read.sheet.rows[at]
    if not any(cell.strip() for cell in row):
        read.blank_rows += 1
        return
    if is_heading_again(row, read.mapped):
        read.text_rows += 1
        return
    cells = read.reader.cells(at)
    length, _, _ = read.reader.length_of(cells)
    if _is_sum(read, at, cells):
        read.sum_rows += 1
    elif read.reader.is_piece(cells, length):
        made = read.reader.row(at, cells, mapping.length_kind)
        read.rows.append(made)
        read.digits = max(read.digits, _figures(cells))
    else:
        read.text_rows += 1
        text = " ".join(cell.strip() for cell in row if cell.strip())
        count = next((said for cell in row if (said := count_said(cell)) is not None), None)
        if count is not None:
            read.counts.append((count, text, _where(read, at, 0)))
        read.notes.append(
            note(f"Row {read.sheet.lines[at]} is no piece and is not read: “{text[:80]}”.", code="text")
        )


def _figures(cells: dict[str, Cell]) -> int:
    """Return the figures after the mark of a length as typed: the file's own digits."""
    text = cells["length"].text if "length" in cells else ""
    _, mark, after = text.replace(",", ".").rpartition(".")
    return len(after) if mark and after.isdigit() and len(after) <= 5 else 0


def _where(read: SheetRead, at: int, index: int) -> str:
    cell = f"{column_letters(read.sheet.column_of(at, index))}{read.sheet.lines[at]}"
    return f"{read.sheet.name} {cell}" if read.sheet.name else cell


def _is_sum(read: SheetRead, at: int, cells: dict[str, Cell]) -> bool:
    """Say whether a row is a sum, and keep it: by a word ("Summe"), or a figure that no piece has."""
    names = [cells[role].text for role in ("serial", "owner_no", "painted", "item") if role in cells]
    labels = [(cell, label) for cell in cells.values() if (label := sum_label(cell.text))]
    own_names = [name for name in names if not sum_label(name)]
    in_length = cells.get("length")
    if labels and (not own_names or not any(character.isdigit() for name in own_names for character in name)):
        cell, (level, _) = labels[0]
        count = next((said for each in cells.values() if (said := count_said(each.text)) is not None), None)
        if count is not None:
            read.counts.append((count, cell.text, _where(read, at, cell.column.index)))
        figure = (
            in_length
            if in_length and (any(map(str.isdigit, in_length.text)) or _is_formula(in_length.text))
            else _figure_right_of(cells, cell)
        )
        text = figure.text if figure else figure_in(cell.text)
        if text and not (count is not None and text == str(count)):
            index = figure.column.index if figure else cell.column.index
            _add_sum(read, at, index, cell.text, level, text, is_number=bool(figure and figure.is_number))
        return True
    if in_length and not names and set(cells) <= {"length", "number", "length_again"} and len(cells) <= 2:
        length = _sum_length(read, in_length.text, is_number=in_length.is_number)
        if looks_like_sum(length, [row.length for row in read.rows if row.length is not None]):
            _add_sum(
                read,
                at,
                in_length.column.index,
                "Sum without a word",
                "",
                in_length.text,
                is_number=in_length.is_number,
            )
            return True
    return False


def _figure_right_of(cells: dict[str, Cell], label: Cell) -> Cell | None:
    right = [
        cell
        for cell in cells.values()
        if cell.column.index > label.column.index
        and (any(map(str.isdigit, cell.text)) or _is_formula(cell.text))
    ]
    decimals = [cell for cell in right if "." in cell.text or "," in cell.text]
    return next(iter(decimals or right), None)


def _is_formula(text: str) -> bool:
    """Say whether a cell holds the text of a formula: nobody worked it out before the file was saved."""
    return text.lstrip().startswith("=")


def _sum_length(read: SheetRead, text: str, *, is_number: bool) -> Length | None:
    unit = _unit(read)
    for decimal in ["."] if is_number else [read.reader.mapping.decimal, ""]:
        try:
            return Length.parse(text, unit, decimal=decimal)
        except ValueError:
            continue
    try:
        return Length.parse(f"{float(text):.5f}", unit, decimal=".") if is_number else None
    except ValueError:
        return None


def _unit(read: SheetRead) -> str:
    column = read.mapped.column("length")
    return (column.unit if column else "") or read.reader.mapping.length_unit or "ft"


def _add_sum(
    read: SheetRead,
    at: int,
    index: int,
    label: str,
    level: str,
    text: str,
    *,
    is_number: bool = False,
    rows_before: int | None = None,
) -> None:
    if _is_formula(text):
        words = f"“{label_alone(label)}” is a formula without a stored value ({text.strip()[:60]})"
        what = "so the rows are not held against it; open the workbook in a spreadsheet and save it."
        where = _where(read, at, index)
        read.notes.append(note(f"{where}: {words}, {what}", code="formula", where=where))
        return
    if not any(map(str.isdigit, text)):
        return
    length = _sum_length(read, text, is_number=is_number)
    before = len(read.rows) if rows_before is None else rows_before
    read.sums.append(SumRow(_where(read, at, index), label_alone(label), level, length, _unit(read), before))


def totals_of(read: SheetRead) -> list[Total]:
    totals: list[Total] = []
    sums = [replace(each, rows_before=len(read.rows)) if each.rows_before < 0 else each for each in read.sums]
    for at, found in enumerate(sums):
        digits = read.digits or shown_digits(found.unit)
        total = total_of(found, read.rows, sums[:at], digits)
        totals.append(chained(found, total, sums[:at], totals))
    return totals


def count_problems(read: SheetRead) -> list[Problem]:
    """Ask about a number of joints in the file that is not the number of rows."""
    rows = len(read.rows)
    return [
        asks(
            f"The file says {count} pieces (“{text[:60]}”), and {rows} rows were read.",
            code="T04",
            where=where,
        )
        for count, text, where in read.counts[-1:]
        if count != rows
    ]
