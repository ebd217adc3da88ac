"""Interval rules: the trade's defaults, what maker, contract, company and law say, and which one holds."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache

from inspection.calc.lookup import number, rows
from rack.calc.checks import Severity
from rack.calc.hours import PIECE_CLOCKS
from rack.calc.kinds import KINDS
from rack.calc.standing import BASES, EVER

AUTHORITIES = ("default", "maker", "contract", "company", "law")
#: Severity of service -> which of the three figures is the due limit (trade guide 3).
SERVICES = {"severe": "low", "typical": "typical", "light": "high"}
#: The clocks of the register, and the calendar.
CLOCKS = (*PIECE_CLOCKS, "days", "months")
#: Circumstances that a rule may be bound to; "" is always.
ONLY = ("", "steel", "non-magnetic", "stored", "drilled inside", "lifting")
#: The margin of the site by which "soon" comes before "due".
ONE_TENTH = Fraction(1, 10)
_PER_UNIT = {"h": 3600, "days": 1, "months": 1, "run": 1, "trip": 1}
_DAYS_PER_MONTH = Fraction(1461, 48)


@dataclass(frozen=True)
class Rule:
    """One interval. `kind` and `service` "" are any; `due`, `soon`, `over` are amounts since zero of
    `clock` (whole seconds, counts, nm, days or months), None where the rule does not say. Raises ValueError
    for what is none of `CLOCKS`, `BASES`, `AUTHORITIES`, `SERVICES`, `ONLY`, or a limit out of order."""

    kind: str
    clock: str
    basis: str
    due: int
    service: str = ""
    soon: int | None = None
    over: int | None = None
    authority: str = "default"
    from_on: date = EVER
    only: str = ""
    source: str = ""
    conf: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        for name, value, allowed in (
            ("kind", self.kind, ("", *KINDS)), ("clock", self.clock, CLOCKS), ("basis", self.basis, BASES),
            ("service", self.service, ("", *SERVICES)), ("authority", self.authority, AUTHORITIES),
            ("only", self.only, ONLY),
        ):  # fmt: skip
            if value not in allowed:
                raise ValueError(f"{name}: {value!r} is none of {', '.join(one for one in allowed if one)}")
        if self.due <= 0:
            raise ValueError(f"due: {self.due} is not above 0")
        if self.soon is not None and not 0 <= self.soon <= self.due:
            raise ValueError(f"soon: {self.soon} is not from 0 to due, {self.due}")
        if self.over is not None and self.over < self.due:
            raise ValueError(f"over: {self.over} is less than due, {self.due}")

    @property
    def severity(self) -> Severity:
        """A default of ours is only ever a note; maker, contract, company and law stop (law 9)."""
        return Severity.NOTE if self.authority == "default" else Severity.STOPS

    @property
    def family(self) -> tuple[str, str]:
        """Clock and basis; days and months run on one calendar."""
        return ("days" if self.clock == "months" else self.clock, self.basis)


@cache
def default_rules() -> tuple[Rule, ...]:
    """Return the shipped intervals, each as three rules by severity of service. Takes and raises nothing.

    Rows without a figure are left out. Source: table "intervals/intervals", common practice where it says.
    """
    found = []
    for row in rows("intervals/intervals"):
        per = _PER_UNIT.get(row["unit"], 0)
        for kind in row["kinds"].split() if row["clock"] and row["basis"] and per else ():
            for service, column in SERVICES.items():
                value = number(row[column])
                if value is not None:
                    clock = "months" if row["unit"] == "months" else row["clock"]
                    found.append(Rule(kind, clock, row["basis"], int(value * per), service=service,
                                      authority=row["authority"], only=row["only"], source=row["source"],
                                      conf=row["conf"], note=row["note"]))
    return tuple(found)


def strictness(rule: Rule) -> Fraction:
    """Return the due limit of `rule` in the unit of its family, months as days of the mean month.

    Raises nothing. Source: 365.25 days in 12 months.
    """
    return rule.due * _DAYS_PER_MONTH if rule.clock == "months" else Fraction(rule.due)


def governing(
    rules: Sequence[Rule], kind: str, service: str, on: date, *, circumstances: Iterable[str] = ()
) -> tuple[Rule, ...]:
    """Return the one of `rules` for each clock and basis that holds for a `kind` in `service` `on` a day.

    A later rule of the same authority supersedes an earlier one; the maker's figure overrides the default;
    contract, company and law hold where they are stricter than that. `circumstances` are words of `ONLY`.
    Raises ValueError for an unknown kind or service. Source: trade guide 3, common practice.
    """
    families = _families(rules, kind, service, on, circumstances)
    return tuple(_holds(by_authority) for by_authority in families)


def backstops(
    rules: Sequence[Rule], kind: str, service: str, on: date, *, circumstances: Iterable[str] = ()
) -> tuple[Rule, ...]:
    """Return the strictest of `rules` of maker, contract, company and law where another, stricter one holds.

    A default of ours may make a piece due sooner, but it only tells: past the contract's own figure the
    piece stops all the same. `kind`, `service`, `on` and `circumstances` as `governing`, no unit. Raises
    ValueError as `governing`. Source: law 9 of the house.
    """
    found = []
    for by_authority in _families(rules, kind, service, on, circumstances):
        hard = [rule for name, rule in by_authority.items() if name != "default"]
        if hard and _holds(by_authority).authority == "default":
            found.append(min(hard, key=strictness))
    return tuple(found)


def _families(
    rules: Sequence[Rule], kind: str, service: str, on: date, circumstances: Iterable[str]
) -> list[dict[str, Rule]]:
    """The newest rule of each authority that fits, family by family."""
    if kind not in KINDS or service not in SERVICES:
        raise ValueError(f"{kind!r} is no kind or {service!r} none of {', '.join(SERVICES)}")
    here = {"", *circumstances}
    newest: dict[tuple[tuple[str, str], str], Rule] = {}
    for rule in rules:
        fits = rule.kind in ("", kind) and rule.service in ("", service) and rule.only in here
        if fits and rule.from_on <= on:
            key = (rule.family, rule.authority)
            if key not in newest or _rank(rule) >= _rank(newest[key]):
                newest[key] = rule
    families: dict[tuple[str, str], dict[str, Rule]] = {}
    for (family, authority), rule in newest.items():
        families.setdefault(family, {})[authority] = rule
    return list(families.values())


def _rank(rule: Rule) -> tuple[bool, date, bool, bool]:
    """What is said of this kind outweighs what is said of any; then the later day, then the narrower rule."""
    return (rule.kind != "", rule.from_on, rule.only != "", rule.service != "")


def _holds(by_authority: dict[str, Rule]) -> Rule:
    base = by_authority.get("maker") or by_authority.get("default")
    rivals = [rule for name, rule in by_authority.items() if name not in ("maker", "default")]
    order = AUTHORITIES[::-1]
    return min([*rivals, *([base] if base else [])],
               key=lambda rule: (strictness(rule), order.index(rule.authority)))


def soon_of(rule: Rule, margin: Fraction = ONE_TENTH) -> int:
    """Return the soon limit of `rule`: its own, else due less the `margin` (a share), in whole numbers.

    Raises ValueError for a margin outside 0 to 1. Source: soon = due less a margin of the site, one tenth.
    """
    if not 0 <= margin <= 1:
        raise ValueError(f"margin: {margin} is not from 0 to 1")
    if rule.soon is not None:
        return rule.soon
    return rule.due - rule.due * margin.numerator // margin.denominator


def over_of(rule: Rule) -> int:
    """Return the over limit of `rule`: its own, else due. Raises nothing. Source: over = due unless said."""
    return rule.due if rule.over is None else rule.over
