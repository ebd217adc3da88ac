"""A workbook of our own making: figures as figures with their format, text as text, no formula anywhere.

Every cell bears a stored value, so that the file reads the same in a program that computes nothing.
"""

import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Context, Decimal

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from rack.calc.lengths import Length
from rack.calc.units import NM
from rack.exchange.sheet_csv import starts_formula

#: What a workbook cannot hold: the control letters that XML refuses.
_REFUSED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
#: The longest text of a cell.
_LONGEST = 32_767
#: So many figures a spreadsheet keeps of a number.
_KEPT = Context(prec=15)
_WIDEST, _NARROWEST = 60, 7


@dataclass(frozen=True)
class Figure:
    """A number written to its last digit and shown with `digits` after the point."""

    value: Decimal
    digits: int

    @property
    def text(self) -> str:
        """The number as the file keeps it: "1031.24"."""
        return format(self.value, "f")

    @property
    def form(self) -> str:
        """The format by which a spreadsheet shows it."""
        return "#,##0" + ("." + "0" * self.digits if self.digits else "")


Cell = str | int | Figure | None


@dataclass(frozen=True)
class Table:
    """One sheet of the workbook: a head of label and words, then headings, rows, and totals in bold."""

    name: str
    head: Sequence[Sequence[Cell]] = ()
    headings: Sequence[str] = ()
    rows: Sequence[Sequence[Cell]] = ()
    totals: Sequence[Sequence[Cell]] = ()


def length(nm: int | None, unit: str, digits: int) -> Figure | None:
    """Return whole nanometres as an exact decimal of `unit`, shown with `digits`; None where not known.

    A length that is no decimal of the unit (a metre's in feet) is kept to fifteen figures.
    """
    if nm is None:
        return None
    exact = _KEPT.divide(Decimal(nm), Decimal(NM[unit]))
    return Figure(exact.normalize(_KEPT) if exact else Decimal(0), digits)


def as_shown(nm: int | None, unit: str, digits: int) -> Figure | None:
    """Return whole nanometres as they are printed: rounded once, half up, to `digits`."""
    if nm is None:
        return None
    return Figure(Decimal(Length(nm).shown(unit, digits).replace(",", "")), digits)


def decimal(value: object, digits: int) -> Figure:
    """Return any number rounded to `digits` after the point."""
    return Figure(round(Decimal(str(value)), digits), digits)


def workbook(tables: Iterable[Table]) -> bytes:
    """Return the file. Text stays text whatever it begins with; what XML cannot hold becomes a blank."""
    book = Workbook(write_only=True)
    for table in tables:
        _fill(book.create_sheet(table.name), table)
    sink = io.BytesIO()
    book.save(sink)
    return sink.getvalue()


def _fill(sheet: Worksheet, table: Table) -> None:
    _laid_out(sheet, table)
    for row in table.head:
        sheet.append([_cell(sheet, value, bold=n == 0) for n, value in enumerate(row)])
    if table.head and table.headings:
        sheet.append([])
    if table.headings:
        sheet.append([_cell(sheet, text, bold=True, heading=True) for text in table.headings])
    for row in table.rows:
        sheet.append([_cell(sheet, value) for value in row])
    for row in table.totals:
        sheet.append([_cell(sheet, value, bold=True) for value in row])


def _laid_out(sheet: Worksheet, table: Table) -> None:
    """Widths, what stays in sight and what is repeated on paper: said before the first row."""
    columns = [[cell for row in table.rows for cell in row[n : n + 1]] for n in range(len(table.headings))]
    for n, (heading, cells) in enumerate(zip(table.headings, columns, strict=True), start=1):
        longest = max([len(heading), *(len(_shown(cell)) for cell in cells)])
        sheet.column_dimensions[get_column_letter(n)].width = min(_WIDEST, max(_NARROWEST, longest) + 2)
    if not table.headings:
        sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 26, 90
    elif table.rows:
        first = len(table.head) + (2 if table.head else 1)
        sheet.freeze_panes = f"A{first + 1}"
        sheet.print_title_rows = f"{first}:{first}"
    sheet.page_setup.orientation = "landscape" if len(table.headings) > 8 else "portrait"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.center.text = "Page &P of &N"


def _shown(cell: Cell) -> str:
    if isinstance(cell, Figure):
        return f"{cell.value:,.{cell.digits}f}"
    return "" if cell is None else str(cell)


def _cell(sheet: Worksheet, value: Cell, *, bold: bool = False, heading: bool = False) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet)
    if isinstance(value, Figure):
        # As text marked as a number: through a float, 0.07 would be written as 0.07000000000000001.
        cell.value = value.text
        cell.data_type = "n"
        cell.number_format = value.form
    elif isinstance(value, str):
        cell.value = _REFUSED.sub(" ", value)[:_LONGEST]
        cell.data_type = "s"  # else "=1+1" would be read as a formula
        if starts_formula(value):
            cell.quotePrefix = True  # and stays text when somebody edits the cell
    elif value is not None:
        cell.value = value
        cell.number_format = "0"
    if bold:
        cell.font = Font(bold=True)
    if heading:
        cell.alignment = Alignment(wrap_text=True, vertical="top")
    return cell
