"""An old workbook (.xls), looked through before it is opened: what it claims must fit into memory.

The reader of workbooks takes the size that a sheet claims for granted. Here the compound file and the
records of its workbook are walked once, only for that claim, a password and macros.
"""

import io
import struct
from collections.abc import Iterator

import python_calamine

from rack.errors import UnreadableFile
from rack.exchange.table import MOST_SHEETS, Sheet, check_size

_FREE = 0xFFFFFFFA  # sectors from here on are marks and no sectors
_CELLS = {0x0006, 0x0201, 0x0203, 0x0204, 0x0205, 0x0207, 0x027E, 0x00BD, 0x00BE, 0x00D6, 0x00FD}
_DIMENSIONS, _PASSWORD, _SHEET_BEGINS, _SHEET = 0x0200, 0x002F, 0x0809, 0x0085
_MOST_CELLS = 6_000_000


class _Damaged(Exception):
    """The compound file does not hold together."""


def read_old_workbook(data: bytes, shown: str) -> list[Sheet]:
    """Return the sheets of a .xls file. Raises UnreadableFile with one sentence for what is none."""
    from rack.exchange.spreadsheet import opened

    try:
        names, stream = _workbook(data)
    except (_Damaged, struct.error, IndexError) as error:
        raise UnreadableFile(f"{shown} is cut short or damaged; send it again.") from error
    if "EncryptedPackage" in names:
        raise UnreadableFile(f"{shown} is protected by a password; save it without one.")
    if any(name.upper() in ("_VBA_PROJECT", "_VBA_PROJECT_CUR", "VBA", "MACROS") for name in names):
        raise UnreadableFile(f"{shown} carries macros; save it as a workbook without them (XLSX).")
    if not stream:
        raise UnreadableFile(f"{shown} is an Office file and no workbook; save the list as XLSX or CSV.")
    _check(stream, shown)
    sheets = opened(lambda: python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data)), shown)
    for sheet in sheets:
        check_size(sheet.rows, shown)
    return sheets


def _workbook(data: bytes) -> tuple[set[str], bytes]:
    """Return the names in a compound file and the bytes of its workbook, b"" where it has none."""
    shift = struct.unpack_from("<H", data, 30)[0]
    if shift not in (9, 12):
        raise _Damaged
    file = _Compound(data, 1 << shift)
    start = struct.unpack_from("<I", data, 48)[0]
    names, found, root = set(), b"", (0, 0)
    entries = file.chain(start)
    for at in range(0, len(entries) - 127, 128):
        length = struct.unpack_from("<H", entries, at + 64)[0]
        name = entries[at : at + max(0, min(length, 64) - 2)].decode("utf-16-le", errors="replace")
        kind, first, size = entries[at + 66], *struct.unpack_from("<II", entries, at + 116)
        if kind == 5:
            root = (first, size)
        names.add(name)
        if kind == 2 and name in ("Workbook", "Book") and not found:
            small = size < struct.unpack_from("<I", data, 56)[0]
            found = file.small(root[0], first, size) if small else file.chain(first)[:size]
    return names, found


class _Compound:
    """The sectors of a compound file and their chains; every chain ends, or the file is refused."""

    def __init__(self, data: bytes, sector: int) -> None:
        self.data, self.sector = data, sector
        tables = [each for each in struct.unpack_from("<109I", data, 76) if each < _FREE]
        following, left = struct.unpack_from("<II", data, 68)
        while following < _FREE and left and len(tables) < 20_000:
            more = struct.unpack(f"<{sector // 4}I", self._at(following))
            tables += [each for each in more[:-1] if each < _FREE]
            following, left = more[-1], left - 1
        joined = b"".join(self._at(each) for each in tables)
        self.next = struct.unpack(f"<{len(joined) // 4}I", joined)

    def _at(self, number: int) -> bytes:
        start = (number + 1) * self.sector
        part = self.data[start : start + self.sector]
        if not part:
            raise _Damaged
        return part.ljust(self.sector, b"\x00")

    def chain(self, first: int) -> bytes:
        parts, seen = [], 0
        while first < _FREE:
            seen += 1
            if seen > len(self.next):
                raise _Damaged
            parts.append(self._at(first))
            first = self.next[first]
        return b"".join(parts)

    def small(self, root: int, first: int, size: int) -> bytes:
        whole = self.chain(root)
        table = self.chain(struct.unpack_from("<I", self.data, 60)[0])
        following = struct.unpack(f"<{len(table) // 4}I", table)
        parts: list[bytes] = []
        while first < _FREE and len(parts) <= len(following):
            parts.append(whole[first * 64 : first * 64 + 64])
            first = following[first]
        return b"".join(parts)[:size]


def _check(stream: bytes, shown: str) -> None:
    """Refuse a workbook with a password, with too many sheets, or with a cell too far out."""
    row, column, sheets, everything = 0, 0, 0, 0
    for kind, body in _records(stream):
        if kind == _PASSWORD:
            raise UnreadableFile(f"{shown} is protected by a password; save it without one.")
        if kind == _SHEET_BEGINS:
            everything += row * column
            row = column = 0
        sheets += kind == _SHEET
        far = _farthest(kind, body)
        row, column = max(row, far[0]), max(column, far[1])
        if row > 110_000 or column > 1_000 or everything + row * column > _MOST_CELLS:
            raise UnreadableFile(
                f"{shown} has a sheet of {row:,} rows and {column:,} columns; a delivery list is smaller."
            )
    if sheets > MOST_SHEETS:
        raise UnreadableFile(f"{shown} has {sheets} sheets; a delivery list has a few.")


def _records(stream: bytes) -> Iterator[tuple[int, bytes]]:
    at = 0
    while at + 4 <= len(stream):
        kind, length = struct.unpack_from("<HH", stream, at)
        yield kind, stream[at + 4 : at + 4 + length]
        at += 4 + length


def _farthest(kind: int, body: bytes) -> tuple[int, int]:
    """Return the rows and columns that a record claims."""
    if kind == _DIMENSIONS and len(body) >= 14:
        _, row, _, column = struct.unpack_from("<IIHH", body)
        return row, column
    if kind == _DIMENSIONS and len(body) >= 8:
        _, row, _, column = struct.unpack_from("<HHHH", body)
        return row, column
    if kind in _CELLS and len(body) >= 4:
        row, column = struct.unpack_from("<HH", body)
        many = len(body) // 2 if kind == 0x00BE else len(body) // 6 if kind == 0x00BD else 1
        return row + 1, column + many
    return 0, 0
