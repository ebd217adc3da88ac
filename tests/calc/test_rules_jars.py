"""R07, R08, R09, R29, R30: jars, what telescopes, and the fishing data. Limits: common practice."""

from dataclasses import replace

import pytest

from rack.calc.checks import Severity
from tests.calc.stringing import NECK, bit, bit_sub, collar, ft, good, heavy, jar, nm, of, pipe, saver, tool


def stabilizer():
    return tool("stabilizer", "ST1", own={"gauge_nm": str(nm("8-1/2")), "place": "string"})


# R07 common practice: two each side


@pytest.mark.parametrize("below, above, problems", [(2, 2, 0), (1, 2, 1), (2, 1, 1), (0, 0, 2), (5, 9, 0)])
def test_a_jar_wants_two_heavy_pieces_on_each_side(below, above, problems):
    links = [bit(), *(collar(f"C{n}") for n in range(below)), jar(),
             *(heavy(f"H{n}") for n in range(above)), pipe("P1")]  # fmt: skip
    assert len(of("R07", links)) == problems


def test_a_crossover_between_jar_and_heavy_weight_does_not_count():
    links = [bit(), collar("C1"), collar("C2"), tool("crossover", "XO1"), jar(), heavy("H1"), heavy("H2")]
    assert of("R07", links) == []


def test_a_section_by_count_is_heavy_pieces_too():
    links = [bit(), collar("C1"), collar("C2"), jar(), heavy("15 heavy-weight", count=15, named=False)]
    assert of("R07", links) == []


# R08 common practice: the planner's share away from the neutral point, no stabilizer over it


def test_a_jar_far_over_the_neutral_point_is_good():
    assert of("R08", good()) == []


@pytest.mark.parametrize("on_bit, wrong", [(20_000, False), (30_500, False), (31_500, True), (34_000, True)])
def test_a_jar_at_the_neutral_point_is_noted(on_bit, wrong):
    # 522 to 552 ft up; below it hang 34,046 lb in mud, so the neutral point comes to it at that weight.
    assert len(of("R08", good(), weight_on_bit_lb=on_bit)) == wrong


def test_a_stabilizer_over_the_jar_is_noted():
    links = good()
    links.insert(20, stabilizer())
    assert "is over the jar J1" in of("R08", links)[0].text


@pytest.mark.parametrize("gone, words", [("mud_ppg", "mud weight"), ("weight_on_bit_lb", "weight on bit")])
def test_without_mud_or_weight_on_bit_the_neutral_point_is_not_judged(gone, words):
    (problem,) = of("R08", good(), **{gone: None})
    assert f"{words} is not given" in problem.text
    assert problem.severity is Severity.NOTE
    assert "R26" in problem.rules


# R09 common practice: no neighbour wider than the jar


@pytest.mark.parametrize("od, wrong", [("6-1/2", 0), ("6-1/4", 0), ("6-3/4", 1), ("8", 1)])
def test_a_jar_that_is_narrower_than_its_neighbour_is_the_step(od, wrong):
    assert len(of("R09", [bit(), collar("C1", od=od), jar(), heavy("H1")])) == wrong
    assert len(of("R09", [collar("C1", od=od), jar()])) == wrong
    assert len(of("R09", [jar(), collar("C1", od=od)])) == wrong


# R30 common practice


def test_a_jar_with_both_lengths_and_its_state_is_good():
    assert of("R30", [bit(), jar()]) == []


@pytest.mark.parametrize("gone, words", [({"opened": None}, "its length open"),
                                         ({"closed": None}, "its length closed"),
                                         ({"stands": ""}, "which of the two is used"),
                                         ({"opened": ft(30), "closed": ft(30)}, "open is the longer"),
                                         ({"opened": ft(29)}, "open is the longer"),
                                         ({"length": ft("31.5")}, "is counted with 31.5 ft")])  # fmt: skip
def test_a_jar_whose_lengths_do_not_fit_asks(gone, words):
    (problem,) = of("R30", [bit(), replace(jar(), **gone)])
    assert problem.severity is Severity.ASKS
    assert words in problem.text


@pytest.mark.parametrize("kind", ["accelerator", "shock_sub", "bumper_sub"])
def test_everything_that_telescopes_is_asked(kind):
    assert len(of("R30", [bit(), tool(kind, "T1")])) == 1
    assert of("R30", [bit(), collar("C1")]) == []


# R29 common practice: OD, bore, length, fishing neck


@pytest.mark.parametrize("broken, words", [
    (replace(collar("C1"), facts={**NECK, "neck_od_nm": ""}), "fishing-neck OD not known"),
    (replace(collar("C1"), facts={}), "fishing-neck OD and fishing-neck length"),
    (collar("C1", bore=0), "bore not known"),
    (replace(collar("C1"), length=None), "length not known"),
    (replace(heavy("H1"), length=None), "length not known"),
])  # fmt: skip
def test_what_a_fishing_diagram_lacks_is_named(broken, words):
    (problem,) = of("R29", [bit(), bit_sub(), broken, saver()])
    assert problem.severity is Severity.ASKS
    assert words in problem.text


def test_drill_pipe_and_a_bit_need_no_fishing_neck():
    assert of("R29", [bit(), pipe("P1"), saver()]) == []
