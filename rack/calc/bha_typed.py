"""A BHA or string sheet as somebody typed it: its head, its rows from the bit upward, its foot.

Figures are taken as they stand on the paper and never put right. The checks that hold them against one
another stand beside this file: `bha_typed_rows`, `_pieces`, `_ends`, `_weights`, `_hours`, `_whole`.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from rack.calc.checks import Problem, Severity
from rack.calc.lengths import Length
from rack.calc.specs import inches
from rack.calc.units import factor

#: The clocks that a run is told by, as they are called in a sentence.
CLOCKS = ("rotating", "sliding", "on bottom", "circulating", "below rotary")


@dataclass(frozen=True)
class TypedPiece:
    """One row of the sheet; None or "" where the paper does not say.

    `row` is its line in the file, `kind` a code of `KINDS` or "" where the words name none. Diameters are
    whole nanometres, weights lb and lb/ft, hours exact fractions. `count` pieces stand in the row together;
    `laid` says that its remark lays it down; `stands` is "open", "closed" or "" for a tool that telescopes.
    `typed_clock` is the clock as the row names it, "" where it names none. `sensor` is how far a sensor
    stands above its lower shoulder.
    """

    row: int
    number: str = ""
    count: int = 1
    item: str = ""
    kind: str = ""
    serial: str = ""
    owner: str = ""
    od: int | None = None
    bore: int | None = None
    gauge: int | None = None
    tj_bore: int | None = None
    neck_od: int | None = None
    neck: Length | None = None
    down: str = ""
    up: str = ""
    length: Length | None = None
    cum: Length | None = None
    lb_ft: Fraction | None = None
    lb: Fraction | None = None
    since: Fraction | None = None
    run: Fraction | None = None
    total: Fraction | None = None
    typed_clock: str = ""
    inspected: str = ""
    remarks: str = ""
    laid: bool = False
    stands: str = ""
    opened: Length | None = None
    closed: Length | None = None
    sensor: Length | None = None
    facts: Mapping[str, str] = field(default_factory=dict)

    @property
    def said(self) -> str:
        """What the row is called in a sentence: "No. 8 (DC 6 1/2 spiral)"."""
        name = self.item[:40] or self.serial
        if not self.number:
            return f"the row without a number ({name})" if name else f"row {self.row}"
        return f"No. {self.number} ({name})" if name else f"No. {self.number}"

    @property
    def where(self) -> str:
        """The place of a problem."""
        return f"row {self.row}"

    @property
    def order(self) -> int | None:
        """Its number as a figure, None where it is none."""
        return int(self.number) if self.number.isascii() and self.number.isdigit() else None


@dataclass(frozen=True)
class TypedHead:
    """The head: texts as typed, depths exact, mud in ppg, hours of the run by clock (`CLOCKS`)."""

    rig: str = ""
    well: str = ""
    bha_no: str = ""
    bit_no: str = ""
    run_no: str = ""
    date: str = ""
    hole: int | None = None
    depth_in: Length | None = None
    depth_out: Length | None = None
    hours: Mapping[str, Fraction] = field(default_factory=dict)
    hits: int | None = None
    mud: str = ""
    mud_ppg: Fraction | None = None
    casing: str = ""
    casing_od: int | None = None
    casing_lb_ft: Fraction | None = None
    shoe: Length | None = None
    lengths: str = ""
    numbered: str = ""
    sensor: Length | None = None


@dataclass(frozen=True)
class TypedFoot:
    """The foot: the length of the assembly, weights in lb, who signed. `said` is whether there is one."""

    length: Length | None = None
    air: Fraction | None = None
    mud: Fraction | None = None
    below_jar: Fraction | None = None
    below_jar_in: str = ""
    signed: tuple[str, ...] = ()
    said: bool = False


@dataclass(frozen=True)
class TypedBha:
    """The whole sheet. `pieces` go from the bit upward, `counted` says from which end the numbers count
    ("bit" or "top"), `columns` which columns the paper has. `cum_from_top`: the cumulative lengths are
    counted from the top down."""

    pieces: tuple[TypedPiece, ...]
    head: TypedHead = TypedHead()
    foot: TypedFoot = TypedFoot()
    unit: str = "ft"
    digits: int = 2
    mass: str = "lb"
    columns: frozenset[str] = frozenset()
    counted: str = "bit"
    cum_from_top: bool = False

    def shown(self, length: Length) -> str:
        """Return a `length` as the sheet writes it, with its unit. Raises nothing. Source: law 1."""
        return f"{length.shown(self.unit, self.digits)} {self.unit}"

    def weight(self, lb: Fraction) -> str:
        """Return a weight of `lb` in the sheet's own unit, whole. Raises nothing. Source: law 1."""
        return f"{whole(lb * factor('mass', 'lb', self.mass)):,} {self.mass}"

    def per_length(self, lb_ft: Fraction) -> str:
        """Return a weight of `lb_ft` lb/ft in the sheet's own unit. Raises nothing. Source: law 1."""
        unit = "lb/ft" if self.mass == "lb" else "kg/m"
        return f"{tenths(lb_ft * factor('weight', 'lb/ft', unit))} {unit}"

    @property
    def step(self) -> Length:
        """One step of the last figure of a length."""
        return Length.parse(f"{10 ** -self.digits:.{self.digits}f}", self.unit)

    @property
    def in_hole(self) -> tuple[TypedPiece, ...]:
        """The pieces that were not laid down, from the bit upward."""
        return tuple(piece for piece in self.pieces if not piece.laid)

    @property
    def missing(self) -> tuple[int, ...]:
        """Numbers that stand nowhere between 1 and the highest; a block of pieces in one row may bear
        as many numbers as it has pieces."""
        there: set[int] = set()
        for piece in self.pieces:
            if piece.order is not None and piece.order < 10_000:
                there |= {piece.order}
        last = max(there, default=0)
        bare = [n for n in range(1, last) if n not in there]
        return tuple(n for n in bare if not self._in_block(n))

    def _in_block(self, number: int) -> bool:
        for piece in self.pieces:
            if piece.order is None or piece.count < 2:
                continue
            reach = range(piece.order - piece.count + 1, piece.order + piece.count)
            if number in reach:
                return True
        return False

    def bottoms(self) -> dict[int, Length]:
        """Return how far the bottom of each piece is from the bit, by its row; by the written cumulative
        lengths where they go from the bit, else by the sum. Raises nothing. Source: addition, law 6."""
        found: dict[int, Length] = {}
        below: Length | None = Length(0)
        for piece in self.in_hole:
            if piece.cum is not None and piece.length is not None and not self.cum_from_top:
                below = piece.cum - piece.length
            if below is not None and (piece.length is not None or piece.cum is not None):
                found[piece.row] = below
            below = None if below is None or piece.length is None else below + piece.length
        return found


def whole(value: Fraction) -> int:
    """Return `value` rounded once to a whole number, half up. Raises nothing. Source: law 1."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


def tenths(value: Fraction) -> str:
    """Return `value` with one figure after the point, half up. Raises nothing. Source: law 1."""
    steps = whole(value * 10)
    return f"{steps // 10:,}.{steps % 10}"


def hours_text(value: Fraction) -> str:
    """Return hours of `value` as the sheets write them: "41.00". Raises nothing. Source: common practice."""
    steps = whole(abs(value) * 100)
    return f"{'-' if value < 0 else ''}{steps // 100:,}.{steps % 100:02d}"


def size_text(nanometres: int) -> str:
    """Return a size of whole `nanometres` with its unit: "8-1/2 in". Raises nothing. Source: the trade."""
    return f"{inches(nanometres)} in"


def named(pieces: Sequence[TypedPiece], most: int = 12) -> str:
    """Return the numbers of `pieces` in words, at most `most` of them: "No. 3, 4 and 7". Raises nothing.

    Source: common practice.
    """
    numbers = [piece.number or f"row {piece.row}" for piece in pieces]
    if len(numbers) > most:
        return f"No. {', '.join(numbers[:most])} and {len(numbers) - most} more"
    return f"No. {listed(numbers)}"


def listed(texts: Sequence[str]) -> str:
    """Return `texts` in words: "3", "3 and 4", "3, 4 and 7". Raises nothing. Source: English."""
    return ", ".join(texts[:-1]) + " and " + texts[-1] if len(texts) > 1 else "".join(texts)


#: So many rows with the same slip are told one by one; more are told together.
TOLD_EACH = 5
_OWN_WORDS = re.compile(r"[Nn]o\. \S+( \(.*?\)(?=\W))?|“.*?”|\d[\d.,/-]*")


def worst_first(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Return `problems` with what stops first, each once; one slip in many rows is told once, with the rows.

    Raises nothing. Source: law 9.
    """
    alike: dict[tuple[str, str], list[Problem]] = {}
    for problem in dict.fromkeys(problems):
        shape = _OWN_WORDS.sub("#", problem.text)[:45]
        alike.setdefault((problem.code, shape), []).append(problem)
    told = []
    for found in alike.values():
        if len(found) <= TOLD_EACH:
            told += found
            continue
        rows = [one.where for one in found[1:] if one.where]
        told.append(replace(found[0], text=f"{found[0].text} The same in {listed(rows)}."))
    rank = {Severity.STOPS: 0, Severity.ASKS: 1, Severity.NOTE: 2}
    return tuple(sorted(told, key=lambda problem: rank[problem.severity]))
