"""R01, R04 to R06, R10, R13, R23, R27, R28: what stands where in a string. Limits: common practice."""

from dataclasses import replace

import pytest

from rack.calc.chain import Link
from rack.calc.checks import Severity
from tests.calc.stringing import (
    bit,
    bit_sub,
    casing,
    collar,
    ft,
    good,
    heavy,
    nm,
    of,
    pipe,
    spec,
    tool,
)

NON_MAG = {"non_magnetic": "yes"}


def motor(ident="M1"):
    return tool("motor", ident, conns=("NC50", "4-1/2 REG"), genders=("box", "box"), length=28)


def stabilizer(ident="ST1", gauge="8-1/2", place="string", **more):
    own = {"gauge_nm": str(nm(gauge)) if gauge else "", "place": place}
    return tool("stabilizer", ident, own=own, **more)


def mwd(ident="MWD1", sensor=15, **own):
    return tool("mwd", ident, length=30, own={"senses": "MWD", "sensor_nm": str(ft(sensor).nanometres)
                                              if sensor else "", **own})  # fmt: skip


# R01 common practice


@pytest.mark.parametrize("kind", ["bit", "core_bit", "mill", "hole_opener", "scraper", "fishing_tool",
                                  "reamer"])  # fmt: skip
def test_a_hole_making_tool_at_the_bottom_is_good(kind):
    assert of("R01", [tool(kind, "X1"), collar("C1")]) == []


def test_a_bull_nose_at_the_bottom_is_good():
    assert of("R01", [tool("other", "X1", own={"name": "Bull nose"}), pipe("P1")]) == []


@pytest.mark.parametrize("first", [bit_sub(), collar("C1"), pipe("P1"), motor()], ids=lambda one: one.ident)
def test_anything_else_at_the_bottom_asks(first):
    (problem,) = of("R01", [first, pipe("P2")])
    assert problem.severity is Severity.ASKS
    assert first.ident in problem.text


def test_casing_needs_no_bit():
    assert of("R01", [casing("F1", "float_shoe"), casing("K1")]) == []


def test_an_empty_string_has_no_problem():
    assert of("R01", []) == []


# R04 common practice: one short piece between bit and motor at most


@pytest.mark.parametrize("between", [[], [stabilizer(place="near-bit")], [bit_sub()],
                                     [tool("rotary_steerable", "RS1", genders=("box", "box"))]])  # fmt: skip
def test_a_motor_close_to_the_bit_is_good(between):
    assert of("R04", [bit(), *between, motor(), collar("C1")]) == []


@pytest.mark.parametrize("between, count", [([bit_sub(), collar("C1")], "2"), ([collar("C1")], "1"),
                                            ([bit_sub(), stabilizer()], "2")])  # fmt: skip
def test_a_motor_away_from_the_bit_is_noted(between, count):
    (problem,) = of("R04", [bit(), *between, motor()])
    assert (problem.severity, problem.measured) == (Severity.NOTE, count)


def test_without_a_motor_nothing_is_asked():
    assert of("R04", good()) == []


# R05 open guides on non-magnetic collars (S51, S52), permeability in S53


def with_mwd(tool_, below_own=None, above_own=None):
    return [bit(), bit_sub(), collar("C1", own=below_own), tool_, collar("C2", own=above_own), heavy("H1")]


@pytest.mark.parametrize("links", [with_mwd(mwd(), NON_MAG, NON_MAG), with_mwd(mwd(**NON_MAG)),
                                   with_mwd(mwd(sensor=0), NON_MAG, NON_MAG),
                                   with_mwd(mwd(sensor=0, senses="LWD"))])  # fmt: skip
def test_a_sensor_in_non_magnetic_steel_is_good(links):
    assert of("R05", links) == []


@pytest.mark.parametrize("below, above, words", [(None, None, "below and above"), (NON_MAG, None, "above it"),
                                                 (None, NON_MAG, "below it")])  # fmt: skip
def test_a_sensor_beside_magnetic_steel_asks(below, above, words):
    (problem,) = of("R05", with_mwd(mwd(), below, above))
    assert problem.severity is Severity.ASKS
    assert words in problem.text


def test_a_sensor_of_unknown_place_in_a_non_magnetic_tool_is_no_pass():
    (problem,) = of("R05", with_mwd(mwd(sensor=0, **NON_MAG)))
    assert "distance of the sensor" in problem.text
    assert set(problem.rules) == {"R05", "R31"}


def test_the_top_of_the_string_is_no_neighbour_of_a_tool_at_its_bottom():
    (problem,) = of("R05", [mwd(), collar("C1", own=NON_MAG), collar("C2", own=NON_MAG)])
    assert "below it" in problem.text


@pytest.mark.parametrize("wanted, wrong", [(92, False), ("92.01", True), (200, True)])
def test_the_length_that_the_survey_plan_wants_is_compared(wanted, wrong):
    links = with_mwd(mwd(**NON_MAG), NON_MAG, NON_MAG)  # 31 + 30 + 31 ft
    assert len(of("R05", links, non_magnetic_nm=ft(wanted).nanometres)) == wrong


@pytest.mark.parametrize("wanted, wrong", [(61, False), ("61.01", True)])
def test_the_lowest_and_the_highest_piece_count_for_the_non_magnetic_length(wanted, wrong):
    links = [collar("C1", own=NON_MAG), mwd(**NON_MAG), collar("C2")]
    assert len(of("R05", links, non_magnetic_nm=ft(wanted).nanometres)) == wrong
    assert len(of("R05", links[::-1], non_magnetic_nm=ft(wanted).nanometres)) == wrong


def test_a_non_magnetic_piece_of_unknown_length_is_missing_and_no_pass():
    links = with_mwd(mwd(**NON_MAG), NON_MAG, NON_MAG)
    links[2] = replace(links[2], length=None)
    problems = of("R05", links, non_magnetic_nm=ft(92).nanometres)
    assert ["length of C1 is not known" in one.text for one in problems] == [True]


# R06 common practice: over the motor, among the first eight


def test_a_measuring_tool_over_the_motor_is_good():
    assert of("R06", [bit(), motor(), mwd(), collar("C1")]) == []


def test_a_measuring_tool_below_the_motor_is_noted():
    (problem,) = of("R06", [bit(), mwd(), motor(), collar("C1")])
    assert "below the motor M1" in problem.text


@pytest.mark.parametrize("collars, wrong", [(5, False), (6, False), (7, True)])
def test_a_measuring_tool_far_from_the_bit_is_noted(collars, wrong):
    links = [bit(), *(collar(f"C{n}") for n in range(collars)), mwd()]
    assert len(of("R06", links)) == wrong


# R10 common practice: a float among the lowest five, where the programme wants one


def floated(fitted, at=2):
    links = good()
    links.insert(at, tool("float_sub", "F1", own={"float": fitted}))
    return links


def test_a_float_is_not_asked_when_the_programme_does_not_want_it():
    assert of("R10", good()) == []


@pytest.mark.parametrize("fitted", ["plain", "ported"])
def test_a_float_near_the_bit_is_good(fitted):
    assert of("R10", floated(fitted), float_wanted=True) == []


@pytest.mark.parametrize("links, words", [(good(), "none is fitted"), (floated("none"), "none is fitted"),
                                          (floated("plain", 5), "none is fitted"),
                                          (floated(""), "float fitted of F1 is not known")])  # fmt: skip
def test_a_float_that_is_wanted_and_not_there_is_noted(links, words):
    (problem,) = of("R10", links, float_wanted=True)
    assert problem.severity is Severity.NOTE
    assert words in problem.text


# R13 common practice: collars, heavy-weight, drill pipe


@pytest.mark.parametrize("kinds, wrong", [("CHP", 0), ("CP", 0), ("HP", 0), ("HC", 1), ("PH", 1),
                                          ("CPHP", 1)])  # fmt: skip
def test_the_stiffer_pipe_is_below(kinds, wrong):
    made = {"C": collar, "H": heavy, "P": pipe}
    links = [made[kind](f"{kind}{n}") for n, kind in enumerate(kinds)]
    problems = of("R13", links)
    assert len(problems) == wrong
    assert all(one.severity is Severity.NOTE for one in problems)


# R23 common practice: 30 to 90 ft, a core bit below


def barrel(length):
    said = {"barrel_nm": str(ft(length).nanometres)} if length else {}
    return tool("core_barrel", "CB1", length=length or 60, own=said)


CORE_BIT = Link("K1", spec("core_bit", "8-1/2", 0, "NC50", "", genders=("pin", "")), ft(1))


@pytest.mark.parametrize("length, wrong", [(30, 0), (90, 0), ("29.99", 1), ("90.01", 1), (60, 0)])
def test_a_core_barrel_has_a_usual_length(length, wrong):
    assert len(of("R23", [CORE_BIT, barrel(length), collar("C1")])) == wrong


def test_a_core_barrel_without_its_bit_and_a_core_bit_without_its_barrel_are_noted():
    assert "no core bit" in of("R23", [bit(), barrel(60)])[0].text
    assert "no core barrel" in of("R23", [CORE_BIT, collar("C1")])[0].text


def test_a_core_barrel_of_unknown_length_is_no_pass():
    unknown = replace(barrel(0), length=None)
    assert any("length of the barrel" in one.text for one in of("R23", [CORE_BIT, unknown]))


# R27 common practice


def test_a_string_that_ends_in_drill_pipe_lacks_its_saver_sub():
    assert of("R27", good()) == []
    (problem,) = of("R27", good()[:-1])
    assert problem.severity is Severity.NOTE


def test_a_bottom_hole_assembly_alone_needs_no_saver_sub():
    assert of("R27", [bit(), bit_sub(), collar("C1"), heavy("H1")]) == []


# R28 operator guide on casing (S22), common practice


SHOE, COLLAR = casing("F1", "float_shoe"), casing("FC1", "float_collar")
JOINTS = [casing(f"K{n}") for n in range(1, 9)]


@pytest.mark.parametrize("track, wanted", [(1, None), (2, None), (2, 2), (3, 3)])
def test_shoe_track_and_collar_are_good(track, wanted):
    links = [SHOE, *JOINTS[:track], COLLAR, *JOINTS[track:]]
    assert of("R28", links, shoe_track=wanted) == []


@pytest.mark.parametrize("links, wanted, words", [
    (JOINTS, None, "begins with its shoe"),
    ([SHOE, *JOINTS], None, "no end"),
    ([SHOE, COLLAR, *JOINTS], None, "no joint of a shoe track"),
    ([SHOE, *JOINTS[:1], COLLAR, *JOINTS[1:]], 2, "has 1 joint; the programme wants 2"),
    ([SHOE, *JOINTS[:3], COLLAR, *JOINTS[3:]], 2, "has 3 joints; the programme wants 2"),
    ([SHOE, JOINTS[0], casing("HG", "liner_hanger"), COLLAR, *JOINTS[1:]], None, "where only joints belong"),
])  # fmt: skip
def test_a_casing_list_that_begins_wrong_asks(links, wanted, words):
    problems = of("R28", links, shoe_track=wanted)
    assert any(words in one.text for one in problems)
    assert {one.severity for one in problems} == {Severity.ASKS}


def test_drill_pipe_has_no_shoe_track():
    assert of("R28", good()) == []
