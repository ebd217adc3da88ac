"""Rows of daily drilling reports: JSON lines, JSON or any table; what is no row is named, never fatal."""

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rack.calc.checks import Problem, note, stops
from rack.calc.daily import DailyRow
from rack.errors import UnreadableFile
from rack.exchange.table import MOST_BYTES, MOST_ROWS
from rack.exchange.workbook import read_table

#: Column of a `DailyRow` -> what files call it, the likelier first; compared without case and signs.
_WORDS: Mapping[str, tuple[str, ...]] = {
    "wellbore": ("wellbore", "well", "wellname", "wellborename"),
    "day": ("reportdate", "date", "day", "datum"),
    "period_start": ("periodstart", "reportstart"),
    "period_end": ("periodend", "reportend"),
    "start": ("starttime", "timefrom", "fromtime", "from", "start"),
    "end": ("endtime", "timeto", "totime", "to", "end"),
    "from_depth": ("startdepthmd", "startdepth", "depthfrom", "fromdepth", "mdfrom"),
    "depth": ("enddepthmd", "enddepth", "depthto", "todepth", "mdto", "depthmd", "depth", "md"),
    "activity": ("activityraw", "activity", "mainsubactivity", "activitycode", "code", "operationcode"),
    "state": ("state", "status"),
    "remark": ("remark", "remarks", "comment", "comments", "description", "operation"),
}
_ROLES = {word: role for role, words in _WORDS.items() for word in words}
#: A row is worth reading with a time, or with words and a day.
_NEEDED = frozenset({"start", "end", "remark", "activity"})
_LONGEST_CELL = 20_000
#: Beginnings of objects that may be broken before the rest is given up.
_MOST_FAILED = 200
_DECODER = json.JSONDecoder(parse_float=str, parse_int=str, parse_constant=lambda _: "")


@dataclass(frozen=True)
class DailyFile:
    """What a file holds: its `rows`, the `unit` of its depth column where a heading names it, problems.

    `columns` are the names that were read, by the column of a row; `left` those that nobody knows.
    """

    rows: tuple[DailyRow, ...]
    unit: str
    columns: Mapping[str, str]
    left: tuple[str, ...]
    problems: tuple[Problem, ...]


def read_daily(data: bytes, name: str) -> DailyFile:
    """Return the rows of a daily report from the bytes of a file, whatever its `name` ends in.

    JSON lines, a JSON list, a JSON object with a list in it, or any table that `read_table` reads. A line
    that is no row is named among the problems. Raises UnreadableFile with one sentence for what holds no
    such rows at all, is too large or is no text.
    """
    shown = " ".join(name.split())[:80] or "The file"
    if not data.strip(b"\x00 \t\r\n"):
        raise UnreadableFile(f"{shown} is empty.")
    if len(data) > MOST_BYTES:
        raise UnreadableFile(f"{shown} is larger than 20 MB; a daily report is not.")
    if data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"["):
        found = list(_objects(data, shown))
    else:
        found = list(_separated_well(data)) or list(_table_rows(data, name))
    return _file(found, shown)


def _objects(data: bytes, shown: str) -> Iterator[tuple[int, Any]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    whole = _json(text)
    if isinstance(whole, dict):
        lists = [value for value in whole.values() if isinstance(value, list) and value]
        if lists:
            whole = max(lists, key=len)
    if isinstance(whole, list):
        yield from enumerate(whole[: MOST_ROWS + 1], 1)
        return
    lines = [(at, line) for at, line in enumerate(text.splitlines(), 1) if line.strip()]
    read = [(at, _json(line)) for at, line in lines[: MOST_ROWS + 1]]
    if 2 * sum(isinstance(row, dict) for _, row in read) < len(read):
        read = list(_one_by_one(text))  # a list that lost its bracket, or rows over several lines
    if not any(isinstance(row, dict) for _, row in read):
        raise UnreadableFile(f"{shown} begins like JSON, but no row of it can be read.")
    yield from read


def _one_by_one(text: str) -> Iterator[tuple[int, Any]]:
    """Every object of a text that as a whole is no JSON, numbered; what cannot be read is passed over."""
    at, n, failed = text.find("{"), 0, 0
    while at >= 0 and n <= MOST_ROWS and failed < _MOST_FAILED:
        try:
            value, end = _DECODER.raw_decode(text, at)
        except (ValueError, RecursionError):
            failed, end = failed + 1, at + 1
        else:
            n += 1
            yield n, value
        at = text.find("{", end)


def _json(text: str) -> Any:
    """The value of a JSON text, None for what is none; numbers stay text, so that no digit is lost."""
    try:
        return _DECODER.decode(text.strip())
    except (ValueError, RecursionError):
        return None


def _separated_well(data: bytes) -> Iterator[tuple[int, dict[str, Any]]]:
    """The rows of a text in which every record has as many cells as the heading, quotes as the rule has it.

    A remark often goes on over many lines, which the reader of lists takes for stray quotes. Nothing where
    the text is not so tidy.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return
    for sign in ";,\t|":
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True)
        rows: list[tuple[int, list[str]]] = []
        try:
            before = 0
            for cells in reader:
                rows.append((before + 1, cells))
                before = reader.line_num
        except csv.Error:
            continue
        rows = [(at, cells) for at, cells in rows if any(cell.strip() for cell in cells)]
        heads = rows[0][1] if rows else []
        known = {_ROLES.get(_plain(cell)) for cell in heads} - {None}
        if len(known & _NEEDED) >= 2 and all(len(cells) == len(heads) for _, cells in rows):
            yield from (
                (at, {head: cell for head, cell in zip(heads, cells, strict=True) if head.strip()})
                for at, cells in rows[1 : MOST_ROWS + 2]
            )
            return


def _table_rows(data: bytes, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """The rows of the sheet whose heading knows most; every sheet of a workbook is tried."""
    best: tuple[int, int, Any] = (0, 0, None)
    for sheet in read_table(data, name):
        for at, cells in enumerate(sheet.rows[:40]):
            known = {_ROLES.get(_plain(cell)) for cell in cells} - {None}
            if len(known & _NEEDED) >= 2 and len(known) > best[0]:
                best = (len(known), at, sheet)
    if best[2] is None:
        return
    _, at, sheet = best
    heads = sheet.rows[at]
    for row, cells in zip(sheet.lines[at + 1 :], sheet.rows[at + 1 :], strict=True):
        yield row, {head: cell for head, cell in zip(heads, cells, strict=False) if head.strip()}


def _plain(key: object) -> str:
    """A name without its case, signs and unit: "End depth MD [m]" is "enddepthmd"."""
    words = re.sub(r"[\[(].*?[\])]|_(?:m|ft|feet|metres)$", " ", str(key).casefold())
    return "".join(sign for sign in words if sign.isalnum())


def _unit_of(key: str) -> str:
    found = re.search(r"(?:[\[(_ ])(m|ft|feet|metres|meters)[\])]?\s*$", key.casefold())
    return "" if found is None else "ft" if found[1].startswith("f") else "m"


def _file(found: Sequence[tuple[int, Any]], shown: str) -> DailyFile:
    if len(found) > MOST_ROWS:
        raise UnreadableFile(f"{shown} has more than {MOST_ROWS:,} rows; a daily report has not.")
    rows: list[DailyRow] = []
    problems: list[Problem] = []
    columns: dict[str, str] = {}
    left: dict[str, None] = {}
    unit = ""
    for n, value in found:
        if not isinstance(value, Mapping):
            problems.append(stops(f"Row {n} is no row of a report: it cannot be read.", code="D00",
                                  where=f"row {n}"))  # fmt: skip
            continue
        cells, used = _cells(value, left)
        columns.update({role: key for role, key in used.items() if role not in columns})
        unit = unit or _unit_of(used.get("depth", ""))
        if not any(cells.get(role) for role in _NEEDED):
            problems.append(note(f"Row {n} says nothing that a report says.", code="D00", where=f"row {n}"))
            continue
        rows.append(DailyRow(n=n, **cells))
    if not rows:
        raise UnreadableFile(f"{shown} has no rows of a daily report: no from, to, activity or remark.")
    return DailyFile(tuple(rows), unit, columns, tuple(left), tuple(problems))


def _cells(value: Mapping[Any, Any], left: dict[str, None]) -> tuple[dict[str, str], dict[str, str]]:
    """The cells of a row by column, and the name each came from; a likelier name goes before."""
    names: dict[str, str] = {}
    for key in value:
        role = _ROLES.get(_plain(key))
        if role is None:
            if len(left) < 50:
                left[str(key)[:80]] = None
            continue
        order = _WORDS[role]
        if role not in names or order.index(_plain(key)) < order.index(_plain(names[role])):
            names[role] = str(key)
    plain = {str(key): cell for key, cell in value.items()}
    return {role: _text(plain[key]) for role, key in names.items()}, names


def _text(cell: Any) -> str:
    if cell is None or isinstance(cell, (list, dict)):
        return ""
    text = cell if isinstance(cell, str) else str(cell)
    return text[:_LONGEST_CELL].replace("\x00", " ").strip()
