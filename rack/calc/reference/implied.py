"""What a specification implies: the nominal figures of a piece, as far as the tables know its like."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from rack.calc import bits, tubes, weights
from rack.calc.casing import drift_worked, grade
from rack.calc.connections import thread_of
from rack.calc.kinds import kind_of
from rack.calc.lookup import Catalogue, Row, number
from rack.calc.reference.bit import gauge_part
from rack.calc.reference.casing import CasingPick, Pipe, casing_parts, pipes
from rack.calc.reference.connection import (
    JointPick,
    connection_parts,
    dimension_part,
    inches_of,
    thread_row,
)
from rack.calc.reference.heavy import heavy_parts
from rack.calc.reference.parts import Gathering, Opened, Part, marks
from rack.calc.reference.picked import Joint, PipePick, grade_row, usual_joint
from rack.calc.reference.pipe import joint_parts, limit_worked
from rack.calc.specs import SpecFacts, inches, weight_label
from rack.calc.walls import wall_limit_printed

#: How far a size or a label weight turned from metric may be off the table's: 1/254 in, 0.1 lb/ft.
_SIZE_OFF, _WEIGHT_OFF = Fraction(1, 254), Fraction(1, 10)


@dataclass(frozen=True)
class Column:
    """The figures of one class, in the order of the rows of `Implied`."""

    name: str
    figures: tuple[Opened, ...]


@dataclass(frozen=True)
class Implied:
    """Strength by class as a table (empty for what has no classes), and parts below it.

    `sentences` say which table does not know the piece; `mark` is what must stand beside the table.
    """

    columns: tuple[Column, ...] = ()
    parts: tuple[Part, ...] = ()
    sentences: tuple[str, ...] = ()
    mark: str = ""


def implied(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    """Return what the tables and formulas say of a new piece made to `spec`, and of its classes.

    `spec` has its lengths in whole nanometres and its weight in 1/1000 lb/ft; `catalogue` the rows in force
    (the tables' units). Raises ValueError for an unknown kind only; what no table has is said in a
    sentence. Source: the tables, each figure with its own.
    """
    kind_of(spec.kind)
    if not spec.od_nm:
        return Implied(sentences=("Its size is not known, so nothing can be worked out.",))
    return _BY_KIND.get(spec.kind, _tool)(spec, catalogue)


def pipe_row(spec: SpecFacts, catalogue: Catalogue, table: str = "drill_pipe") -> Row | None:
    """Return the row of "drill_pipe" or "heavyweight" that `spec` (nm, 1/1000 lb/ft) names, or None.

    `catalogue` the rows in force, `table` its name. Raises nothing. Source: that table.
    """
    size = Fraction(spec.od_nm, 25_400_000)
    for row in catalogue.rows(table):
        near = abs((number(row["od_in"]) or 0) - size) <= _SIZE_OFF
        if near and (table == "heavyweight" or _weighs(row["nominal_weight_lb_ft"], spec)):
            return row
    return None


def _weighs(text: str, spec: SpecFacts) -> bool:
    return abs((number(text) or 0) - Fraction(spec.weight_mlb_ft, 1000)) <= _WEIGHT_OFF


def _named(spec: SpecFacts) -> str:
    weight = weight_label(spec.weight_mlb_ft)
    return f"{inches(spec.od_nm)} in {weight} lb/ft" if weight else f"{inches(spec.od_nm)} in"


def _drill_pipe(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    row = pipe_row(spec, catalogue)
    if row is None:
        absent = f"Table drill_pipe has no {_named(spec)}; the office can add it with its source."
        return Implied((), _ends(spec, catalogue), (absent,))
    try:
        strong = grade_row(spec.grade, catalogue)
    except ValueError as wrong:
        return Implied((), _ends(spec, catalogue), (f"Strength: {wrong}.",))
    pick = PipePick(row, strong, joint=_joint(spec, row, catalogue))
    ends = joint_parts(pick.joint, pick)
    columns = tuple(_by_class(pick, name) for name in tubes.PIPE_CLASSES)
    return Implied(columns, (*ends, *_ends(spec, catalogue)), (), marks(row, strong))


def _by_class(pick: PipePick, name: str) -> Column:
    worked = tubes.strengths_worked(pick.od_in, pick.wall_in, pick.yield_psi, name)
    lines = (
        ("Tension", worked.tensile_lb), ("Torsion", worked.torsion_ft_lb), ("Burst", worked.burst_psi),
        ("Collapse", worked.collapse_psi),
    )  # fmt: skip
    printed = f"printed as {wall_limit_printed(pick.wall_in, name)} in"
    wall = Opened("Smallest wall", limit_worked(pick.wall_in, name), "", printed)
    return Column(name, (*(Opened(label, one) for label, one in lines), wall))


def _joint(spec: SpecFacts, row: Row, catalogue: Catalogue) -> Joint | None:
    """The piece's own tool joint where the list gave its diameters, else the one the table names."""
    connection = spec.down_conn or spec.up_conn
    try:
        if connection and spec.tj_od_nm and spec.tj_bore_nm:
            od, bore = inches_of(spec.tj_od_nm), inches_of(spec.tj_bore_nm)
            return Joint(thread_of(connection, catalogue), od, bore)
        return usual_joint(row, spec.grade, connection, catalogue)
    except ValueError:
        return None


def _ends(spec: SpecFacts, catalogue: Catalogue) -> tuple[Part, ...]:
    """The dimensions of the threads at the ends, each once."""
    parts = []
    for name in dict.fromkeys(name for name in (spec.up_conn, spec.down_conn) if name):
        try:
            parts.append(_short(thread_of(name, catalogue).name, catalogue))
        except ValueError as wrong:
            parts.append(Part(f"Dimensions of {name}", (), (f"{str(wrong).removeprefix('connection: ')}.",)))
    return tuple(parts)


def _short(name: str, catalogue: Catalogue) -> Part:
    return dimension_part(thread_row(name, catalogue), all_of_them=False)


def _heavy_weight(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    row = pipe_row(spec, catalogue, "heavyweight")
    governs = "The maker's sheet governs; the office enters it with its source."
    if row is None:
        return Implied((), _ends(spec, catalogue), (f"Table heavyweight has no {_named(spec)}.", governs))
    return Implied((), (*heavy_parts(row, catalogue), *_ends(spec, catalogue)), (governs,))


def _casing(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    thread = spec.down_conn or spec.up_conn
    product = "tubing" if thread in ("EUE", "NUE") else "casing"
    pipe = casing_pipe(spec, product, catalogue)
    if pipe is None:
        absent = f"Table {product} has no {_named(spec)}; the office can add it with its source."
        return Implied(sentences=(absent,))
    try:
        strong = grade(spec.grade, catalogue=catalogue)
    except ValueError as wrong:
        return Implied(sentences=(f"Strength: {str(wrong).partition(': ')[2]}.",))
    parts = casing_parts(CasingPick(pipe, strong, thread, spec.range), catalogue)
    return Implied((), tuple(part for part in parts if part.figures or part.sentences))


def casing_pipe(spec: SpecFacts, product: str, catalogue: Catalogue) -> Pipe | None:
    """Return the size and weight of `product` that `spec` (nm, 1/1000 lb/ft) names, or None.

    `catalogue` holds the rows in force. Raises nothing. Source: tables "casing", "tubing".
    """
    size, weight = Fraction(spec.od_nm, 25_400_000), Fraction(spec.weight_mlb_ft, 1000)
    for pipe in pipes(product, catalogue):
        if (abs(Fraction(pipe.od_in) - size) <= _SIZE_OFF
                and abs(Fraction(pipe.weight_lb_ft) - weight) <= _WEIGHT_OFF):  # fmt: skip
            return pipe
    return None


def _collar(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    od, bore = inches_of(spec.od_nm), inches_of(spec.bore_nm)
    if not bore:
        unknown = "Its bore is not known, so its weight cannot be worked out."
        return Implied((), _ends(spec, catalogue), (unknown,))
    found = Gathering("Plain collar")
    found.add("Weight", lambda: weights.collar_weight_lb_ft_worked(od, bore), "a spiral collar weighs less")
    found.add("Drift", lambda: drift_worked("drill collar", od, bore, catalogue=catalogue),
              "from memory: verify against your standard")
    return Implied((), (found.part(), *_bodies(spec, od, bore, "drill collar", catalogue)))


def _bodies(spec: SpecFacts, od: float, bore: float, body: str, catalogue: Catalogue) -> tuple[Part, ...]:
    """What the threads at the ends make of a body of these diameters, each thread once."""
    parts: list[Part] = []
    for name in dict.fromkeys(name for name in (spec.up_conn, spec.down_conn) if name):
        try:
            thread = thread_of(name, catalogue)
            pick = JointPick(thread, thread_row(thread.name, catalogue), od, bore, body)
            parts += [_short(thread.name, catalogue), *connection_parts(pick, catalogue)[1:]]
        except ValueError as wrong:
            parts.append(Part(f"{name} on this body", (), (f"{str(wrong).partition(': ')[2] or wrong}.",)))
    return tuple(parts)


def _tool(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    if spec.bore_nm:
        od, bore = inches_of(spec.od_nm), inches_of(spec.bore_nm)
        return Implied((), _bodies(spec, od, bore, "drill collar", catalogue))
    return Implied((), _ends(spec, catalogue))


def _bit(spec: SpecFacts, catalogue: Catalogue) -> Implied:
    parts = [gauge_part(name, inches_of(spec.od_nm), catalogue) for name in bits.BIT_TYPES]
    return Implied((), (*parts, *_ends(spec, catalogue)))


_BY_KIND: dict[str, Callable[[SpecFacts, Catalogue], Implied]] = {
    "drill_pipe": _drill_pipe, "heavy_weight": _heavy_weight, "casing": _casing, "collar": _collar,
    "bit": _bit,
}  # fmt: skip

