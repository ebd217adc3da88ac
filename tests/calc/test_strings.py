"""The string from the bit upward: weight on the bit, neutral point, weight below the jars, size steps."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import stiffness, strings, weights
from rack.calc.strings import Section

COLLARS = Section("8 in collars", 330, 150, od_in=8, bore_in=2.8125)
HEAVY = Section("5 in heavy-weight", 600, 49.3, od_in=5, bore_in=3)
PIPE = Section("5 in 19.50", 8000, 20.87, od_in=5, bore_in=4.276, tensile_lb=560_764)
STRING = (COLLARS, HEAVY, PIPE)


def test_w1_the_collars_of_the_training_deck_are_720_ft():
    # "Drill String Design" (2013): 50,000 lb on bit, factor 1.10, 92 lb/ft, buoyancy 0.83.
    assert strings.collar_length_ft(50_000, 92, 0.83, factor=1.10) == pytest.approx(720, abs=0.5)


def test_w4_the_heavy_weight_of_lyons_is_711_ft():
    # Lyons p. 763: 40,000 lb at 40 degrees over 330 ft of collars at 93.18 lb/ft buoyed; factor on it alone.
    found = strings.pipe_length_for_bit_ft(40_000, 330 * 93.18, 41, 0.847, factor=1.15, inclination_deg=40)
    assert found == pytest.approx(711, abs=0.5)
    assert -(-found // 30) == 24  # joints of 30 ft


def test_the_length_for_a_weight_on_bit_gives_that_weight():
    length = strings.collar_length_ft(50_000, 92, 0.83, factor=1.10, inclination_deg=30)
    collars = (Section("collars", length, 92),)
    found = strings.weight_on_bit_available_lb(collars, 0.83, factor=1.10, inclination_deg=30)
    assert found == pytest.approx(50_000)


def test_the_weight_on_bit_available_is_buoyed_and_kept_back_by_the_factor():
    found = strings.weight_on_bit_available_lb((COLLARS, HEAVY), 0.85, factor=1.15)
    assert found == pytest.approx((330 * 150 + 600 * 49.3) * 0.85 / 1.15)


@pytest.mark.parametrize(
    "on_bit, height",
    [(0, 0), (0.85 * 330 * 150, 330), (0.85 * 330 * 150 / 2, 165), (0.85 * (330 * 150 + 300 * 49.3), 630)],
)
def test_the_neutral_point_is_where_the_weight_below_equals_the_weight_on_the_bit(on_bit, height):
    assert strings.neutral_point_ft(STRING, 0.85, on_bit) == pytest.approx(height)


def test_more_weight_on_the_bit_than_the_string_has_is_refused():
    whole = 0.85 * sum(section.air_lb for section in STRING)
    assert strings.neutral_point_ft(STRING, 0.85, whole) == pytest.approx(8930)
    with pytest.raises(ValueError, match="weight_on_bit_lb: .*allowed is at least 0 and at most"):
        strings.neutral_point_ft(STRING, 0.85, whole * 1.0001)


@given(st.floats(0, 60_000), st.floats(0, 60_000), st.floats(0, 70))
def test_the_neutral_point_rises_with_the_weight_on_the_bit(one, other, lean):
    low, high = sorted((one, other))
    heights = [strings.neutral_point_ft(STRING, 0.85, w, inclination_deg=lean) for w in (low, high)]
    assert heights[0] <= heights[1]


def test_the_weight_below_the_jars_leaves_the_jar_out():
    jar = Section("jar", 31, 90)
    found = strings.weight_below((COLLARS, HEAVY, jar, PIPE), 2, 0.85)
    assert found.length_ft == 930
    assert found.air_lb == pytest.approx(330 * 150 + 600 * 49.3)
    assert found.buoyed_lb == pytest.approx(0.85 * found.air_lb)
    assert strings.weight_below((jar, PIPE), 0, 0.85) == strings.WeightBelow(0, 0, 0)


@pytest.mark.parametrize("bad", [-1, 3, True, None, "1", 1.0])
def test_a_jar_that_is_not_in_the_string_is_refused(bad):
    with pytest.raises(ValueError, match="^index: .*allowed is 0 to 2"):
        strings.weight_below(STRING, bad, 0.85)


@pytest.mark.parametrize(
    "sizes, ratio",
    [((8, 2.8125, 5, 3), 4.6), ((8, 2.8125, 5, 4.276), 8.7), ((6.5, 2.25, 5, 3), 2.5), ((5, 3, 5, 3), 1)],
)
def test_the_section_modulus_ratio_is_that_of_the_trade(sizes, ratio):
    assert stiffness.modulus_ratio(*sizes) == pytest.approx(ratio, abs=0.05)


def test_the_ratio_is_the_stiffer_over_the_limber_whichever_is_below():
    assert stiffness.modulus_ratio(8, 2.8125, 5, 3) == stiffness.modulus_ratio(5, 3, 8, 2.8125)


def test_every_change_of_size_is_a_step_and_an_unknown_bore_is_not_zero():
    motor = Section("motor", 30, 120, od_in=6.75)
    found = stiffness.steps((motor, COLLARS, COLLARS, HEAVY, PIPE))
    assert [(step.lower, step.upper) for step in found] == [
        ("motor", "8 in collars"), ("8 in collars", "5 in heavy-weight"), ("5 in heavy-weight", "5 in 19.50"),
    ]  # fmt: skip
    assert found[0].ratio is None
    assert found[1].ratio == pytest.approx(4.6, abs=0.05)


def test_a_stand_moves_its_steel_or_its_steel_and_its_bore():
    found = strings.displacement_a_stand(20.87, 4.276, 93)
    assert found.open_bbl == pytest.approx(93 * weights.open_end_displacement_bbl_ft(20.87))
    assert found.closed_bbl == pytest.approx(found.open_bbl + 93 * weights.capacity_bbl_ft(4.276))
    worked = strings.displacement_a_stand_worked(20.87, 4.276, 93)
    assert (worked.open_bbl.value, worked.closed_bbl.value) == (found.open_bbl, found.closed_bbl)
    assert worked.open_bbl.inputs["stand"] == "93 ft"


BAD = [True, None, "1", float("nan"), float("inf"), -1, 1e9]


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    "named, call",
    [
        ("weight_on_bit_lb", lambda bad: strings.collar_length_ft(bad, 92, 0.83, factor=1.1)),
        ("weight_lb_ft", lambda bad: strings.collar_length_ft(1, bad, 0.83, factor=1.1)),
        ("buoyancy", lambda bad: strings.collar_length_ft(1, 92, bad, factor=1.1)),
        ("factor", lambda bad: strings.collar_length_ft(1, 92, 0.83, factor=bad)),
        ("inclination_deg", lambda bad: strings.neutral_point_ft(STRING, 1, 0, inclination_deg=bad)),
        ("buoyed_below_lb", lambda bad: strings.pipe_length_for_bit_ft(9, bad, 41, 0.8, factor=1.1)),
        ("buoyancy", lambda bad: strings.weight_on_bit_available_lb(STRING, bad, factor=1.1)),
        ("weight_on_bit_lb", lambda bad: strings.neutral_point_ft(STRING, 0.8, bad)),
        ("buoyancy", lambda bad: strings.weight_below(STRING, 1, bad)),
        ("length_ft", lambda bad: Section("x", bad, 20)),
        ("weight_lb_ft", lambda bad: Section("x", 30, bad)),
        ("stand_ft", lambda bad: strings.displacement_a_stand(20, 4, bad)),
        ("lower_od_in", lambda bad: stiffness.modulus_ratio(bad, 1, 5, 3)),
        ("upper_bore_in", lambda bad: stiffness.modulus_ratio(8, 3, 5, bad)),
    ],
)
def test_what_is_out_of_range_is_refused_by_name(named, call, bad):
    with pytest.raises(ValueError, match=f"^{named}: .*allowed is"):
        call(bad)


@pytest.mark.parametrize(
    "more", [{"od_in": 0}, {"bore_in": 5, "od_in": 5}, {"tensile_lb": 0}, {"od_in": True}]
)
def test_a_section_that_cannot_be_is_refused(more):
    with pytest.raises(ValueError, match=f"^{next(iter(more))}: "):
        Section("x", 30, 20, **more)
