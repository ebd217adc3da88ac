"""Drill-collar weights against Lyons (table 4-73) and two reprints of Spec 7; the two tables disagree."""

import pytest

from rack.calc.lookup import rows
from rack.calc.weights import buoyancy_factor, collar_weight_lb_ft
from tests.published.read import exceptions, published, toleranced

TABLES = {"collar_weights": "published_lb_ft", "collar_weights_spec7": "value"}
REPRODUCED = [(table, row) for table in TABLES for row in toleranced(table)]
EXCEPTIONS = [(table, row) for table in TABLES for row in exceptions(table)]


def _name(value):
    return value if isinstance(value, str) else f"{value['od_in']}x{value['bore_in']}"


def _computed(row):
    return collar_weight_lb_ft(float(row["od_in"]), float(row["bore_in"]))


@pytest.mark.parametrize("table, row", REPRODUCED, ids=_name)
def test_a_published_collar_weight_is_reproduced(table, row):
    assert _computed(row) == pytest.approx(float(row[TABLES[table]]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("table, row", EXCEPTIONS, ids=_name)
def test_the_geometry_does_not_bend_to_a_cell_that_contradicts_it(table, row):
    # Whole lb/ft are printed, so a cell further off than half a pound is no rounding.
    assert abs(_computed(row) - float(row[TABLES[table]])) > 0.5


def test_the_number_of_cells_and_exceptions_is_known():
    counts = {table: (len(published(table)), len(exceptions(table))) for table in TABLES}
    assert counts == {"collar_weights": (71, 1), "collar_weights_spec7": (10, 2)}


@pytest.mark.parametrize("row", rows("buoyancy"), ids=lambda row: row["mud_ppg"])
def test_a_published_buoyancy_factor_is_reproduced(row):
    assert buoyancy_factor(float(row["mud_ppg"])) == pytest.approx(float(row["bf_published"]), abs=0.0006)
