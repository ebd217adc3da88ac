"""The figures of a string: sections, sums, what is not known, volumes, jars and bores."""

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.bodies import Figure
from rack.calc.chain import Link, length_of
from rack.calc.lengths import Length
from rack.calc.rules import Passing
from rack.calc.string_loads import LoadCase, lowest, runs_of, string_figures
from rack.calc.strings import displacement_a_stand
from rack.calc.tubes import strengths, torsion_under_pull_ft_lb
from rack.calc.weights import buoyancy_factor, capacity_bbl_ft, collar_weight_lb_ft
from tests.calc.stringing import (
    bit,
    bit_sub,
    collar,
    ft,
    good,
    heavy,
    nm,
    pipe,
    spec,
    tool,
)

CASE = LoadCase(mud_ppg=10, weight_on_bit_lb=20_000)


def figures_of(part):
    return {field.name: value for field in fields(part)
            if isinstance(value := getattr(part, field.name), Figure)}  # fmt: skip


# A section is what stands together


def names(links):
    return [(run.first, run.last, run.pipe_class) for run in runs_of(links)]


def test_consecutive_pieces_of_one_specification_and_class_are_a_section():
    links = [pipe("P1"), pipe("P2"), pipe("P3", grade="S135"), pipe("P4", grade="S135"), pipe("P5")]
    assert names(links) == [(1, 2, "Premium"), (3, 4, "Premium"), (5, 5, "Premium")]


def test_a_change_of_class_is_a_new_section():
    links = [pipe("P1", pipe_class="Class 2"), pipe("P2", pipe_class="Class 2"), pipe("P3")]
    assert names(links) == [(1, 2, "Class 2"), (3, 3, "Premium")]


@pytest.mark.parametrize("classes, least", [(("Premium", "Class 2", "Premium"), "Class 2"),
                                            (("New", "Premium", "New"), "Premium"),
                                            (("Premium", "Class 3", "Premium"), "Class 3"),
                                            (("Premium", "", "Premium"), "")])  # fmt: skip
def test_classes_by_turns_are_one_section_of_the_lowest(classes, least):
    links = [pipe(f"P{n}", pipe_class=one) for n, one in enumerate(classes)]
    assert names(links) == [(1, 3, least)]
    assert lowest(links) == least


def test_the_lowest_class_is_what_the_section_carries():
    links = [pipe("P1"), pipe("P2", pipe_class="Class 2"), pipe("P3")]
    section = string_figures(links, CASE).sections[0]
    given = strengths(5, 0.362, 105_000, "class 2")
    assert section.tensile_lb.value == given.tensile_lb
    assert section.torsion_ft_lb.value == given.torsion_ft_lb
    assert section.burst_psi.value == given.burst_psi
    assert section.collapse_psi.value == given.collapse_psi
    pull = section.hook_lb.value
    by_hand = torsion_under_pull_ft_lb(5, 0.362, 105_000, "class 2", pull)
    assert section.torsion_under_load_ft_lb.value == by_hand


@pytest.mark.parametrize("said, words", [("", "its class is not known"), ("Class 3", "class Class 3"),
                                         ("N2", "class N2")])  # fmt: skip
def test_without_a_known_class_there_is_a_reason_and_no_figure(said, words):
    found = string_figures([bit(), collar("C1"), pipe("P1", pipe_class=said)], CASE)
    section = found.sections[2]
    for one in (section.tensile_lb, section.overpull_lb, section.torsion_ft_lb, section.burst_psi):
        assert one.value is None
        assert words in one.reason
    assert found.overpull_lb.value is None
    assert section.hook_lb.value is not None  # a weight needs no class


# Sums


def test_the_hook_load_is_the_sum_of_the_weights_in_mud():
    found = string_figures(good(), CASE)
    weights = [one.mud_lb.value for one in found.sections if one.mud_lb.value]
    assert found.hook_lb.value == pytest.approx(sum(weights))
    assert found.mud_lb.value == pytest.approx(found.air_lb.value * buoyancy_factor(10))


@given(st.lists(st.integers(28, 33), min_size=1, max_size=8), st.floats(8, 18))
def test_depth_and_weight_are_sums_whatever_the_lengths(lengths, mud):
    links = [bit_sub(), *(collar(f"C{n}", length=length) for n, length in enumerate(lengths)), pipe("P1")]
    found = string_figures(links, LoadCase(mud_ppg=mud))
    assert found.length == length_of(links) == found.sections[-1].top
    by_hand = 3 * collar_weight_lb_ft(6.75, 2.8125) + sum(lengths) * collar_weight_lb_ft(6.75, 2.8125)
    assert found.sections[1].hook_lb.value == pytest.approx(by_hand * buoyancy_factor(mud))


@given(st.integers(1, 20))
def test_hanging_more_below_leaves_less_pull_above(count):
    links = [collar("C1"), *(pipe(f"P{n}") for n in range(count))]
    more = [collar("C0"), *links]
    one, other = string_figures(links, CASE), string_figures(more, CASE)
    assert other.overpull_lb.value < one.overpull_lb.value


def test_a_bit_is_left_out_and_named():
    found = string_figures(good(), CASE)
    for one in (found.air_lb, found.hook_lb, found.weight_on_bit_lb, found.neutral_ft, found.overpull_lb):
        assert "without B1" in one.left_out
    assert found.sections[0].hook_lb.value is None
    assert string_figures(good()[1:], CASE).hook_lb.left_out == ""


def test_the_neutral_point_counts_the_length_of_the_bit_that_is_not_weighed():
    with_bit, without = (string_figures(links, CASE) for links in (good(), good()[1:]))
    assert with_bit.neutral_ft.value == pytest.approx(without.neutral_ft.value + 1)


@pytest.mark.parametrize("broken, words", [
    (replace(collar("C1"), length=None), "the length of C1 is not known"),
    (collar("C1", bore=0), "the weight of this drill collar is not known, nor both"),
    (tool("motor", "C1", bore=0), "the weight of this motor is not known, nor both"),
    (Link("C1", spec("drill_pipe", 5, weight=17.3), ft(31)), "no table has this drill pipe"),
    (Link("C1", spec("heavy_weight", "5-1/4"), ft(31)), "the weight of this heavy-weight pipe is not known"),
])  # fmt: skip
def test_what_is_not_known_below_is_the_reason_above(broken, words):
    found = string_figures([bit_sub(), broken, heavy("H1"), pipe("P1")], CASE)
    assert found.sections[0].hook_lb.value is not None
    for one in (found.sections[1].hook_lb, found.sections[3].hook_lb, found.hook_lb, found.overpull_lb):
        assert one.value is None
        assert words in one.reason
    assert found.air_lb.value is None


def test_without_mud_what_needs_it_says_so_and_the_rest_stands():
    found = string_figures(good(), LoadCase())
    for one in (found.hook_lb, found.mud_lb, found.weight_on_bit_lb, found.neutral_ft, found.overpull_lb):
        assert one.reason == "the mud weight is not given."
    assert found.air_lb.value > 60_000
    assert found.sections[-2].tensile_lb.value > 400_000


def test_more_weight_on_bit_than_there_is_has_a_reason():
    found = string_figures(good(), replace(CASE, weight_on_bit_lb=400_000))
    assert found.neutral_ft.value is None
    assert "weight_on_bit_lb" in found.neutral_ft.reason


def test_an_empty_string_has_reasons():
    found = string_figures([], CASE)
    assert found.length == Length(0)
    assert all(one.reason for name, one in figures_of(found).items() if name != "buoyancy")


def test_every_figure_opens_or_has_its_reason():
    found = string_figures(good(), replace(CASE, tong_arm_ft=4))
    parts = [figures_of(found), *(figures_of(section) for section in found.sections)]
    for name, one in (pair for part in parts for pair in part.items()):
        assert (one.worked is None) == bool(one.reason), name
        if one.worked is not None:
            assert one.worked.steps and one.worked.source and one.worked.formula, name


# Volumes


def test_a_stand_moves_its_steel_open_and_its_bore_as_well_closed():
    section = string_figures(good(), CASE).sections[-2]
    by_hand = displacement_a_stand(section.weight_lb_ft.value, 4.276, 3 * 31.5)
    assert section.stand_open_bbl.value == pytest.approx(by_hand.open_bbl)
    assert section.stand_closed_bbl.value == pytest.approx(by_hand.closed_bbl)
    doubles = string_figures(good(), replace(CASE, stand_joints=2)).sections[-2]
    assert doubles.stand_open_bbl.value == pytest.approx(by_hand.open_bbl * 2 / 3)


def test_capacity_and_displacement_of_a_section_go_by_its_length():
    section = string_figures(good(), CASE).sections[-2]
    assert section.capacity_bbl.value == pytest.approx(capacity_bbl_ft(4.276) * 20 * 31.5)
    assert section.closed_bbl.value == pytest.approx(section.open_bbl.value + section.capacity_bbl.value)


def test_two_joints_are_no_stand_and_three_are_one():
    section = string_figures([pipe("P1"), pipe("P2")], CASE).sections[0]
    assert "less than a stand of 3" in section.stand_open_bbl.reason
    section = string_figures([pipe("P1"), pipe("P2"), pipe("P3")], CASE).sections[0]
    assert section.stand_open_bbl.value == pytest.approx(section.open_bbl.value)


# Jars, sensors, bores


def test_what_hangs_below_the_jar_is_without_the_jar():
    (below,) = string_figures(good(), CASE).below_jars
    air = 282 * collar_weight_lb_ft(6.75, 2.8125) + 240 * 49.3
    assert below.air_lb.value == pytest.approx(air)
    assert below.mud_lb.value == pytest.approx(air * buoyancy_factor(10))
    assert below.length == ft(523)


def test_a_sensor_is_as_far_from_the_bit_as_the_lengths_below_it_and_its_place():
    there = {"sensor_nm": str(ft("12.5").nanometres)}
    links = [bit(), bit_sub(), tool("mwd", "MWD1", own=there), collar("C1"), tool("mwd", "LWD1")]
    first, second = string_figures(links, CASE).sensors
    assert first.above_bit == ft("16.5")
    assert second.above_bit is None
    assert "lower shoulder" in second.reason
    links[1] = replace(links[1], length=None)
    assert string_figures(links, CASE).sensors[0].reason == "a length below it is not known."


def test_the_least_bore_counts_the_tool_joints_and_names_the_piece():
    found = string_figures([bit(), collar("C1"), pipe("P1", tj=("6-3/8", "2-1/2"))], CASE)
    assert (found.least_bore.value, found.narrowest) == (2.5, "P1")
    unknown = string_figures([bit(), collar("C1"), pipe("P1", tj=(0, 0))], CASE)
    assert "the least bore of P1 is not known" in unknown.least_bore.reason


@pytest.mark.parametrize("size, fits", [("2-1/4", True), ("2-3/4", False), ("3", False)])
def test_what_must_pass_is_compared_with_every_bore(size, fits):
    case = replace(CASE, passes=(Passing("Gyro", nm(size)),))
    (answer,) = string_figures(good(), case).passes
    assert answer.fits is fits
    assert ("passes" in answer.words) == fits


def test_a_bore_that_is_not_known_is_no_yes():
    case = replace(CASE, passes=(Passing("Gyro", nm(2)),))
    (answer,) = string_figures([bit(), collar("C1"), pipe("P1", tj=(0, 0))], case).passes
    assert answer.fits is None
    assert "P1" in answer.words
