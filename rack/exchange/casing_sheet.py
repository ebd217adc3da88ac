"""A casing running tally read from any bytes: a head, a row of headings, rows, a foot.

Returns what stands there and every fault that it betrays; stores nothing. What is no such sheet is
refused in one sentence.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rack.calc.casing_parts import PARTS
from rack.calc.casing_typed import TypedRow, TypedSheet
from rack.calc.casing_typed_whole import sheet_problems
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.lookup import rows as table
from rack.calc.names import key_of
from rack.errors import UnreadableFile
from rack.exchange.casing_labels import Labels, first_length, labels_of, names_in, whole_number
from rack.exchange.cells import DITTO
from rack.exchange.workbook import read_table

#: Heading (key) -> column. The first that fits a heading's beginning holds.
_HEADINGS = (
    ("run", ("RUN", "ORDER", "NO")),
    ("name", ("JT", "JOINT", "PAINTED")),
    ("weight", ("WT", "WEIGHT", "LBFT", "PPF")),
    ("grade", ("GR", "GRADE")),
    ("mill", ("MILL", "SUPPLIER")),
    ("first", ("STRAP1", "1STSTRAP", "FIRSTSTRAP", "STRAP", "LENGTH", "LGTH")),
    ("second", ("STRAP2", "2NDSTRAP", "SECONDSTRAP")),
    ("eff", ("EFF", "NETLENGTH", "NET")),
    ("total", ("TOTAL", "CUM", "RUNNINGTOTAL")),
    ("drift", ("DRIFT",)),
    ("cent", ("CENT",)),
    ("time", ("TIME",)),
    ("remarks", ("REMARK", "NOTE", "COMMENT")),
)
_MARKS = {"MKR": "marker", "MARKER": "marker", "SHOE": "shoe", "FLOATSHOE": "shoe", "FLOATCOLLAR": "collar",
          "HANGER": "hanger", "HNGR": "hanger", "LJ": "landing", "LANDINGJOINT": "landing",
          "LANDINGJT": "landing", "DV": "stage", "STAGECOLLAR": "stage", "PJ": "pup"}  # fmt: skip
_WORDS = (("float shoe", "shoe"), ("guide shoe", "shoe"), ("float collar", "collar"), ("marker", "marker"),
          ("stage collar", "stage"), ("landing joint", "landing"), ("hanger", "hanger"),
          ("crossover", "crossover"), ("pup", "pup"))  # fmt: skip
_LEFT = re.compile(r"(?<![a-z])(l/o|l\.o\.|not run|left out|laid out|laid down|laid aside|rejected)", re.I)
_LOCKED = re.compile(r"(?<![a-z])(tl|thread.?lock(ed)?)(?![a-z])", re.I)
_SHORT = re.compile(r"(?<![a-z])(short|pup|marker)(?![a-z])", re.I)
_UNIT = re.compile(r"(?<![a-z])(ft|feet|m|metres|meters)(?![a-z])", re.I)
#: The longest string of casing has a few hundred joints.
MOST_ROWS = 3000
_LENGTHS = ("mill", "first", "second", "eff", "total")


@dataclass(frozen=True)
class ReadSheet:
    """What was read: the typed sheet, its faults, and a few figures for the page."""

    sheet: TypedSheet
    problems: tuple[Problem, ...]
    figures: tuple[tuple[str, str], ...]


def read_sheet(data: bytes, name: str) -> ReadSheet:
    """Return the casing tally in `data` with every fault it betrays.

    Raises UnreadableFile with one sentence for what is no table or no casing tally.
    """
    for found in read_table(data, name):
        at = _heading_row(found.rows)
        if at is not None:
            return _read(found.rows, found.lines, at)
    raise UnreadableFile(
        "There is no casing tally in it: no row of headings names a joint (Jt), a strap or an effective "
        "length, and a total."
    )


def _heading_row(rows: Sequence[Sequence[str]]) -> int | None:
    for at, cells in enumerate(rows[:80]):
        there = set(_columns(cells))
        if "name" in there and "total" in there and there & {"first", "eff"}:
            return at
    return None


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """Which column each heading is, the first of a kind."""
    found: dict[str, int] = {}
    for index, cell in enumerate(cells):
        key = key_of(cell)
        for column, begins in _HEADINGS:
            if column not in found and any(_begins(key, begin) for begin in begins):
                found[column] = index
                break
    return found


def _begins(key: str, begin: str) -> bool:
    """Short words stand alone or before a unit; "NOTE" is no "NO"."""
    if len(begin) > 3:
        return key.startswith(begin)
    return key in (begin, f"{begin}NO", f"{begin}NUMBER", f"{begin}FT", f"{begin}M", f"{begin}GTH")


def _read(rows: Sequence[Sequence[str]], lines: Sequence[int], at: int) -> ReadSheet:
    columns = _columns(rows[at])
    problems: list[Problem] = []
    head = labels_of(rows[:at])
    unit = _unit_of(rows[at], columns, head, problems)
    body: list[TypedRow] = []
    foot: list[Sequence[str]] = []
    above: dict[str, str] = {}
    for cells, line in zip(rows[at + 1 :], lines[at + 1 :], strict=False):
        if not any(cell.strip() for cell in cells):
            continue
        if foot or not _is_row(cells, columns):
            foot.append(cells)
            continue
        body.append(_row(cells, line, columns, unit, above, problems))
    if len(body) > MOST_ROWS:
        raise UnreadableFile(f"There are more than {MOST_ROWS:,} rows in it; no string has so many joints.")
    if not body:
        raise UnreadableFile("There is a casing tally's heading in it and no row under it.")
    sheet = _whole(body, head, labels_of(foot), unit, problems)
    sheet = replace(sheet, has_drift="drift" in columns and any(row.drift for row in body))
    found = (*problems, *sheet_problems(sheet))
    return ReadSheet(sheet, found, _figures(sheet))


def _is_row(cells: Sequence[str], columns: dict[str, int]) -> bool:
    """Whether it is a row of the list: it has a number, and a length or a remark that takes it out."""
    name = _cell(cells, columns, "name")
    figures = [_cell(cells, columns, column) for column in ("first", "second", "eff")]
    run = _cell(cells, columns, "run")
    if not name or (run and not any(sign.isdigit() for sign in run) and not _LEFT.search(run)):
        return False
    return any(figures) or bool(_LEFT.search(_cell(cells, columns, "remarks")))


def _cell(cells: Sequence[str], columns: dict[str, int], column: str) -> str:
    index = columns.get(column)
    return cells[index].strip() if index is not None and index < len(cells) else ""


def _unit_of(
    cells: Sequence[str], columns: dict[str, int], head: Labels, problems: list[Problem]
) -> str:
    """The unit of the lengths; columns that name two units are a fault of their own."""
    said = {}
    for column in _LENGTHS:
        found = _UNIT.search(_cell(cells, columns, column))
        if found:
            said[column] = "ft" if found[0].lower().startswith("f") else "m"
    if len(set(said.values())) > 1:
        problems.append(stops("The headings mix feet and metres: "
                              + ", ".join(f"{column} in {unit}" for column, unit in said.items()) + ".",
                              code="T14", source="T14"))
    words = _UNIT.search(head.get("lengths", ""))
    by_head = ("ft" if words[0].lower().startswith("f") else "m") if words else ""
    unit = next(iter(said.values()), "") or by_head or "ft"
    if by_head and said and by_head != unit:
        problems.append(stops(f"The head says lengths in {by_head}, the columns {unit}.", code="T14",
                              source="T14"))
    return unit


def _row(
    cells: Sequence[str], line: int, columns: dict[str, int], unit: str, above: dict[str, str],
    problems: list[Problem],
) -> TypedRow:
    name, remarks = _cell(cells, columns, "name")[:40], _cell(cells, columns, "remarks")[:300]
    lengths: dict[str, Length | None] = {}
    for column in _LENGTHS:
        text = _cell(cells, columns, column)
        lengths[column] = _length(text, unit, line, column, name, problems)
    for column in ("weight", "grade"):
        text = _cell(cells, columns, column)
        if text and text.lower() not in DITTO:
            above[column] = text
    kind = _kind(name, remarks)
    dittoed = {column: above.get(column, "") if _cell(cells, columns, column) else ""
               for column in ("weight", "grade")}
    return TypedRow(
        row=line, name=name, kind=kind, run=_cell(cells, columns, "run"), mill=lengths["mill"],
        first=lengths["first"], second=lengths["second"], eff=lengths["eff"], total=lengths["total"],
        weight=dittoed["weight"], grade=dittoed["grade"], drift=_cell(cells, columns, "drift"),
        remarks=remarks, centralizers=_count(_cell(cells, columns, "cent"), line, problems),
        minutes=_minutes(_cell(cells, columns, "time"), line, problems),
        left=bool(_LEFT.search(remarks) or _LEFT.search(_cell(cells, columns, "run"))),
        locked=bool(_LOCKED.search(remarks)), short=bool(_SHORT.search(remarks)),
    )


def _kind(name: str, remarks: str) -> str:
    """What the row is: by its mark in the number column, else by its remark; a plain number is a joint."""
    key = key_of(name)
    marks = {kind.mark: code for code, kind in PARTS.items() if code != "other"} | _MARKS
    bare = key.rstrip("0123456789")
    if key and not key[0].isdigit() and bare in marks:
        return marks[bare]
    if key and not key[0].isdigit():
        return next((code for words, code in _WORDS if words in remarks.lower()), "joint")
    return "joint"


def _length(
    text: str, unit: str, line: int, column: str, name: str, problems: list[Problem]
) -> Length | None:
    if text in ("", "-", "–"):
        return None
    try:
        return Length.parse(text, unit)
    except ValueError as wrong:
        problems.append(stops(f"Row {line}, {name or 'no number'}, {column}: {wrong}", where=f"row {line}",
                              code="unread"))
        return None


def _count(text: str, line: int, problems: list[Problem]) -> int | None:
    if text in ("", "-", "–"):
        return None
    found = re.fullmatch(r"(\d{1,2})(\s*x.*)?", text)
    if found is None:
        problems.append(stops(f"Row {line}: “{text[:20]}” is no number of centralizers.", where=f"row {line}",
                              code="centralizer"))
        return None
    return int(found[1])


def _minutes(text: str, line: int, problems: list[Problem]) -> int | None:
    if text in ("", "-", "–"):
        return None
    found = re.fullmatch(r"(\d{1,2})[:.h](\d{2})(:\d{2})?", text, re.ASCII)
    if found is None or int(found[1]) > 24 or int(found[2]) > 59:
        problems.append(stops(f"Row {line}: “{text[:20]}” is no time of day.", where=f"row {line}",
                              code="time"))
        return None
    return int(found[1]) % 24 * 60 + int(found[2])


def _whole(
    body: Sequence[TypedRow], head: Labels, foot: Labels, unit: str, problems: list[Problem]
) -> TypedSheet:
    def length(labels: Labels, label: str) -> Length | None:
        return first_length(labels.get(label, ""), unit, label, problems)

    said = head.get("lengths", "").lower()
    kind = "threads off" if "threads off" in said else "threads on" if "threads on" in said else ""
    string = head.get("string", "")
    either = {**head, **foot}
    return TypedSheet(
        rows=tuple(body), unit=unit, digits=2 if unit == "ft" else _digits(body), kind=kind, string=string,
        loss=length(either, "loss"), datum=length(either, "datum"), hole=length(either, "hole"),
        received=whole_number(either.get("received", "")), track=whole_number(either.get("track", "")),
        marker_after=next(iter(names_in(either.get("marker", ""))), ""),
        to_run=whole_number(foot.get("to run", "")), spare=whole_number(foot.get("spare", "")),
        spare_names=names_in(foot.get("spare", ""), listed=True),
        left_out=whole_number(foot.get("left out", "")),
        left_names=names_in(foot.get("left out", ""), listed=True),
        on_rack=whole_number(foot.get("on rack", "")),
        rack_names=names_in(foot.get("on rack", ""), listed=True),
        total=length(foot, "total"), shoe=length(either, "shoe"), stick_up=length(foot, "stick-up"),
        landing=length(either, "landing"), centralizers=whole_number(foot.get("centralizers", "")),
        centralizer_names=names_in(foot.get("centralizers", ""), listed=True),
        limits=_limits(string),
    )


def _digits(body: Sequence[TypedRow]) -> int:
    """How many figures after the point the lengths carry, 2 or 3."""
    found = [one for row in body for one in (row.first, row.eff) if one is not None]
    return 2 if all(one.nanometres % 10_000_000 == 0 for one in found) else 3


def _limits(string: str) -> tuple[Length, Length] | None:
    """The limits of the range that the string's name says, else of every range of casing."""
    found = re.search(r"\bR(?:ange\s*)?([123])\b", string, re.I)
    named = [row for row in table("ranges") if row["product"] == "casing"
             and (not found or row["range"] == f"R{found[1]}")]
    low = min(Length.parse(row["min_ft"], "ft") for row in named)
    return low, max(Length.parse(row["max_ft"], "ft") for row in named)


def _figures(sheet: TypedSheet) -> tuple[tuple[str, str], ...]:
    joints = sum(row.kind == "joint" for row in sheet.ran)
    last = sheet.last
    return (
        ("Joints run", str(joints)), ("Parts", str(len(sheet.ran) - joints)),
        ("Last total", f"{sheet.shown(last)} {sheet.unit}" if last else "–"),
        ("Shoe as written", f"{sheet.shown(sheet.shoe)} {sheet.unit}" if sheet.shoe else "–"),
    )
