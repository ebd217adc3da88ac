"""The pipe body: what is left of it when it is worn, and what that carries.

Worn pipe is taken as worn outside: the bore stays nominal, the wall shrinks to the fraction that its
class, or a reading, leaves of it. Burst alone goes by the nominal diameter.
"""

from dataclasses import dataclass
from math import pi, sqrt

from rack.calc.collapse import HIGHEST_YIELD_PSI, LARGEST_OD_IN, LOWEST_YIELD_PSI, collapse_worked
from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.worked import Worked

#: The classes of used drill pipe, best first, as RP 7G names them.
PIPE_CLASSES = ("new", "premium", "class 2")
#: Wall left for the strength of each class, as a fraction of the nominal wall (RP 7G).
WALL_LEFT = {"new": 1.0, "premium": 0.8, "class 2": 0.7}
#: Wall left for burst: new pipe may be 12.5 % thin from the mill (API Spec 5D).
BURST_WALL = {"new": 0.875, "premium": 0.8, "class 2": 0.7}

#: 0.577 x 2 / 12: ft-lb of torsion at shear yield (57.7 % of yield), as RP 7G rounds it.
TORSION_FACTOR = 0.096167
#: lb/ft of steel for one square inch of section, as API rounds it.
STEEL_LB_FT_IN2 = 3.3996
#: ft-lb for one turn in 1,000 ft for one in4 of J: 2 pi G / 144,000 with G = 11.71e6 psi.
TURN_FACTOR = 510.945

_RP7G = "RP 7G, worn pipe with nominal bore"


@dataclass(frozen=True)
class Geometry:
    """A pipe body: diameters and wall in in, area in in2, moduli in in3, inertia in in4, lb/ft plain end."""

    od_in: float
    wall_in: float
    bore_in: float
    area_in2: float
    polar_inertia_in4: float
    polar_modulus_in3: float
    section_modulus_in3: float
    plain_end_lb_ft: float


@dataclass(frozen=True)
class GeometryWorked:
    """One `Worked` for each figure of `Geometry`, under the same names and in the same units."""

    od_in: Worked
    wall_in: Worked
    bore_in: Worked
    area_in2: Worked
    polar_inertia_in4: Worked
    polar_modulus_in3: Worked
    section_modulus_in3: Worked
    plain_end_lb_ft: Worked


@dataclass(frozen=True)
class Strengths:
    """What a pipe body carries: pull in lb, torsion in ft-lb, burst and collapse in psi, and the regime."""

    tensile_lb: float
    torsion_ft_lb: float
    burst_psi: float
    collapse_psi: float
    collapse_regime: str


@dataclass(frozen=True)
class StrengthsWorked:
    """One `Worked` for each result of `Strengths`, under the same names and in the same units."""

    tensile_lb: Worked
    torsion_ft_lb: Worked
    burst_psi: Worked
    collapse_psi: Worked
    collapse_regime: Worked


@dataclass(frozen=True)
class _Worn:
    od: float
    wall: float
    left: float
    inputs: dict[str, str]


def _worn(od_in: float, wall_in: float, pipe_class: str, wall_left: float | None) -> _Worn:
    od = number_in("od_in", od_in, "in", 0, LARGEST_OD_IN, above=True)
    wall = number_in("wall_in", wall_in, "in", 0, od / 2, above=True, below=True)
    left = WALL_LEFT[one_of("pipe_class", pipe_class, PIPE_CLASSES)]
    said = pipe_class
    if wall_left is not None:
        left = number_in("wall_left", wall_left, "", 0, 1, above=True)
        said = "measured"
    inputs = {"D": f"{figure(od)} in", "t": f"{figure(wall)} in", "r": f"{figure(left)} ({said})"}
    return _Worn(od, wall, left, inputs)


def _yield(yield_psi: float) -> float:
    return number_in("yield_psi", yield_psi, "psi", LOWEST_YIELD_PSI, HIGHEST_YIELD_PSI)


def geometry(od_in: float, wall_in: float, pipe_class: str, *, wall_left: float | None = None) -> Geometry:
    """Return the dimensions, section and plain-end weight that strength is worked out with.

    `od_in` (to 60) and `wall_in` (less than half of it) are nominal, in inches; `pipe_class` is "new",
    "premium" or "class 2"; `wall_left`, a fraction of the nominal wall over 0 and to 1 (no unit),
    replaces the class. A ValueError names what is out of range. Source: RP 7G.
    """
    worked = geometry_worked(od_in, wall_in, pipe_class, wall_left=wall_left)
    return Geometry(**{name: getattr(worked, name).value for name in GeometryWorked.__dataclass_fields__})


def geometry_worked(
    od_in: float, wall_in: float, pipe_class: str, *, wall_left: float | None = None
) -> GeometryWorked:
    """Return `geometry` with formula, inputs and steps, one `Worked` a figure.

    `od_in`, `wall_in` in inches, `pipe_class`, `wall_left`, ranges and ValueError as in `geometry`.
    Source: RP 7G.
    """
    worn = _worn(od_in, wall_in, pipe_class, wall_left)
    bore = worn.od - 2 * worn.wall
    wall = worn.left * worn.wall
    od = bore + 2 * wall
    area = pi / 4 * (od**2 - bore**2)
    inertia = pi / 32 * (od**4 - bore**4)
    dims = f"D' = {figure(od)} in, d = {figure(bore)} in"

    def one(value: float, unit: str, formula: str, *steps: str) -> Worked:
        last = f"{formula} = {figure(value)} {unit}"
        return Worked(value, unit, formula, worn.inputs, (*steps, last), _RP7G)

    return GeometryWorked(
        od_in=one(od, "in", "D' = d + 2 x r x t", f"d = D - 2 x t = {figure(bore)} in"),
        wall_in=one(wall, "in", "t' = r x t"),
        bore_in=one(bore, "in", "d = D - 2 x t"),
        area_in2=one(area, "in2", "A' = pi/4 x (D'^2 - d^2)", dims),
        polar_inertia_in4=one(inertia, "in4", "J' = pi/32 x (D'^4 - d^4)", dims),
        polar_modulus_in3=one(2 * inertia / od, "in3", "2 x J' / D'", dims, f"J' = {figure(inertia)} in4"),
        section_modulus_in3=one(inertia / od, "in3", "J' / D'", dims, f"J' = {figure(inertia)} in4"),
        plain_end_lb_ft=one(STEEL_LB_FT_IN2 * area, "lb/ft", "3.3996 x A'", f"A' = {figure(area)} in2"),
    )


def strengths(
    od_in: float, wall_in: float, yield_psi: float, pipe_class: str, *, wall_left: float | None = None
) -> Strengths:
    """Return pull, torsion, burst and collapse at yield of a pipe body, for its class or a measured wall.

    `od_in` (to 60) and `wall_in` (less than half of it) are nominal, in inches; `yield_psi` is the minimum
    yield in psi, 20,000 to 200,000; `pipe_class` is "new", "premium" or "class 2"; `wall_left`, a fraction
    of the nominal wall over 0 and to 1 (no unit), replaces the class in every formula, so that a measured
    0.90 may burst above new pipe, whose wall may be 12.5 % thin from the mill. A ValueError names what is
    out of range. Source: RP 7G (pull, torsion), API Spec 5D mill tolerance (burst), API 5C3 (collapse).
    """
    worked = strengths_worked(od_in, wall_in, yield_psi, pipe_class, wall_left=wall_left)
    return Strengths(**{name: getattr(worked, name).value for name in StrengthsWorked.__dataclass_fields__})


def strengths_worked(
    od_in: float, wall_in: float, yield_psi: float, pipe_class: str, *, wall_left: float | None = None
) -> StrengthsWorked:
    """Return `strengths` with formula, inputs and steps, one `Worked` a result.

    `od_in`, `wall_in` in inches, `yield_psi` in psi, `pipe_class`, `wall_left`, ranges and ValueError as in
    `strengths`. Source: RP 7G, API Spec 5D, API 5C3.
    """
    worn = _worn(od_in, wall_in, pipe_class, wall_left)
    y = _yield(yield_psi)
    body = geometry(od_in, wall_in, pipe_class, wall_left=wall_left)
    inputs = {**worn.inputs, "Ym": f"{figure(y)} psi"}
    dims = f"D' = {figure(body.od_in)} in, d = {figure(body.bore_in)} in"
    k = BURST_WALL[pipe_class] if wall_left is None else worn.left
    tensile = y * body.area_in2
    torsion = TORSION_FACTOR * body.polar_inertia_in4 * y / body.od_in
    burst = 2 * y * k * worn.wall / worn.od
    squeezed = collapse_worked(body.od_in, body.wall_in, y)
    worn_first = f"{dims}, t' = {figure(body.wall_in)} in; D and t below are the worn ones"
    return StrengthsWorked(
        Worked(tensile, "lb", "Ym x pi/4 x (D'^2 - d^2)", inputs,
               (dims, f"A' = {figure(body.area_in2)} in2", f"Ym x A' = {figure(tensile)} lb"), _RP7G),
        Worked(torsion, "ft-lb", "0.096167 x J' x Ym / D'", inputs,
               (dims, f"J' = pi/32 x (D'^4 - d^4) = {figure(body.polar_inertia_in4)} in4",
                f"0.096167 x J' x Ym / D' = {figure(torsion)} ft-lb"), _RP7G),
        Worked(burst, "psi", "2 x Ym x k x t / D, D and t nominal", {**inputs, "k": figure(k)},
               (f"2 x {figure(y)} x {figure(k)} x {figure(worn.wall)} / {figure(worn.od)} = "
                f"{figure(burst)} psi",), "API internal yield (Barlow); k = 0.875 new by API Spec 5D"),
        Worked(squeezed.psi.value, "psi", squeezed.psi.formula, inputs,
               (worn_first, *squeezed.psi.steps), squeezed.psi.source),
        Worked(squeezed.regime.value, "", squeezed.regime.formula, inputs,
               (worn_first, *squeezed.regime.steps), squeezed.regime.source),
    )  # fmt: skip


def torsion_under_pull_ft_lb(
    od_in: float, wall_in: float, yield_psi: float, pipe_class: str, pull_lb: float,
    *, wall_left: float | None = None,
) -> float:  # fmt: skip
    """Return the torsion in ft-lb at which a pipe body under pull begins to yield.

    `od_in`, `wall_in` (in), `yield_psi` (psi), `pipe_class` and `wall_left` (fraction) as in `strengths`;
    `pull_lb` is the pull in lb, 0 to the tensile strength. A ValueError names what is out of range.
    Source: RP 7G appendix, from memory; von Mises.
    """
    given = (od_in, wall_in, yield_psi, pipe_class, pull_lb)
    return float(torsion_under_pull_ft_lb_worked(*given, wall_left=wall_left).value)


def torsion_under_pull_ft_lb_worked(
    od_in: float, wall_in: float, yield_psi: float, pipe_class: str, pull_lb: float,
    *, wall_left: float | None = None,
) -> Worked:  # fmt: skip
    """Return `torsion_under_pull_ft_lb` with formula, inputs and steps.

    `od_in`, `wall_in` in inches, `yield_psi` in psi, `pipe_class`, `pull_lb` in lb, `wall_left`, ranges
    and ValueError as in `torsion_under_pull_ft_lb`. Source: RP 7G appendix, from memory.
    """
    worn = _worn(od_in, wall_in, pipe_class, wall_left)
    y = _yield(yield_psi)
    body = geometry(od_in, wall_in, pipe_class, wall_left=wall_left)
    pull = number_in("pull_lb", pull_lb, "lb", 0, y * body.area_in2)
    stress = pull / body.area_in2
    torsion = TORSION_FACTOR * body.section_modulus_in3 * sqrt(max(0.0, y**2 - stress**2))
    steps = (
        f"A' = {figure(body.area_in2)} in2, J'/D' = {figure(body.section_modulus_in3)} in3",
        f"P/A' = {figure(stress)} psi",
        f"0.096167 x J'/D' x sqrt(Ym^2 - (P/A')^2) = {figure(torsion)} ft-lb",
    )
    inputs = {**worn.inputs, "Ym": f"{figure(y)} psi", "P": f"{figure(pull)} lb"}
    formula = "0.096167 x J'/D' x sqrt(Ym^2 - (P/A')^2)"
    return Worked(torsion, "ft-lb", formula, inputs, steps, "RP 7G appendix, from memory (von Mises)")


def torque_turn_ft_lb(
    od_in: float, wall_in: float, pipe_class: str, *, wall_left: float | None = None
) -> float:
    """Return the torque in ft-lb that winds 1,000 ft of pipe body by one turn, tool joints left out.

    `od_in`, `wall_in` (in), `pipe_class` and `wall_left` (fraction) as in `geometry`; a ValueError names
    what is out of range. Source: a K-factor table in an open handbook; G = 11.71e6 psi inferred from it.
    """
    return float(torque_turn_ft_lb_worked(od_in, wall_in, pipe_class, wall_left=wall_left).value)


def torque_turn_ft_lb_worked(
    od_in: float, wall_in: float, pipe_class: str, *, wall_left: float | None = None
) -> Worked:
    """Return `torque_turn_ft_lb` with formula, inputs and steps.

    `od_in`, `wall_in` in inches, `pipe_class`, `wall_left`, ranges and ValueError as in `geometry`.
    Source: K-factor table, G inferred.
    """
    worn = _worn(od_in, wall_in, pipe_class, wall_left)
    inertia = geometry(od_in, wall_in, pipe_class, wall_left=wall_left).polar_inertia_in4
    torque = TURN_FACTOR * inertia
    steps = (f"J' = {figure(inertia)} in4", f"510.945 x J' = {figure(torque)} ft-lb")
    return Worked(torque, "ft-lb", "510.945 x J'", worn.inputs, steps,
                  "K-factor table of an open handbook; G = 11.71e6 psi inferred from it")  # fmt: skip


def twist_turns(
    od_in: float, wall_in: float, pipe_class: str, torque_ft_lb: float, length_ft: float,
    *, wall_left: float | None = None,
) -> float:  # fmt: skip
    """Return the turns that `torque_ft_lb` winds into `length_ft` of pipe body (elastic, no friction).

    `od_in`, `wall_in` (in), `pipe_class` and `wall_left` (fraction) as in `geometry`; `torque_ft_lb` in
    ft-lb, 0 to 1,000,000; `length_ft` in ft, 0 to 60,000. A ValueError names what is out of range.
    Source: as `torque_turn_ft_lb`.
    """
    worked = twist_turns_worked(od_in, wall_in, pipe_class, torque_ft_lb, length_ft, wall_left=wall_left)
    return float(worked.value)


def twist_turns_worked(
    od_in: float, wall_in: float, pipe_class: str, torque_ft_lb: float, length_ft: float,
    *, wall_left: float | None = None,
) -> Worked:  # fmt: skip
    """Return `twist_turns` with formula, inputs and steps.

    `od_in`, `wall_in` in inches, `pipe_class`, `torque_ft_lb` in ft-lb, `length_ft` in ft, `wall_left`,
    ranges and ValueError as in `twist_turns`. Source: as `torque_turn_ft_lb`.
    """
    one = torque_turn_ft_lb_worked(od_in, wall_in, pipe_class, wall_left=wall_left)
    torque = number_in("torque_ft_lb", torque_ft_lb, "ft-lb", 0, 1_000_000)
    length = number_in("length_ft", length_ft, "ft", 0, 60_000)
    turns = torque * length / (1000 * one.value)
    inputs = {**one.inputs, "Q": f"{figure(torque)} ft-lb", "L": f"{figure(length)} ft"}
    last = f"Q x L / (1,000 x K) = {figure(turns)} turns"
    return Worked(turns, "turns", "Q x L / (1,000 x K)", inputs, (*one.steps, last), one.source)
