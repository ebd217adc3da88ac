"""Pieces and readings that the tests of inspection are made of."""

from fractions import Fraction

from inspection.calc.readings import Look, Reading
from rack.calc.lookup import number, rows
from rack.calc.specs import SpecFacts

INCH = 25_400_000
#: Everything looked at by eye and by scan, so that only the figures of a test decide.
LOOKS = tuple(Look(method, "nothing to reject") for method in ("VT-T", "VT-C", "EMI", "MPI-F"))


def nm(inches: object) -> int:
    """Return inches, written as text, fraction or number, as whole nanometres."""
    value = inches if isinstance(inches, Fraction) else number(str(inches))
    assert value is not None
    exact = value * INCH
    assert exact.denominator == 1, inches
    return exact.numerator


def pipe(size: str = "5", weight: str = "19.50", grade: str = "S135", connection: str = "NC50",
         joint_od: str = "6-5/8", bore: str = "2-3/4") -> SpecFacts:  # fmt: skip
    """Return a specification of drill pipe; its wall is left to the tables."""
    pounds = number(weight)
    assert pounds is not None
    return SpecFacts(
        "drill_pipe", od_nm=nm(size), weight_mlb_ft=int(pounds * 1000), grade=grade, up_conn=connection,
        up_gender="box", down_conn=connection, down_gender="pin", tj_od_nm=nm(joint_od), tj_bore_nm=nm(bore),
    )


def wall_of(size: str, weight: str) -> Fraction:
    """Return the nominal wall in inches of a size and weight."""
    for row in rows("drill_pipe"):
        if row["size"] == size and number(row["nominal_weight_lb_ft"]) == number(weight):
            found = number(row["wall_in"])
            assert found is not None
            return found
    raise LookupError(f"{size} {weight}")


def good(**more: Reading) -> list[Reading]:
    """Return the readings of a sound used joint of 5 in 19.50 S135; `more` replaces or adds one by name."""
    read = {
        "wall": Reading("wall", nm=nm("0.340")), "od": Reading("od", nm=nm("4.960")),
        "box_od": Reading("od", "box", nm=nm("6.5")), "pin_od": Reading("od", "pin", nm=nm("6.5")),
        "shoulder": Reading("shoulder", "box", nm=nm("31/64")),
    }  # fmt: skip
    return list({**read, **more}.values())
