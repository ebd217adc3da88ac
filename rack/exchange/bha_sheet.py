"""A BHA or string sheet read from any bytes: a head, a row of headings, rows, a foot.

Returns what stands there, the string as links from the bit upward, and every fault that the paper betrays;
stores nothing. What is no such sheet is refused in one sentence.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from rack.calc.bha_typed import CLOCKS, TypedBha, TypedFoot, TypedHead, TypedPiece
from rack.calc.bha_typed_whole import sheet_problems
from rack.calc.chain import Link
from rack.calc.checks import Problem, stops
from rack.calc.item_parts import number as size_number
from rack.calc.lengths import Length
from rack.calc.units import NM, factor
from rack.errors import UnreadableFile
from rack.exchange.bha_labels import Labels, columns_of, figure, foot_labels, head_labels, is_foot
from rack.exchange.bha_links import link_of
from rack.exchange.bha_rows import LAID, Reading, mixed, piece_of
from rack.exchange.workbook import read_table

#: A string has a few hundred pieces; more rows are some other list.
MOST_ROWS = 1000
_HEADING_WITHIN = 80
_UNIT = re.compile(r"(?<![a-z])(ft|feet|foot|mm|m|metres?|meters?|inch|inches|in|lbs?|kg)(?![a-z])", re.I)
_CASING = re.compile(
    r"(\d+(?:\s*[- ]\s*\d+/\d+|\.\d+)?)\s*(?:\"|in\.?|x)?\s*,?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:#|lb|ppf))?"
)
_SHOE = re.compile(r"(?:shoe\D{0,6}|@\s*|\bat\s+|\bset\D{0,4})(\d[\d.,]*)\s*(ft|m)?\b", re.I)
_TOTAL = re.compile(r"^\s*(grand\s*)?(total|sum|totals)\b", re.I)
_NOT_THIS = (
    "There is no BHA sheet in it: no row of headings names an item, a length, and beside them the "
    "cumulative length, the connections up and down, or the fishing neck."
)


@dataclass(frozen=True)
class ReadBha:
    """What was read: the typed sheet (`sheet.head`, `sheet.foot`, `sheet.pieces`), its string, its faults.

    `links` go from the bit upward, without what was laid down; `links[n]` is `sheet.in_hole[n]`.
    """

    sheet: TypedBha
    links: tuple[Link, ...]
    problems: tuple[Problem, ...]


def read_sheet(data: bytes, name: str, *, today: date | None = None) -> ReadBha:
    """Return the BHA sheet in `data` with every fault it betrays.

    `today` is the day of the site; without it no day is in the future. Raises UnreadableFile with one
    sentence for what is no table or no BHA sheet.
    """
    for found in read_table(data, name):
        at = _heading_row(found.rows)
        if at is not None:
            return _read(found.rows, found.lines, at, today)
    raise UnreadableFile(_NOT_THIS)


def _heading_row(rows: Sequence[Sequence[str]]) -> int | None:
    for at, cells in enumerate(rows[:_HEADING_WITHIN]):
        if _is_heading(cells):
            return at
    return None


def _is_heading(cells: Sequence[str]) -> bool:
    there = set(columns_of(cells))
    special = {"cum"} <= there or {"down", "up"} <= there or "neck_od" in there
    return {"item", "length"} <= there and special and len(there) >= 4


def _read(rows: Sequence[Sequence[str]], lines: Sequence[int], at: int, today: date | None) -> ReadBha:
    columns = columns_of(rows[at])
    head = head_labels(rows[:at])
    units = _units(rows[at], columns)
    said = _length_unit(head.get("lengths", ""))
    unit = units.get("length") or units.get("cum") or said or "ft"
    mass = units.get("lb") or ("kg" if "KGM" in _key(rows[at], columns, "lb_ft") else "lb")
    read = Reading(columns, unit, units, mass, mixed(units, said))
    body: list[TypedPiece] = []
    foot: list[Sequence[str]] = []
    totals = TypedFoot()
    for cells, line in zip(rows[at + 1 :], lines[at + 1 :], strict=False):
        if not any(cell.strip() for cell in cells) or _is_heading(cells):
            continue
        if _is_total(cells, read):
            totals = replace(
                totals,
                length=read.length(cells, "length", line) or totals.length,
                said=True,
                air=read.number(cells, "lb", line, thousands=True) or totals.air,
            )
        elif _is_piece(cells, read) and not foot:
            body.append(piece_of(cells, line, read))
        elif body and (foot or is_foot(cells)):
            foot.append(cells)
    if not body:
        raise UnreadableFile("There is a BHA sheet's heading in it and no row under it.")
    if len(body) > MOST_ROWS:
        raise UnreadableFile(f"There are more than {MOST_ROWS:,} rows in it; no string has so many.")
    pieces, counted, from_top = _from_bit(body)
    sheet = TypedBha(
        pieces=pieces,
        head=_head(head, unit, read.problems),
        unit=unit,
        mass=mass,
        foot=_foot(foot_labels(foot), totals, read),
        digits=_digits(body, unit),
        columns=frozenset(columns),
        counted=counted,
        cum_from_top=from_top,
    )
    problems = (*read.problems, *sheet_problems(sheet, today))
    return ReadBha(sheet, tuple(link_of(piece, sheet) for piece in sheet.in_hole), problems)


def _key(cells: Sequence[str], columns: Mapping[str, int], column: str) -> str:
    index = columns.get(column)
    return "" if index is None else re.sub(r"\W", "", cells[index]).upper()


def _units(cells: Sequence[str], columns: Mapping[str, int]) -> dict[str, str]:
    """The unit that each heading names."""
    found = {}
    for column, index in columns.items():
        hits = _UNIT.findall(cells[index].replace("_", " "))
        if hits:
            word = hits[-1].lower()
            found[column] = ("ft" if word[0] == "f" else "mm" if word == "mm" else "in" if word[0] == "i"
                             else "m" if word[0] == "m" else "kg" if word == "kg" else "lb")  # fmt: skip
    allowed = {"length": ("ft", "m"), "cum": ("ft", "m"), "neck": ("ft", "m", "in", "mm"), "lb": ("lb", "kg")}
    return {column: unit for column, unit in found.items() if unit in allowed.get(column, ("in", "mm"))}


def _length_unit(text: str) -> str:
    found = re.search(r"(?<![a-z])(ft|feet|m|metres|meters)(?![a-z])", text, re.I)
    return "" if found is None else "ft" if found[1].lower().startswith("f") else "m"


def _is_total(cells: Sequence[str], read: Reading) -> bool:
    """A row of sums among the rows of the list."""
    first = next((cell for cell in cells if cell.strip()), "")
    return (
        bool(_TOTAL.match(first))
        and not is_foot(cells)
        and bool(read.cell(cells, "length") or read.cell(cells, "lb"))
    )


def _is_piece(cells: Sequence[str], read: Reading) -> bool:
    """A row of the list has an item, and a number, a length or a remark that lays it down."""
    item, number = read.cell(cells, "item"), read.cell(cells, "number")
    if is_foot(cells) and not re.match(r"#?\d", number):
        return False
    figures = any(re.search(r"\d", read.cell(cells, column)) for column in ("length", "cum", "od", "lb"))
    if not item:
        return bool(number and figures and re.match(r"#?\d", number))
    return figures or bool(re.match(r"#?\d", number)) or bool(LAID.search(read.cell(cells, "remarks")))


def _from_bit(body: Sequence[TypedPiece]) -> tuple[tuple[TypedPiece, ...], str, bool]:
    """The pieces from the bit upward, from which end their numbers count, and their cumulative lengths."""
    rows = list(body)
    bits = [n for n, piece in enumerate(rows) if piece.kind in ("bit", "core_bit", "mill")]
    orders = [piece.order for piece in rows if piece.order is not None]
    falls = sum(b < a for a, b in zip(orders, orders[1:], strict=False)) > len(orders) / 2
    bit_last = len(rows) > 1 and bits == [len(rows) - 1]
    if bit_last or (falls and bits != [0]):
        rows.reverse()
    counted = "top" if bit_last and not falls and len(orders) > 1 else "bit"
    if bits == [0] and falls and len(orders) > 1:
        counted = "top"
    return tuple(rows), counted, _fits(rows[::-1]) > max(_fits(rows), 1)


def _fits(rows: Sequence[TypedPiece]) -> int:
    """How many cumulative lengths follow from the one before them."""
    found, before = 0, Length(0)
    for piece in rows:
        if piece.cum is not None and piece.length is not None:
            found += abs(piece.cum - before - piece.length) <= Length(NM["ft"] // 20)
        before = piece.cum if piece.cum is not None else before
    return found


def _digits(body: Sequence[TypedPiece], unit: str) -> int:
    """How many figures after the point the lengths carry, 2 or 3."""
    step = NM[unit] // 100
    known = [piece.length for piece in body if piece.length is not None]
    return 2 if all(length.nanometres % step == 0 for length in known) else 3


def _length(text: str, unit: str, label: str, problems: list[Problem]) -> Length | None:
    found = re.search(r"(?<![\w.,])\d[\d.,]*(\s*(?:ft|feet|m|metres|meters)\b)?", text[:100], re.I)
    if found is None:
        return None
    plain = re.sub(r"[.,](?=\s|$)", "", found[0]).replace("feet", "ft")
    plain = re.sub(r"^(\d{1,3}),(\d{3})(?![\d.,])", r"\1\2", plain)  # no depth is told to 0.001
    try:
        return Length.parse(plain, unit)
    except ValueError as wrong:
        problems.append(stops(f"{label}: {wrong}", code="unread", where="head"))
        return None


def _head(labels: Labels, unit: str, problems: list[Problem]) -> TypedHead:
    casing = labels.get("casing", "")
    size = _CASING.match(casing.strip())
    shoe = labels.get("shoe", "") or next(
        (found[1] + (f" {found[2]}" if found[2] else "") for found in [_SHOE.search(casing)] if found), ""
    )
    hours = {}
    for clock in CLOCKS:
        value = figure(labels.get(clock, ""))
        if value is not None:
            hours[clock] = value
    hits = figure(labels.get("hits", ""))
    mud = labels.get("mud", "")
    return TypedHead(
        rig=labels.get("rig", "")[:60],
        well=labels.get("well", "")[:60],
        bha_no=labels.get("bha_no", "")[:20],
        bit_no=labels.get("bit_no", "")[:20],
        run_no=labels.get("run_no", "")[:20],
        date=labels.get("date", "")[:40],
        hole=_size(labels.get("hole", "")),
        depth_in=_length(labels.get("depth_in", ""), unit, "Depth in", problems),
        depth_out=_length(labels.get("depth_out", ""), unit, "Depth out", problems),
        hours=hours,
        hits=int(hits) if hits is not None else None,
        mud=mud[:40],
        mud_ppg=_mud(mud),
        casing=casing[:80],
        casing_od=_size(size[1]) if size else None,
        casing_lb_ft=figure(size[2]) if size and size[2] else None,
        shoe=_length(shoe, unit, "Shoe", problems),
        lengths=labels.get("lengths", "")[:80],
        numbered=labels.get("numbered", "")[:60],
        sensor=_length(labels.get("sensor", ""), unit, "Sensor to bit", problems),
    )


def _size(text: str) -> int | None:
    """The first size in inches, or millimetres where it says so: "8 1/2 in", "8.5", "215.9 mm"."""
    found = re.search(r"(\d+\s*[- ]\s*\d+/\d+|\d+(?:[.,]\d+)?)\s*(mm)?", text[:60])
    value = size_number(found[1]) if found else None
    if found is None or value is None:
        return None
    nm = value * NM["mm" if found[2] or value > 60 else "in"]
    return int(nm) if nm.denominator == 1 and 0 < nm < 60 * NM["in"] else None


def _mud(text: str) -> Fraction | None:
    """The mud weight in ppg: "10.2 ppg", "1.22 SG", "1,220 kg/m3"; a bare figure by how large it is."""
    value = figure(text, thousands=bool(re.search(r"kg", text, re.I)))
    if value is None or not 0 < value < 4000:
        return None
    low = text.lower()
    unit = ("ppg" if "ppg" in low or "lb/gal" in low or "#" in low else "kg/m3" if "kg" in low or value > 300
            else "pcf" if "pcf" in low or "ft3" in low else "SG" if "sg" in low or "s.g" in low or value < 4
            else "ppg")  # fmt: skip
    if unit == "pcf":
        return value * Fraction(231, 1728)
    return value if unit == "ppg" else value * factor("mud", unit, "ppg")


def _foot(labels: Labels, totals: TypedFoot, read: Reading) -> TypedFoot:
    def weight(text: str) -> Fraction | None:
        value = figure(text, thousands=True)
        unit = "kg" if re.search(r"\bkg\b", text) else "lb" if re.search(r"\blbs?\b", text) else read.mass
        return None if value is None else value * factor("mass", unit, "lb")

    air, mud = labels.get("air", ""), labels.get("mud", "")
    second = re.search(r"in\s*mud\D{0,12}(\d[\d.,]*)", air, re.I)
    jar = re.sub(r"\bno\.?\s*\d+", "", labels.get("below_jar", ""), flags=re.I)
    medium = re.search(r"\b(air|mud)\b", jar, re.I)
    length = _length(labels.get("length", ""), read.unit, "BHA length", read.problems)
    total_air = totals.air * factor("mass", read.mass, "lb") if totals.air is not None else None
    return TypedFoot(
        length=length if length is not None else totals.length,
        air=weight(air) if weight(air) is not None else total_air,
        mud=weight(mud or (second[1] if second else "")),
        below_jar=weight(jar),
        below_jar_in=medium[1].lower() if medium else "",
        signed=tuple(part.strip()[:60] for part in labels.get("signed", "").split(";") if part.strip()),
        said=totals.said or bool(labels),
    )
