"""Weights in air and mud, and the mud that pipe moves."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import weights
from rack.calc.lookup import Catalogue, number, rows
from rack.calc.units import convert

COLLARS = st.floats(2, 14).flatmap(lambda od: st.tuples(st.just(od), st.floats(0, od * 0.95)))


def test_w2_an_8_inch_collar_weighs_what_the_training_deck_prints():
    # "Drill String Design" (2013) prints 149.8; steel at 489.5 lb/ft3 gives 149.749.
    assert weights.collar_weight_lb_ft(8, 2.8125) == pytest.approx(149.8, abs=0.06)


def test_a_spiral_collar_is_four_per_cent_lighter():
    plain = weights.collar_weight_lb_ft(8, 2.8125)
    assert weights.spiral_collar_weight_lb_ft(8, 2.8125) == pytest.approx(0.96 * plain)


@pytest.mark.parametrize("mud, share", [(0, 1.0), (10, 55.5 / 65.5), (20, 45.5 / 65.5), (30, 35.5 / 65.5)])
def test_the_buoyancy_factor_is_the_long_rule(mud, share):
    assert weights.buoyancy_factor(mud) == pytest.approx(share, abs=1e-12)


def test_the_short_rule_is_not_used():
    assert (1 - 0.015 * 20) - weights.buoyancy_factor(20) == pytest.approx(0.0053, abs=0.0001)


def test_a_buoyed_weight_is_the_air_weight_times_the_factor():
    assert weights.air_weight_lb(20.87, 1000) == pytest.approx(20_870)
    assert weights.buoyed_weight_lb(20.87, 1000, 10) == pytest.approx(20_870 * weights.buoyancy_factor(10))


JOINTED = [row for row in rows("tool_joint_weights") if row["tj_length_L_in"] and row["formula_lb_ft"]]


@pytest.mark.parametrize("row", JOINTED)
def test_the_weight_with_tool_joints_reproduces_the_shipped_rows(row):
    catalogue = Catalogue()
    (pipe,) = catalogue.find("drill_pipe", size=row["size"], nominal_weight_lb_ft=row["nominal_weight"])
    (upset,) = catalogue.find(
        "upsets", size=row["size"], nominal_weight_lb_ft=row["nominal_weight"], upset=row["upset"]
    )
    found = weights.jointed_weight_lb_ft(
        float(pipe["plain_end_weight_lb_ft"]), float(upset["upset_weight_lb"]),
        float(upset["elevator_od_in"]), float(row["tj_od"]), float(row["tj_id"]),
        float(row["tj_length_L_in"]),
    )  # fmt: skip
    assert found == pytest.approx(float(row["formula_lb_ft"]), abs=0.011)
    if row["approx_lb_ft"]:
        assert found == pytest.approx(float(row["approx_lb_ft"]), abs=0.08)


def test_all_weights_with_a_known_tool_joint_were_tried():
    assert len(JOINTED) == 17


def test_capacity_and_displacements_add_up():
    # 5 in 19.50: the usual handbook capacity is d^2/1029.4 bbl/ft.
    assert weights.capacity_bbl_ft(4.276) == pytest.approx(4.276**2 / 1029.4, rel=2e-5)
    steel = weights.open_end_displacement_bbl_ft(20.87)
    assert steel == pytest.approx(20.87 / 2748, rel=1e-3)
    both = weights.closed_end_displacement_bbl_ft(20.87, 4.276)
    assert both == pytest.approx(steel + weights.capacity_bbl_ft(4.276))


def test_the_steel_of_a_plain_tube_and_its_bore_fill_its_outside():
    plain = weights.collar_weight_lb_ft(8, 3)
    assert weights.closed_end_displacement_bbl_ft(plain, 3) == pytest.approx(weights.capacity_bbl_ft(8))


@given(COLLARS)
def test_metric_and_us_collar_weights_agree(collar):
    od, bore = collar
    density = convert(weights.STEEL_LB_FT3, "weight", "lb/ft", "kg/m") / (0.3048**2)  # kg/m3
    metric = density * pi / 4 * ((od * 0.0254) ** 2 - (bore * 0.0254) ** 2)
    assert convert(metric, "weight", "kg/m", "lb/ft") == pytest.approx(
        weights.collar_weight_lb_ft(od, bore), rel=1e-9, abs=1e-9
    )


@given(COLLARS, st.floats(0, 29), st.floats(0.001, 1))
def test_heavier_mud_carries_more(collar, mud, more):
    weight = weights.collar_weight_lb_ft(*collar)
    assert 0 <= weights.buoyed_weight_lb(weight, 30, mud + more) <= weights.buoyed_weight_lb(weight, 30, mud)


@pytest.mark.parametrize(
    "call, named",
    [
        (lambda bad: weights.buoyancy_factor(bad), "mud_ppg"),
        (lambda bad: weights.collar_weight_lb_ft(bad, 1), "od_in"),
        (lambda bad: weights.collar_weight_lb_ft(8, bad), "bore_in"),
        (lambda bad: weights.spiral_collar_weight_lb_ft(8, bad), "bore_in"),
        (lambda bad: weights.air_weight_lb(bad, 10), "weight_lb_ft"),
        (lambda bad: weights.air_weight_lb(10, bad), "length_ft"),
        (lambda bad: weights.buoyed_weight_lb(10, 10, bad), "mud_ppg"),
        (lambda bad: weights.capacity_bbl_ft(bad), "bore_in"),
        (lambda bad: weights.open_end_displacement_bbl_ft(bad), "weight_lb_ft"),
        (lambda bad: weights.closed_end_displacement_bbl_ft(10, bad), "bore_in"),
        (lambda bad: weights.jointed_weight_lb_ft(bad, 8, 5.125, 6.375, 3.75, 17), "plain_end_lb_ft"),
        (lambda bad: weights.jointed_weight_lb_ft(17.9, bad, 5.125, 6.375, 3.75, 17), "upset_lb"),
        (lambda bad: weights.jointed_weight_lb_ft(17.9, 8, bad, 6.375, 3.75, 17), "elevator_od_in"),
        (lambda bad: weights.jointed_weight_lb_ft(17.9, 8, 5.125, bad, 3.75, 17), "joint_od_in"),
        (lambda bad: weights.jointed_weight_lb_ft(17.9, 8, 5.125, 6.375, bad, 17), "joint_bore_in"),
        (lambda bad: weights.jointed_weight_lb_ft(17.9, 8, 5.125, 6.375, 3.75, bad), "joint_length_in"),
    ],
)
@pytest.mark.parametrize("bad", [True, None, "8", float("nan"), float("inf"), -0.001, 1e9])
def test_what_is_out_of_range_is_refused_by_name(call, named, bad):
    with pytest.raises(ValueError, match=f"^{named}: .*allowed"):
        call(bad)


@pytest.mark.parametrize("mud, passes", [(0, True), (30, True), (30.0001, False), (-0.0001, False)])
def test_the_range_of_mud_is_taken_at_its_ends(mud, passes):
    if passes:
        assert 0 < weights.buoyancy_factor(mud) <= 1
    else:
        with pytest.raises(ValueError, match="mud_ppg"):
            weights.buoyancy_factor(mud)


def test_a_bore_as_wide_as_the_collar_is_refused():
    with pytest.raises(ValueError, match="bore_in: 8 in is out of range; allowed is .* less than 8 in"):
        weights.collar_weight_lb_ft(8, 8)


def test_a_worked_weight_can_be_redone_by_hand():
    worked = weights.collar_weight_lb_ft_worked(8, 2.8125)
    assert worked.value == weights.collar_weight_lb_ft(8, 2.8125)
    assert worked.unit == "lb/ft"
    assert worked.inputs == {"D": "8 in", "d": "2.8125 in"}
    assert worked.steps[-1].endswith("= 149.749 lb/ft")
    assert "RP 7G" in worked.source


def test_the_short_upset_table_is_marked_as_memory():
    assert {row["conf"] for row in rows("upsets")} == {"C"}
    assert number(rows("upsets")[0]["upset_weight_lb"]) > 0
