"""Smallest OD, thinnest shoulder and torque of worn joints against remembered cells of RP 7G table 10."""

from fractions import Fraction

import pytest

from rack.calc.connections import TOOL_JOINT_MAKE_UP_PSI, tool_joint_limits, torque_ft_lb
from tests.published.read import grade_psi, published

ROWS = published("tool_joint_limits")
CLASSES = {"premium": "premium", "class2": "class 2"}
CELLS = [(row, column) for row in ROWS for column in CLASSES if row[f"{column}_min_od_in"]]
#: New joints that the table gives with the shoulder radius limited; all others without.
LIMITED_NEW = ("NC31", "NC38")
#: 20,120 is printed (or remembered) where the formula gives 20,127 and every neighbour fits.
SLIP = ("5", "X-95", "premium")


def _limits(row, column):
    return tool_joint_limits(row["connection"], float(row["new_id_in"]), float(row["pipe_od_in"]),
                             float(row["wall_in"]), grade_psi(row["grade"].replace("-", "")), CLASSES[column])


def _is_slip(row, column):
    return (row["pipe_od_in"], row["grade"], column) == SLIP


@pytest.mark.parametrize("row, column", CELLS)
def test_the_smallest_diameter_of_a_class_is_reproduced_exactly(row, column):
    assert _limits(row, column).min_od_in == float(row[f"{column}_min_od_in"])


@pytest.mark.parametrize("row, column", CELLS)
def test_the_thinnest_shoulder_of_a_class_is_reproduced_exactly(row, column):
    assert _limits(row, column).min_shoulder_in == float(Fraction(row[f"{column}_min_shoulder_in"]))


@pytest.mark.parametrize(
    "row, column", [cell for cell in CELLS if cell[0][f"{cell[1]}_makeup_ftlbf"] and not _is_slip(*cell)])
def test_the_torque_at_the_smallest_diameter_is_reproduced(row, column):
    assert _limits(row, column).make_up_ft_lb == pytest.approx(float(row[f"{column}_makeup_ftlbf"]), abs=1)


@pytest.mark.parametrize("row, column", [cell for cell in CELLS if _is_slip(*cell)])
def test_the_formula_is_not_bent_to_the_slip(row, column):
    assert row[f"{column}_makeup_ftlbf"] == "20120"
    assert _limits(row, column).make_up_ft_lb == pytest.approx(20_127, abs=1)


@pytest.mark.parametrize("row", ROWS)
def test_the_torque_of_the_new_joint_is_reproduced(row):
    found = torque_ft_lb(row["connection"], float(row["new_od_in"]), float(row["new_id_in"]),
                         TOOL_JOINT_MAKE_UP_PSI, limit_shoulder=row["connection"] in LIMITED_NEW)
    assert found == pytest.approx(float(row["new_makeup_ftlbf"]), abs=1)


def test_no_cell_of_the_table_was_left_out():
    assert len(ROWS) == 13
    assert len(CELLS) == 25  # class 2 of 4-1/2 16.60 X-95 is blank in the source
    torques = [cell for cell in CELLS if cell[0][f"{cell[1]}_makeup_ftlbf"]]
    assert len(torques) == 24  # class 2 torque of 4-1/2 16.60 E-75 is blank too
    assert sum(_is_slip(*cell) for cell in CELLS) == 1
