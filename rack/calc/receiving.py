"""What a delivery list says once it is read: its rows, totals and mapping, and how the rows are judged.

Reading the file is the exchange's work; here are the plain facts it returns and one small function
for each question that a row or the list as a whole can raise. Nothing here is stored or looked up.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace

from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.columns import OWN_ROLES, ROLE_UNITS, ROLES, Column, Mapping, SheetMapping
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

__all__ = [
    "FATES",
    "OWN_ROLES",
    "ROLES",
    "ROLE_UNITS",
    "Column",
    "Counted",
    "DeliveryList",
    "Mapping",
    "OwnFact",
    "ReadRow",
    "SheetMapping",
    "Total",
    "and_words",
    "counted",
    "hand_count_problems",
    "same_length_twice",
    "settled",
    "stopped_problems",
    "with_problems",
]

FATES = ("accepted", "left out", "stopped")


@dataclass(frozen=True)
class OwnFact:
    """A fact of one piece that a row says: its name in `rack.calc.kinds`, its canonical text, as it is
    shown, as it was typed."""

    name: str
    label: str
    value: str
    shown: str
    typed: str


@dataclass(frozen=True)
class ReadRow:
    """One row of a list that stands for a piece: as typed, as read, and what is wrong with it.

    `row` is the line of the file or the row of the sheet, from 1; `number` the list's own running
    number. `block`, from 1, is which of the blocks side by side the piece stood in, 0 where there are
    none. `typed` holds every filled cell by role (or by heading where the column has no role),
    `read` the same roles as they were understood. `fate`: "accepted" is what acceptance would take,
    "left out" was left out by a person, "stopped" has a problem that STOPS and blocks acceptance
    until it is corrected or left out. `facts` are what only this piece has; of a tool that telescopes
    `stands` is which length `length` is ("open", "closed"), `other` the other one.
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
    block: int = 0
    facts: tuple[OwnFact, ...] = ()
    stands: str = ""
    other: Length | None = None

    @property
    def where(self) -> str:
        """In words: "row 21", "row 21 (no. 17)" where the list has numbers, "row 21 of Tally"."""
        block = f", block {self.block}" if self.block else ""
        number = f" (no. {self.number})" if self.number else ""
        return f"row {self.row}{block}{number}" + (f" of {self.sheet}" if self.sheet else "")

    @property
    def listed_number(self) -> str:
        """The number by which the list itself names the piece; in blocks that may be the painted one."""
        return self.number or (self.painted if self.block else "")

    @property
    def part(self) -> str:
        """The sheet, and the block where there are some: with `row` it names one piece of the list."""
        return f"{self.sheet}, block {self.block}" if self.block else self.sheet

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
    """Return the row with `problems` added to its own.

    `row` is left as it is. Raises nothing. Source: house style.
    """
    return replace(row, problems=(*row.problems, *problems))


def settled(row: ReadRow, *, left_out: bool) -> ReadRow:
    """Return the row with its fate: what a person left out, else what a STOPS keeps out, else accepted.

    `row` has its problems already, `left_out` says whether a person left it out. Raises nothing. Source:
    house style.
    """
    if left_out:
        return replace(row, fate="left out")
    if any(problem.severity is Severity.STOPS for problem in row.problems):
        return replace(row, fate="stopped")
    return replace(row, fate="accepted")


def counted(rows: Sequence[ReadRow], *, sum_rows: int, blank_rows: int, text_rows: int) -> Counted:
    """Return the counts of a list whose rows have their fates.

    `rows` are all that stand for a piece; `sum_rows`, `blank_rows` and `text_rows` are how many others
    there were. Raises nothing. Source: house style.
    """
    fates = Counter(row.fate for row in rows)
    return Counted(
        len(rows), fates["accepted"], fates["left out"], sum_rows, blank_rows, fates["stopped"], text_rows
    )


def stopped_problems(rows: Sequence[ReadRow]) -> list[Problem]:
    """Return one STOPS that names the rows which cannot be accepted as they are, or nothing.

    `rows` have their fates. Raises nothing. Source: house style.
    """
    named = [row.where for row in rows if row.fate == "stopped"]
    if not named:
        return []
    what = "One row cannot" if len(named) == 1 else f"{len(named)} rows cannot"
    return [
        stops(
            f"{what} be accepted: {and_words(named)}. Correct the list, set the columns, or leave them out."
        )
    ]


def hand_count_problems(hand_count: int | None, rows: Sequence[ReadRow]) -> list[Problem]:
    """Return the question that a count by hand raises which the list does not give: short or over landed.

    `hand_count` is the number of pieces that were counted on the rack, None when nobody counted; rows
    that a person left out did not land and are not expected. Raises nothing. Source: tally check T04.
    `rows` have their fates.
    """
    listed = sum(row.fate != "left out" for row in rows)
    if hand_count is None or hand_count == listed:
        return []
    off = abs(hand_count - listed)
    what = "short landed" if hand_count < listed else "over landed"
    do = (
        "Leave out the rows that did not come."
        if hand_count < listed
        else "Which are on the rack and not on the list?"
    )
    pieces = "one piece is" if off == 1 else f"{off} pieces are"
    return [
        asks(
            f"{hand_count} pieces were counted by hand and the list has {listed}: {pieces} {what}. {do}",
            code="T04",
            measured=str(hand_count),
            limit=str(listed),
            source="tally check T04, common practice",
        )
    ]


def same_length_twice(first: Length, second: Length) -> bool:
    """Say whether two columns can be one length in two units: within 6 mm, half of 0.01 m and some.

    `first` and `second` are what the two columns say. Raises nothing. Source: geometry of rounding,
    computed.
    """
    return abs(first - second).nanometres <= 6 * NM["mm"]


def and_words(names: Collection[str]) -> str:
    """Return names in a sentence: "S1, S2 and S3", at most five of them and how many more.

    `names` in the order in which they are said. Raises nothing. Source: house style.
    """
    listed = list(names)
    if len(listed) > 6:
        listed = [*listed[:5], f"{len(listed) - 5} more"]
    return listed[0] if len(listed) == 1 else ", ".join(listed[:-1]) + " and " + listed[-1]
