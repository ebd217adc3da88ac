"""A rotary shouldered connection: dimensions, names, and what a body of given diameters makes of it."""

from dataclasses import dataclass
from fractions import Fraction

from rack.calc import connections
from rack.calc.connections import Thread
from rack.calc.figures import figure
from rack.calc.lookup import Catalogue, Row
from rack.calc.losses import NOMINAL_MARK
from rack.calc.reference.parts import Gathering, Part, marks, words_of
from rack.calc.reference.pipe import LIMITED_WHEN_NEW
from rack.calc.worked import Worked

#: What the body is decides the stress it is torqued to and how the shoulder counts.
BODIES = ("new tool joint", "worn tool joint", "drill collar")

_DIMENSIONS = (
    ("Thread form", "thread_form", ""), ("Threads per inch", "tpi", ""),
    ("Taper", "taper_in_per_ft", "in/ft"), ("Pitch diameter C", "pitch_dia_C_in", "in"),
    ("Pin, large diameter DL", "pin_large_dia_DL_in", "in"),
    ("Pin, cylinder DLF", "pin_cyl_dia_DLF_in", "in"),
    ("Pin, small diameter DS", "pin_small_dia_DS_in", "in"),
    ("Box thread depth, least", "box_thread_depth_LBT_min_in", "in"),
    ("Box depth LBC", "box_depth_LBC_in", "in"),
    ("Counterbore Qc", "counterbore_Qc_in", "in"), ("Counterbore depth", "counterbore_depth_LQc_in", "in"),
)  # fmt: skip
#: The dimensions that are asked for on the rack, beside the length of the pin.
_ASKED = ("thread_form", "taper_in_per_ft", "box_depth_LBC_in", "counterbore_Qc_in")


@dataclass(frozen=True)
class JointPick:
    """A thread on a body: diameters in inches (None = not typed), what the body is (`BODIES`), the
    compound's friction factor, and the tong's arm in ft (None = no pull asked)."""

    thread: Thread
    row: Row
    od_in: float | None = None
    bore_in: float | None = None
    body: str = BODIES[0]
    compound_factor: float = 1.0
    arm_ft: float | None = None

    @property
    def stress_psi(self) -> float:
        """Stress that the body is torqued to, psi (RP 7G)."""
        if self.body != "drill collar":
            return connections.TOOL_JOINT_MAKE_UP_PSI
        h90 = "H-90" in self.thread.name
        return connections.H90_COLLAR_MAKE_UP_PSI if h90 else connections.COLLAR_MAKE_UP_PSI

    @property
    def limit_shoulder(self) -> bool:
        """Whether the shoulder counts only to the diameter where pin and box are equal (RP 7G A.8)."""
        return self.body == "drill collar" or (
            self.body == "new tool joint" and self.thread.name in LIMITED_WHEN_NEW)


def thread_row(name: str, catalogue: Catalogue) -> Row:
    """Return the row of table "connections" for a thread, the office's own first.

    `name` is the name of a `Thread`, `catalogue` the rows in force (in). Raises ValueError when there is
    none. Source: table "connections".
    """
    for row in catalogue.find("connections", name=name):
        return row
    raise ValueError(f"connection: {name} stands in no table with its dimensions")


def names_worked(row: Row, catalogue: Catalogue) -> tuple[str, ...]:
    """Return every name of the thread in `row` of table "connections", its own first (no unit).

    `catalogue` holds the rows in force. A thread that the office entered under a name of its own has only
    that and those of its own interchange rows. Raises nothing. Source: table "interchange".
    """
    try:
        return connections.names_of(row["name"], catalogue)
    except ValueError:
        return (row["name"],)


def connection_parts(pick: JointPick, catalogue: Catalogue) -> tuple[Part, ...]:
    """Return everything that can be said of a connection, part by part.

    `pick` says thread, body and diameters (inches), `catalogue` the rows in force. Raises nothing: what is
    out of range becomes a sentence. Source: tables "connections", "bsr_ranges"; RP 7G appendix A.8.
    """
    parts = [dimension_part(pick.row)]
    if pick.od_in is None or pick.bore_in is None:
        return (*parts, Part("On a body", (), ("Type the outside diameter and the bore: areas, bending "
                                               "strength ratio, torque and strength follow.",)),)
    return (*parts, *_on_a_body(pick, pick.od_in, pick.bore_in, catalogue))


def dimension_part(row: Row, *, all_of_them: bool = True) -> Part:
    """Return the dimensions in `row` of table "connections" (in, in/ft), the pin's length first.

    Without `all_of_them` only those that are asked for on the rack. Raises nothing. Source: the row's own.
    """
    found = Gathering(f"Dimensions of {row['name']}")
    found.cell("Length of the pin", "connections", row, "pin_length_LPC_in", "in")
    part = found.part()
    found = Gathering(part.title)
    for one in part.figures:
        found.put(one.label, one.worked, marks(one.mark, part.mark), NOMINAL_MARK)
    for label, column, unit in _DIMENSIONS:
        if row[column] and (all_of_them or column in _ASKED):
            found.cell(label, "connections", row, column, unit)
    return found.part()


def ratio_ranges(ratio: float, od_in: float, catalogue: Catalogue) -> tuple[tuple[str, str, Worked], ...]:
    """Return for each standard its name, whether `ratio` lies in its range, and the range, opened.

    `ratio` has no unit, `od_in` the body's outside diameter in inches, `catalogue` the rows in force. A
    standard without a band for it is left out; raises nothing. Source: table "bsr_ranges", recommendations.
    """
    found = []
    for standard in connections.ratio_standards(catalogue=catalogue):
        try:
            one = connections.recommended_ratio(standard, od_in, catalogue=catalogue)
        except ValueError:
            continue
        stands = "below it" if ratio < one.low else "above it" if ratio > one.high else "within it"
        inputs = {"standard": standard, "OD": f"{figure(od_in)} in"}
        steps = [f"{one.low:g} to {one.high:g}", f"{figure(ratio, 4)} is {stands}"]
        steps += [one.note] if one.note else []
        source = f"{words_of({'source': one.source, 'conf': one.conf})}; a recommendation, not a limit"
        worked = Worked(f"{one.low:g} to {one.high:g}", "", "as it stands in table bsr_ranges", inputs,
                        tuple(steps), source)
        found.append((standard, stands, worked))
    return tuple(found)


def _on_a_body(pick: JointPick, od: float, bore: float, catalogue: Catalogue) -> tuple[Part, ...]:
    thread, mark = pick.thread, pick.thread.mark
    size = f"{figure(od)} x {figure(bore)} in"
    ratio = connections.bending_strength_ratio_worked(thread, od, bore)
    stiff = Gathering(f"Bending strength on {size}", mark)
    stiff.put("Bending strength ratio", ratio)
    for standard, stands, worked in ratio_ranges(ratio.value, od, catalogue):
        stiff.put(f"Recommended by {standard}", worked, _practice(standard), f"this ratio is {stands}")
    return stiff.part(), _torque(pick, od, bore, size), _strength(pick, od, bore, size)


def _practice(standard: str) -> str:
    return "common practice, not the word of a standard" if standard == "general practice" else ""


def _torque(pick: JointPick, od: float, bore: float, size: str) -> Part:
    thread = pick.thread
    areas = connections.areas_worked(thread, od, bore)
    found = Gathering(f"Make-up as a {pick.body}, {size}", thread.mark)
    found.put("Area of the pin", areas.pin_in2)
    found.put("Area of the box", areas.box_in2)
    found.put("Which member governs", governs_worked(thread, od, bore))
    torque = connections.make_up_torque_ft_lb_worked(
        thread, od, bore, pick.stress_psi, limit_shoulder=pick.limit_shoulder,
        compound_factor=pick.compound_factor)
    found.put("Make-up torque", torque)
    if pick.arm_ft is not None:
        arm = pick.arm_ft
        found.add("Line pull at that arm", lambda: connections.line_pull_lb_worked(torque.value, arm),
                  "common practice; the line square to the arm")
    return found.part()


def governs_worked(thread: Thread, od_in: float, bore_in: float) -> Worked:
    """Return the member with less steel, "pin" or "box", with both areas as its steps.

    `thread` with `od_in` and `bore_in` in inches; ValueError as `connections.areas_worked`. Source: RP 7G.
    """
    areas = connections.areas_worked(thread, od_in, bore_in)
    weaker = connections.areas(thread, od_in, bore_in).weaker
    pin, box = areas.pin_in2.value, areas.box_in2.value
    steps = (f"Ap = {pin:.5f} in2", f"Ab = {box:.5f} in2", f"{weaker} governs")
    return Worked(weaker, "", "the member with the smaller area", areas.pin_in2.inputs, steps,
                  areas.pin_in2.source)


def _strength(pick: JointPick, od: float, bore: float, size: str) -> Part:
    thread = pick.thread
    found = Gathering(f"Strength on {size}", thread.mark)
    if pick.body == "drill collar":
        found.say("Torsional and tensile yield of a collar go by its own yield strength, which the maker's "
                  "sheet gives; tool joints are worked out with 120,000 psi.")
        return found.part()
    worked = connections.joint_strengths_worked(thread, od, bore)
    found.put("Torsional yield", worked.torsion_ft_lb)
    found.put("Tensile yield of the pin", worked.tensile_lb)
    return found.part()


def inches_of(nanometres: int) -> float:
    """Return whole `nanometres` as inches. Raises nothing. Source: the international inch, exact."""
    return float(Fraction(nanometres, 25_400_000))
