"""Figures that stand in a remark: depths from and to, turns a minute, flow."""

import re
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.units import NM, nm_per

#: No hole is deeper: 20 km.
DEEPEST_NM = 20_000 * NM["m"]

_NUMBER = r"\d{1,5}(?:[.,]\d{1,3}){0,2}"
_M = r"(?:m|mtr|mtrs|met(?:er|re)s?|ft|feet|')(?![\w³²/]|\s?/|\s?(?:per|pr)\b)\s?(?:md|mmd|rkb|tvd)?"
_PAIR = re.compile(
    rf"\b(?:from|f/|fr\.?)\s?({_NUMBER})\s?({_M})?[a-z0-9 \"/]{{0,30}}?\s?(?:to|t/|-|–)\s?"
    rf"(?:[a-z ]{{0,40}}?\bat\s)?({_NUMBER})\s?({_M})"
)
_TO = re.compile(rf"\b(?:to|t/|at)\s?({_NUMBER})\s?({_M})")
_RANGE = r"(\d{1,5}(?:[.,]\d+)?)(?:\s?(?:-|–|to)\s?(\d{1,5}(?:[.,]\d+)?))?"
_RPM = re.compile(
    r"(?<!bit )(?<!motor )\b(?:string |surface |td |tds )?rpm ?[:=]? ?(\d{1,3})(?:\s?[-–]\s?(\d{1,3}))?"
    r"|(?<![\d/.,-])(\d{1,3})(?:\s?[-–]\s?(\d{1,3}))? ?rpm\b"
)
_FLOW = re.compile(rf"{_RANGE} ?(lpm|l/min|gpm)\b")


@dataclass(frozen=True)
class Figure:
    """A figure of a remark from `low` to `high` in `unit` ("rpm", "l/min", "gpm"); the same twice for one."""

    low: int
    high: int
    unit: str

    @property
    def middle(self) -> int:
        """The middle of the two, a half upward."""
        return (self.low + self.high + 1) // 2

    def __str__(self) -> str:
        if self.low == self.high:
            return f"{self.low:,} {self.unit}"
        return f"{self.low:,} to {self.high:,} {self.unit}"


def depth_nm(text: str, unit: str, *, near: int | None = None) -> int | None:
    """Return the depth written in `text` in whole nanometres, None for a blank or what is no depth.

    "3510", "2665,6", "3,035", "12,450.5" in `unit` ("m" or "ft"). A single mark before three figures is
    read as thousands unless the other reading lies nearer to `near`, a depth in nanometres. Raises
    ValueError for an unknown unit. Source: common practice; the foot is exact.
    """
    per = nm_per(unit)
    plain = "".join(text.split())
    if not re.fullmatch(r"\d{1,6}(?:[.,]\d{1,6}){0,2}", plain) or not plain.isascii():
        return None
    exact = [value * per for value in _values(plain)]
    readings = [int(value) for value in exact if value <= DEEPEST_NM]
    if not readings:
        return None
    if near is not None:
        return min(readings, key=lambda nm: abs(nm - near))
    return readings[0]


def _values(plain: str) -> list[Fraction]:
    """Every reading of a number, the likelier first."""
    marks = [sign for sign in plain if sign in ".,"]
    if not marks:
        return [Fraction(int(plain))]
    head, mark, tail = plain.rpartition(marks[-1])
    whole = re.sub(r"[.,]", "", head)
    decimal = Fraction(int(whole + tail), 10 ** len(tail))
    if len(marks) == 2:
        return [Fraction(int(whole + tail))] if marks[0] == marks[1] else [decimal]
    if len(tail) == 3 and int(whole) > 0 and len(whole) <= 3:
        thousands = Fraction(int(whole + tail))
        return [thousands, decimal] if mark == "," else [decimal, thousands]
    return [decimal]


def depths_in(
    text: str, unit: str = "m", *, near: int | None = None
) -> tuple[tuple[int, int], ...]:
    """Return every pair of depths "from 3035 m to 3040 m" of `text` in whole nanometres, in its order.

    `text` in lower case; a pair without a unit counts in `unit`, but one of the two must name it, so that
    "from 1.40 sg to 1.45 sg" and "from 5 to 30 m/hr" are no depths. `near` as for `depth_nm`. Raises
    ValueError for an unknown unit. Source: common practice.
    """
    found = []
    for pair in _PAIR.finditer(text):
        own = _unit(pair[4]) or _unit(pair[2]) or unit
        first = depth_nm(pair[1], _unit(pair[2]) or own, near=near)
        second = depth_nm(pair[3], own, near=near)
        if first is not None and second is not None:
            found.append((first, second))
    return tuple(found)


def depth_reached(text: str, unit: str = "m", *, near: int | None = None) -> int | None:
    """Return the last depth "to 3035 m" or "at 3507 m" that `text` names, whole nanometres, or None.

    `text` in lower case, `unit` and `near` as for `depths_in`. Raises ValueError for an unknown unit.
    Source: common practice.
    """
    last = None
    for found in _TO.finditer(text):
        last = depth_nm(found[1], _unit(found[2]) or unit, near=near)
    return last


def _unit(text: str | None) -> str:
    if not text:
        return ""
    return "ft" if text.startswith(("f", "'")) else "m"


def rpm_in(text: str) -> Figure | None:
    """Return the turns a minute of the string that `text` names first, None when it names none.

    `text` in lower case: "string rpm 150-180", "20 rpm". The rpm of a bit or a motor is not the string's.
    Raises nothing. Source: common practice.
    """
    found = _RPM.search(text)
    if found is None:
        return None
    low = int(found[1] or found[3])
    high = int(found[2] or found[4] or low)
    return Figure(min(low, high), max(low, high), "rpm")


def flow_in(text: str) -> Figure | None:
    """Return the flow that `text` names first, as it stands there ("l/min" or "gpm"), None for none.

    `text` in lower case. Raises nothing. Source: common practice.
    """
    found = _FLOW.search(text)
    if found is None:
        return None
    low = _rounded(found[1])
    high = _rounded(found[2]) if found[2] else low
    return Figure(min(low, high), max(low, high), "gpm" if found[3] == "gpm" else "l/min")


def _rounded(text: str) -> int:
    return int(Fraction(text.replace(",", ".")) + Fraction(1, 2))
