"""Smallest walls by class against a supplier's booklet (source beside each row), and how they are printed."""

from fractions import Fraction

import pytest

from rack.calc.walls import wall_limit_in, wall_limit_printed
from tests.published.read import pipe, published, toleranced

CLASS = {
    "min_wall_new_87.5pct": "new",
    "min_wall_premium_80pct": "premium",
    "min_wall_class2_70pct": "class 2",
}


def _name(row):
    return "-".join(row[column] for column in ("size", "nominal_weight", "quantity"))


def _computed(row):
    wall = pipe(row["size"], row["nominal_weight"])[1]
    return wall if row["quantity"] == "nominal_wall" else wall_limit_in(wall, CLASS[row["quantity"]])


def _half_up(inches):
    return int(Fraction(repr(inches)) * 1000 + Fraction(1, 2)) / 1000


@pytest.mark.parametrize("row", toleranced("wall_limits"), ids=_name)
def test_a_published_wall_limit_is_reproduced(row):
    # The booklet rounds half up to 0.001 in, so the unrounded limit lies within half of that.
    off = abs(Fraction(repr(_computed(row))) - Fraction(row["value"]))
    assert off <= Fraction(row["tolerance"])
    assert _half_up(_computed(row)) == float(row["value"])


def test_no_row_of_the_booklet_was_left_out():
    assert len(published("wall_limits")) == len(toleranced("wall_limits")) == 36


@pytest.mark.parametrize("row", [r for r in published("wall_limits") if r["quantity"] in CLASS], ids=_name)
def test_a_reading_equal_to_our_print_passes_the_unrounded_limit(row):
    wall = pipe(row["size"], row["nominal_weight"])[1]
    shown = wall_limit_printed(wall, CLASS[row["quantity"]])
    exact = Fraction(repr(_computed(row)))
    assert exact <= Fraction(shown) < exact + Fraction(1, 1000)


def test_the_printed_limit_of_3_1_2_premium_is_not_lowered_by_rounding():
    assert wall_limit_in(0.368, "premium") == 0.2944
    assert wall_limit_printed(0.368, "premium") == "0.295"
