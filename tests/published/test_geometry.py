"""Worn dimensions, sections, plain-end weights and twist against published sheets (source in each row)."""

import pytest

from rack.calc.tubes import geometry, torque_turn_ft_lb
from tests.published.read import pipe, published, toleranced


def _name(row):
    return "-".join(row[column] for column in ("size", "weight", "rbw", "quantity"))


@pytest.mark.parametrize("row", toleranced("geometry"), ids=_name)
def test_a_published_dimension_is_reproduced(row):
    od, wall = pipe(row["size"], row["weight"])
    left = float(row["rbw"])
    if row["quantity"] == "torque_turn_K":
        found = torque_turn_ft_lb(od, wall, "new", wall_left=left)
    else:
        found = getattr(geometry(od, wall, "new", wall_left=left), row["quantity"])
    assert found == pytest.approx(float(row["value"]), abs=float(row["tolerance"]))


def test_no_row_of_the_sheets_was_left_out():
    assert len(published("geometry")) == len(toleranced("geometry")) == 50


def test_a_class_takes_the_same_wall_as_its_fraction():
    assert geometry(5, 0.362, "premium") == geometry(5, 0.362, "new", wall_left=0.8)
    assert geometry(5, 0.362, "class 2") == geometry(5, 0.362, "premium", wall_left=0.7)
    assert geometry(5, 0.362, "new") == geometry(5, 0.362, "class 2", wall_left=1.0)
