"""R11, R12, R17, R18, R22: gauge, stiffness, clearance, what passes, the bit's size."""

from dataclasses import replace

import pytest

from rack.calc.chain import Link
from rack.calc.checks import Severity
from rack.calc.rules import Above, Passing
from tests.calc.stringing import (
    NECK,
    PLAN,
    bit,
    bit_sub,
    casing,
    collar,
    found,
    ft,
    good,
    heavy,
    nm,
    of,
    pipe,
    saver,
    spec,
    tool,
)


def stabilizer(ident="ST1", gauge="8-1/2", place="near-bit", measured=""):
    own = {"gauge_nm": str(nm(gauge)) if gauge else "", "place": place}
    return tool("stabilizer", ident, own=own | ({"gauge_measured_nm": str(nm(measured))} if measured else {}))


# R11 packed: directional guide S23; 1/32 in under and the pendulum's 30 to 90 ft: common practice


@pytest.mark.parametrize("gauge, wrong", [("8-1/2", 0), ("8-15/32", 0), ("8-7/16", 1), ("8-1/4", 1)])
def test_a_packed_assembly_has_a_full_gauge_stabilizer_near_the_bit(gauge, wrong):
    problems = of("R11", [bit(), stabilizer(gauge=gauge), collar("C1")], assembly="packed")
    assert [one.severity for one in problems] == [Severity.ASKS] * wrong


def test_the_gauge_as_measured_counts_before_the_gauge_as_made():
    (problem,) = of("R11", [bit(), stabilizer(measured="8-3/8")], assembly="packed")
    assert problem.measured == "8-3/8"


@pytest.mark.parametrize("links", [good(), [bit(), bit_sub(), collar("C1"), stabilizer(place="string")]])
def test_a_packed_assembly_without_a_near_bit_stabilizer_asks(links):
    (problem,) = of("R11", links, assembly="packed")
    assert "no near-bit stabilizer" in problem.text


def test_a_gauge_or_a_hole_that_is_not_known_is_no_pass():
    links = [bit(), stabilizer(gauge=""), collar("C1")]
    assert any("gauge of ST1 is not known" in one.text for one in of("R11", links, assembly="packed"))
    links = [bit(), stabilizer(), collar("C1")]
    assert "hole size is not given" in of("R11", links, assembly="packed", hole_nm=None)[0].text


@pytest.mark.parametrize("collars, wrong", [(0, True), (1, False), (2, False), (3, True)])
def test_the_first_stabilizer_of_a_pendulum_is_30_to_90_ft_up(collars, wrong):
    links = [bit(), bit_sub(), *(collar(f"C{n}", length=29) for n in range(collars)),
             stabilizer(place="string")]  # fmt: skip
    assert bool(of("R11", links, assembly="pendulum")) == wrong


def test_a_pendulum_has_no_near_bit_stabilizer_and_an_unplanned_assembly_is_not_asked():
    links = [bit(), stabilizer(), collar("C1")]
    assert "is a near-bit stabilizer" in of("R11", links, assembly="pendulum")[0].text
    assert of("R11", links) == []
    assert of("R11", good(), assembly="pendulum") == []


def test_a_pendulum_over_a_piece_of_unknown_length_is_no_pass():
    links = [bit(), bit_sub(), replace(collar("C1"), length=None), stabilizer(place="string")]
    assert any("length of C1 is not known" in one.text for one in found(links, assembly="pendulum")
               if "R11" in one.rules)  # fmt: skip


# R12 handbook extract S44: soft < 5.5, hard < 3.5; the three ratios are those of the trade guide, computed


EIGHT, SIX = ("8", "2-13/16"), ("6-1/2", "2-1/4")


@pytest.mark.parametrize(
    "size, upper, rock, severity",
    [
        (EIGHT, heavy("H1"), "soft", None),  # 4.6
        (EIGHT, heavy("H1"), "hard", Severity.ASKS),
        (EIGHT, heavy("H1"), "", Severity.NOTE),
        (EIGHT, pipe("P1"), "soft", Severity.ASKS),  # 8.7
        (EIGHT, pipe("P1"), "hard", Severity.ASKS),
        (EIGHT, pipe("P1"), "", Severity.ASKS),
        (SIX, heavy("H1"), "hard", None),  # 2.5
        (SIX, heavy("H1"), "", None),
    ],
)
def test_the_string_changes_its_stiffness_in_small_steps(size, upper, rock, severity):
    problems = of("R12", [bit(), collar("C1", *size), upper], rock=rock)
    assert [one.severity for one in problems] == ([severity] if severity else [])


@pytest.mark.parametrize("upper, ratio", [(heavy("H1"), "4.6"), (pipe("P1"), "8.7")])
def test_the_ratio_of_the_trade_guide_is_the_one_measured(upper, ratio):
    (problem,) = of("R12", [collar("C1", *EIGHT), upper], rock="hard")
    assert (problem.measured, problem.limit, problem.where) == (ratio, "3.5", "between 1 and 2")


def test_a_short_sub_does_not_hide_the_step():
    links = [collar("C1", *EIGHT), tool("crossover", "XO1", od="6-1/2"), pipe("P1")]
    assert of("R12", links)[0].where == "between 1 and 3"


def test_stiff_pipe_over_limber_pipe_is_a_matter_of_order_and_not_of_this_rule():
    assert of("R12", [pipe("P1"), collar("C1", *EIGHT)]) == []


def test_the_bore_counts_too():
    # 5 x 3 in heavy-weight under 5 in 19.50 pipe: the same diameter, 1.9 times as stiff; good in any rock.
    assert of("R12", [heavy("H1"), pipe("P1")], rock="hard") == []


def test_pipe_in_no_table_and_a_collar_without_bore_are_missing_and_no_pass():
    strange = Link("P1", spec("drill_pipe", 5, 0, weight=17.3, tj=("6-3/8", "3-3/4")), ft(31))
    problems = of("R12", [collar("C1", bore=0), strange])
    assert [one.pieces for one in problems] == [("C1",), ("P1",)]
    assert all("bore of" in one.text and "R12" in one.rules for one in problems)


# R17 common practice; fishing tools for every diameter: operator guide S20


@pytest.mark.parametrize("od, room, wrong", [("7-1/2", 1, 0), ("7-9/16", 1, 1), ("7-9/16", "1/2", 0),
                                             ("8-1/2", 0, 0), ("8-9/16", 0, 2)])  # fmt: skip
def test_a_body_leaves_room_for_washing_over(od, room, wrong):
    # Over the hole is over the drift of the casing as well, which is 8-1/2 in here.
    problems = of("R17", [bit(), collar("C1", od=od)], washover_nm=nm(room))
    assert [one.severity for one in problems] == [Severity.ASKS] * wrong


@pytest.mark.parametrize("od, wrong", [("6-3/4", 0), ("8-1/2", 1)])
def test_without_a_room_for_washing_over_a_body_must_still_be_less_than_the_hole(od, wrong):
    problems = of("R17", [bit(), collar("C1", od=od)], washover_nm=None)
    assert len([one for one in problems if not one.rules]) == wrong


def test_the_tool_joint_counts_and_not_only_the_tube():
    (problem,) = of("R17", [bit(), pipe("P1", tj=("7-5/8", "3-3/4")), saver()])
    assert problem.measured == "7-5/8"


@pytest.mark.parametrize("gauge, wrong", [("8-1/2", 0), ("8-33/64", 2), ("12-1/4", 2)])
def test_a_gauge_passes_hole_and_casing(gauge, wrong):
    assert len(of("R17", [bit(), stabilizer(gauge=gauge)])) == wrong


def test_every_casing_above_is_asked():
    above = (Above("9-5/8 in casing", nm("8-1/2")), Above("7 in liner", nm("6-1/8")))
    texts = [one.text for one in of("R17", [bit(), stabilizer()], above=above)]
    assert len(texts) == 2
    assert all("7 in liner" in text for text in texts)


def test_an_expanding_tool_goes_by_its_closed_diameter():
    reamer = tool("under_reamer", "U1", od=7, own={"opens_nm": str(nm("9-1/2"))})
    assert of("R17", [bit(), reamer]) == []


NO_DRIFT = (Above("9-5/8 in casing", None, nm("8.681")),)


@pytest.mark.parametrize("gone, words", [({"hole_nm": None}, "hole size"), ({"above": None}, "casing above"),
                                         ({"washover_nm": None}, "room for washing over"),
                                         ({"above": NO_DRIFT}, "drift of")])  # fmt: skip
def test_what_the_plan_does_not_say_is_told_once(gone, words):
    told = [one for one in found(good(), **gone) if one.rules]
    assert len([one for one in told if words in one.text]) == 1
    assert all(one.severity is Severity.NOTE for one in told)


def test_no_casing_above_is_an_answer():
    assert of("R17", good(), above=()) == []


def test_casing_of_unknown_drift_is_still_judged_by_its_bore():
    above = (Above("9-5/8 in casing", None, nm("8.4")),)
    assert any("bore of the 9-5/8 in casing" in one.text for one in of("R17", [bit()], above=above))


def test_a_piece_of_unknown_diameter_is_no_pass():
    (problem,) = [one for one in of("R17", [bit(), tool("sub", "S1", od=0)]) if one.rules]
    assert "OD of S1 is not known" in problem.text


def test_a_diameter_without_a_fishing_tool_is_asked_when_the_tools_are_listed():
    links = [bit(), collar("C1"), heavy("H1")]
    assert of("R17", links) == []
    listed = (nm("6-3/4"), nm("6-1/2"), nm(5))
    assert of("R17", links, catches_nm=listed) == []
    (problem,) = of("R17", links, catches_nm=listed[:2])
    assert "5 in is on site" in problem.text


# R18 common practice


BALL = Passing("Ball", nm("2-1/4"))


@pytest.mark.parametrize("bore, wrong", [("2-13/16", 0), ("2-9/32", 0), ("2-1/4", 1), ("2", 1)])
def test_what_is_dropped_passes_every_bore(bore, wrong):
    problems = of("R18", [bit(), collar("C1", bore=bore), heavy("H1")], passes=(BALL,))
    assert [one.severity for one in problems] == [Severity.NOTE] * wrong


def test_the_tool_joint_is_the_least_bore_of_drill_pipe():
    tight = pipe("P1", tj=("6-3/8", "2"))
    assert of("R18", [bit(), tight], passes=(BALL,))[0].measured == "2"
    unknown = pipe("P1", tj=(0, 0))
    assert "bore of the tool joint of P1 is not known" in of("R18", [bit(), unknown], passes=(BALL,))[0].text


def test_what_is_dropped_stops_above_a_motor_or_where_it_lands():
    motor = tool("motor", "M1", bore=1, conns=("NC50", "4-1/2 REG"), genders=("box", "box"))
    links = [bit(), motor, collar("C1", bore=2), collar("C2")]
    assert [one.pieces for one in of("R18", links, passes=(BALL,))] == [("C1",)]
    landing = replace(BALL, down_to="C1")
    assert of("R18", links, passes=(landing,)) == []


# R22 common practice; any size from 2 in to over 36 in is taken


@pytest.mark.parametrize("od", ["2", "3-7/8", "8-1/2", "17-1/2", "26", "36", "42"])
def test_any_size_of_bit_fits_its_own_hole(od):
    plan = replace(PLAN, hole_nm=nm(od), above=())
    assert of("R22", [bit(od=od)], plan) == []


@pytest.mark.parametrize("od, problems", [("8-1/2", 0), ("8-3/8", 1), ("8-5/8", 2), ("12-1/4", 2)])
def test_a_bit_that_is_not_the_hole_or_does_not_pass_is_noted(od, problems):
    told = of("R22", [bit(od=od)])
    assert [one.severity for one in told] == [Severity.NOTE] * problems


def test_a_smaller_bit_under_a_hole_opener_is_good():
    assert of("R22", [bit(od="6"), tool("hole_opener", "HO", own={"gauge_nm": str(nm("8-1/2"))})]) == []


def test_a_bit_of_unknown_size_is_no_pass():
    assert any("R22" in one.rules for one in found([bit(od=0), bit_sub()]))


def test_a_gauge_that_nobody_noted_is_missing():
    bare = replace(stabilizer(), facts=NECK)
    assert any("gauge of ST1 is not known" in one.text for one in of("R17", [bit(), bare]))


def test_casing_is_not_asked_for_washing_over():
    links = [casing("F1", "float_shoe"), casing("K1"), casing("FC1", "float_collar")]
    assert not [one for one in found(links, hole_nm=nm("12-1/4"), above=(), washover_nm=None)
                if "washing" in one.text]  # fmt: skip
