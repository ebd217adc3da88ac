"""Every check with what was measured and the limit beside it, and the verdict they make together."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from inspection.calc.criteria import Limit, Scheme, below_all
from inspection.calc.readings import Reading
from rack.calc.checks import Problem, Severity
from rack.calc.units import NM

_INCH = NM["in"]
_SIGNS = {">=": "at least", "<=": "at most"}


class Outcome(StrEnum):
    """What a check comes to."""

    PASSES = "passes"
    LOWERS = "lowers the class"
    REPAIR = "repair"
    REJECTS = "rejects"
    UNKNOWN = "cannot be judged"
    NOTED = "recorded"


@dataclass(frozen=True)
class Check:
    """One check. `allows` is the best class it leaves, "" where it says nothing about the class; `close` is
    how far the reading is from `limit`; `room` how far it may still go in the class it has; `repair` what
    an end needs. `conf` is the letter of the limit's source."""

    code: str
    part: str
    words: str
    outcome: Outcome
    severity: Severity
    allows: str = ""
    where: str = ""
    measured: str = ""
    limit: str = ""
    unit: str = ""
    close: str = ""
    room: str = ""
    repair: str = ""
    source: str = ""
    conf: str = ""

    @property
    def is_indication(self) -> bool:
        """Whether a method saw something that nobody has proved up yet."""
        return self.outcome is Outcome.UNKNOWN and self.measured == "indication"

    @property
    def problem(self) -> Problem | None:
        """The check as a problem for the page, None when it passes."""
        if self.outcome is Outcome.PASSES:
            return None
        return Problem(self.severity, self.words, code=self.code, where=self.where or self.part,
                       measured=self.measured, limit=self.limit, unit=self.unit, source=self.source)


def inches(nm: int | Fraction, digits: int = 4) -> str:
    """Return a size as it is read: "0.2896", at least three figures after the point; `nm` nanometres.

    `digits` after the point at most, rounded half up. Raises nothing. Source: law 1 of the house.
    """
    steps = Fraction(nm) * 10**digits / _INCH
    whole = int(abs(steps) + Fraction(1, 2))
    text = f"{whole // 10**digits}.{whole % 10**digits:0{digits}d}"
    while text.endswith("0") and len(text.partition(".")[2]) > 3:
        text = text[:-1]
    return f"-{text}" if steps < 0 else text


def meets(limit: Limit, value: int, base: int, parts: int = 1) -> bool:
    """Say whether `value` meets a `limit` in % of `base` / `parts`, compared in whole numbers.

    `value` and `base` in nm; `parts` is how many walls `base` is the sum of. Raises ValueError where the
    limit is no percentage. Source: law 1; the limit's own.
    """
    if limit.unit != "%":
        raise ValueError(f"limit: {limit.code} is in {limit.unit}, not in %")
    left, right = 100 * value * limit.value.denominator * parts, limit.value.numerator * base
    return left >= right if limit.op == ">=" else left <= right


def _sentence(reading: Reading, tail: str) -> str:
    place = f" ({reading.where})" if reading.where else ""
    head = reading.label[:1].upper() + reading.label[1:]
    return f"{head}{place}: {tail}"


def by_share(
    scheme: Scheme, found: tuple[Limit, ...], reading: Reading, base: int, *, parts: int = 1,
    acceptance: str = "", unused: bool = False,
) -> Check:
    """Return the check of a `reading` in nm against limits `found` in % of `base` / `parts` (nm).

    `scheme` gives the order of the classes, `acceptance` the class that is wanted ("" none); `unused`:
    never run, so that the best class may be Class 1. Raises ValueError where `found` is empty.
    Source: each limit's own.
    """  # fmt: skip
    value = reading.nm or 0
    steps = [limit for limit in found if unused or limit.step != "Class 1"]
    at = next((n for n, limit in enumerate(steps) if meets(limit, value, base, parts)), None)
    allows = steps[at].step if at is not None else below_all(scheme, found)
    if unused and at == 0 and scheme.names[0] == "Class 1":
        allows = "Class 1"
    shown = steps[_decides(at, len(steps))]
    edge = shown.value * base / (100 * parts)
    room = _close(value - steps[at].value * base / (100 * parts), steps[at].op) if at is not None else ""
    tail = (f"{inches(value)} in, {shown.step} wants {_SIGNS[shown.op]} {inches(edge)} in "
            f"({float(shown.value):g} % of {inches(Fraction(base, parts))} {shown.reference}): {allows}.")
    lowered = scheme.falls_short(allows, acceptance)
    return Check(
        reading.what, reading.part, _sentence(reading, tail),
        Outcome.PASSES if at == 0 else Outcome.LOWERS, Severity.ASKS if lowered else Severity.NOTE, allows,
        where=reading.where, measured=inches(value), limit=inches(edge), unit="in",
        close=_close(value - edge, shown.op), room=room, source=shown.source, conf=shown.conf,
    )  # fmt: skip


def _decides(passed: int | None, count: int) -> int:
    """Which limit is shown: the one that kept the piece from the next better class, else the best one."""
    return count - 1 if passed is None else max(passed - 1, 0)


def _close(apart: Fraction, op: str) -> str:
    """How far on the good or the bad side of the limit."""
    good = apart >= 0 if op == ">=" else apart <= 0
    if apart == 0:
        return "at the limit"
    return f"{inches(abs(apart))} in {'to spare' if good else 'short'}"


def at_least(
    reading: Reading, limits: Iterable[tuple[str, int]], scheme: Scheme, below: str, source: str, conf: str,
    *, acceptance: str = "", unused: bool = False,
) -> Check:
    """Return the check of a `reading` in nm against smallest sizes: pairs of class and nm, the best first.

    `scheme` orders the classes; `below` is the class under all of `limits`, `acceptance` the class wanted;
    `source` and `conf` of the limits; `unused` as in `by_share`. Raises nothing. Source: the limits' own.
    """  # fmt: skip
    value, known = reading.nm or 0, list(limits)
    passed = next((at for at, (_, nm) in enumerate(known) if value >= nm), None)
    allows = known[passed][0] if passed is not None else below
    shown = known[_decides(passed, len(known))]
    if unused and passed == 0 and scheme.names[0] == "Class 1":
        allows = "Class 1"
    tail = f"{inches(value)} in, {shown[0]} wants at least {inches(shown[1])} in: {allows}."
    lowered = scheme.falls_short(allows, acceptance)
    room = _close(Fraction(value - known[passed][1]), ">=") if passed is not None else ""
    return Check(
        reading.what, reading.part, _sentence(_named(reading), tail),
        Outcome.PASSES if passed == 0 else Outcome.LOWERS, Severity.ASKS if lowered else Severity.NOTE,
        allows, where=reading.where, measured=inches(value), limit=inches(shown[1]), unit="in",
        close=_close(Fraction(value - shown[1]), ">="), room=room, source=source, conf=conf,
    )  # fmt: skip


def _named(reading: Reading) -> Reading:
    place = f"{reading.part}, {reading.where}" if reading.where else reading.part
    return Reading(reading.what, reading.part, reading.nm, reading.ppm, reading.count, reading.word, place)


def told(reading: Reading, tail: str, outcome: Outcome, severity: Severity, **more: str) -> Check:
    """Return a check in words: `tail` follows the name of the `reading`, `more` are fields of `Check`.

    `outcome` and `severity` as decided by the caller. Raises nothing. Source: the caller's.
    """
    return Check(reading.what, reading.part, _sentence(_named(reading), tail), outcome, severity,
                 where=reading.where, **more)
