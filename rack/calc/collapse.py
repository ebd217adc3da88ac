"""Collapse of a tube under outside pressure: the four regimes of API 5C3, factors left unrounded."""

from dataclasses import dataclass
from math import sqrt

from rack.calc.figures import figure
from rack.calc.given import number_in
from rack.calc.worked import Worked

#: Allowed yield strengths in psi: the polynomials of API 5C3 were fitted to oilfield grades.
LOWEST_YIELD_PSI, HIGHEST_YIELD_PSI = 20_000, 200_000
#: Largest outside diameter in inches that is taken for a tube here.
LARGEST_OD_IN = 60

SOURCE = "API 5C3, historical collapse formulas; factors A, B, C, F, G not rounded (from memory, checked)"
#: The elastic constant of API 5C3 in psi: it stands in the elastic regime and in factor F.
_ELASTIC_PSI = 46.95e6


@dataclass(frozen=True)
class Factors:
    """The factors of one yield strength: `a`, `b`, `f`, `g` have no unit, `c` is in psi.

    `yield_to`, `plastic_to` and `transition_to` are the D/t up to which each regime holds.
    """

    a: float
    b: float
    c: float
    f: float
    g: float
    yield_to: float
    plastic_to: float
    transition_to: float


def factors(yield_psi: float) -> Factors:
    """Return the collapse factors of API 5C3 and the D/t where one regime hands over to the next.

    `yield_psi` is the minimum yield in psi, 20,000 to 200,000; outside it a ValueError names it.
    Source: API 5C3, unrounded.
    """
    y = number_in("yield_psi", yield_psi, "psi", LOWEST_YIELD_PSI, HIGHEST_YIELD_PSI)
    a = 2.8762 + 0.10679e-5 * y + 0.21301e-10 * y**2 - 0.53132e-16 * y**3
    b = 0.026233 + 0.50609e-6 * y
    c = -465.93 + 0.030867 * y - 0.10483e-7 * y**2 + 0.36989e-13 * y**3
    ratio = b / a
    peak = 3 * ratio / (2 + ratio)
    f = _ELASTIC_PSI * peak**3 / (y * (peak - ratio) * (1 - peak) ** 2)
    g = f * ratio
    slope = b + c / y
    return Factors(
        a, b, c, f, g,
        yield_to=(sqrt((a - 2) ** 2 + 8 * slope) + (a - 2)) / (2 * slope),
        plastic_to=y * (a - f) / (c + y * (b - g)),
        transition_to=(2 + ratio) / (3 * ratio),
    )  # fmt: skip


@dataclass(frozen=True)
class Collapse:
    """Collapse pressure `psi` in psi and the `regime` that governs it."""

    psi: float
    regime: str


@dataclass(frozen=True)
class CollapseWorked:
    """One `Worked` for each result of `Collapse`: `psi` in psi and the `regime`."""

    psi: Worked
    regime: Worked


def collapse(od_in: float, wall_in: float, yield_psi: float) -> Collapse:
    """Return the collapse pressure in psi of a tube without inside pressure or pull, and its regime.

    `od_in` and `wall_in` are the true dimensions in inches (od at most 60, wall less than half of it),
    `yield_psi` the minimum yield in psi, 20,000 to 200,000. A ValueError names what is out of range.
    Source: API 5C3.
    """
    worked = collapse_worked(od_in, wall_in, yield_psi)
    return Collapse(worked.psi.value, worked.regime.value)


def collapse_worked(od_in: float, wall_in: float, yield_psi: float) -> CollapseWorked:
    """Return `collapse` with formula, inputs and steps, one `Worked` a result.

    `od_in`, `wall_in` in inches, `yield_psi` in psi, ranges and ValueError as in `collapse`.
    Source: API 5C3.
    """
    od = number_in("od_in", od_in, "in", 0, LARGEST_OD_IN, above=True)
    wall = number_in("wall_in", wall_in, "in", 0, od / 2, above=True, below=True)
    k = factors(yield_psi)
    y, slender = float(yield_psi), od / wall
    if slender <= k.yield_to:
        regime, formula = "yield", "2 x Ym x (D/t - 1) / (D/t)^2"
        pressure = 2 * y * (slender - 1) / slender**2
    elif slender <= k.plastic_to:
        regime, formula = "plastic", "Ym x (A / (D/t) - B) - C"
        pressure = y * (k.a / slender - k.b) - k.c
    elif slender <= k.transition_to:
        regime, formula = "transition", "Ym x (F / (D/t) - G)"
        pressure = y * (k.f / slender - k.g)
    else:
        regime, formula = "elastic", "46,950,000 / (D/t x (D/t - 1)^2)"
        pressure = _ELASTIC_PSI / (slender * (slender - 1) ** 2)
    inputs = {"D": f"{figure(od)} in", "t": f"{figure(wall)} in", "Ym": f"{figure(y)} psi"}
    steps = (
        f"D/t = {figure(od)} / {figure(wall)} = {figure(slender)}",
        f"A = {figure(k.a)}, B = {figure(k.b)}, C = {figure(k.c)}, F = {figure(k.f)}, G = {figure(k.g)}",
        f"yield to D/t {figure(k.yield_to)}, plastic to {figure(k.plastic_to)}, "
        f"transition to {figure(k.transition_to)}, elastic beyond",
        f"{regime}: {formula} = {figure(pressure)} psi",
    )
    return CollapseWorked(
        Worked(pressure, "psi", formula, inputs, steps, SOURCE),
        Worked(regime, "", "the regime in whose range D/t lies", inputs, steps[:3], SOURCE),
    )
