"""What a delivery list says once it is read: its rows, totals and mapping, and how the rows are judged.

Reading the file is the exchange's work; here are the plain facts it returns and one small function
for each question that a row or the list as a whole can raise. Nothing here is stored or looked up.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace

from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.columns import ROLE_UNITS, ROLES, Column, Mapping, SheetMapping
from rack.calc.lengths import ZERO, Length
from rack.calc.names import key_of
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

__all__ = [
    "FATES",
    "ROLES",
    "ROLE_UNITS",
    "Column",
    "Counted",
    "DeliveryList",
    "Mapping",
    "ReadRow",
    "SheetMapping",
    "Total",
    "agree",
    "counted",
    "known_problem",
    "name_problems",
    "no_name_problem",
    "same_length_twice",
    "settled",
    "stopped_problems",
    "total_line",
    "total_problem",
    "with_problems",
]

FATES = ("accepted", "left out", "stopped")


@dataclass(frozen=True)
class ReadRow:
    """One row of a list that stands for a piece: as typed, as read, and what is wrong with it.

    `row` is the line of the file or the row of the sheet, from 1; `number` the list's own running
    number. `typed` holds every filled cell by role (or by heading where the column has no role),
    `read` the same roles as they were understood. `fate`: "accepted" is what acceptance would take,
    "left out" was left out by a person, "stopped" has a problem that STOPS and blocks acceptance
    until it is corrected or left out.
    """

    row: int
    sheet: str = ""
    number: str = ""
    typed: dict[str, str] = field(default_factory=dict)
    read: dict[str, str] = field(default_factory=dict)
    serial: str = ""
    owner_no: str = ""
    painted: str = ""
    item: str = ""
    spec: SpecFacts | None = None
    pipe_class: str = ""
    length: Length | None = None
    length_kind: str = ""
    length_unit: str = ""
    place: str = ""
    problems: tuple[Problem, ...] = ()
    fate: str = "accepted"

    @property
    def where(self) -> str:
        """The row in words: "row 21", "row 21 (no. 17)" where the list has numbers, "row 21 of Tally"."""
        number = f" (no. {self.number})" if self.number else ""
        return f"row {self.row}{number}" + (f" of {self.sheet}" if self.sheet else "")

    @property
    def name(self) -> str:
        """What the piece is called in a sentence: its serial, else another of its names."""
        return self.serial or self.owner_no or self.painted or self.number or self.where


@dataclass(frozen=True)
class Total:
    """A sum that the file gives, beside the sum of the rows it stands for; `where` is sheet and cell."""

    where: str
    in_file: Length | None
    computed: Length
    text: str
    agrees: bool


@dataclass(frozen=True)
class Counted:
    """How many rows there were of each sort; read = accepted + left out + stopped."""

    read: int
    accepted: int
    left_out: int
    sum_rows: int
    blank_rows: int
    stopped: int = 0
    text_rows: int = 0


@dataclass(frozen=True)
class DeliveryList:
    """A whole list, read: its rows in order, what is wrong with the list itself, and the file's digest."""

    rows: tuple[ReadRow, ...]
    totals: tuple[Total, ...]
    counted: Counted
    mapping: Mapping
    problems: tuple[Problem, ...]
    digest: str
    sheet_names: tuple[str, ...] = ()
    preamble: tuple[str, ...] = ()


def with_problems(row: ReadRow, problems: Iterable[Problem]) -> ReadRow:
    """Return the row with `problems` added to its own."""
    return replace(row, problems=(*row.problems, *problems))


def settled(row: ReadRow, *, left_out: bool) -> ReadRow:
    """Return the row with its fate: what a person left out, else what a STOPS keeps out, else accepted."""
    if left_out:
        return replace(row, fate="left out")
    if any(problem.severity is Severity.STOPS for problem in row.problems):
        return replace(row, fate="stopped")
    return replace(row, fate="accepted")


def counted(rows: Sequence[ReadRow], *, sum_rows: int, blank_rows: int, text_rows: int) -> Counted:
    """Return the counts of a list whose rows have their fates."""
    fates = Counter(row.fate for row in rows)
    return Counted(
        len(rows), fates["accepted"], fates["left out"], sum_rows, blank_rows, fates["stopped"], text_rows
    )


def stopped_problems(rows: Sequence[ReadRow]) -> list[Problem]:
    """Return one STOPS that names the rows which cannot be accepted as they are, or nothing."""
    named = [row.where for row in rows if row.fate == "stopped"]
    if not named:
        return []
    what = "One row cannot" if len(named) == 1 else f"{len(named)} rows cannot"
    return [
        stops(f"{what} be accepted: {_and(named)}. Correct the list, set the columns, or leave them out.")
    ]


def name_problems(rows: Sequence[ReadRow]) -> dict[int, list[Problem]]:
    """Return, by place in `rows`, the questions about names: a serial or painted number that stands twice.

    Both rows name each other. Two pieces may bear the same serial, so that this asks and never stops.
    """
    found: dict[int, list[Problem]] = defaultdict(list)
    for what, code in (("serial", "T05"), ("painted", "T06"), ("owner_no", "T05")):
        # Painted numbers and owner's numbers start again with each kind of pipe.
        groups: dict[tuple[str, str], list[int]] = defaultdict(list)
        for at, row in enumerate(rows):
            key = key_of(getattr(row, what))
            if key:
                groups[key, "" if what == "serial" or not row.spec else row.spec.key].append(at)
        for same in groups.values():
            for at in same if len(same) > 1 else ():
                others = _and([rows[other].where for other in same if other != at])
                name = f"{ROLES[what].capitalize()} {getattr(rows[at], what)}"
                found[at].append(
                    asks(
                        f"{name} stands in {others} too: one joint twice, or two joints?",
                        code=code,
                        where=rows[at].where,
                        source="common practice",
                    )
                )
    _look_alikes(rows, found)
    return found


def _look_alikes(rows: Sequence[ReadRow], found: dict[int, list[Problem]]) -> None:
    """Ask about two serials that differ only by O for 0 or I for 1: probably one of them was misread."""
    groups: dict[str, dict[str, list[int]]] = defaultdict(lambda: defaultdict(list))
    for at, row in enumerate(rows):
        key = key_of(row.serial)
        if key:
            groups[key.replace("O", "0").replace("I", "1")][key].append(at)
    for spellings in groups.values():
        for key, places in spellings.items() if len(spellings) > 1 else ():
            others = [rows[at] for other, far in spellings.items() if other != key for at in far]
            text = f"reads like {_and([f'{row.serial} in {row.where}' for row in others])}: O or 0, I or 1?"
            for at in places:
                found[at].append(asks(f"Serial {rows[at].serial} {text}", code="T05", where=rows[at].where))


def known_problem(row: ReadRow) -> Problem:
    """Return the question about a serial that a piece at the site bears already."""
    return asks(
        f"A piece at this site bears the serial {row.serial} already. "
        "The same joint coming back, or another one of that number?",
        code="known serial",
        where=row.where,
    )


def no_name_problem(row: ReadRow) -> Problem:
    """Return the question about a row without any name: the piece will be known by its tag alone."""
    return asks(
        "No serial, painted or owner's number: entered as not readable, and known by its tag alone?",
        code="no name",
        where=row.where,
    )


def agree(in_file: Length, computed: Length, unit: str, digits: int) -> bool:
    """Say whether two sums are the same in the file's unit and figures; nothing is forgiven beyond those."""
    return in_file.in_shown_units(unit, digits) == computed.in_shown_units(unit, digits)


def total_line(
    where: str, label: str, in_file: Length | None, rows: Sequence[ReadRow], unit: str, digits: int
) -> Total:
    """Return the file's sum beside the sum of `rows`, in `unit` with the file's `digits`, said in words."""
    lengths = [row.length for row in rows if row.length is not None]
    computed = sum(lengths, ZERO)
    ours = f"{computed.shown(unit, digits)} {unit} by {len(lengths)} rows"
    missing = len(rows) - len(lengths)
    if missing:
        ours += f", {missing} without a length"
    if in_file is None:
        return Total(
            where, None, computed, f"{label}: the file's figure cannot be read; {ours}.", agrees=False
        )
    said = f"{label}: {in_file.shown(unit, digits)} {unit} in the file, {ours}"
    if agree(in_file, computed, unit, digits):
        return Total(where, in_file, computed, f"{said}: they agree.", agrees=True)
    off = in_file - computed
    more = "more" if off > ZERO else "less"
    text = f"{said}: the file says {abs(off).shown(unit, digits)} {unit} {more}."
    return Total(where, in_file, computed, text + _why(abs(off), rows, unit, digits), agrees=False)


def _why(off: Length, rows: Sequence[ReadRow], unit: str, digits: int) -> str:
    """Say what the difference looks like: a row left out or counted twice, or figures that changed places."""
    same = [row for row in rows if row.length is not None and agree(row.length, off, unit, digits)]
    if same and len(same) <= 3:
        return f" That is the length of {_and([f'{row.name} ({row.where})' for row in same])}."
    steps = off.in_shown_units(unit, digits)
    if steps and steps % 9 == 0:
        return " The difference divides by nine: two figures may have changed places."
    return ""


def total_problem(total: Total) -> Problem:
    """Return the question that a sum raises which the rows do not give."""
    return asks(total.text, code="T08", where=total.where, source="tally check T08, common practice")


def same_length_twice(first: Length, second: Length) -> bool:
    """Say whether two columns can be one length in two units: within 6 mm, half of 0.01 m and some."""
    return abs(first - second).nanometres <= 6 * NM["mm"]


def _and(names: Collection[str]) -> str:
    listed = list(names)
    if len(listed) > 6:
        listed = [*listed[:5], f"{len(listed) - 5} more"]
    return listed[0] if len(listed) == 1 else ", ".join(listed[:-1]) + " and " + listed[-1]
