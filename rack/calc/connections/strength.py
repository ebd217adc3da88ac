"""Stiffness, torque and strength of a rotary shouldered joint; each figure with its working."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from rack.calc.connections.geometry import (
    BOX_SECTION_IN,
    TENSION_SECTION_IN,
    TORQUE_SECTION_IN,
    Thread,
    balanced_od,
    box_area,
    checked,
    pin_area,
)
from rack.calc.given import number_in
from rack.calc.worked import Worked

#: Friction of shoulder and thread in the torque formula (RP 7G A.8, DS-1 A.1).
FRICTION = 0.08
#: Stresses of RP 7G: tool-joint make-up and yield, collar make-up, and H-90 collars.
TOOL_JOINT_MAKE_UP_PSI, TOOL_JOINT_YIELD_PSI = 72_000.0, 120_000.0
COLLAR_MAKE_UP_PSI, H90_COLLAR_MAKE_UP_PSI = 62_500.0, 56_200.0
_HIGHEST_STRESS_PSI = 250_000.0
_TORQUE_SOURCE = "API RP 7G appendix A.8 (same formula in DS-1 volume 3 appendix A.1)"


def _inputs(thread: Thread, od: float, bore: float) -> dict[str, str]:
    return {
        "connection": thread.name, "OD": f"{od:g} in", "ID": f"{bore:g} in",
        "C": f"{thread.pitch_diameter:g} in", "LPC": f"{thread.pin_length:g} in",
        "Qc": f"{thread.counterbore:g} in", "taper": f"{thread.taper:g} in/ft",
        "H": f"{thread.height:g} in", "Srn": f"{thread.root_truncation:g} in",
    }


def bending_strength_ratio_worked(connection: str | Thread, od_in: float, bore_in: float) -> Worked:
    """Return the ratio of the box's section modulus to the pin's, with every intermediate.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches; the value has no unit. Raises
    ValueError naming the argument, its value and the allowed range, or the thread when the tables hold
    no dimensions. Source: API RP 7G appendix (bending strength ratio); dimensions from the table's row.
    """
    thread, od, bore = checked(connection, od_in, bore_in)
    b, root = thread.box_root_at_pin_end, thread.pin_root
    box, pin = (od**4 - b**4) / od, (root**4 - bore**4) / root
    return Worked(
        box / pin, "", "BSR = ((OD^4 - b^4)/OD) / ((R^4 - ID^4)/R)", _inputs(thread, od, bore),
        (f"b_d = H/2 - Srn = {thread.dedendum:.6f} in",
         f"b = C - taper*(LPC - 0.625)/12 + 2*b_d = {b:.5f} in",
         f"R = C - 2*b_d - taper*(1/8)/12 = {root:.5f} in",
         f"box: (OD^4 - b^4)/OD = {box:.4f} in3", f"pin: (R^4 - ID^4)/R = {pin:.4f} in3",
         f"BSR = {box:.4f}/{pin:.4f} = {box / pin:.4f}"),
        f"API RP 7G appendix, bending strength ratio; {thread.words}")


def bending_strength_ratio(connection: str | Thread, od_in: float, bore_in: float) -> float:
    """Return the bending strength ratio, no unit.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches; ValueError as in
    `bending_strength_ratio_worked`, which shows the steps. Source: API RP 7G appendix.
    """
    return float(bending_strength_ratio_worked(connection, od_in, bore_in).value)


@dataclass(frozen=True)
class Areas:
    """Steel of pin (3/4 in from the shoulder) and box (3/8 in), in2, and which of them governs torque."""

    pin_in2: float
    box_in2: float

    @property
    def weaker(self) -> str:
        """The member with the smaller area: "pin", "box", or "balanced" when they are equal."""
        if self.pin_in2 == self.box_in2:
            return "balanced"
        return "pin" if self.pin_in2 < self.box_in2 else "box"


@dataclass(frozen=True)
class AreasWorked:
    """The working of each area, under the attribute names of `Areas`."""

    pin_in2: Worked
    box_in2: Worked


def areas_worked(connection: str | Thread, od_in: float, bore_in: float) -> AreasWorked:
    """Return the areas of pin and box that make-up torque is judged by, each with its working, in2.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches. Raises ValueError as
    `bending_strength_ratio_worked`. Source: API RP 7G appendix A.8.
    """
    thread, od, bore = checked(connection, od_in, bore_in)
    inputs, source = _inputs(thread, od, bore), f"{_TORQUE_SOURCE}; {thread.words}"
    pin, box, root = pin_area(thread, bore, TORQUE_SECTION_IN), box_area(thread, od), thread.pin_root_at(0.75)
    return AreasWorked(
        Worked(pin, "in2", "Ap = pi/4 * ((C - B)^2 - ID^2), B = H - 2*Srn + taper*(0.75 - 0.625)/12", inputs,
               (f"C - B = {root:.5f} in", f"Ap = {pin:.5f} in2"), source),
        Worked(box, "in2", "Ab = pi/4 * (OD^2 - (Qc - E)^2), E = taper*0.375/12", inputs,
               (f"E = {thread.taper * BOX_SECTION_IN / 12:.5f} in", f"Qc - E = {thread.box_bore:.5f} in",
                f"Ab = {box:.5f} in2"), source))


def areas(connection: str | Thread, od_in: float, bore_in: float) -> Areas:
    """Return the areas of pin and box, in2, and which is the weaker.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches; ValueError as in
    `areas_worked`, which shows the steps. Source: API RP 7G appendix A.8.
    """
    worked = areas_worked(connection, od_in, bore_in)
    return Areas(worked.pin_in2.value, worked.box_in2.value)


def shoulder_radius(thread: Thread, od_in: float, bore_in: float, *, limit_shoulder: bool) -> float:
    """Return Rs = (OD + Qc)/4 of `thread` in inches, with OD not beyond the balanced one if so ruled.

    `od_in`, `bore_in` in inches, checked by the caller; `limit_shoulder` is the rule; raises nothing.
    Source: RP 7G appendix A.8; collars and the new NC31 and NC38 of table 10 are limited, other tool
    joints are not (found from the published rows).
    """
    od = min(od_in, balanced_od(thread, bore_in)) if limit_shoulder else od_in
    return (od + thread.counterbore) / 4


def lever(thread: Thread, shoulder_radius_in: float) -> float:
    """Return p/(2pi) + Rt*f/cos(theta) + Rs*f of `thread` in inches: torque for one pound of thread load.

    `shoulder_radius_in` (Rs) in inches, checked by the caller; raises nothing. Source: RP 7G appendix A.8.
    """
    return (thread.pitch / (2 * pi) + thread.mean_thread_radius * FRICTION / thread.cos_half_angle
            + shoulder_radius_in * FRICTION)


def torque_ft_lb_worked(connection: str | Thread, od_in: float, bore_in: float, stress_psi: float, *,
                        limit_shoulder: bool) -> Worked:
    """Return the torque that stresses the weaker member to `stress_psi`, in ft-lb, with every step.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `stress_psi` in psi, above 0
    (tool joints 72,000 to make up and 120,000 at yield, collars 62,500, H-90 collars 56,200).
    `limit_shoulder`: the mean shoulder radius does not grow beyond the outside diameter at which box and
    pin areas are equal (true for collars, false for tool joints but the new NC31 and NC38 of table 10).
    Raises ValueError as `bending_strength_ratio_worked`. Source: API RP 7G appendix A.8, friction 0.08.
    """
    thread, od, bore = checked(connection, od_in, bore_in)
    stress = number_in("stress_psi", stress_psi, "psi", 0, _HIGHEST_STRESS_PSI, above=True)
    pin, box = pin_area(thread, bore, TORQUE_SECTION_IN), box_area(thread, od)
    area, member = (pin, "pin") if pin <= box else (box, "box")
    radius = shoulder_radius(thread, od, bore, limit_shoulder=limit_shoulder)
    arm = lever(thread, radius)
    torque = stress * area / 12 * arm
    rule = f"limited to OD {balanced_od(thread, bore):.4f} in" if limit_shoulder else "not limited"
    inputs = _inputs(thread, od, bore) | {
        "S": f"{stress:g} psi", "p": f"{thread.pitch:.5f} in", "theta": f"{thread.half_angle:g} deg",
        "f": f"{FRICTION}", "shoulder radius": rule}
    return Worked(
        torque, "ft-lb", "T = S*A/12 * (p/(2pi) + Rt*f/cos(theta) + Rs*f)", inputs,
        (f"Ap = {pin:.5f} in2, Ab = {box:.5f} in2; the {member} governs, A = {area:.5f} in2",
         f"Rt = (2C - (LPC - 0.625)*taper/12)/4 = {thread.mean_thread_radius:.5f} in",
         f"Rs = (OD + Qc)/4, {rule} = {radius:.5f} in",
         f"p/(2pi) + Rt*f/cos(theta) + Rs*f = {arm:.6f} in",
         f"T = {stress:g}*{area:.5f}/12*{arm:.6f} = {torque:.1f} ft-lb"),
        f"{_TORQUE_SOURCE}; {thread.words}")


def torque_ft_lb(connection: str | Thread, od_in: float, bore_in: float, stress_psi: float, *,
                 limit_shoulder: bool) -> float:
    """Return the torque that stresses the weaker member to `stress_psi` (psi), in ft-lb.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `limit_shoulder` and ValueError
    as in `torque_ft_lb_worked`, which shows the steps. Source: API RP 7G appendix A.8.
    """
    worked = torque_ft_lb_worked(connection, od_in, bore_in, stress_psi, limit_shoulder=limit_shoulder)
    return float(worked.value)


def make_up_torque_ft_lb_worked(connection: str | Thread, od_in: float, bore_in: float, stress_psi: float, *,
                                limit_shoulder: bool, compound_factor: float = 1.0) -> Worked:
    """Return the torque to make up with, in ft-lb: the formula's torque times the compound's factor.

    `compound_factor` is printed on the can, 0.5 to 2.0 (1.0 = the compound that the formula's 0.08 stands
    for). `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `stress_psi` in psi,
    `limit_shoulder` and ValueError as in `torque_ft_lb_worked`. Source: API RP 7G appendix A.8; the factor
    is common practice (RP 7A1).
    """
    factor = number_in("compound_factor", compound_factor, "", 0.5, 2.0)
    base = torque_ft_lb_worked(connection, od_in, bore_in, stress_psi, limit_shoulder=limit_shoulder)
    torque = base.value * factor
    return Worked(torque, "ft-lb", f"{base.formula}; make-up torque = T * factor of the compound",
                  {**base.inputs, "factor of the compound": f"{factor:g}"},
                  (*base.steps, f"make-up torque = {base.value:.1f}*{factor:g} = {torque:.1f} ft-lb"),
                  f"{base.source}; factor of the compound: common practice (RP 7A1)")


def make_up_torque_ft_lb(connection: str | Thread, od_in: float, bore_in: float, stress_psi: float, *,
                         limit_shoulder: bool, compound_factor: float = 1.0) -> float:
    """Return the torque to make up with, in ft-lb, with this compound.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `stress_psi` in psi,
    `limit_shoulder`, `compound_factor` and ValueError as in `make_up_torque_ft_lb_worked`, which shows the
    steps. Source: API RP 7G appendix A.8.
    """
    worked = make_up_torque_ft_lb_worked(connection, od_in, bore_in, stress_psi,
                                         limit_shoulder=limit_shoulder, compound_factor=compound_factor)
    return float(worked.value)


def line_pull_lb_worked(torque_ft_lb: float, arm_ft: float) -> Worked:
    """Return the pull on the tong's line, in lb, that gives a torque: torque / arm, line square to the arm.

    `torque_ft_lb` in ft-lb, 0 to 1,000,000; `arm_ft` in ft, 1 to 12, from the pipe's centre to the line.
    Raises ValueError naming the argument, its value and the allowed range. Source: common practice.
    """
    torque = number_in("torque_ft_lb", torque_ft_lb, "ft-lb", 0, 1_000_000)
    arm = number_in("arm_ft", arm_ft, "ft", 1, 12)
    return Worked(torque / arm, "lb", "pull = torque / arm, the line square to the arm",
                  {"torque": f"{torque:g} ft-lb", "arm": f"{arm:g} ft"},
                  (f"pull = {torque:g}/{arm:g} = {torque / arm:.1f} lb",), "common practice")


def line_pull_lb(torque_ft_lb: float, arm_ft: float) -> float:
    """Return the pull on the tong's line, in lb, for `torque_ft_lb` (ft-lb) at `arm_ft` (ft).

    ValueError as in `line_pull_lb_worked`, which shows the steps. Source: common practice.
    """
    return float(line_pull_lb_worked(torque_ft_lb, arm_ft).value)


@dataclass(frozen=True)
class JointStrengths:
    """Torsional yield (ft-lb) and tensile yield of the pin (lb) of a joint; `weaker` governs torsion."""

    torsion_ft_lb: float
    tensile_lb: float
    weaker: str


@dataclass(frozen=True)
class JointStrengthsWorked:
    """The working of each strength, under the attribute names of `JointStrengths`."""

    torsion_ft_lb: Worked
    tensile_lb: Worked


def _tensile_worked(thread: Thread, inputs: Mapping[str, str], bore: float, yield_psi: float) -> Worked:
    area, root = pin_area(thread, bore, TENSION_SECTION_IN), thread.pin_root_at(TENSION_SECTION_IN)
    return Worked(
        yield_psi * area, "lb", "P = Ym * pi/4 * ((C - B)^2 - ID^2), B = H - 2*Srn, 5/8 in from the shoulder",
        {**inputs, "Ym": f"{yield_psi:g} psi"},
        (f"C - B = {root:.5f} in", f"area = {area:.5f} in2",
         f"P = {yield_psi:g}*{area:.5f} = {yield_psi * area:.0f} lb"),
        f"API RP 7G appendix; the section was found from published values; {thread.words}")


def joint_strengths_worked(connection: str | Thread, od_in: float, bore_in: float,
                           yield_psi: float = TOOL_JOINT_YIELD_PSI) -> JointStrengthsWorked:
    """Return torsional yield (ft-lb) and tensile yield of the pin (lb), each with its working.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `yield_psi` in psi above 0,
    120,000 for tool joints. Torsion is the torque formula at yield with the shoulder radius not limited.
    Raises ValueError as `torque_ft_lb_worked`. Source: API RP 7G tables 8 to 10 and appendix A.8.
    """
    thread, od, bore = checked(connection, od_in, bore_in)
    stress = number_in("yield_psi", yield_psi, "psi", 0, _HIGHEST_STRESS_PSI, above=True)
    return JointStrengthsWorked(
        torque_ft_lb_worked(connection, od, bore, stress, limit_shoulder=False),
        _tensile_worked(thread, _inputs(thread, od, bore), bore, stress))


def joint_strengths(connection: str | Thread, od_in: float, bore_in: float,
                    yield_psi: float = TOOL_JOINT_YIELD_PSI) -> JointStrengths:
    """Return torsional yield (ft-lb), tensile yield of the pin (lb) and the member that governs.

    `connection` any spelling or a `Thread`, `od_in` and `bore_in` in inches, `yield_psi` in psi and
    ValueError as in `joint_strengths_worked`, which shows the steps. Source: API RP 7G.
    """
    worked = joint_strengths_worked(connection, od_in, bore_in, yield_psi)
    return JointStrengths(worked.torsion_ft_lb.value, worked.tensile_lb.value,
                          areas(connection, od_in, bore_in).weaker)
