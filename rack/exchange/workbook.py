"""Any bytes that are a table: a text file of whatever delimiter and encoding, or a workbook.

Returns rows of text and stores nothing. What is no table is refused in one sentence; a workbook is
unpacked under a limit and only what is needed of it is handed on, so that no file can fill the memory.
"""

import re

from rack.errors import UnreadableFile
from rack.exchange.blank_columns import by_blanks
from rack.exchange.headings import score
from rack.exchange.old_workbook import read_old_workbook
from rack.exchange.separated import split_lines
from rack.exchange.spreadsheet import read_workbook
from rack.exchange.table import MOST_BYTES, MOST_ROWS, Sheet, check_size, trimmed

__all__ = ["HEADING_WITHIN", "Sheet", "read_table"]

_DELIMITERS = (";", ",", "\t", "|")
#: Rows in which a heading row is looked for.
HEADING_WITHIN = 80

_KNOWN_FILES: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF; ask for the list as text or a workbook"),
    (b"\x89PNG", "a picture; a list comes as text or a workbook"),
    (b"\xff\xd8\xff", "a picture; a list comes as text or a workbook"),
    (b"GIF8", "a picture; a list comes as text or a workbook"),
    (b"II*\x00", "a picture; a list comes as text or a workbook"),
    (b"MM\x00*", "a picture; a list comes as text or a workbook"),
    (b"RIFF", "a picture or sound; a list comes as text or a workbook"),
    (b"\x1f\x8b", "a packed file; unpack it first"),
    (b"7z\xbc\xaf", "a packed file; unpack it first"),
    (b"Rar!", "a packed file; unpack it first"),
    (b"BZh", "a packed file; unpack it first"),
    (b"{\\rtf", "a text document; a list comes as text or a workbook"),
    (b"\x7fELF", "a program, not a list"),
)
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


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
    if data.startswith(_OLD_OFFICE) and "EncryptedPackage".encode("utf-16-le") in data:
        raise UnreadableFile(f"{shown} is protected by a password; save it without one.")
    if data.startswith(_OLD_OFFICE):
        return read_old_workbook(data, shown)
    for start, what in _KNOWN_FILES:
        if data.startswith(start):
            raise UnreadableFile(f"{shown} is {what}.")
    if data.startswith(b"PK"):
        return read_workbook(data, shown)
    return [_text_table(_text(data, shown), shown)]


def _shown(name: str) -> str:
    kept = "".join(sign for sign in name.replace("\\", "/").rsplit("/", 1)[-1] if sign.isprintable())
    return kept[:80] or "The file"


def _text(data: bytes, shown: str) -> str:
    text = _decoded(data)
    if text is None:
        raise UnreadableFile(f"{shown} says it is Unicode and is not; save it again as CSV.")
    if re.search(r"[\x00-\x08\x0e-\x1a\x1c-\x1f\x7f]", text):
        raise UnreadableFile(f"{shown} is not text: there are signs in it that no list has.")
    start = text.lstrip()[:200].lower()
    if start.startswith(("<!doctype html", "<html")):
        raise UnreadableFile(f"{shown} is a web page; save the table in it as text or a workbook.")
    if start.startswith(("<?xml", "<")):
        raise UnreadableFile(f"{shown} is XML; a delivery list comes as text or a workbook.")
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
    if not said and not _worth(best)[0]:
        apart = by_blanks(lines)
        if apart:
            best = apart, list(range(len(apart))), ""
    check_size(best[0], shown)
    return Sheet("", best[0], [first + at for at in best[1]], delimiter=best[2])


def _split(lines: list[str], delimiter: str) -> tuple[list[list[str]], list[int], str]:
    rows, at = [], []
    for line, cells in split_lines(lines, delimiter):
        rows.append(trimmed(cells))
        at.append(line)
    return rows, at, delimiter


def _worth(split: tuple[list[list[str]], list[int], str]) -> tuple[int, int]:
    """Say how well a delimiter suits: by the best heading row, then by the rows that have several cells."""
    rows = split[0]
    heading = max((score(tuple(cells)) for cells in rows[:HEADING_WITHIN]), default=0)
    return heading, sum(1 for cells in rows[:500] if len(cells) > 1)
