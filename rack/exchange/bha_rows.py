"""The rows of a BHA sheet: each cell read for itself, and the facts that hide in the words of a row."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from rack.calc.bha_typed import TypedPiece
from rack.calc.bits import read_nozzles
from rack.calc.checks import Problem, asks, stops
from rack.calc.facts import read_fact
from rack.calc.item_parts import read_size
from rack.calc.items import facts_of
from rack.calc.kinds import kind_of
from rack.calc.lengths import Length
from rack.calc.units import factor
from rack.exchange.bha_labels import figure
from rack.exchange.cells import BLANK, DITTO

LAID = re.compile(
    r"(?<![a-z])(l/d|l\.d\.|laid (down|out|aside)|l/o|lay down|not run|removed|changed out)(?![a-z])", re.I
)
_OPEN = re.compile(r"(?<![a-z])(open(ed)?|extended|cocked)(?![a-z])\s*:?\s*(\d+[.,]\d+)?", re.I)
_CLOSED = re.compile(r"(?<![a-z])(closed?|collapsed)(?![a-z])\s*:?\s*(\d+[.,]\d+)?", re.I)
_SENSOR = re.compile(
    r"sensor\D{0,12}(\d+[.,]\d+)\s*(ft|m)?\s*(above|from|over|up from)\s*"
    r"(the\s*)?(lower|bottom|pin|its|down)",
    re.I,
)
_COUNT = re.compile(
    r"^\s*(\d{1,3})\s*(?:x\s+|x(?=[a-z])|joints?\s+(?:of\s+)?|jts?\.?\s+(?:of\s+)?|pcs\.?\s+|off\s+|ea\.?\s+"
    r"|(?=heavy|hwdp|drill\s*(?:pipe|collar)|dcs?\b|collars?\b))",
    re.I,
)
_BEND = re.compile(r"(\d[.,]\d{1,2})\s*(?:deg|°)", re.I)
_NOZZLES = re.compile(r"\b\d{1,2}\s*x\s*\d{1,2}\b(?:[\s,+]+\d{1,2}\s*x\s*\d{1,2}\b)*", re.I)
#: No section of a string that stands in one row has more pieces.
MOST_PIECES = 500
_NOTHING = BLANK | {"nil.", "-.", "- -"}


@dataclass
class Reading:
    """What the rows are read with: the columns, the units, and the problems found on the way."""

    columns: Mapping[str, int]
    unit: str = "ft"
    units: Mapping[str, str] = field(default_factory=dict)
    mass: str = "lb"
    problems: list[Problem] = field(default_factory=list)
    above: dict[str, str] = field(default_factory=dict)

    def cell(self, cells: Sequence[str], column: str) -> str:
        """The text of a cell on one line, "" for what stands for nothing, a ditto mark as what it repeats."""
        index = self.columns.get(column)
        text = " ".join(cells[index].split()) if index is not None and index < len(cells) else ""
        if text.lower() in DITTO and column not in ("number", "remarks"):
            return self.above.get(column, "")
        if text.lower() in _NOTHING:
            text = ""
        self.above[column] = text
        return text[:300]

    def length(self, cells: Sequence[str], column: str, line: int) -> Length | None:
        text = self.cell(cells, column)
        if not text:
            return None
        try:
            return Length.parse(text, self.units.get(column, self.unit))
        except ValueError as wrong:
            self.unread(line, column, str(wrong))
            return None

    def size(self, cells: Sequence[str], column: str, line: int) -> int | None:
        text = self.cell(cells, column)
        if not text:
            return None
        value, problems = read_size(text, self.units.get(column, ""))
        if not value:
            self.unread(line, column, problems[0].text if problems else f"“{text[:20]}” is no size.")
        return value or None

    def number(
        self, cells: Sequence[str], column: str, line: int, *, thousands: bool = False
    ) -> Fraction | None:
        text = self.cell(cells, column)
        if not text:
            return None
        value = figure(text, thousands=thousands) if re.match(r"[\d.,]", text) else None
        if value is None:
            self.unread(line, column, f"“{text[:20]}” is no number.")
        return value

    def unread(self, line: int, column: str, why: str) -> None:
        words = {"bore": "ID", "od": "OD", "neck": "fishing neck length", "neck_od": "fishing neck OD",
                 "cum": "cumulative length", "lb_ft": "weight a length", "lb": "weight",
                 "since": "hours since inspection", "run": "hours this run", "total": "hours in all",
                 }.get(column, column)  # fmt: skip
        self.problems.append(stops(f"Row {line}, {words}: {why}", where=f"row {line}", code="unread"))


def piece_of(cells: Sequence[str], line: int, read: Reading) -> TypedPiece:
    """Return a row as a piece; what cannot be read is a problem of the reading and None in the piece."""
    item, remarks = read.cell(cells, "item"), read.cell(cells, "remarks")
    count, bare = _count(read.cell(cells, "qty"), item, line, read)
    known = facts_of(bare)
    kind = known.kind or _kind_by_words(bare)
    lb_ft = read.number(cells, "lb_ft", line)
    lb = read.number(cells, "lb", line, thousands=True)
    if read.mass == "kg":
        lb = lb * factor("mass", "kg", "lb") if lb is not None else None
        lb_ft = lb_ft * factor("weight", "kg/m", "lb/ft") if lb_ft is not None else None
    piece = TypedPiece(
        row=line,
        number=_number(read.cell(cells, "number")),
        count=count,
        item=item[:80],
        kind=kind,
        serial=read.cell(cells, "serial")[:40],
        owner=read.cell(cells, "owner")[:40],
        od=read.size(cells, "od", line),
        bore=read.size(cells, "bore", line),
        gauge=read.size(cells, "gauge", line),
        tj_bore=read.size(cells, "tj_bore", line),
        neck_od=read.size(cells, "neck_od", line),
        neck=read.length(cells, "neck", line),
        down=read.cell(cells, "down")[:60],
        up=read.cell(cells, "up")[:60],
        length=read.length(cells, "length", line),
        cum=read.length(cells, "cum", line),
        lb_ft=lb_ft,
        lb=lb,
        since=read.number(cells, "since", line),
        run=read.number(cells, "run", line),
        total=read.number(cells, "total", line),
        typed_clock=read.cell(cells, "clock")[:30],
        inspected=read.cell(cells, "inspected")[:60],
        remarks=remarks,
        laid=bool(LAID.search(f"{remarks} {item}")),
        facts=_facts(kind, dict(known.extra), f"{item} {remarks}"),
    )
    return _told(replace(piece, od=piece.od or _od_in_words(known.od_nm, piece)), read)


def _od_in_words(od_nm: int, piece: TypedPiece) -> int | None:
    """A diameter that stands in the item alone; a bit's code is none."""
    return od_nm if od_nm and not piece.gauge and piece.kind not in ("bit", "core_bit") else None


def _number(text: str) -> str:
    """A number as a workbook or a hand writes it: "3.0" and "3." are 3."""
    found = re.fullmatch(r"#?\s*0*(\d{1,5})(?:\.0*)?", text)
    return found[1] if found else text[:12]


def _count(qty: str, item: str, line: int, read: Reading) -> tuple[int, str]:
    """How many pieces stand in the row, and its words without the count."""
    found = _COUNT.match(item)
    bare = item[found.end() :] if found else item
    number = figure(qty) if qty else Fraction(found[1]) if found else Fraction(1)
    if number is None or number.denominator != 1 or not 1 <= number <= MOST_PIECES:
        read.problems.append(
            stops(
                f"Row {line}: “{qty[:20] or item[:20]}” is no count of pieces.",
                where=f"row {line}",
                code="unread",
            )
        )
        return 1, bare
    return int(number), bare


def _kind_by_words(item: str) -> str:
    """Words of this paper alone: "HWDP" and "stab" are known to the items already."""
    low = item.lower()
    for word, kind in (("ubho", "sub"), ("orient", "sub"), ("stab", "stabilizer"), ("jar", "jar"),
                       ("gamma", "mwd"), ("resistivity", "mwd"), ("pulser", "mwd"), ("bit sub", "bit_sub"),
                       ("crossover", "crossover"), ("x-over", "crossover"), ("nmdc", "collar")):  # fmt: skip
        if word in low:
            return kind
    return ""


def _facts(kind: str, extra: dict[str, str], words: str) -> dict[str, str]:
    """The facts of its own that the words of a row say, canonical."""
    if not kind:
        return {}
    names = {fact.name for fact in kind_of(kind).facts}
    bend, nozzles = _BEND.search(words), _NOZZLES.search(words)
    if bend and "bend" in names:
        extra["bend"] = read_fact(kind_of(kind).fact("bend"), bend[1])[0]
    if nozzles and "nozzles" in names:
        try:
            extra["nozzles"] = "-".join(map(str, read_nozzles(re.sub(r"[,+]", " ", nozzles[0]))))
        except ValueError:
            extra.pop("nozzles", None)
    if kind == "bit" and "make" not in extra and re.search(r"\bpdc\b", words, re.I):
        extra["make"] = "PDC"
    elif (
        kind == "bit"
        and "make" not in extra
        and re.search(r"tricone|tri-cone|roller|\bTCI\b|insert", words, re.I)
    ):
        extra["make"] = "roller cone"
    return {name: value for name, value in extra.items() if value and name in names}


def _told(piece: TypedPiece, read: Reading) -> TypedPiece:
    """The lengths of a telescoping tool and the place of a sensor, from item and remarks."""
    words = f"{piece.item} {piece.remarks}"
    if piece.kind == "mwd":
        found = _SENSOR.search(words)
        if found:
            return replace(piece, sensor=_parsed(found[1], found[2] or read.unit))
    if not piece.kind or not kind_of(piece.kind).telescopes:
        return piece
    opened, closed = _OPEN.search(words), _CLOSED.search(words)
    lengths = (
        _parsed(opened[3], read.unit) if opened and opened[3] else None,
        _parsed(closed[2], read.unit) if closed and closed[2] else None,
    )
    # A word with a figure behind it is one of the two lengths; a bare word says how it stands.
    bare = {
        "open" if pattern is _OPEN else "closed"
        for pattern in (_OPEN, _CLOSED)
        for found in pattern.finditer(words)
        if not found[found.re.groups]
    }
    stands = next(iter(bare)) if len(bare) == 1 else ""
    if not stands and sum(one is not None for one in lengths) == 1 and piece.length is not None:
        stands = "open" if lengths[0] == piece.length else "closed" if lengths[1] == piece.length else ""
    if lengths[0] is not None and lengths[1] is not None and piece.length in lengths and not stands:
        stands = "open" if piece.length == lengths[0] else "closed"
    return replace(piece, stands=stands, opened=lengths[0], closed=lengths[1])


def _parsed(text: str, unit: str) -> Length | None:
    try:
        return Length.parse(text, unit.lower())
    except ValueError:
        return None


def mixed(units: Mapping[str, str], head_unit: str) -> list[Problem]:
    """Return the problem of headings, or of a head, that name feet and metres together."""
    named = {column: unit for column, unit in units.items() if column in ("length", "cum") and unit}
    if len(set(named.values())) > 1:
        words = ", ".join(f"{column} in {unit}" for column, unit in named.items())
        return [stops(f"The headings mix feet and metres: {words}.", code="T14", where="head", source="T14")]
    unit = next(iter(named.values()), "")
    if unit and head_unit and unit != head_unit:
        return [
            asks(
                f"The head says lengths in {head_unit}, the columns {unit}.",
                code="T14",
                where="head",
                measured=head_unit,
                limit=unit,
                source="T14",
            )
        ]
    return []
