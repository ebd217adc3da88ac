"""Columns of lengths that share one number column: row r of column c is joint 10(c-1)+r.

"No | Length | Length | Length" and "No | 1-10 | 11-20 | 21-30" are given a number for every length, so that
they read like blocks side by side. What only looks so is refused in a sentence: a number is never guessed.
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from rack.calc.tally import COLUMNS
from rack.errors import UnreadableFile
from rack.exchange.cells import column_letters
from rack.exchange.headings import folded, read_heading
from rack.exchange.sums import sum_label
from rack.exchange.table import Sheet

_FIGURE = re.compile(r"\d+(?:[.,]\d+)?")
_RANGE = re.compile(r"(\d{1,4})\s*(?:-|–|to|bis|à|a|til)\s*(\d{1,4})")
#: Two figures of one row that differ by less than a part in this many may be one joint read twice.
_ALIKE = 500


@dataclass(frozen=True)
class Tens:
    """Where such a tally has its headings, its number column and its columns of lengths, all from 0.

    `steps` is how many joints a column holds by its headings, 0 where they do not say.
    """

    at: int
    number: int
    lengths: tuple[int, ...]
    steps: int = 0


def tens_of(sheet: Sheet, within: int) -> Tens | None:
    """Return how columns share one number column, None where none of the first rows is such a heading."""
    for at, row in enumerate(sheet.rows[:within]):
        filled = [index for index, cell in enumerate(row) if cell.strip()]
        if len(filled) < 3 or read_heading(row[filled[0]]).role != "number":
            continue
        rest = filled[1:]
        forms = [folded(row[index]) for index in rest]
        if len(set(forms)) == 1 and read_heading(forms[0]).role == "length":
            return Tens(at, filled[0], tuple(rest))
        steps = _steps([row[index].strip().lower() for index in rest])
        if steps:
            return Tens(at, filled[0], tuple(rest), steps)
    return None


def _steps(cells: list[str]) -> int:
    """Return by how much headings such as 1-10, 11-20 or 0, 10, 20 go on, 0 where they are no such."""
    ranges = [_RANGE.fullmatch(cell) for cell in cells]
    if all(ranges):
        spans = [(int(one[1]), int(one[2])) for one in ranges if one]
        step = spans[0][1] - spans[0][0] + 1
        wanted = [(spans[0][0] + step * n, spans[0][1] + step * n) for n in range(len(spans))]
        return step if spans == wanted and spans[0][0] % step == 1 else 0
    if not all(cell.isdecimal() and len(cell) < 5 for cell in cells):
        return 0
    first, second = int(cells[0]), int(cells[1])
    step = second - first
    goes_on = [first + step * n for n in range(len(cells))] == [int(cell) for cell in cells]
    return step if step in COLUMNS and goes_on and first in (0, step) else 0


def numbered(sheet: Sheet, within: int, name: str) -> tuple[Sheet, tuple[tuple[int, ...], ...], int] | None:
    """Return the sheet with a number for each length, the columns of each block, and the heading's place.

    None where it is no such tally. Raises UnreadableFile with one sentence for what only looks like one.
    """
    tens = tens_of(sheet, within)
    if tens is None:
        return None
    pages = _pages(sheet, tens)
    wrong = _wrong(sheet, tens, pages)
    if wrong:
        if not tens.steps and len(tens.lengths) == 2:
            return None  # a length and the same once more: compared row by row
        columns = f"{column_letters(tens.lengths[0])} to {column_letters(tens.lengths[-1])}"
        raise UnreadableFile(f"{name}: the columns {columns} share one number column, and {wrong}. Give each "
                             "column its own numbers, or put the columns below each other.")  # fmt: skip
    return _spread(sheet, tens, pages)


def _pages(sheet: Sheet, tens: Tens) -> list[list[int]]:
    """Return the rows with a number, page by page: a page ends where the number does not follow."""
    pages: list[list[int]] = []
    before = None
    for at in range(tens.at + 1, len(sheet.rows)):
        cell = _cell(sheet, at, tens.number)
        if not cell.isdecimal() or len(cell) > 6:
            continue
        if before is None or int(cell) != before + 1 or len(pages[-1]) == (tens.steps or -1):
            pages.append([])
        pages[-1].append(at)
        before = int(cell)
    return pages


def _wrong(sheet: Sheet, tens: Tens, pages: list[list[int]]) -> str:
    """Say why this is no tally in such columns, "" when it is one."""
    if not pages:
        return "no numbers stand below its heading"
    height = tens.steps or len(pages[0])
    starts = {1, *(1 + n * height * len(tens.lengths) for n in range(len(pages)))}
    odd = next((page for page in pages if int(_cell(sheet, page[0], tens.number)) not in starts), None)
    if odd:
        return f"its numbers do not follow each other (line {sheet.lines[odd[0]]})"
    if height not in COLUMNS:
        known = ", ".join(map(str, COLUMNS[:-1])) + f" or {COLUMNS[-1]}"
        return f"a column has {height} lines, where columns of {known} are known"
    for n, page in enumerate(pages):
        last_page = n == len(pages) - 1
        short = len(page) != height and not (last_page and _one_column(sheet, tens, page))
        if short:
            return f"a page does not have {height} lines like the first (line {sheet.lines[page[0]]})"
        gap = _ends_early(sheet, tens, page, is_last=last_page)
        if gap:
            return gap
    if _is_read_twice(sheet, tens, pages):
        return "they say nearly the same in every row: are they readings of one joint"
    return ""


def _one_column(sheet: Sheet, tens: Tens, page: list[int]) -> bool:
    return all(not _cell(sheet, at, index) for at in page for index in tens.lengths[1:])


def _ends_early(sheet: Sheet, tens: Tens, page: list[int], *, is_last: bool) -> str:
    """Say where a column stops before its end while a later one, or a later page, goes on."""
    ends = []
    for index in tens.lengths:
        filled = [n for n, at in enumerate(page, start=1) if _cell(sheet, at, index)]
        ends.append(filled[-1] if filled else 0)
    for at, end in enumerate(ends):
        goes_on = any(ends[at + 1 :]) or not is_last
        if goes_on and end < len(page):
            return (f"column {column_letters(tens.lengths[at])} ends at {end} of {len(page)} while a later "
                    "one goes on")  # fmt: skip
    return ""


def _is_read_twice(sheet: Sheet, tens: Tens, pages: list[list[int]]) -> bool:
    rows = [[_figure(_cell(sheet, at, index)) for index in tens.lengths] for page in pages for at in page]
    both = [(one, two) for row in rows for one, two in zip(row, row[1:], strict=False) if one and two]
    alike = sum(abs(one - two) * _ALIKE <= max(one, two) for one, two in both)
    return len(both) >= 3 and 10 * alike >= 7 * len(both)


def _figure(text: str) -> Decimal | None:
    return Decimal(text.replace(",", ".")) if _FIGURE.fullmatch(text) else None


def _spread(
    sheet: Sheet, tens: Tens, pages: list[list[int]]
) -> tuple[Sheet, tuple[tuple[int, ...], ...], int]:
    width = max(map(len, sheet.rows), default=0)
    numbers = [width + n for n in range(len(tens.lengths))]
    height = tens.steps or len(pages[0])
    on_page = {at: (n, line) for n, page in enumerate(pages) for line, at in enumerate(page)}
    heading = [folded(cell) for cell in sheet.rows[tens.at]]
    rows, missing = [], []
    for at, row in enumerate(sheet.rows):
        cells = [*row, *[""] * (width - len(row))]
        added = [""] * len(numbers)
        if at >= tens.at and [folded(cell) for cell in row] == heading:
            added = [cells[tens.number]] * len(numbers)
            for index in tens.lengths if tens.steps else ():
                cells[index] = "Length"
        elif at in on_page:
            page, line = on_page[at]
            for column, index in enumerate(tens.lengths):
                joint = str(page * height * len(tens.lengths) + column * height + line + 1)
                if cells[index].strip():
                    added[column] = joint
                elif _goes_on(sheet, tens, pages, page, column, line):
                    missing.append(joint)
            cells[tens.number] = ""
        elif word := _sum_word(row, tens):
            added = [word if cells[index].strip() else "" for index in tens.lengths]
            cells[tens.number] = ""
        rows.append([*cells, *added])
    notes = tuple(f"No length stands at {joint}: no piece is made of it." for joint in missing)
    blocks = tuple(zip(numbers, tens.lengths, strict=True))
    return replace(sheet, rows=rows, notes=(*sheet.notes, *notes)), blocks, tens.at


def _goes_on(sheet: Sheet, tens: Tens, pages: list[list[int]], page: int, column: int, line: int) -> bool:
    """Say whether lengths stand below an empty cell, in a later column or on a later page."""
    rest = [at for at in pages[page][line + 1 :] if _cell(sheet, at, tens.lengths[column])]
    later = [at for at in pages[page] for index in tens.lengths[column + 1 :] if _cell(sheet, at, index)]
    return bool(rest or later or page < len(pages) - 1)


def _sum_word(row: list[str], tens: Tens) -> str:
    """Return the word of a row of sums, "" for another row; one figure below many columns is of the page."""
    label = sum_label(row[tens.number]) if tens.number < len(row) else None
    figures = sum(bool(row[index].strip()) for index in tens.lengths if index < len(row))
    if label is None or not figures:
        return ""
    return "Page total" if figures == 1 and label[0] in ("", "sub") else row[tens.number].strip()


def _cell(sheet: Sheet, at: int, index: int) -> str:
    row = sheet.rows[at]
    return row[index].strip() if index < len(row) else ""
