"""What is known of the body of a piece: its own figures first, then the tables, then nothing."""

from dataclasses import replace

import pytest

from rack.calc.bodies import Bodies, strengths_of
from rack.calc.lookup import Catalogue
from rack.calc.specs import SpecFacts
from rack.calc.weights import spiral_collar_weight_lb_ft
from tests.calc.stringing import bit, casing, collar, heavy, jar, nm, pipe, tool


def of(link, catalogue=None):
    return Bodies(catalogue or Catalogue()).of(link)


def test_a_tool_joint_of_its_own_stands_before_that_of_the_table():
    own = of(pipe("P1", tj=("6-1/4", "3-1/2")))
    assert (own.box_od_in, own.pin_bore_in, own.least_nm) == (6.25, 3.5, nm("3-1/2"))
    table = of(pipe("P1", tj=(0, 0)))
    assert (table.box_od_in, table.pin_bore_in) == (6.625, 3.25)  # table "tool_joint_weights", G105
    assert table.least_nm is None  # but what must pass is not judged by a usual joint
    assert "from memory" in table.joint_mark


def test_heavy_weight_takes_its_joint_from_the_table_and_says_so():
    bare = replace(heavy("H1"), spec=replace(heavy("H1").spec, tj_od_nm=0, tj_bore_nm=0))
    found = of(bare)
    assert (found.box_od_in, found.pin_bore_in, found.weight.value) == (6.5, 3.0625, 49.3)
    assert "from memory" in found.joint_mark
    assert found.least_nm is None


def test_the_weight_of_pipe_goes_by_its_own_tool_joint_only_when_both_diameters_are_known():
    usual = of(pipe("P1", grade="E75", tj=(0, 0))).weight.value
    assert of(pipe("P1", grade="E75", tj=("6-5/8", 0))).weight.value == usual
    assert of(pipe("P1", grade="E75", tj=(0, "3-1/2"))).weight.value == usual
    assert of(pipe("P1", grade="E75", tj=("6-5/8", "3-3/4"))).weight.value > usual


def test_the_label_weight_is_not_the_weight_of_drill_pipe():
    found = of(pipe("P1", grade="E75"))
    assert found.weight.value == pytest.approx(20.87, abs=0.01)  # label 19.50
    assert found.wall_in == 0.362


def test_pipe_whose_joint_no_table_has_tells_the_office_what_to_add():
    found = of(pipe("P1", weight=16.25, tj=(0, 0)))
    assert found.weight.value is None
    assert "The office can add it to table tool_joint_weights" in found.weight.reason


def test_a_row_of_the_office_governs():
    row = {"size": "5-1/4", "od_in": "5.25", "tube_id_in": "3", "approx_weight_lb_ft_with_joints": "54",
           "source": "maker's sheet 3"}  # fmt: skip
    bare = replace(heavy("H1"), spec=SpecFacts("heavy_weight", nm("5-1/4")))
    assert of(bare).weight.value is None
    assert of(bare, Catalogue({"heavyweight": [row]})).weight.value == 54


def test_a_weight_in_the_specification_governs_for_collars_and_tools():
    given = replace(collar("C1"), spec=replace(collar("C1").spec, weight_mlb_ft=91_500))
    assert of(given).weight.value == 91.5
    assert of(tool("motor", "M1", bore=0)).weight.value is None
    assert of(replace(tool("motor", "M1", bore=0), spec=given.spec)).weight.value == 91.5


def test_a_spiral_collar_weighs_less_than_a_slick_one():
    spiral = of(collar("C1", own={"surface": "spiral"}))
    assert spiral.weight.value == spiral_collar_weight_lb_ft(6.75, 2.8125) < of(collar("C1")).weight.value


def test_casing_weighs_what_its_label_says_and_has_its_wall_from_the_table():
    found = of(casing("K1"))
    assert (found.weight.value, found.wall_in, found.yield_psi) == (47, 0.472, 80_000)
    assert found.bore_in == pytest.approx(8.681)


@pytest.mark.parametrize("link", [bit(), jar(), collar("C1"), heavy("H1"), pipe("P1"), casing("K1")],
                         ids=lambda one: one.spec.kind)  # fmt: skip
def test_a_bare_specification_has_reasons_and_breaks_nothing(link):
    found = of(replace(link, spec=SpecFacts(link.spec.kind), facts={}))
    assert found.od_in is found.bore_in is found.yield_psi is found.least_nm is None
    assert found.weight.value is None
    assert found.weight.reason.endswith(".")


@pytest.mark.parametrize("change, words", [({"grade": ""}, "its grade is not known"),
                                           ({"od_nm": 0}, "its size or its wall is not known"),
                                           ({"weight_mlb_ft": 17_300}, "its size or its wall")])  # fmt: skip
def test_the_strength_of_pipe_names_what_it_lacks(change, words):
    link = pipe("P1")
    assert words in strengths_of(of(replace(link, spec=replace(link.spec, **change))), "Premium")


def test_one_specification_is_worked_out_once():
    bodies = Bodies()
    assert bodies.of(pipe("P1")) is bodies.of(pipe("P2"))
    assert bodies.of(pipe("P1")) is not bodies.of(pipe("P3", grade="E75"))
