"""What is known of the body of a piece in a string: sizes, weight in air, yield, each figure opened.

A figure that nobody knows is no figure: it is the sentence that says what is missing (law 8).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from rack.calc import tubes, weights
from rack.calc.casing import grade as casing_grade
from rack.calc.chain import Link
from rack.calc.facts import facts_of_spec
from rack.calc.kinds import kind_of
from rack.calc.lookup import Catalogue, Row, caution, number
from rack.calc.losses import SHIPPED
from rack.calc.reference.implied import casing_pipe, pipe_row
from rack.calc.reference.parts import from_row
from rack.calc.reference.picked import Joint, PipePick, grade_row, usual_joint
from rack.calc.reference.pipe import jointed_worked
from rack.calc.specs import SpecFacts
from rack.calc.worked import Worked

NM_PER_IN = 25_400_000

#: Kinds whose body is the strength of the string, from the stiffest.
COLLARS, HEAVY, PIPE = "collar", "heavy_weight", "drill_pipe"
#: The formula of a weight a foot that its specification says.
AS_GIVEN = "the weight of its specification"
#: A bit is hardly ever weighed: its few hundred lb are left out of sums, and said.
UNWEIGHED = ("bit", "core_bit")


@dataclass(frozen=True)
class Figure:
    """A figure with its working, or `reason`, the sentence why there is none.

    `left_out` names what the figure does not hold, "" for nothing.
    """

    worked: Worked | None = None
    reason: str = ""
    left_out: str = ""

    @property
    def value(self) -> float | None:
        """The figure in the unit of its working, None when there is none."""
        return None if self.worked is None else float(self.worked.value)

    @property
    def unit(self) -> str:
        """The unit of the figure, "" when there is none."""
        return "" if self.worked is None else self.worked.unit


@dataclass(frozen=True)
class Body:
    """The body of one piece: sizes in inches, None where not known; `facts` by name as canonical texts.

    `bore_in` is that of the tube, `least_nm` the least bore with its tool joints in nm. `box_od_in` and
    `pin_bore_in` are the diameters that its threads are cut in. `weight` is lb/ft in air with joints.
    """

    spec: SpecFacts
    facts: Mapping[str, str]
    od_in: float | None
    bore_in: float | None
    wall_in: float | None
    widest_nm: int
    least_nm: int | None
    box_od_in: float | None
    pin_bore_in: float | None
    yield_psi: float | None
    weight: Figure
    row: Row | None = None
    joint_mark: str = field(default="")


def _inches(nanometres: int) -> float | None:
    return nanometres / NM_PER_IN if nanometres else None


def figure_of(ask: Callable[[], Worked]) -> Figure:
    """Return what `ask` works out, or its refusal as the reason.

    `ask` takes nothing and gives a `Worked` in any unit; a ValueError of it becomes the sentence. Raises
    nothing else. Source: that of the working.
    """
    try:
        return Figure(ask())
    except ValueError as wrong:
        return Figure(reason=f"{str(wrong).rstrip('.')}.")


class Bodies:
    """The bodies of the pieces of one string, each specification worked out once.

    `catalogue` holds the rows in force, the office's own among them.
    """

    def __init__(self, catalogue: Catalogue = SHIPPED) -> None:
        """Keep `catalogue`, the rows in force (no unit). Raises nothing. Source: its rows."""
        self.catalogue = catalogue
        self._known: dict[tuple[SpecFacts, str], Body] = {}

    def of(self, link: Link) -> Body:
        """Return the body of `link`: sizes in inches and nm, weight in lb/ft, yield in psi.

        Raises ValueError for an unknown kind only. Source: its specification, then the tables
        "drill_pipe", "heavyweight", "tool_joint_weights", "casing", "grades".
        """
        facts = {**facts_of_spec(link.spec), **link.facts}
        key = (link.spec, repr(sorted(facts.items())))
        if key not in self._known:
            self._known[key] = _body(link.spec, facts, self.catalogue)
        return self._known[key]


def _body(spec: SpecFacts, facts: Mapping[str, str], catalogue: Catalogue) -> Body:
    kind = kind_of(spec.kind)
    row, bore, wall = None, _inches(spec.bore_nm), _inches(spec.wall_nm)
    od = _inches(spec.od_nm)
    if spec.od_nm and spec.kind in (PIPE, HEAVY):
        table = "drill_pipe" if spec.kind == PIPE else "heavyweight"
        row = pipe_row(spec, catalogue, table)
        wall = wall or _cell(row, "wall_in" if spec.kind == PIPE else "tube_wall_in")
    if spec.od_nm and kind.family == "coupled":
        pipe = casing_pipe(spec, "casing", catalogue) or casing_pipe(spec, "tubing", catalogue)
        wall = wall or (float(pipe.wall_in) if pipe else None)
    if bore is None and od and wall:
        bore = od - 2 * wall
    joint = _joint(spec, row, catalogue)
    mark = joint.mark if joint else ""
    widest = max(spec.od_nm, spec.tj_od_nm)
    box_od = _inches(spec.tj_od_nm) or (joint.od_in if joint else None)
    pin_bore = _inches(spec.tj_bore_nm) or (joint.bore_in if joint else None)
    if spec.kind == HEAVY:
        box_od, pin_bore = box_od or _cell(row, "tool_joint_od"), pin_bore or _cell(row, "tool_joint_id")
        mark = caution(row) if row else ""
    if spec.kind not in (PIPE, HEAVY):
        box_od, pin_bore = box_od or od, pin_bore or bore
    weight = _weight(spec, facts, od, bore, row, joint, catalogue)
    return Body(spec, facts, od, bore, wall, widest, _least(spec, bore), box_od, pin_bore,
                _yield(spec, catalogue), weight, row, mark)  # fmt: skip


def _cell(row: Row | None, column: str) -> float | None:
    value = number(row[column]) if row else None
    return None if value is None else float(value)


def _least(spec: SpecFacts, bore_in: float | None) -> int | None:
    """The least bore; that of drill pipe is in its tool joint, which must be known."""
    if spec.kind in (PIPE, HEAVY) and not spec.tj_bore_nm:
        return None
    body = spec.bore_nm or (round(bore_in * NM_PER_IN) if bore_in else 0)
    known = [nm for nm in (body, spec.tj_bore_nm) if nm]
    return min(known) if known else None


def _joint(spec: SpecFacts, row: Row | None, catalogue: Catalogue) -> Joint | None:
    """The tool joint that the tables name for this drill pipe; its own diameters stand before it."""
    if row is None or spec.kind != PIPE:
        return None
    try:
        return usual_joint(row, spec.grade, spec.down_conn or spec.up_conn, catalogue)
    except ValueError:
        return None


def _yield(spec: SpecFacts, catalogue: Catalogue) -> float | None:
    if not spec.grade:
        return None
    try:
        if kind_of(spec.kind).family == "coupled":
            return _cell(casing_grade(spec.grade, catalogue=catalogue), "min_yield_psi")
        return _cell(grade_row(spec.grade, catalogue), "min_yield_psi")
    except ValueError:
        return None


def _weight(spec: SpecFacts, facts: Mapping[str, str], od: float | None, bore: float | None,
            row: Row | None, joint: Joint | None, catalogue: Catalogue) -> Figure:  # fmt: skip
    kind = kind_of(spec.kind)
    if spec.kind == PIPE:
        if row is None:
            return Figure(reason="no table has this drill pipe, so its weight with tool joints is not known.")
        found = figure_of(lambda: _jointed(spec, row, joint, catalogue))
        add = " The office can add it to table tool_joint_weights with its source." if found.reason else ""
        return Figure(found.worked, f"{found.reason}{add}")
    if spec.kind == HEAVY and row is not None and not spec.weight_mlb_ft:
        return figure_of(lambda: from_row("heavyweight", row, "approx_weight_lb_ft_with_joints", "lb/ft"))
    if spec.weight_mlb_ft:
        return Figure(_labelled(spec))
    if spec.kind == HEAVY or kind.family == "coupled":
        return Figure(reason=f"the weight of this {kind.name} is not known.")
    if od is None or bore is None or spec.kind in UNWEIGHED:
        sizes = "" if spec.kind in UNWEIGHED else ", nor both OD and bore to work it out with"
        return Figure(reason=f"the weight of this {kind.name} is not known{sizes}.")
    body = weights.spiral_collar_weight_lb_ft_worked if facts.get("surface") == "spiral" \
        else weights.collar_weight_lb_ft_worked
    return figure_of(lambda: body(od, bore))


def _labelled(spec: SpecFacts) -> Worked:
    weight = spec.weight_mlb_ft / 1000
    return Worked(weight, "lb/ft", AS_GIVEN, {"w": f"{weight:g} lb/ft"},
                  (f"w = {weight:g} lb/ft",), "the specification of the piece")  # fmt: skip


def _jointed(spec: SpecFacts, row: Row, joint: Joint | None, catalogue: Catalogue) -> Worked:
    grade = grade_row(spec.grade, catalogue) if spec.grade else catalogue.rows("grades")[0]
    if joint is not None and spec.tj_od_nm and spec.tj_bore_nm:
        own = spec.tj_od_nm / NM_PER_IN, spec.tj_bore_nm / NM_PER_IN
        joint = Joint(joint.thread, *own, joint.row)
    return jointed_worked(PipePick(row, grade, joint=joint), catalogue)


#: Class as it is kept, in small letters -> the class that strength is worked out by.
TUBE_CLASSES = {"new": "new", "class 1": "new", "premium": "premium", "class 2": "class 2"}


def strengths_of(body: Body, pipe_class: str) -> tubes.StrengthsWorked | str:
    """Return pull (lb), torsion (ft-lb), burst and collapse (psi) of drill pipe, or why they are not known.

    `body` of a drill pipe, `pipe_class` as given ("Premium", "New"); the sentence names what is missing.
    Raises nothing. Source: RP 7G, API Spec 5D, API 5C3.
    """
    strength_class = TUBE_CLASSES.get(pipe_class.strip().lower())
    if strength_class is None:
        said = f"no strength is worked out for class {pipe_class}" if pipe_class else "its class is not known"
        return f"{said}."
    if body.od_in is None or body.wall_in is None:
        return "its size or its wall is not known."
    if body.yield_psi is None:
        return "its grade is not known."
    try:
        return tubes.strengths_worked(body.od_in, body.wall_in, body.yield_psi, strength_class)
    except ValueError as wrong:
        return f"{wrong}."
