"""What casing and tubing withstand, and what their threads carry."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import pi

from rack.calc import connections
from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.lookup import Catalogue, Row
from rack.calc.losses import SHIPPED, coupled_row
from rack.calc.tubes import strengths_worked as tube_strengths_worked
from rack.calc.worked import Worked

#: Twice the height of a round thread that goes off the wall: 8 threads an inch, 10 threads an inch (API 5B).
_ROUND_8, _ROUND_10 = 0.1425, 0.1112
#: Hand-tight plane from the coupling's face (API 5B "M"), to 7 in and above; from memory, reproduced.
_HAND_TIGHT_TO_7, _HAND_TIGHT_ABOVE = 0.704, 0.709
_SOURCE = "API Bul 5C3 joint strength, from memory, reproduces the rows of tables \"casing\" and \"tubing\""



def grade(text: str, *, catalogue: Catalogue = SHIPPED) -> Row:
    """Return the row of a casing or tubing grade: yield and tensile strength in psi, source, confidence.

    `text` is any spelling: "L-80", "P 110", "j55"; `catalogue` holds the office's own rows. Raises
    ValueError naming the text and the grades that are known; a maker's grade stands in no
    open table. Source: table "casing_grades".
    """
    wanted = re.sub(r"[^A-Z0-9]", "", text.upper())
    for row in catalogue.rows("casing_grades"):
        if re.sub(r"[^A-Z0-9]", "", row["grade"].upper()) == wanted:
            return row
    known = ", ".join(row["grade"] for row in catalogue.rows("casing_grades"))
    raise ValueError(f"grade: {text!r} is in no table; known are {known}; else use the maker's strengths")


@dataclass(frozen=True)
class BodyStrengths:
    """Collapse and burst in psi, pull at yield of the pipe body in lb; not rounded as API prints them."""

    collapse_psi: float
    burst_psi: float
    body_lb: float


@dataclass(frozen=True)
class BodyStrengthsWorked:
    """The working of each strength, under the attribute names of `BodyStrengths`."""

    collapse_psi: Worked
    burst_psi: Worked
    body_lb: Worked


def body_strengths_worked(od_in: float, wall_in: float, yield_psi: float) -> BodyStrengthsWorked:
    """Return collapse and burst (psi) and body yield (lb) of new casing or tubing, each with its working.

    `od_in`, nominal `wall_in` in inches, `yield_psi` the minimum yield. Raises ValueError naming the
    argument, its value and the allowed range. Source: API 5C3, the same formulas as `tubes`.
    """
    worked = tube_strengths_worked(od_in, wall_in, yield_psi, "new")
    return BodyStrengthsWorked(worked.collapse_psi, worked.burst_psi, worked.tensile_lb)


def body_strengths(od_in: float, wall_in: float, yield_psi: float) -> BodyStrengths:
    """Return collapse and burst (psi) and body yield (lb) of new casing or tubing.

    `od_in`, `wall_in` in inches, `yield_psi` in psi; ValueError as in `body_strengths_worked`, which shows
    the steps. Source: API 5C3.
    """
    worked = body_strengths_worked(od_in, wall_in, yield_psi)
    return BodyStrengths(worked.collapse_psi.value, worked.burst_psi.value, worked.body_lb.value)


def _coupling(
    thread: str, product: str, od: float, weight_lb_ft: float | None, catalogue: Catalogue
) -> Row:
    weight = None if weight_lb_ft is None else Decimal(str(weight_lb_ft))
    row = coupled_row(product, Fraction(od), thread, weight, catalogue)
    if row is None:
        need = "" if weight_lb_ft is not None else " (or the weight is needed to tell two threads apart)"
        raise ValueError(f"od_in: {od:g} in has no {thread} {product} in table makeup_loss{need}")
    return row


def _round_worked(
    thread: str, od: float, wall: float, ym: float, um: float, weight: float | None, catalogue: Catalogue
) -> Worked:
    """8-round casing: the thread breaks in the last engaged turn, or it jumps out of the coupling."""
    row = _coupling(thread, "casing", od, weight, catalogue)
    engaged = float(row["thread_length_L4_in"]) - (_HAND_TIGHT_TO_7 if od <= 7 else _HAND_TIGHT_ABOVE)
    area = pi / 4 * ((od - _ROUND_8) ** 2 - (od - 2 * wall) ** 2)
    fracture = 0.95 * area * um
    jump = 0.95 * area * engaged * (
        0.74 * od**-0.59 * um / (0.5 * engaged + 0.14 * od) + ym / (engaged + 0.14 * od))
    return Worked(
        min(fracture, jump), "lb",
        "min(0.95*A*Um, 0.95*A*L*(0.74*D^-0.59*Um/(0.5*L + 0.14*D) + Ym/(L + 0.14*D)))",
        {"thread": thread, "D": f"{figure(od)} in", "t": f"{figure(wall)} in", "Ym": f"{figure(ym)} psi",
         "Um": f"{figure(um)} psi", "L4": f"{row['thread_length_L4_in']} in"},
        (f"A = pi/4*((D - 0.1425)^2 - (D - 2t)^2) = {figure(area)} in2", f"L = L4 - M = {figure(engaged)} in",
         f"breaks at {figure(fracture)} lb", f"jumps out at {figure(jump)} lb",
         f"the {'break' if fracture < jump else 'jump-out'} governs"),
        f"{_SOURCE}; {row['source']}")


def _buttress_worked(od: float, wall: float, ym: float, um: float, catalogue: Catalogue) -> Worked:
    """Buttress: the pipe breaks behind the thread, or the coupling breaks at the pin's end."""
    row = _coupling("BTC", "casing", od, None, catalogue)
    large = od >= 16
    perfect = float(row["thread_length_L4_in"]) - (1.488 if large else 1.984)
    pitch = od - (0.062 if large else 0.046)
    stab = 0.375 if large else 0.4 if od <= 4.5 else 0.5
    root = pitch - (perfect + stab) * (1 / 12 if large else 1 / 16) + 0.062
    coupling_od = float(row["coupling_od_in"])
    coupling = 0.95 * um * pi / 4 * (coupling_od**2 - root**2)
    body = pi / 4 * (od**2 - (od - 2 * wall) ** 2)
    pipe = 0.95 * body * um * (1.008 - 0.0396 * (1.083 - ym / um) * od)
    return Worked(
        min(pipe, coupling), "lb", "min(0.95*A*Um*(1.008 - 0.0396*(1.083 - Ym/Um)*D), 0.95*Ac*Um)",
        {"thread": "BTC", "D": f"{figure(od)} in", "t": f"{figure(wall)} in", "Ym": f"{figure(ym)} psi",
         "Um": f"{figure(um)} psi", "W": f"{row['coupling_od_in']} in, coupling of the pipe's grade"},
        (f"A = {figure(body)} in2", f"d1 = E7 - (L7 + I)*T + h = {figure(root)} in",
         f"pipe thread {figure(pipe)} lb", f"coupling {figure(coupling)} lb",
         f"the {'pipe' if pipe <= coupling else 'coupling'} governs"),
        f"{_SOURCE}; {row['source']}")


def _tubing_worked(thread: str, od: float, wall: float, ym: float, catalogue: Catalogue) -> Worked:
    """Upset tubing is as strong as its body; non-upset tubing loses the thread's depth."""
    row = _coupling(thread, "tubing", od, None, catalogue)
    depth = 0.0 if thread == "EUE" else _ROUND_8 if od >= 4 else _ROUND_10
    area = pi / 4 * ((od - depth) ** 2 - (od - 2 * wall) ** 2)
    return Worked(
        ym * area, "lb", "Ym * pi/4 * ((D - 2h)^2 - d^2), h = 0 for upset ends",
        {"thread": thread, "D": f"{figure(od)} in", "t": f"{figure(wall)} in", "Ym": f"{figure(ym)} psi"},
        (f"2h = {figure(depth)} in", f"area = {figure(area)} in2", f"Ym*area = {figure(ym * area)} lb"),
        f"{_SOURCE}; {row['source']}")


def joint_strength_lb_worked(thread: str, od_in: float, wall_in: float, yield_psi: float, tensile_psi: float,
                             *, weight_lb_ft: float | None = None,
                             catalogue: Catalogue = SHIPPED) -> Worked:
    """Return the pull that parts a coupled joint, in lb, with its working; it names what governs.

    `thread` any spelling of STC, LTC, BTC, EUE or NUE; `od_in` a size of table "makeup_loss", `wall_in` in
    inches; `yield_psi` and `tensile_psi` of pipe and coupling in psi; `weight_lb_ft` in lb/ft tells the short
    threads of the lightest STC weights from the others and is needed only there; `catalogue` holds the
    office's own couplings. Raises ValueError naming
    the argument, its value and the allowed range, or the thread. Source: API Bul 5C3, from memory,
    reproduces the tables.
    """
    name = connections.canonical(thread)
    one_of("thread", name, connections.COUPLED)
    od = number_in("od_in", od_in, "in", 1, 20)
    ym = number_in("yield_psi", yield_psi, "psi", 20_000, 200_000)
    um = number_in("tensile_psi", tensile_psi, "psi", ym, 250_000)
    deep = 0.0 if name in ("EUE", "BTC") else _ROUND_10 / 2 if name == "NUE" and od < 4 else _ROUND_8 / 2
    wall = number_in("wall_in", wall_in, "in", deep, od / 2, above=True, below=True)
    if weight_lb_ft is not None:
        number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 1000, above=True)
    if name == "BTC":
        return _buttress_worked(od, wall, ym, um, catalogue)
    if name in ("EUE", "NUE"):
        return _tubing_worked(name, od, wall, ym, catalogue)
    return _round_worked(name, od, wall, ym, um, weight_lb_ft, catalogue)


def joint_strength_lb(thread: str, od_in: float, wall_in: float, yield_psi: float, tensile_psi: float, *,
                      weight_lb_ft: float | None = None, catalogue: Catalogue = SHIPPED) -> float:
    """Return the pull that parts a coupled joint, in lb.

    `thread`, `od_in` and `wall_in` (inches), `yield_psi` and `tensile_psi` (psi), `weight_lb_ft` (lb/ft),
    `catalogue` and ValueError as in `joint_strength_lb_worked`, which shows the steps.
    Source: API Bul 5C3, from memory.
    """
    return float(joint_strength_lb_worked(
        thread, od_in, wall_in, yield_psi, tensile_psi, weight_lb_ft=weight_lb_ft,
        catalogue=catalogue).value)
