"""A load that was sent: one immutable text from which every page, print and file of it is drawn.

Built once, when the load leaves. Canonical JSON as in `sheets`: sorted keys, no blanks, whole numbers
only, so that the same list is the same bytes for ever and its digest proves it.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields
from fractions import Fraction
from typing import Any

from rack.calc.checks import Problem, note
from rack.calc.lengths import Length
from rack.calc.names import key_of
from rack.calc.rackload import KG_A_LB, weight_lb
from rack.calc.return_note import LineClock, clock_rows

#: Why a load goes, and the state of its pieces when they have arrived there.
ARRIVES_AS = {
    "site": "received", "return": "returned", "inspection": "at_inspection", "repair": "in_repair",
    "other": "returned",
}  # fmt: skip

#: Which ends of a piece wear a thread protector, as it is written down.
PROTECTORS = {
    "": "not said", "both": "both ends", "pin": "pin only", "box": "box only", "none": "none",
    "no need": "needs none",
}  # fmt: skip

#: Where pipe is moved (trade guide 9).
CAUTIONS_MOVING = (
    "Nobody stands, steps or reaches between joints, or between rack and load while loading.",
    "Load and unload layer by layer; each layer chocked, the bottom one pinned or blocked.",
    "Nobody under or in line with a lifted joint.",
    "Roll pipe from the ends, with tools; mind hands between joints, at chocks and at protectors.",
    "Protectors on both ends before a joint is lifted.",
    "Local law, the contract and the maker's sheet come first.",
)


@dataclass(frozen=True)
class LoadLine:
    """One piece on the list. Lengths in whole nm, weight in 1/1000 lb/ft; None and 0 = not known.

    `list_class`, `list_nm` and `list_name` are what the delivery list said when it came; `holds` the
    reasons of the holds on it when it left; `damage` what was written down as it was put in. A rental that
    goes back has its `clocks`, how its hours were `credited`, and the `events` it went through.
    """

    n: int
    lift: str
    tag: str
    serial: str
    painted: str
    owner_no: str
    item: str
    nm: int | None
    length_kind: str
    mlb_ft: int
    weight_basis: str
    protectors: str
    damage: str = ""
    holds: tuple[str, ...] = ()
    received_on: str = ""
    list_name: str = ""
    list_class: str = ""
    list_nm: int | None = None
    clocks: tuple[LineClock, ...] = ()
    credited: tuple[str, ...] = ()
    events: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What the piece is called: its serial, else its tag."""
        return self.serial or f"tag {self.tag}"

    @property
    def lb(self) -> Fraction | None:
        """What it weighs in lb, exactly; None where that is not known."""
        return weight_lb(self.nm, self.mlb_ft)


@dataclass(frozen=True)
class LoadContent:
    """Everything that a sent load says. Instants as ISO text with zone, `why` a key of `ARRIVES_AS`."""

    site_code: str
    site_name: str
    number: int
    revision: int
    code: str
    why: str
    to: str
    to_site: str
    carrier: str
    remark: str
    unit: str
    digits: int
    sent_at: str
    sent_by: str
    lines: tuple[LoadLine, ...]
    count: int
    sum_nm: int
    reason: str = ""
    cautions: tuple[str, ...] = CAUTIONS_MOVING
    program: str = "Tierbook"

    def to_text(self) -> str:
        """Return the canonical JSON text.

        Raises nothing. Source: house style.
        """
        return json.dumps(asdict(self), sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "LoadContent":
        """Return the list that `text` was made from. Raises ValueError when it is no such text.

        Source: house style.
        """
        try:
            values = json.loads(text, parse_float=_no_fraction, parse_constant=_no_fraction)
            missing = {field.name for field in fields(cls)} - set(values)
            if missing:
                raise KeyError("missing: " + ", ".join(sorted(missing)))
            lines = tuple(_line(line) for line in values["lines"])
            return cls(**{**values, "lines": lines, "cautions": tuple(values["cautions"])})
        except (json.JSONDecodeError, AttributeError, KeyError, TypeError) as error:
            raise ValueError(f"not the text of a load: {error}") from None

    @property
    def lifts(self) -> "tuple[LiftSum, ...]":
        """The lifts or bundles in the order in which they begin on the list."""
        return lifts_of(self.lines)

    @property
    def is_return(self) -> bool:
        """Whether it goes back to its owner, so that the list is a return note too."""
        return self.why == "return"


@dataclass(frozen=True)
class LiftSum:
    """One lift or bundle: count, length in nm, weight in lb and kg, and what the weight leaves out."""

    name: str
    lines: tuple[LoadLine, ...]
    nm: int
    lb: Fraction
    no_length: int
    not_weighed: int

    @property
    def count(self) -> int:
        return len(self.lines)

    @property
    def kg(self) -> Fraction:
        return self.lb * KG_A_LB

    @property
    def called(self) -> str:
        """What it is called at the head of its lines: "Lift 1", also where somebody typed "lift 1"."""
        first = self.name[:1].upper() + self.name[1:]
        return first if self.name.lower().startswith(("lift", "bundle")) else f"Lift {self.name}"

    @property
    def protectors(self) -> str:
        """How many wear what, in words: "12 both ends, 2 pin only"."""
        counted = {word: sum(1 for line in self.lines if line.protectors == code)
                   for code, word in PROTECTORS.items()}  # fmt: skip
        return ", ".join(f"{count} {word}" for word, count in counted.items() if count)


def lifts_of(lines: Iterable[LoadLine]) -> tuple[LiftSum, ...]:
    """Return the lines by lift, each lift summed; a lift stands where its first line stands.

    `lines` in the order of the list. Raises nothing. Source: common practice.
    """
    grouped: dict[str, list[LoadLine]] = {}
    for line in lines:
        grouped.setdefault(line.lift, []).append(line)
    return tuple(sum_of(name, rows) for name, rows in grouped.items())


def sum_of(name: str, lines: Sequence[LoadLine]) -> LiftSum:
    """Return count, length and weight of some lines under a name; what is not known is counted beside.

    Raises nothing. Source: common practice.
    `name` is that of the lift or of the whole, `lines` those that stand under it.
    """
    return LiftSum(
        name=name,
        lines=tuple(lines),
        nm=sum(line.nm or 0 for line in lines),
        lb=sum((line.lb or Fraction(0) for line in lines), Fraction(0)),
        no_length=sum(1 for line in lines if line.nm is None),
        not_weighed=sum(1 for line in lines if line.lb is None),
    )


def load_check(content: LoadContent) -> tuple[str, ...]:
    """Return in words which of the list's own figures its lines do not give, () when all agree.

    Raises nothing. Source: common practice.
    `content` is a list about to be stored, printed or audited.
    """
    wrong = []
    if content.count != len(content.lines):
        wrong.append(f"The list says {content.count} pieces and has {len(content.lines)} lines.")
    summed = sum(line.nm or 0 for line in content.lines)
    if content.sum_nm != summed:
        wrong.append(f"The list says {content.sum_nm} nm and its lines give {summed} nm.")
    if [line.n for line in content.lines] != list(range(1, len(content.lines) + 1)):
        wrong.append("The lines are not numbered 1, 2, 3 and so on.")
    return tuple(wrong)


def condition(line: LoadLine, unit: str, digits: int) -> tuple[tuple[str, str, str, bool], ...]:
    """Return a line of the return note: (what, at delivery, now, whether they differ), only what is known.

    Lengths are shown in `unit` with `digits` figures. Raises nothing. Source: trade guide 12, a return
    note goes line by line against the condition at delivery.
    `line` is that of the list.
    """
    def said(nm: int | None) -> str:
        return "not known" if nm is None else f"{Length(nm).shown(unit, digits)} {unit}"

    rows = []
    if line.list_class:
        rows.append(("class", f"{line.list_class} on {line.list_name}", "the list's word; none newer", False))
    if line.list_nm is not None or line.nm is not None:
        differs = line.list_nm is not None and line.nm is not None and line.list_nm != line.nm
        rows.append(("length", said(line.list_nm), said(line.nm), differs))
    protectors = PROTECTORS.get(line.protectors, line.protectors)
    rows.append(("protectors", "", protectors, line.protectors in ("pin", "box", "none")))
    rows += clock_rows(line.clocks, line.credited, unit, digits)
    rows += [("happened", "", event, True) for event in line.events]
    if line.holds:
        rows.append(("held", "", "; ".join(line.holds), True))
    if line.damage:
        rows.append(("damage", "", line.damage, True))
    return tuple(rows)


def short_and_over(
    expected: Sequence[LoadLine], came: Sequence[str], tags: Sequence[str]
) -> tuple[tuple[LoadLine, ...], tuple[str, ...], tuple[str, ...]]:
    """Return what did not come, what came and is not on the list, and what was named twice.

    `expected` are the lines of the list, `came` the names that were counted at the other end (serial,
    tag or painted number, as typed) and `tags` the tags that were ticked. A name that fits no line is
    over. Raises nothing. Source: common practice.
    """
    seen = set(tags)
    over, twice = [], []
    for name in came:
        key = key_of(name)
        likely = [line for line in expected if key and key in _names(line)]
        likely = likely or [line for line in expected if key and key == key_of(line.painted)]
        fresh = [line for line in likely if line.tag not in seen]
        if not likely:
            over.append(name)
        elif not fresh:
            twice.append(name)
        else:
            seen.add(fresh[0].tag)
    short = tuple(line for line in expected if line.tag not in seen)
    return short, tuple(over), tuple(twice)


def _names(line: LoadLine) -> tuple[str, ...]:
    return key_of(line.tag), key_of(line.serial), key_of(line.owner_no)


def arrival_problems(short: Sequence[LoadLine], over: Sequence[str]) -> list[Problem]:
    """Return a NOTE for each piece that is short and each that is over, by name.

    Raises nothing. Source: common practice.
    `short` and `over` are what `short_and_over` returned.
    """
    problems = [note(f"{line.name} is on the list and did not come.", code="short", where=line.name)
                for line in short]  # fmt: skip
    return problems + [note(f"{name} came and is not on the list.", code="over", where=name) for name in over]


def _line(values: dict[str, Any]) -> LoadLine:
    """A line of a stored list; one that was stored before clocks were on it has none."""
    more = {name: tuple(values.get(name, ())) for name in ("holds", "credited", "events")}
    clocks = tuple(LineClock.from_facts(one) for one in values.get("clocks", ()))
    return LoadLine(**{**values, **more, "clocks": clocks})


def _no_fraction(text: str) -> int:
    raise ValueError(f"not the text of a load: {text} is not a whole number")
