"""How far a tool joint may wear for a class, and which bending strength ratio a standard recommends."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from rack.calc.connections.geometry import (
    TORQUE_SECTION_IN,
    Thread,
    box_area,
    checked,
    pin_area,
    thread_of,
    widest_od,
)
from rack.calc.connections.strength import (
    TOOL_JOINT_MAKE_UP_PSI,
    TOOL_JOINT_YIELD_PSI,
    lever,
    shoulder_radius,
    torque_ft_lb_worked,
)
from rack.calc.given import number_in, one_of
from rack.calc.lookup import Catalogue, rows
from rack.calc.tubes import strengths_worked
from rack.calc.worked import Worked

#: A worn joint must still carry this share of the torsion of the worn tube (RP 7G table 10).
TORSION_SHARE = 0.8
#: The shoulder of one-sided wear may be this much thinner than that of even wear (inferred).
ONE_SIDED_IN = Fraction(3, 64)
CLASSES = ("premium", "class 2")


@dataclass(frozen=True)
class ToolJointLimits:
    """Smallest outside diameter and thinnest box shoulder of a class, in; make-up torque there, ft-lb."""

    min_od_in: float
    min_shoulder_in: float
    make_up_ft_lb: float


@dataclass(frozen=True)
class ToolJointLimitsWorked:
    """The working of each limit, under the attribute names of `ToolJointLimits`."""

    min_od_in: Worked
    min_shoulder_in: Worked
    make_up_ft_lb: Worked


def _torsion(thread: Thread, od: float, bore: float) -> float:
    area = min(pin_area(thread, bore, TORQUE_SECTION_IN), box_area(thread, od))
    return (TOOL_JOINT_YIELD_PSI * area / 12
            * lever(thread, shoulder_radius(thread, od, bore, limit_shoulder=False)))


def _smallest_od(thread: Thread, bore: float, needed: float) -> Fraction:
    """The first 1/32 in at which the joint carries `needed`; torsion only grows with the diameter."""
    first, last = floor(thread.counterbore * 32) + 1, floor(widest_od(thread) * 32)
    for step in range(first, last + 1):
        if _torsion(thread, step / 32, bore) >= needed:
            return Fraction(step, 32)
    pin = TOOL_JOINT_YIELD_PSI * pin_area(thread, bore, TORQUE_SECTION_IN) / 12 * lever(
        thread, shoulder_radius(thread, last / 32, bore, limit_shoulder=False))
    raise ValueError(f"bore_in: {bore:g} in leaves {thread.name} a pin of at most {pin:,.0f} ft-lb; "
                     f"allowed is a bore that leaves {needed:,.0f} ft-lb, "
                     f"{TORSION_SHARE:g} of the worn tube's torsion")


def tool_joint_limits_worked(connection: str | Thread, bore_in: float, pipe_od_in: float, wall_in: float,
                             yield_psi: float, pipe_class: str) -> ToolJointLimitsWorked:
    """Return smallest OD and box shoulder (in) and make-up torque there (ft-lb), each with its working.

    `connection` any spelling or a `Thread`, `bore_in` of the tool joint, `pipe_od_in` and nominal
    `wall_in` of the tube in inches, `yield_psi` of the tube, `pipe_class` "premium" or "class 2". The OD
    is the smallest 1/32 in whose torsional yield (120,000 psi, shoulder not limited) reaches 0.8 of the
    torsion of the worn tube; the shoulder is (OD - Qc)/2 - 3/64 in, up to the next 1/64 in. Raises
    ValueError naming the argument, its value and the allowed range, and when the pin is too weak at any
    OD. Source: API RP 7G table 10 (the rule reproduces its cells); the shoulder rule is inferred.
    """
    one_of("pipe_class", pipe_class, CLASSES)
    thread = thread_of(connection)
    bore = checked(thread, widest_od(thread), bore_in)[2]
    tube = strengths_worked(pipe_od_in, wall_in, yield_psi, pipe_class).torsion_ft_lb
    needed = TORSION_SHARE * float(tube.value)
    od = _smallest_od(thread, bore, needed)
    at, below = _torsion(thread, float(od), bore), float(od - Fraction(1, 32))
    inputs = {"connection": thread.name, "ID": f"{bore:g} in", "pipe": f"{pipe_od_in:g} x {wall_in:g} in",
              "Ym of the pipe": f"{yield_psi:g} psi", "class": pipe_class, "Qc": f"{thread.counterbore:g} in"}
    less = (f"{below:g} in carries {_torsion(thread, below, bore):.0f} ft-lb, too little"
            if below > thread.counterbore else f"{below:g} in leaves no shoulder")
    diameter = Worked(
        float(od), "in", "smallest 1/32 in with T(120,000 psi) >= 0.8 * torsion of the worn tube", inputs,
        (f"torsion of the worn tube = {tube.value:.0f} ft-lb", f"0.8 of it = {needed:.0f} ft-lb",
         f"{float(od):g} in carries {at:.0f} ft-lb", less),
        f"API RP 7G table 10, rule found from its cells; {thread.words}; {tube.source}")
    torque = torque_ft_lb_worked(thread, float(od), bore, TOOL_JOINT_MAKE_UP_PSI, limit_shoulder=False)
    return ToolJointLimitsWorked(diameter, _shoulder_worked(thread, od, inputs), torque)


def _shoulder_worked(thread: Thread, od: Fraction, inputs: dict[str, str]) -> Worked:
    even = (od - Fraction(thread.counterbore)) / 2
    exact = even - ONE_SIDED_IN
    limit = Fraction(max(1, ceil(exact * 64)), 64)
    return Worked(
        float(limit), "in", "(min OD - Qc)/2 - 3/64 in, up to the next 1/64 in, never less than 1/64 in",
        {**inputs, "min OD": f"{float(od):g} in"},
        (f"(min OD - Qc)/2 = {float(even):.6f} in", f"less 3/64 in = {float(exact):.6f} in",
         f"up to 1/64 in: {limit} in"),
        f"inferred from API RP 7G table 10, fits 45 of its cells; {thread.words}")


def tool_joint_limits(connection: str | Thread, bore_in: float, pipe_od_in: float, wall_in: float,
                      yield_psi: float, pipe_class: str) -> ToolJointLimits:
    """Return smallest OD and box shoulder of a class (in) and make-up torque there (ft-lb).

    `connection`, `bore_in`, `pipe_od_in`, `wall_in` (inches), `yield_psi` (psi), `pipe_class` and ValueError
    as in `tool_joint_limits_worked`, which shows the steps. Source: API RP 7G table 10.
    """
    worked = tool_joint_limits_worked(connection, bore_in, pipe_od_in, wall_in, yield_psi, pipe_class)
    return ToolJointLimits(worked.min_od_in.value, worked.min_shoulder_in.value, worked.make_up_ft_lb.value)


@dataclass(frozen=True)
class RatioRange:
    """The bending strength ratios a standard recommends for an outside diameter; only ever a note."""

    low: float
    high: float
    standard: str
    source: str
    conf: str
    note: str


#: Standards whose middle band includes its upper end; the others say "to below". NS-2 does not say
#: which band 8 in belongs to and is read like RP 7G-2.
_UPPER_END_INCLUDED = ("API RP 7G-2", "NS-2")


def ratio_standards(*, catalogue: Catalogue | None = None) -> tuple[str, ...]:
    """Return the standards that recommend ratios, the shipped ones first, in table order.

    `catalogue` holds the office's own rows. Raises nothing. Source: table "bsr_ranges".
    """
    own = catalogue.rows("bsr_ranges") if catalogue else ()
    return tuple(dict.fromkeys(row["standard"] for row in (*rows("bsr_ranges"), *own)))


def recommended_ratio(standard: str, od_in: float, *, catalogue: Catalogue | None = None) -> RatioRange:
    """Return the ratios (no unit) that `standard` recommends for a body of `od_in` inches.

    `standard` is one of `ratio_standards()`, `od_in` above 0 up to 20 in; `catalogue` holds the office's
    own rows. Raises ValueError naming the
    argument, its value and what is allowed. Source: table "bsr_ranges"; a recommendation, not a limit.
    """
    one_of("standard", standard, ratio_standards(catalogue=catalogue))
    od = number_in("od_in", od_in, "in", 0, 20, above=True)
    for row in catalogue.rows("bsr_ranges") if catalogue else rows("bsr_ranges"):
        if row["standard"] != standard:
            continue
        low, high = float(row["od_from_in"] or 0), row["od_to_in"]
        included = standard in _UPPER_END_INCLUDED and low > 0
        starts = od > low if included and not high else od >= low
        ends = not high or od < float(high) or (included and od == float(high))
        if starts and ends:
            return RatioRange(float(row["bsr_low"]), float(row["bsr_high"]), standard, row["source"],
                              row["conf"], row["note"])
    raise ValueError(f"od_in: {od_in} in is in none of the bands of {standard}")
