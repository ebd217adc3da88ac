"""Any bytes that are a table: a CSV file of whatever delimiter and encoding, or an XLSX workbook.

Returns rows of text and stores nothing. What is no table is refused in one sentence; a workbook is
unpacked under a limit and only what is needed of it is handed on, so that no file can fill the memory.
"""

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

import python_calamine

from rack.errors import UnreadableFile
from rack.exchange.headings import score
from rack.exchange.separated import split_lines

MOST_BYTES = 20 * 1024 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 250
MOST_SHEETS = 50
#: A workbook of 20,000 rows unpacks to a tenth of this.
MOST_UNPACKED = 120 * 1024 * 1024
_LONGEST_CELL = 5_000
_DELIMITERS = (";", ",", "\t", "|")
#: Rows in which a heading row is looked for.
HEADING_WITHIN = 80

_KNOWN_FILES: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF; ask for the list as CSV or XLSX"),
    (b"\x89PNG", "a picture; a list comes as CSV or XLSX"),
    (b"\xff\xd8\xff", "a picture; a list comes as CSV or XLSX"),
    (b"GIF8", "a picture; a list comes as CSV or XLSX"),
    (b"II*\x00", "a picture; a list comes as CSV or XLSX"),
    (b"MM\x00*", "a picture; a list comes as CSV or XLSX"),
    (b"RIFF", "a picture or sound; a list comes as CSV or XLSX"),
    (b"\x1f\x8b", "a packed file; unpack it first"),
    (b"7z\xbc\xaf", "a packed file; unpack it first"),
    (b"Rar!", "a packed file; unpack it first"),
    (b"BZh", "a packed file; unpack it first"),
    (b"{\\rtf", "a text document; a list comes as CSV or XLSX"),
    (b"\x7fELF", "a program, not a list"),
)
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


@dataclass(frozen=True)
class Sheet:
    """One table as text: `rows` from the first row of the sheet on, cells stripped of nothing.

    `lines` is the number of each row in the file, from 1 (a quoted cell may span lines). `numbers`
    holds (row, column), from 0, of cells that a workbook keeps as numbers: their mark is a point.
    `dates` holds the cells that a workbook keeps as dates.
    """

    name: str
    rows: list[list[str]]
    lines: list[int]
    numbers: frozenset[tuple[int, int]] = frozenset()
    dates: frozenset[tuple[int, int]] = frozenset()
    delimiter: str = field(default="", compare=False)


def read_table(data: bytes, name: str) -> list[Sheet]:
    """Return the sheets of a file by what its bytes are, whatever its `name` says.

    Raises UnreadableFile with one sentence for anything that is no table, too large, cut short,
    protected or carries macros.
    """
    shown = _shown(name)
    if not data.strip(b"\x00 \t\r\n"):
        raise UnreadableFile(f"{shown} is empty.")
    if len(data) > MOST_BYTES:
        raise UnreadableFile(f"{shown} is larger than 20 MB; a delivery list is not.")
    if data.startswith(_OLD_OFFICE):
        raise UnreadableFile(_old_office(data, shown))
    for start, what in _KNOWN_FILES:
        if data.startswith(start):
            raise UnreadableFile(f"{shown} is {what}.")
    if data.startswith(b"PK"):
        return _workbook(data, shown)
    return [_text_table(_text(data, shown), shown)]


def _shown(name: str) -> str:
    kept = "".join(sign for sign in name.replace("\\", "/").rsplit("/", 1)[-1] if sign.isprintable())
    return kept[:80] or "The file"


def _old_office(data: bytes, shown: str) -> str:
    if "EncryptedPackage".encode("utf-16-le") in data:
        return f"{shown} is protected by a password; save it without one."
    return f"{shown} is an old Office file (.xls or .doc); save it as XLSX or CSV."


# --- text -----------------------------------------------------------------------------------------


def _text(data: bytes, shown: str) -> str:
    text = _decoded(data)
    if text is None:
        raise UnreadableFile(f"{shown} says it is Unicode and is not; save it again as CSV.")
    if re.search(r"[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f]", text):
        raise UnreadableFile(f"{shown} is not text: there are signs in it that no list has.")
    start = text.lstrip()[:200].lower()
    if start.startswith(("<!doctype html", "<html")):
        raise UnreadableFile(f"{shown} is a web page; save the table in it as CSV or XLSX.")
    if start.startswith(("<?xml", "<")):
        raise UnreadableFile(f"{shown} is XML; a delivery list comes as CSV or XLSX.")
    return text


def _decoded(data: bytes) -> str | None:
    """Return the text by its byte-order mark, else UTF-8, else UTF-16 by its zeros, else Windows' Latin."""
    for mark, encoding in (
        (b"\xff\xfe\x00\x00", "utf-32"),
        (b"\x00\x00\xfe\xff", "utf-32"),
        (b"\xef\xbb\xbf", "utf-8-sig"),
        (b"\xff\xfe", "utf-16"),
        (b"\xfe\xff", "utf-16"),
    ):
        if data.startswith(mark):
            try:
                return data.decode(encoding)
            except UnicodeDecodeError:
                return None
    head = data[:4000]
    if head.count(0) > len(head) // 4:
        encoding = "utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be"
        return data.decode(encoding, errors="replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        pass
    try:
        return data.decode("cp1252")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _text_table(text: str, shown: str) -> Sheet:
    lines = re.split("\r\n|\r|\n", text)
    if len(lines) > MOST_ROWS + 2_000:
        raise UnreadableFile(
            f"{shown} has more than {MOST_ROWS:,} lines; split it into lists of one delivery each."
        )
    first = 1
    said = re.fullmatch(r"sep=(.)", lines[0].strip(), re.IGNORECASE)
    if said:  # a spreadsheet's own word for its delimiter
        lines[0] = ""
    delimiters = (said[1],) if said else _DELIMITERS
    best = max((_split(lines, each) for each in delimiters), key=_worth)
    _check_size(best[0], shown)
    return Sheet("", best[0], [first + at for at in best[1]], delimiter=best[2])


def _split(lines: list[str], delimiter: str) -> tuple[list[list[str]], list[int], str]:
    rows, at = [], []
    for line, cells in split_lines(lines, delimiter):
        rows.append(_trimmed(cells))
        at.append(line)
    return rows, at, delimiter


def _worth(split: tuple[list[list[str]], list[int], str]) -> tuple[int, int]:
    """Say how well a delimiter suits: by the best heading row, then by the rows that have several cells."""
    rows = split[0]
    heading = max((score(tuple(cells)) for cells in rows[:HEADING_WITHIN]), default=0)
    return heading, sum(1 for cells in rows[:500] if len(cells) > 1)


def _trimmed(cells: list[str]) -> list[str]:
    end = len(cells)
    while end and not cells[end - 1].strip():
        end -= 1
    return cells[:end]


def _check_size(rows: list[list[str]], shown: str) -> None:
    widest = max((len(cells) for cells in rows), default=0)
    if widest > MOST_COLUMNS:
        raise UnreadableFile(f"{shown} has {widest:,} columns; a delivery list has a few.")
    filled = sum(1 for cells in rows if cells)
    if filled > MOST_ROWS:
        raise UnreadableFile(
            f"{shown} has more than {MOST_ROWS:,} rows; split it into lists of one delivery each."
        )
    if any(len(cell) > _LONGEST_CELL for cells in rows for cell in cells):
        raise UnreadableFile(
            f"{shown} has a cell of more than {_LONGEST_CELL:,} signs; it is no list of pieces."
        )


# --- workbooks ------------------------------------------------------------------------------------


def _workbook(data: bytes, shown: str) -> list[Sheet]:
    packed = _repacked(data, shown)
    try:
        book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(packed))
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
    for sheet in sheets:
        _check_size(sheet.rows, shown)
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
    if "xl/workbook.bin" in names or "content.xml" in names:
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
        if name.endswith("sharedStrings.xml"):
            longest = max((len(part) for part in re.split(rb"<si\b", content)), default=0)
        if longest * cells > 40 * MOST_UNPACKED:
            raise UnreadableFile(
                f"{shown} unpacks to more than a delivery list ever needs; it is not opened."
            )
        yield name, content


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
        rows.append(_trimmed(texts))
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
