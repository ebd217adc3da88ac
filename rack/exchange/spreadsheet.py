"""An XLSX workbook as sheets of text, unpacked under a limit so that no file can fill the memory."""

import io
import re
import zipfile
from collections.abc import Callable, Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

import python_calamine

from rack.errors import UnreadableFile
from rack.exchange.opendocument import is_opendocument, read_opendocument
from rack.exchange.table import MOST_COLUMNS, MOST_SHEETS, MOST_UNPACKED, Sheet, check_size, trimmed


def read_workbook(data: bytes, shown: str) -> list[Sheet]:
    """Return the sheets of an XLSX or ODS file. Raises UnreadableFile with one sentence for what is none."""
    if is_opendocument(_names(data, shown)):
        return read_opendocument(data, shown)
    packed = _repacked(data, shown)
    sheets = opened(lambda: python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(packed)), shown)
    for sheet in sheets:
        check_size(sheet.rows, shown)
    return sheets


def _names(data: bytes, shown: str) -> set[str]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return set(archive.namelist())
    except Exception as error:  # whatever a broken archive makes the reader of archives raise
        raise UnreadableFile(f"{shown} is cut short or damaged; send it again.") from error


def opened(book_of: Callable[[], Any], shown: str) -> list[Sheet]:
    """Return the visible sheets of the workbook that `book_of` opens, as text."""
    try:
        book = book_of()
        visible = [
            meta.name
            for meta in book.sheets_metadata
            if meta.typ == python_calamine.SheetTypeEnum.WorkSheet
            and meta.visible == python_calamine.SheetVisibleEnum.Visible
        ]
        if len(visible) > MOST_SHEETS:
            raise UnreadableFile(f"{shown} has {len(visible)} sheets; a delivery list has a few.")
        sheets = [
            _sheet(name, book.get_sheet_by_name(name).to_python(skip_empty_area=False)) for name in visible
        ]
    except UnreadableFile:
        raise
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # a panic of the reader is no Exception, and no file may end the server
        raise UnreadableFile(
            f"{shown} is a damaged workbook; open it, save it again and try that."
        ) from error
    if not any(sheet.rows for sheet in sheets):
        raise UnreadableFile(f"{shown} is a workbook without a filled cell.")
    return sheets


def _repacked(data: bytes, shown: str) -> bytes:
    """Return the same workbook unpacked under the limit, without pictures; refuse what is no workbook."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            entries = archive.infolist()
            _check_entries(entries, shown)
            made = io.BytesIO()
            with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as out:
                for name, content in _unpacked(archive, entries, shown):
                    out.writestr(name, content)
            return made.getvalue()
    except UnreadableFile:
        raise
    except Exception as error:  # whatever a broken archive makes the reader of archives raise
        raise UnreadableFile(f"{shown} is cut short or damaged; send it again.") from error


def _check_entries(entries: list[zipfile.ZipInfo], shown: str) -> None:
    names = {entry.filename for entry in entries}
    if any(entry.flag_bits & 1 for entry in entries):
        raise UnreadableFile(f"{shown} is protected by a password; save it without one.")
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise UnreadableFile(f"{shown} carries macros; save it as a workbook without them (XLSX).")
    if "xl/workbook.bin" in names:
        raise UnreadableFile(f"{shown} is a workbook of another format; save it as XLSX or CSV.")
    if "xl/workbook.xml" not in names or "[Content_Types].xml" not in names:
        raise UnreadableFile(
            f"{shown} is a packed file and no workbook; unpack it, or save the list as XLSX or CSV."
        )
    if sum(entry.file_size for entry in entries) > MOST_UNPACKED or len(entries) > 2_000:
        raise UnreadableFile(f"{shown} unpacks to more than a delivery list ever needs; it is not opened.")


def _unpacked(
    archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo], shown: str
) -> Iterator[tuple[str, bytes]]:
    left = MOST_UNPACKED
    longest, cells = 0, 0
    seen: set[str] = set()
    for entry in entries:
        name = entry.filename
        if (
            not name.endswith((".xml", ".rels"))
            or name.startswith(("xl/drawings", "xl/media"))
            or name in seen
        ):
            continue
        seen.add(name)
        with archive.open(entry) as member:
            content = member.read(left + 1)
        left -= len(content)
        if left < 0:
            raise UnreadableFile(
                f"{shown} unpacks to more than a delivery list ever needs; it is not opened."
            )
        if b"\x00" in content or re.search(rb"\br\s*=\s*[\"'][^\"']*&", content):
            raise UnreadableFile(f"{shown} is a damaged workbook; open it, save it again and try that.")
        if name.startswith("xl/worksheets/"):
            cells += _check_grid(content, shown)
            content = _ERROR.sub(_error_as_text, _FORMULA.sub(_as_text, content))
        if name.endswith("sharedStrings.xml"):
            longest = max((len(part) for part in re.split(rb"<si\b", content)), default=0)
        if longest * cells > 40 * MOST_UNPACKED:
            raise UnreadableFile(
                f"{shown} unpacks to more than a delivery list ever needs; it is not opened."
            )
        yield name, content


#: A cell with a formula and no stored value: the program that wrote it never worked it out.
_FORMULA = re.compile(
    rb"<((?:\w+:)?)c\b([^<>]*)>\s*<\1f\b[^<>]*?(?:/>|>([^<>]*)</\1f>)\s*"
    rb"(?:<\1v\s*/>|<\1v>\s*</\1v>)?\s*</\1c>"
)


#: A cell whose formula came to an error: the reader would hand it on as empty.
_ERROR = re.compile(
    rb"<((?:\w+:)?)c\b([^<>]*?)\bt\s*=\s*[\"']e[\"']([^<>]*)>(?:<\1f\b[^<>]*?(?:/>|>[^<>]*</\1f>))?\s*"
    rb"<\1v>([^<>]*)</\1v>\s*</\1c>"
)


def _error_as_text(found: re.Match[bytes]) -> bytes:
    prefix, before, after, error = found.groups()
    parts = (prefix, before, after, prefix, prefix, error[:20], prefix, prefix, prefix)
    return b'<%sc%s%s t="inlineStr"><%sis><%st>%s</%st></%sis></%sc>' % parts


def _as_text(found: re.Match[bytes]) -> bytes:
    """Return such a cell as the text of its formula, so that its row can say so."""
    prefix, given, formula = found[1], re.sub(rb"\bt\s*=\s*[\"'][^\"']*[\"']", b"", found[2]), found[3] or b""
    parts = (prefix, given, prefix, prefix, formula.strip()[:200], prefix, prefix, prefix)
    return b'<%sc%s t="inlineStr"><%sis><%st>=%s</%st></%sis></%sc>' % parts


def _check_grid(content: bytes, shown: str) -> int:
    """Refuse a sheet whose farthest cell would make a table of millions; return how many cells it has."""
    cells, row, column = 0, 0, 0
    for found in re.finditer(rb"<(?:\w+:)?(?:c|row)\b[^>]*?\br\s*=\s*[\"']([A-Za-z]*)(\d+)[\"']", content):
        cells += 1
        row = max(row, int(found[2][:9]))
        column = max(column, _column_number(found[1].upper()))
    width = column or MOST_COLUMNS
    if width > 1_000 or row > 110_000 or width * row > 6_000_000:
        raise UnreadableFile(
            f"{shown} has a sheet of {row:,} rows and {column:,} columns; a delivery list is smaller."
        )
    return cells


def _column_number(letters: bytes) -> int:
    value = 0
    for letter in letters[:4]:
        value = value * 26 + letter - 64
    return value


def _sheet(name: str, grid: list[list[Any]]) -> Sheet:
    numbers, dates, rows = set(), set(), []
    for at, cells in enumerate(grid):
        texts = []
        for column, value in enumerate(cells):
            if isinstance(value, (int, float)) and not isinstance(value, bool):
                numbers.add((at, column))
            elif isinstance(value, (date, time, timedelta)):
                dates.add((at, column))
            texts.append(cell_text(value))
        rows.append(trimmed(texts))
    while rows and not rows[-1]:
        rows.pop()
    return Sheet(name, rows, list(range(1, len(rows) + 1)), frozenset(numbers), frozenset(dates))


def cell_text(value: object) -> str:
    """Return the text of a workbook's cell: 42000001.0 is "42000001", 31.639999999999997 is "31.64"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _number_text(value)
    if isinstance(value, datetime):
        return value.isoformat(" ") if value.time() != time() else value.date().isoformat()
    return str(value)


def _number_text(value: float) -> str:
    """Write a number with the fewest figures that stand for it; the noise of binary sums is not typed."""
    if value != value or abs(value) > 1e18:
        return str(value)
    for digits in range(10):
        if abs(round(value, digits) - value) <= abs(value) * 1e-12:
            return f"{round(value, digits):.{digits}f}"
    return f"{value:.15g}"
