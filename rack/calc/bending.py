"""What bends and stretches pipe: indicative figures only.

A published article disputes the endurance model behind the dogleg limit; stretch leaves tool joints out.
"""

from math import pi, sqrt, tanh

from rack.calc.collapse import LARGEST_OD_IN
from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.worked import Worked

#: Young's modulus of steel in psi, as RP 7G takes it.
STEEL_E_PSI = 30e6
#: Half the distance between tool joints in inches: 30 ft pipe (RP 7G).
HALF_JOINT_IN = 180
#: Grades whose permitted bending stress is known here; RP 7G names no others.
GRADES = ("E75", "S135")
#: Largest pull in psi for which the bending stress of each grade holds.
_MOST_PULL_PSI = {"E75": 67_000, "S135": 145_000}
_SOURCES = {
    "E75": "RP 7G (Lubinski), bending stress from memory; indicative, the endurance model is disputed",
    "S135": "RP 7G (Lubinski), confirmed by a worked example; indicative, the endurance model is disputed",
}


def _body(od_in: float, bore_in: float) -> tuple[float, float]:
    od = number_in("od_in", od_in, "in", 0, LARGEST_OD_IN, above=True)
    return od, number_in("bore_in", bore_in, "in", 0, od, below=True)


def bending_stress_psi(grade: str, pull_psi: float) -> float:
    """Return the bending stress in psi below which rotating pipe under pull should not tire (indicative).

    `grade` is "E75" or "S135"; `pull_psi` the pull over the section in psi, 0 to 67,000 (E75) or 145,000
    (S135). A ValueError names what is out of range. Source: RP 7G; E75 from memory only.
    """
    one_of("grade", grade, GRADES)
    pull = number_in("pull_psi", pull_psi, "psi", 0, _MOST_PULL_PSI[grade])
    if grade == "S135":
        return 20_000 * (1 - pull / 145_000)
    return 19_500 - 10 / 67 * pull - 0.6 / 670**2 * (pull - 33_500) ** 2


def dogleg_limit_deg_100ft(od_in: float, bore_in: float, grade: str, pull_lb: float) -> float:
    """Return the dogleg in degrees per 100 ft up to which pipe should not tire (indicative).

    `od_in` (over 0, to 60) and `bore_in` (less than it) of the pipe body in inches; `grade` "E75" or
    "S135"; `pull_lb` the load hanging below the dogleg in lb, over 0 and to the pull that `grade` bears.
    A ValueError names what is out of range. Source: RP 7G (Lubinski), tool joints 30 ft apart.
    """
    return float(dogleg_limit_deg_100ft_worked(od_in, bore_in, grade, pull_lb).value)


def dogleg_limit_deg_100ft_worked(od_in: float, bore_in: float, grade: str, pull_lb: float) -> Worked:
    """Return `dogleg_limit_deg_100ft` with formula, inputs and steps.

    `od_in`, `bore_in` in inches, `grade`, `pull_lb` in lb, ranges and ValueError as in
    `dogleg_limit_deg_100ft`. Source: RP 7G (Lubinski).
    """
    od, bore = _body(od_in, bore_in)
    one_of("grade", grade, GRADES)
    area, inertia = pi / 4 * (od**2 - bore**2), pi / 64 * (od**4 - bore**4)
    pull = number_in("pull_lb", pull_lb, "lb", 0, _MOST_PULL_PSI[grade] * area, above=True)
    # The division may land a hair above the end of the range.
    stress = min(pull / area, _MOST_PULL_PSI[grade])
    bending = bending_stress_psi(grade, stress)
    stiff = sqrt(pull / (STEEL_E_PSI * inertia))
    reach = stiff * HALF_JOINT_IN
    limit = 432_000 / pi * bending / (STEEL_E_PSI * od) * tanh(reach) / reach
    inputs = {"D": f"{figure(od)} in", "d": f"{figure(bore)} in", "grade": grade, "T": f"{figure(pull)} lb"}
    steps = (
        f"A = {figure(area)} in2, I = {figure(inertia)} in4, pull = {figure(stress)} psi",
        f"sb = {figure(bending)} psi",
        f"K = sqrt(T / (E x I)) = {figure(stiff)} 1/in, K x L = {figure(reach)}",
        f"c = {figure(limit)} degrees per 100 ft",
    )
    formula = "432,000/pi x sb / (E x D) x tanh(K L) / (K L), L = 180 in, E = 30,000,000 psi"
    return Worked(limit, "degrees per 100 ft", formula, inputs, steps, _SOURCES[grade])


def stretch_in(pull_lb: float, length_ft: float, od_in: float, bore_in: float) -> float:
    """Return the stretch in inches of pipe under a pull at its end, tool joints left out (indicative).

    `pull_lb` in lb, 0 to 5,000,000; `length_ft` in ft, 0 to 60,000; `od_in` (over 0, to 60) and `bore_in`
    (less than it) of the pipe body in inches. A ValueError names what is out of range.
    Source: Hooke, E = 30e6 psi as in RP 7G.
    """
    return float(stretch_in_worked(pull_lb, length_ft, od_in, bore_in).value)


def stretch_in_worked(pull_lb: float, length_ft: float, od_in: float, bore_in: float) -> Worked:
    """Return `stretch_in` with formula, inputs and steps.

    `pull_lb` in lb, `length_ft` in ft, `od_in`, `bore_in` in inches, ranges and ValueError as in
    `stretch_in`. Source: Hooke, E = 30e6 psi.
    """
    return _stretched(number_in("pull_lb", pull_lb, "lb", 0, 5_000_000), length_ft, od_in, bore_in)


def _stretched(pull: float, length_ft: float, od_in: float, bore_in: float) -> Worked:
    od, bore = _body(od_in, bore_in)
    length = number_in("length_ft", length_ft, "ft", 0, 60_000)
    area = pi / 4 * (od**2 - bore**2)
    stretch = pull * length * 12 / (STEEL_E_PSI * area)
    inputs = {"P": f"{figure(pull)} lb", "L": f"{figure(length)} ft",
              "D": f"{figure(od)} in", "d": f"{figure(bore)} in"}  # fmt: skip
    steps = (f"A = {figure(area)} in2", f"P x L x 12 / (30,000,000 x A) = {figure(stretch)} in")
    return Worked(stretch, "in", "P x L x 12 / (E x A)", inputs, steps, "Hooke, E as in RP 7G; indicative")


def own_weight_stretch_in(
    weight_lb_ft: float, buoyancy: float, length_ft: float, od_in: float, bore_in: float
) -> float:
    """Return the stretch in inches of pipe hanging free under its own weight in mud (indicative).

    `weight_lb_ft` in air in lb/ft, 0 to 10,000; `buoyancy` a share (over 0, to 1); `length_ft` in ft, 0 to
    60,000; `od_in` (over 0, to 60) and `bore_in` (less than it) of the pipe body in inches. A ValueError
    names what is out of range. Source: Hooke with half the buoyed weight, E = 30e6 psi as in RP 7G; the
    swelling under mud pressure is left out.
    """
    given = (weight_lb_ft, buoyancy, length_ft, od_in, bore_in)
    return float(own_weight_stretch_in_worked(*given).value)


def own_weight_stretch_in_worked(
    weight_lb_ft: float, buoyancy: float, length_ft: float, od_in: float, bore_in: float
) -> Worked:
    """Return `own_weight_stretch_in` with formula, inputs and steps.

    `weight_lb_ft` in lb/ft, `buoyancy`, `length_ft` in ft, `od_in`, `bore_in` in inches, ranges and
    ValueError as in `own_weight_stretch_in`. Source: Hooke, E = 30e6 psi.
    """
    weight = number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 10_000)
    share = number_in("buoyancy", buoyancy, "", 0, 1, above=True)
    length = number_in("length_ft", length_ft, "ft", 0, 60_000)
    mean = weight * share * length / 2
    pulled = _stretched(mean, length, od_in, bore_in)
    inputs = {**pulled.inputs, "w": f"{figure(weight)} lb/ft", "BF": figure(share)}
    steps = (f"mean pull = w x BF x L / 2 = {figure(mean)} lb", *pulled.steps)
    return Worked(pulled.value, "in", "(w x BF x L / 2) x L x 12 / (E x A)", inputs, steps, pulled.source)
