"""Load at every depth, overpull left, longest section; dogleg limit and stretch as indications."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import bending, loads
from rack.calc.strings import Section
from rack.calc.tubes import strengths
from rack.calc.units import convert
from rack.calc.weights import buoyancy_factor

COLLARS = Section("collars", 720, 92)
LOWER = Section("lower pipe", 7000, 20.85, tensile_lb=311_535)
UPPER = Section("upper pipe", 5000, 21.93, tensile_lb=436_150)
STRING = (COLLARS, LOWER, UPPER)


def test_w1_the_lower_pipe_of_the_training_deck_is_7410_ft():
    # "Drill String Design" (2013), RP 7G method: factor 1.10, overpull 100,000 lb (inferred).
    below = 720 * 92 * 0.83
    found = loads.longest_section_ft(311_535, 20.85, 0.83, below, 100_000, usable=1 / 1.10)
    assert found == pytest.approx(7410, abs=0.5)


def test_w1_the_upper_pipe_on_top_of_it_is_6224_ft():
    below = 0.83 * (720 * 92 + 7410 * 20.85)
    found = loads.longest_section_ft(436_150, 21.93, 0.83, below, 100_000, usable=1 / 1.10)
    assert found == pytest.approx(6224, abs=0.5)


def test_the_longest_section_divides_by_the_buoyancy():
    # One public page multiplies by it: wrong, its answer is short by the square of the factor.
    right = loads.longest_section_ft(311_535, 20.85, 0.83, 0, 0)
    assert right == pytest.approx(0.9 * 311_535 / (20.85 * 0.83))
    assert right != pytest.approx(0.9 * 311_535 / 20.85 * 0.83)


def test_w5_the_safety_factor_and_the_overpull_of_the_air_drilling_manual():
    # Air and Gas Drilling Manual (2001), example 3.1: 4-1/2 16.60 S-135 new, 90 % of yield, 226,890 lb.
    tensile = strengths(4.5, 0.337, 135_000, "new").tensile_lb
    assert 0.9 * tensile / 226_890 == pytest.approx(2.36, abs=0.005)
    hung = loads.loads((Section("pipe", 10_000, 22.689, tensile_lb=tensile),), 1.0)
    assert hung[0].safety == pytest.approx(2.36, abs=0.005)
    assert loads.overpull_lb(226_890, tensile, rig_limit_lb=300_000) == pytest.approx(73_110)


def test_w9_the_overpull_that_a_public_page_prints_is_not_followed():
    # The page prints 276,325 lb; its own figures (20 ppg, 10,000 ft, 25 lb/ft, 450,675 lb) give 277,000.
    found = loads.overpull_lb(10_000 * 25 * buoyancy_factor(20), 450_675, usable=1)
    assert found == pytest.approx(277_000, abs=15)
    assert abs(found - 276_325) > 600


def test_the_loads_add_up_from_the_bit():
    found = loads.loads(STRING, 0.83)
    assert [(load.bottom_ft, load.top_ft) for load in found] == [(0, 720), (720, 7720), (7720, 12_720)]
    assert found[0].top_lb == found[1].bottom_lb == pytest.approx(0.83 * 720 * 92)
    assert found[2].top_lb == pytest.approx(0.83 * (720 * 92 + 7000 * 20.85 + 5000 * 21.93))
    assert found[1].left_lb == pytest.approx(0.9 * 311_535 - found[1].top_lb)
    assert found[2].safety == pytest.approx(0.9 * 436_150 / found[2].top_lb)


def test_a_strength_that_is_not_known_is_not_zero_and_not_endless():
    found = loads.loads(STRING, 0.83, rig_limit_lb=350_000)
    assert (found[0].allowed_lb, found[0].left_lb, found[0].safety) == (None, None, None)
    assert found[2].allowed_lb == 350_000


def test_an_overloaded_section_says_by_how_much():
    found = loads.loads((Section("collars", 3000, 150), Section("pipe", 100, 20, tensile_lb=311_535)), 0.9)
    assert found[1].left_lb == pytest.approx(0.9 * 311_535 - 0.9 * (450_000 + 2000))
    assert found[1].left_lb < 0
    assert found[1].safety < 1


@pytest.mark.parametrize(
    "height, air", [(0, 0), (360, 360 * 92), (720, 720 * 92), (1720, 720 * 92 + 20_850), (12_720, 321_840)]
)
def test_the_load_is_known_at_every_height(height, air):
    assert loads.load_at_lb(STRING, 0.83, height) == pytest.approx(0.83 * air)


def test_a_height_above_the_string_is_refused():
    with pytest.raises(ValueError, match="above_bit_ft: .*allowed is at least 0 and at most 12,720 ft"):
        loads.load_at_lb(STRING, 0.83, 12_720.1)


@given(st.floats(50_000, 900_000), st.floats(5, 60), st.floats(0.6, 1), st.floats(0, 0.4), st.floats(0, 0.4))
def test_a_pipe_of_the_longest_length_leaves_just_the_overpull_wanted(tensile, weight, share, below, wanted):
    allowed = 0.9 * tensile
    length = loads.longest_section_ft(tensile, weight, share, below * allowed, wanted * allowed)
    top = below * allowed + length * weight * share
    assert loads.overpull_lb(top, tensile) == pytest.approx(wanted * allowed, rel=1e-9, abs=1e-3)


def test_the_dogleg_limit_is_that_of_the_formula():
    # 5 in 19.50 S-135 with 200,000 lb below: pull 37,918 psi, sb 14,770 psi, K L 3.892.
    assert bending.dogleg_limit_deg_100ft(5, 4.276, "S135", 200_000) == pytest.approx(3.477, abs=0.001)


@pytest.mark.parametrize(
    "grade, pull, stress",
    [("S135", 0, 20_000), ("S135", 72_500, 10_000), ("S135", 145_000, 0),
     ("E75", 33_500, 14_500), ("E75", 67_000, 8_000), ("E75", 0, 18_000)],
)  # fmt: skip
def test_the_bending_stress_falls_with_the_pull(grade, pull, stress):
    # E75 by hand: 19,500 - 10/67 x pull - 0.6 / 670^2 x (pull - 33,500)^2, the last term 1,500 at both ends.
    assert bending.bending_stress_psi(grade, pull) == pytest.approx(stress)


@given(st.sampled_from(bending.GRADES), st.floats(0.001, 0.98), st.floats(0.001, 0.5))
def test_the_dogleg_limit_falls_as_the_pull_grows(grade, share, less):
    most = {"E75": 67_000, "S135": 145_000}[grade] * pi / 4 * (5**2 - 4.276**2)
    limits = [bending.dogleg_limit_deg_100ft(5, 4.276, grade, most * x) for x in (share * (1 - less), share)]
    assert limits[0] >= limits[1] >= 0


def test_the_dogleg_limit_is_marked_as_indicative_and_e75_as_memory():
    for grade in bending.GRADES:
        assert "indicative" in bending.dogleg_limit_deg_100ft_worked(5, 4.276, grade, 100_000).source
    assert "memory" in bending.dogleg_limit_deg_100ft_worked(5, 4.276, "E75", 100_000).source


@pytest.mark.parametrize("grade", ["X95", "G105", "", None, True])
def test_a_grade_without_a_bending_stress_is_refused(grade):
    with pytest.raises(ValueError, match="^grade: .* allowed are 'E75', 'S135'"):
        bending.dogleg_limit_deg_100ft(5, 4.276, grade, 100_000)


def test_the_stretch_is_the_rule_of_the_trade():
    # RP 7G writes P L / (735,294 x plain-end weight); from memory, and within 2 in 10,000 of Hooke.
    plain = strengths(5, 0.362, 75_000, "new").tensile_lb / 75_000 * 3.3996
    found = bending.stretch_in(100_000, 10_000, 5, 4.276)
    assert found == pytest.approx(100_000 * 10_000 / (735_294 * plain), rel=2e-4)


def test_pipe_under_its_own_weight_stretches_as_under_half_of_it():
    own = bending.own_weight_stretch_in(20.87, 0.85, 10_000, 5, 4.276)
    assert own == pytest.approx(bending.stretch_in(0.5 * 20.87 * 0.85 * 10_000, 10_000, 5, 4.276))


def test_metric_and_us_stretch_agree():
    newtons = convert(100_000, "force", "lbf", "N")
    pascals = 1000 * convert(30e6, "pressure", "psi", "kPa")
    area = pi / 4 * ((5 * 0.0254) ** 2 - (4.276 * 0.0254) ** 2)
    metres = newtons * 10_000 * 0.3048 / (pascals * area)
    assert metres / 0.0254 == pytest.approx(bending.stretch_in(100_000, 10_000, 5, 4.276), rel=1e-9)


BAD = [True, None, "1", float("nan"), float("inf"), -1, 1e9]


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    "named, call",
    [
        ("buoyancy", lambda bad: loads.loads(STRING, bad)),
        ("usable", lambda bad: loads.loads(STRING, 0.8, usable=bad)),
        ("above_bit_ft", lambda bad: loads.load_at_lb(STRING, 0.8, bad)),
        ("usable", lambda bad: loads.overpull_lb(1, 2, usable=bad)),
        ("weight_lb_ft", lambda bad: loads.longest_section_ft(9, bad, 0.8, 0, 0)),
        ("buoyed_below_lb", lambda bad: loads.longest_section_ft(9, 1, 0.8, bad, 0)),
        ("overpull_wanted_lb", lambda bad: loads.longest_section_ft(9, 1, 0.8, 0, bad)),
        ("pull_psi", lambda bad: bending.bending_stress_psi("S135", bad)),
        ("pull_lb", lambda bad: bending.dogleg_limit_deg_100ft(5, 4, "S135", bad)),
        ("od_in", lambda bad: bending.stretch_in(1, 1, bad, 0)),
        ("length_ft", lambda bad: bending.stretch_in(1, bad, 5, 4)),
        ("pull_lb", lambda bad: bending.stretch_in(bad, 1, 5, 4)),
        ("weight_lb_ft", lambda bad: bending.own_weight_stretch_in(bad, 0.8, 10, 5, 4)),
        ("buoyancy", lambda bad: bending.own_weight_stretch_in(20, bad, 10, 5, 4)),
    ],
)
def test_what_is_out_of_range_is_refused_by_name(named, call, bad):
    with pytest.raises(ValueError, match=f"^{named}: .*allowed is"):
        call(bad)


@pytest.mark.parametrize("bad", [True, None, "1", float("nan"), -1, 0])
def test_a_strength_or_a_rig_limit_of_nothing_is_refused(bad):
    with pytest.raises(ValueError, match="^tensile_lb: "):
        loads.overpull_lb(0, bad)
    if bad is not None:
        with pytest.raises(ValueError, match="^rig_limit_lb: "):
            loads.overpull_lb(0, 1, rig_limit_lb=bad)


def test_a_worked_longest_section_can_be_redone_by_hand():
    worked = loads.longest_section_ft_worked(311_535, 20.85, 0.83, 54_979, 100_000, usable=0.9)
    assert worked.value == loads.longest_section_ft(311_535, 20.85, 0.83, 54_979, 100_000)
    assert worked.steps[0] == "allowed = 0.9 x 311,535 = 280,382 lb"
    assert worked.inputs["below"] == "54,979 lb"
    assert worked.source == "RP 7G"
