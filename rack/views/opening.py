"""A figure of the reference pages as the site reads it: the number, its unit, and the working behind it."""

from dataclasses import dataclass, replace
from fractions import Fraction

from rack.calc.figures import figure
from rack.calc.lookup import CONFIDENCE
from rack.calc.reference.parts import Opened, Part, named
from rack.calc.units import FACTORS, PRESETS, factor
from rack.calc.worked import Worked
from rack.models import Site

#: Unit that calc gives -> the quantity it is of and the name it has in `units`.
_QUANTITY = {
    "lb": ("force", "lbf"), "ft-lb": ("torque", "ft-lb"), "psi": ("pressure", "psi"),
    "lb/ft": ("weight", "lb/ft"), "ft": ("length", "ft"),
}  # fmt: skip
_DIGITS = {
    "kN": 1,
    "kN·m": 2,
    "bar": 0,
    "kg/m": 2,
    "lb/ft": 2,
    "m": 2,
    "ft": 2,
    "L/m": 3,
    "lb": 0,
    "ft-lb": 0,
    "psi": 0,
}
#: Litres a metre for one barrel a foot: 42 US gallons of 231 in3, exact.
_L_M_FOR_BBL_FT = 42 * FACTORS["length"]["in"] ** 3 * 231 * 1000 / FACTORS["length"]["ft"]


@dataclass(frozen=True)
class Shown:
    """One figure as it stands on a page."""

    label: str
    text: str
    worked: Worked
    mark: str = ""
    aside: str = ""


@dataclass(frozen=True)
class ShownPart:
    """A part as it stands on a page."""

    title: str
    figures: tuple[Shown, ...]
    sentences: tuple[str, ...]
    mark: str


def shown_parts(parts: tuple[Part, ...], site: Site) -> list[ShownPart]:
    """The parts as the site reads them; one without anything to say is left out."""
    return [
        ShownPart(part.title, tuple(shown(one, site) for one in part.figures), part.sentences, part.mark)
        for part in parts
        if part.figures or part.sentences
    ]


def shown(one: Opened, site: Site) -> Shown:
    """A figure in the unit of the site, with a last step where that is not the unit it was worked in."""
    worked = replace(one.worked, source=named(one.worked.source))
    if isinstance(worked.value, str):
        return Shown(one.label, f"{worked.value} {worked.unit}".strip(), worked, one.mark, one.aside)
    value, unit = _turned(worked, site)
    text = f"{_rounded(value, unit)} {unit}".strip()
    if unit != worked.unit:
        step = f"{_rounded(float(worked.value), worked.unit)} {worked.unit} = {text}"
        worked = replace(worked, steps=(*worked.steps, step))
    return Shown(one.label, text, worked, one.mark, one.aside)


def _turned(worked: Worked, site: Site) -> tuple[float, str]:
    value = float(worked.value)
    if worked.unit == "bbl/ft" and site.length_unit == "m":
        return float(Fraction(value) * _L_M_FOR_BBL_FT), "L/m"
    if worked.unit not in _QUANTITY:
        return value, worked.unit
    quantity, name = _QUANTITY[worked.unit]
    wanted = PRESETS[site.units][quantity]
    if wanted == name:
        return value, worked.unit
    return float(Fraction(value) * factor(quantity, name, wanted)), wanted


def _rounded(value: float, unit: str) -> str:
    if unit in _DIGITS:
        return f"{value:,.{_DIGITS[unit]}f}"
    return figure(value, 4 if unit in ("", "bbl/ft", "in2", "in3", "turns") else 6)


def confidence(letter: str) -> str:
    """A letter of confidence in words: "A: seen in two places or more"."""
    return f"{letter}: {CONFIDENCE[letter]}" if len(letter) == 1 else CONFIDENCE[letter]
