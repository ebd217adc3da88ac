"""New and premium torsion of drill pipe against a reprint of RP 7G tables 2 and 4 (source in each row)."""

import pytest

from rack.calc.tubes import strengths
from tests.published.read import published, toleranced

COLUMNS = {"new_torsion_ftlbf": "new", "premium_torsion_ftlbf": "premium"}
CELLS = [(row, column) for row in toleranced("tube_torsion") for column in COLUMNS if row[column]]


@pytest.mark.parametrize("row, column", CELLS)
def test_a_published_torsion_is_reproduced(row, column):
    od, wall, psi = float(row["pipe_od_in"]), float(row["wall_in"]), 1000 * float(row["yield_ksi"])
    found = strengths(od, wall, psi, COLUMNS[column]).torsion_ft_lb
    assert found == pytest.approx(float(row[column]), abs=float(row["tolerance"]))


def test_no_cell_of_the_reprint_was_left_out():
    assert len(published("tube_torsion")) == len(toleranced("tube_torsion")) == 25
    assert len(CELLS) == 41
