"""Pull, torsion, burst and collapse of drill pipe against six published sheets (source beside each row)."""

import pytest

from rack.calc.tubes import strengths
from tests.published.read import exceptions, grade_psi, pipe, published, toleranced

UNITS = {"tensile": "lb", "torsion": "ft_lb", "burst": "psi", "collapse": "psi"}
MEASURED = {"rbw95": 0.95, "rbw90": 0.90}


def _name(row):
    return "-".join(row[column] for column in ("source_id", "size", "weight", "grade", "class", "quantity"))


def _computed(row):
    od, wall = pipe(row["size"], row["weight"])
    left = MEASURED.get(row["class"])
    pipe_class = "new" if left else row["class"]
    found = strengths(od, wall, grade_psi(row["grade"]), pipe_class, wall_left=left)
    return getattr(found, f"{row['quantity']}_{UNITS[row['quantity']]}")


@pytest.mark.parametrize("row", toleranced("strengths"), ids=_name)
def test_a_published_strength_is_reproduced(row):
    assert _computed(row) == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", exceptions("strengths"), ids=_name)
def test_the_formula_does_not_bend_to_a_misprint(row):
    assert row["note"], "an exception says why it is one"
    assert abs(_computed(row) - float(row["value"])) > float(row["rounded_to"])


@pytest.mark.parametrize(
    "row, formula",
    [("57600", 57_633), ("70900", 70_994), ("76880", 76_893), ("153000", 152_979), ("212250", 212_150),
     ("51360", 51_630)],
)
def test_what_the_formula_gives_beside_a_misprint_is_what_the_note_says(row, formula):
    found = next(r for r in exceptions("strengths") if r["value"] == row)
    assert _computed(found) == pytest.approx(formula, abs=1)


def test_the_number_of_exceptions_is_known():
    assert (len(published("strengths")), len(exceptions("strengths"))) == (170, 9)


@pytest.mark.parametrize("grade", ["X95", "G105", "S135"])
def test_the_flat_eighty_per_cent_of_6_5_8_premium_is_not_followed(grade):
    # The premium sheet prints exactly 0.8 x new for these three: 1.2 to 1.4 % high, on the unsafe side.
    psi = grade_psi(grade)
    for weight in ("25.20", "27.70"):
        od, wall = pipe("6-5/8", weight)
        flat = 0.8 * strengths(od, wall, psi, "new").torsion_ft_lb
        assert 1.010 < flat / strengths(od, wall, psi, "premium").torsion_ft_lb < 1.015


def test_a_measured_wall_of_ninety_per_cent_may_print_a_burst_above_new():
    od, wall = pipe("5", "19.50")
    new = strengths(od, wall, 135_000, "new").burst_psi
    assert strengths(od, wall, 135_000, "new", wall_left=0.90).burst_psi > new
