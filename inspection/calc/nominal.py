"""What a piece measured when it was new: nominal wall, OD and bore in whole nanometres, yield in psi."""

from collections.abc import Iterator
from fractions import Fraction
from functools import cache, lru_cache

from rack.calc.connections import Thread, thread_of, tool_joint_limits
from rack.calc.lookup import Catalogue, number, rows
from rack.calc.reference.implied import pipe_row
from rack.calc.reference.picked import usual_joint
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

_INCH = NM["in"]
#: Table of pipe by kind: name, column of the weight.
_PIPE = {"drill_pipe": ("drill_pipe", "nominal_weight_lb_ft")}


def to_nm(value: Fraction) -> int:
    """Return inches as whole nanometres; `value` in inches, exact.

    Raises ValueError when it is no whole nanometre. Source: international inch.
    """
    nm = value * _INCH
    if nm.denominator != 1:
        raise ValueError(f"value: {value} in is no whole nanometre")
    return nm.numerator


@lru_cache(maxsize=1024)
def nominal_wall(spec: SpecFacts) -> int:
    """Return the nominal wall of `spec` in nm, 0 where it is not known.

    Stated on the specification, else of drill pipe by size and weight, else from OD and bore of casing and
    tubing. Raises nothing. Source: table "drill_pipe" (API Spec 5D).
    """
    if spec.wall_nm:
        return spec.wall_nm
    if spec.kind in ("casing", "tubing", "pup_joint", "marker_joint") and spec.od_nm > spec.bore_nm > 0:
        return (spec.od_nm - spec.bore_nm) // 2
    found = {number(row["wall_in"]) for row in _pipe_rows(spec)}
    wall = found.pop() if len(found) == 1 else None
    return to_nm(wall) if wall else 0


def _pipe_rows(spec: SpecFacts) -> Iterator[dict[str, str]]:
    if spec.kind not in _PIPE or not spec.od_nm or not spec.weight_mlb_ft:
        return
    table, weight = _PIPE[spec.kind]
    for row in rows(table):
        od, pounds = number(row["od_in"]), number(row[weight])
        if od is None or pounds is None:
            continue
        if od * _INCH == spec.od_nm and pounds * 1000 == spec.weight_mlb_ft:
            yield dict(row)


def yield_psi(spec: SpecFacts) -> float:
    """Return the least yield of the grade of `spec` in psi, 0 where the grade is not known.

    Raises nothing. Source: table "grades" (API Spec 5D).
    """
    wanted = "".join(sign for sign in spec.grade.upper() if sign.isalnum())
    for row in rows("grades"):
        if row["grade"] == wanted:
            return float(row["min_yield_psi"])
    return 0.0


def thread(connection: str) -> Thread | None:
    """Return the thread named `connection` with its dimensions, None where the tables hold none.

    Raises nothing. Source: table "connections".
    """
    try:
        return thread_of(connection)
    except ValueError:
        return None


@lru_cache(maxsize=1024)
def usual_bore(spec: SpecFacts) -> int:
    """Return the bore in nm of the tool joint that drill pipe of `spec` usually has, 0 where it is not known.

    Raises nothing. Source: table "tool_joint_weights", each row with its own.
    """
    if spec.kind != "drill_pipe" or not spec.od_nm:
        return 0
    catalogue = Catalogue()
    row = pipe_row(spec, catalogue, "drill_pipe")
    try:
        joint = usual_joint(row, spec.grade, spec.down_conn or spec.up_conn, catalogue) if row else None
    except ValueError:
        return 0
    return to_nm(Fraction(str(joint.bore_in))) if joint else 0


@cache
def _joint_sizes(
    connection: str, bore_nm: int, od_nm: int, wall_nm: int, psi: float
) -> tuple[tuple[tuple[str, int], ...], tuple[tuple[str, int], ...], str]:
    diameters, shoulders = [], []
    for name, steel in (("Premium", "premium"), ("Class 2", "class 2")):
        try:
            found = tool_joint_limits(connection, bore_nm / _INCH, od_nm / _INCH, wall_nm / _INCH, psi, steel)
        except ValueError as wrong:
            return (), (), str(wrong)
        diameters.append((name, to_nm(Fraction(found.min_od_in))))
        shoulders.append((name, to_nm(Fraction(found.min_shoulder_in))))
    return tuple(diameters), tuple(shoulders), ""


def joint_sizes(
    spec: SpecFacts, bore_nm: int = 0
) -> tuple[tuple[tuple[str, int], ...], tuple[tuple[str, int], ...], str]:
    """Return smallest tool joint OD and thinnest shoulder by class in nm, and why not where there are none.

    `spec` gives pipe size, wall, grade, connection and bore; `bore_nm` is a measured bore, used where the
    specification has none; without either it is the bore of the tool joint that the table has for this pipe.
    Raises nothing. Source: API RP 7G table 10, from memory and reproduced by rule; table
    "tool_joint_weights".
    """
    wall, psi = nominal_wall(spec), yield_psi(spec)
    bore = spec.tj_bore_nm or bore_nm or usual_bore(spec)
    lacks = [word for word, there in (("wall", wall), ("grade", psi), ("bore of the tool joint", bore),
                                      ("size", spec.od_nm), ("connection", spec.up_conn or spec.down_conn))
             if not there]
    if lacks:
        return (), (), f"the specification does not say: {', '.join(lacks)}"
    return _joint_sizes(spec.up_conn or spec.down_conn, bore, spec.od_nm, wall, psi)
