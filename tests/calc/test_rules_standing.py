"""R14, R15, R16, R20, R21, R25, R26, R31: grade, class, standing, sharing, hours, weight on bit."""

from dataclasses import replace

import pytest

from rack.calc.checks import Severity
from rack.calc.rules import Clock
from tests.calc.stringing import bit, bit_sub, casing, collar, found, ft, good, heavy, jar, of, pipe, tool

STOPS, ASKS, NOTE = Severity.STOPS, Severity.ASKS, Severity.NOTE


def severities(problems):
    return [one.severity for one in problems]


# R14 common practice; yields of table "grades"


@pytest.mark.parametrize("below, above, wrong", [("E75", "X95", 0), ("X95", "G105", 0), ("G105", "S135", 0),
                                                 ("S135", "S-135", 0), ("S135", "G105", 1), ("X95", "E", 1),
                                                 ("G105", "X95", 1)])  # fmt: skip
def test_the_stronger_grade_is_on_top(below, above, wrong):
    problems = of("R14", [pipe("P1", grade=below), pipe("P2", grade=above)])
    assert severities(problems) == [NOTE] * wrong


@pytest.mark.parametrize("grade", ["", "Z-140 own"])
def test_a_grade_that_nobody_knows_is_no_pass(grade):
    problems = of("R14", [pipe("P1"), pipe("P2", grade=grade), pipe("P3", grade="E75")])
    assert any("grade of P2 is not known" in one.text for one in problems)
    assert any("P3 is E75" in one.text for one in problems)  # the others are judged all the same


@pytest.mark.parametrize("grade, sour, wrong", [("S135", True, 1), ("G105", True, 0), ("S135", False, 0)])
def test_high_grades_are_noted_in_sour_service(grade, sour, wrong):
    assert len(of("R14", [pipe("P1", grade=grade)], sour=sour)) == wrong


# R15 contract, company or law stop (blueprint, law 9; S20, S15); our default premium only tells


CASES = [("New", "premium", 0), ("Premium", "premium", 0), ("Class 2", "premium", 1),
         ("Class 3", "premium", 1), ("Class 2", "class 2", 0), ("Class 3", "class 2", 1),
         ("Premium", "new", 1), ("Class 1", "new", 0)]  # fmt: skip


@pytest.mark.parametrize("by", ["contract", "company", "law", "default"])
@pytest.mark.parametrize("said, wanted, wrong", CASES)
def test_no_pipe_is_below_the_least_class(said, wanted, wrong, by):
    problems = of("R15", [pipe("P1", pipe_class=said)], class_wanted=wanted, class_by=by)
    assert severities(problems) == [NOTE if by == "default" else STOPS] * wrong


@pytest.mark.parametrize("by, severity", [("contract", ASKS), ("default", NOTE)])
def test_a_class_that_is_not_known_never_passes(by, severity):
    links = [pipe("P1"), pipe("P2", pipe_class=""), pipe("P3", pipe_class="")]
    (problem,) = of("R15", links, class_by=by)
    assert problem.severity is severity
    assert "class of P2 and P3 is not known" in problem.text


def test_a_class_of_another_scheme_is_not_compared():
    links = [pipe("P1", scheme="A"), pipe("P2", scheme="B")]
    (problem,) = of("R15", links, class_by="contract", class_scheme="A")
    assert (problem.severity, problem.pieces) == (ASKS, ("P2",))
    assert "cannot be compared" in problem.text


@pytest.mark.parametrize("said", ["N2", "Ultra", "yellow"])
def test_a_class_on_no_ladder_is_asked(said):
    (problem,) = of("R15", [pipe("P1", pipe_class=said)], class_by="company")
    assert (problem.severity, problem.measured) == (ASKS, said)


def test_only_drill_pipe_has_a_ladder_and_no_minimum_is_an_answer():
    assert of("R15", [collar("C1"), heavy("H1")], class_by="contract") == []
    assert of("R15", [pipe("P1", pipe_class="")], class_wanted="") == []


def test_pieces_of_one_low_class_are_one_sentence():
    (problem,) = of("R15", [pipe(f"P{n}", pipe_class="Class 2") for n in range(9)], class_by="contract")
    assert problem.where == "pieces 1 to 9"
    assert "the contract wants premium or better" in problem.text


# R16 blueprint, law 9


@pytest.mark.parametrize("more, expected", [
    ({}, []),
    ({"state": "accepted"}, []),
    ({"state": "scrapped"}, [STOPS]),
    ({"pipe_class": "Scrap"}, [STOPS]),
    ({"pipe_class": "reject"}, [STOPS]),
    ({"state": "returned"}, [STOPS]),
    ({"state": "lost_in_hole"}, [STOPS]),
    ({"state": "at_inspection"}, [NOTE]),
    ({"state": "in_transit"}, [NOTE]),
    ({"holds": ("washed pin",)}, [ASKS]),
    ({"holds": ("washed pin", "no report")}, [ASKS, ASKS]),
    ({"due": ""}, []),
    ({"due": "fine", "due_by": "law"}, []),
    ({"due": "soon", "due_by": "law"}, []),
    ({"due": "due", "due_by": "law"}, [NOTE]),
    ({"due": "over", "due_by": "law"}, [STOPS]),
    ({"due": "over", "due_by": "maker"}, [STOPS]),
    ({"due": "over", "due_by": "contract"}, [STOPS]),
    ({"due": "over", "due_by": "company"}, [STOPS]),
    ({"due": "over", "due_by": "default"}, [NOTE]),
    ({"due": "over", "due_by": ""}, [NOTE]),
    ({"state": "scrapped", "holds": ("red band",), "due": "over", "due_by": "law"}, [STOPS, ASKS, STOPS]),
])  # fmt: skip
def test_nothing_scrapped_held_or_overdue_goes_in(more, expected):
    assert severities(of("R16", [collar("C7", **more)])) == expected


def test_a_hold_is_told_with_name_and_reason():
    (problem,) = of("R16", [collar("C7", holds=("washed pin",))])
    assert problem.text == "C7 is held: washed pin."


def test_overdue_pieces_are_told_by_whose_limit_it_is():
    links = [collar(f"C{n}", due="over", due_by="law" if n < 3 else "default") for n in range(1, 6)]
    problems = of("R16", links)
    assert [one.pieces for one in problems] == [("C1", "C2"), ("C3", "C4", "C5")]
    assert problems[0].text.startswith("C1 and C2 are overdue for a look by the law")
    assert of("R16", links[:1])[0].text.startswith("C1 is overdue for a look by the law")


# R20 common practice; planned strings may share (blueprint)


def test_a_piece_twice_in_one_string_stops():
    links = [pipe("P1", key=7), pipe("P2", key=8), pipe("P1", key=7)]
    (problem,) = of("R20", links)
    assert (problem.severity, problem.places) == (STOPS, (1, 3))


def test_two_pieces_with_one_serial_are_two_pieces():
    assert of("R20", [pipe("P1", key=7, serial="A 1"), pipe("P2", key=8, serial="A 1")]) == []


def test_the_same_tag_twice_stops_where_no_key_is_known_and_unnamed_pieces_are_none():
    assert severities(of("R20", [pipe("P1", tag="7K2M4D"), pipe("P1", tag="7K2M4D")])) == [STOPS]
    assert of("R20", [heavy("five", count=5, named=False), heavy("five", count=5, named=False)]) == []


@pytest.mark.parametrize("planned, state, severity", [
    (True, "accepted", NOTE), (True, "in_string", NOTE), (False, "in_string", STOPS),
    (False, "in_derrick", STOPS), (False, "accepted", NOTE),
])  # fmt: skip
def test_planned_strings_may_share_a_piece_and_those_in_the_hole_may_not(planned, state, severity):
    (problem,) = of("R20", [pipe("P1", key=1, state=state, elsewhere="String 4")], planned=planned)
    assert problem.severity is severity
    assert "String 4" in problem.text


# R21 common practice


@pytest.mark.parametrize("joints, wrong", [
    ([{}] * 4, 0),
    ([{"grade": "E75"}] * 2 + [{"grade": "S135"}] * 2, 0),  # a taper is no mix
    ([{"grade": "E75"}, {"grade": "S135"}, {"grade": "E75"}], 1),
    ([{"weight": 19.5}, {"weight": 25.6}, {"weight": 19.5}], 1),
    ([{"pipe_class": "Premium"}, {"pipe_class": "Class 2"}, {"pipe_class": "Premium"}], 1),
    ([{"pipe_class": "Premium"}, {"pipe_class": ""}, {"pipe_class": "Premium"}], 0),  # unknown: R15 says so
    ([{"grade": "E75"}, {"grade": "S135", "weight": 25.6}, {"grade": "E75"}], 2),
])  # fmt: skip
def test_weight_class_or_grade_by_turns_is_noted(joints, wrong):
    links = [pipe(f"P{n}", **one) for n, one in enumerate(joints)]
    assert severities(of("R21", links)) == [NOTE] * wrong


def test_what_stands_in_another_section_or_is_no_pipe_is_not_mixed():
    one, other, third = (pipe(f"P{n}", grade=grade) for n, grade in enumerate(("E75", "S135", "E75")))
    apart = [one, heavy("H1"), other, collar("C1"), third]
    assert of("R21", apart) == []
    collars = [collar(f"C{n}", pipe_class=one) for n, one in enumerate(("Premium", "Class 2", "Premium"))]
    assert of("R21", collars) == []
    assert len(of("R21", [heavy(one.ident, pipe_class=one.pipe_class) for one in collars])) == 1


def test_one_joint_stands_and_several_stand_among_others():
    def joints(*odd):
        return [pipe(f"P{n}", pipe_class="Class 2" if n in odd else "Premium") for n in range(1, 11)]

    assert of("R21", joints(5))[0].text.endswith("P5 stands among others.")
    assert of("R21", joints(5, 8))[0].text.endswith("P5 and P8 stand among others.")


def test_the_odd_joint_is_named():
    links = [pipe(f"P{n}", pipe_class="Class 2" if n == 5 else "Premium") for n in range(1, 11)]
    (problem,) = of("R21", links)
    assert problem.pieces == ("P5",)


# R25 common practice; silent until hours are known


def test_hours_are_silent_until_clocks_are_kept():
    assert of("R25", good()) == []


@pytest.mark.parametrize("used, limit, hours, wrong", [
    (50, 150, 100, 0), (50, 150, "100.5", 1), (150, 150, 1, 1), (200, 150, 0, 1), (0, 100, 100, 0),
])  # fmt: skip
def test_the_hours_left_cover_the_run(used, limit, hours, wrong):
    clocks = {7: (Clock("rotating", used, limit),)}
    problems = of("R25", [collar("C1", key=7), collar("C2", key=8)], clocks=clocks, hours=float(hours))
    assert severities(problems) == [NOTE] * wrong


def test_unknown_hours_and_an_unplanned_run_are_told():
    clocks = {7: (Clock("rotating", None, 150),)}
    links = [collar("C1", key=7)]
    assert "number of rotating hours of C1 is not known" in of("R25", links, clocks=clocks)[0].text
    assert "planned hours" in of("R25", links, clocks=clocks, hours=None)[0].text


# R26 common practice, weight by RP 7G: BF 1 - 10/65.5, factor 1.15


@pytest.mark.parametrize("on_bit, wrong", [(20_000, 0), (39_280, 0), (39_281, 1), (60_000, 1)])
def test_the_weight_in_mud_covers_the_weight_on_bit(on_bit, wrong):
    # (3 ft + 279 ft) x 100.525 + 450 ft x 49.3 + 30 ft x 92.6 lb, x 0.847328 / 1.15 = 39,280 lb.
    problems = of("R26", good(), weight_on_bit_lb=on_bit)
    assert severities(problems) == [NOTE] * wrong


def test_a_piece_of_unknown_weight_is_missing_only_when_the_others_do_not_suffice():
    links = good()
    links.insert(3, tool("motor", "M1", bore=0))
    assert not [one for one in found(links) if "R26" in one.rules]
    assert [one.pieces for one in found(links, weight_on_bit_lb=60_000) if "R26" in one.rules] == [("M1",)]


@pytest.mark.parametrize("links", [[bit()], [casing("F1", "float_shoe"), casing("K1"), pipe("P1")]])
def test_what_puts_no_weight_on_a_bit_is_not_asked_for_it(links):
    assert not [one for one in found(links, weight_on_bit_lb=90_000) if "R26" in (one.code, *one.rules)]


# R31 common practice: what hangs below the jars, how far the sensors are


def test_all_that_is_worked_out_is_silent_when_it_can_be():
    assert of("R31", good()) == []


def test_what_hangs_below_the_jar_needs_lengths_and_weights():
    unknown = [replace(collar("C1"), length=None), tool("motor", "M1", bore=0)]
    links = [bit(), bit_sub(), *unknown, jar(), pipe("P1")]
    told = {one.text.split(" is not known")[0] for one in found(links) if "R31" in one.rules}
    assert told == {"The length of C1", "The weight of M1"}


def test_a_sensor_needs_its_place():
    own = {"senses": "LWD"}
    assert "distance of the sensor" in of("R31", [bit(), tool("mwd", "L1", own=own)])[0].text
    own["sensor_nm"] = str(ft(4).nanometres)
    assert of("R31", [bit(), tool("mwd", "L1", own=own)]) == []
