"""R02, R03, R19, R24: threads that mate, a bit's pin, stress relief, bending strength ratio."""

from dataclasses import replace

import pytest

from rack.calc.chain import Link
from rack.calc.checks import Severity
from tests.calc.stringing import NECK, bit, bit_sub, collar, ft, good, heavy, of, pipe, spec, tool

# R02: same series by the table of interchange (course notes S45), one pin and one box (common practice).

MATES = [("NC50", "4-1/2 IF"), ("NC46", "4 IF"), ("NC38", "3-1/2 IF"), ("NC31", "2-7/8 IF"),
         ("NC26", "2-3/8 IF"), ("NC40", "4 FH"), ("NC50", "nc-50"),
         ("6-5/8 REG", "6 5/8 API Reg")]  # fmt: skip


def joined(lower_up, upper_down, genders=("box", "pin")):
    lower = tool("sub", "LOWER", conns=(lower_up, lower_up), genders=(genders[0], "pin"))
    upper = tool("sub", "UPPER", conns=(upper_down, upper_down), genders=("box", genders[1]))
    return [lower, upper]


@pytest.mark.parametrize("one, other", MATES)
def test_the_same_thread_by_another_name_makes_up(one, other):
    assert of("R02", joined(one, other)) == []
    assert of("R02", joined(other, one)) == []


@pytest.mark.parametrize("one, other", [("NC50", "NC46"), ("NC50", "4-1/2 FH"),
                                        ("6-5/8 REG", "6-5/8 FH"), ("NC38", "NC40"),
                                        ("NC46", "4 FH")])  # fmt: skip
def test_threads_of_another_series_stop(one, other):
    (problem,) = of("R02", joined(one, other))
    assert problem.severity is Severity.STOPS
    assert problem.where == "between 1 and 2"
    assert "LOWER" in problem.text
    assert problem.limit.endswith(" pin")
    assert problem.measured.endswith(" pin")
    assert "UPPER" in problem.text


@pytest.mark.parametrize("genders", [("pin", "pin"), ("box", "box")])
def test_two_pins_or_two_boxes_stop(genders):
    (problem,) = of("R02", joined("NC50", "NC50", genders))
    assert problem.severity is Severity.STOPS
    assert f"NC50 {genders[0]}" in problem.text


def test_a_pin_up_into_a_box_down_makes_up():
    assert of("R02", joined("NC50", "NC50", ("pin", "box"))) == []


def test_a_wrong_crossover_is_named_with_both_its_neighbours():
    links = good()
    wrong = tool("crossover", "XO9", conns=("NC46", "NC46"))
    links.insert(11, wrong)  # between the collars and the heavy-weight, which are NC50
    problems = of("R02", links)
    assert [one.where for one in problems] == ["between 11 and 12", "between 12 and 13"]
    assert all("XO9" in one.text for one in problems)
    assert all("NC46 does not make up with NC50" in one.text or "NC50 does not make up with NC46" in one.text
               for one in problems)


def test_the_right_crossover_makes_it_good():
    lower, upper = collar("C1", conn="NC46"), heavy("H1")
    assert len(of("R02", [lower, upper])) == 1
    assert of("R02", [lower, tool("crossover", "XO1", conns=("NC50", "NC46")), upper]) == []


def test_an_unknown_connection_is_asked_once_for_all_pieces_and_never_passes():
    blank = replace(pipe("P9").spec, down_conn="", down_gender="")
    links = [pipe("P1"), *(replace(pipe(f"P{n}"), spec=blank) for n in (2, 3, 4))]
    (problem,) = of("R02", links)
    assert problem.severity is Severity.ASKS
    assert problem.where == "pieces 2 to 4"
    assert "connection at the lower end of P2, P3 and P4 is not known" in problem.text


def test_an_unknown_gender_is_asked():
    (problem,) = of("R02", joined("NC50", "NC50", ("box", "")))
    assert "gender (box or pin) of the lower end of UPPER is not known" in problem.text


def test_an_unknown_gender_hides_no_thread_that_is_wrong():
    problems = of("R02", joined("NC50", "NC46", ("box", "")))
    assert {one.severity for one in problems} == {Severity.STOPS, Severity.ASKS}


@pytest.mark.parametrize("name", ["Maker X 57", "GT 77 special"])
def test_a_makers_thread_that_no_table_has_makes_up_with_its_own_name_only(name):
    assert of("R02", joined(name, name.upper())) == []
    (asked,) = of("R02", joined(name, "NC50"))
    assert asked.severity is Severity.ASKS
    assert "are not known to make up" in asked.text
    (stopped,) = of("R02", joined(name, name, ("pin", "pin")))
    assert stopped.severity is Severity.STOPS


@pytest.mark.parametrize("kind, genders", [("bit", ("pin", "")), ("core_bit", ("pin", ""))])
def test_nothing_is_made_up_below_a_bit(kind, genders):
    middle = Link("MID", spec(kind, "8-1/2", 0, "NC50", "", genders=genders), ft(1))
    (problem,) = of("R02", [collar("C1"), middle])
    assert "no thread at its lower end" in problem.text


def test_nothing_is_made_up_on_top_of_a_lift_sub():
    lift = Link("LS1", spec("lift_sub", 5, 2, "", "NC50", genders=("", "pin")), ft(2))
    (problem,) = of("R02", [collar("C1"), lift, pipe("P1")])
    assert problem.where == "between 2 and 3"


def test_a_section_by_count_must_make_up_with_itself():
    odd = replace(heavy("15 heavy-weight, list to follow", count=15, named=False))
    assert of("R02", [odd]) == []
    bad = replace(odd, spec=replace(odd.spec, down_conn="NC46"))
    assert of("R02", [bad])[0].where == "within 1"


def test_casing_of_two_sizes_does_not_make_up():
    one = Link("A", spec("casing", "9-5/8", 0, "BTC", "BTC"), ft(40))
    other = Link("B", spec("casing", 7, 0, "BTC", "BTC"), ft(40))
    assert of("R02", [one, one]) == []
    assert "one size" in of("R02", [one, other])[0].text


# R03: a bit sub usually has two boxes (lexicon of drilling S04).


def test_a_bit_on_a_bit_sub_is_good():
    assert of("R03", [bit(), bit_sub()]) == []


@pytest.mark.parametrize("upper", [collar("C1", conn="4-1/2 REG"), heavy("H1"), pipe("P1")],
                         ids=lambda link: link.ident)  # fmt: skip
def test_a_bit_under_a_pin_stops_and_the_missing_sub_is_named(upper):
    (problem,) = of("R03", [bit(), upper])
    assert problem.severity is Severity.STOPS
    assert "bit sub" in problem.text
    assert problem.where == "between 1 and 2"


def test_a_bit_with_a_box_takes_a_pin():
    big = Link("B26", spec("bit", 26, 0, "7-5/8 REG", "", genders=("box", "")), ft(2))
    upper = tool("collar", "C1", conns=("7-5/8 REG", "7-5/8 REG"))
    assert of("R03", [big, upper]) == []


def test_what_is_not_known_of_the_pin_is_left_to_the_rule_of_mating():
    upper = tool("sub", "S1", genders=("box", ""), conns=("NC50", "4-1/2 REG"))
    assert of("R03", [bit(), upper]) == []
    assert "gender" in of("R02", [bit(), upper])[0].text


# R19: pins stress-relieved, boxes bored back where the programme asks for it (directional guide S23).


def test_stress_relief_is_not_asked_when_nobody_wants_it():
    bare = replace(collar("C1"), facts={})
    assert of("R19", [bit(), bit_sub(), bare]) == []


def test_all_relieved_is_good():
    assert of("R19", good(), stress_relief_wanted=True) == []


@pytest.mark.parametrize("fact, words", [("relief", "its pin is not stress-relieved"),
                                         ("bored_back", "its box is not bored back")])  # fmt: skip
def test_a_thread_without_relief_asks(fact, words):
    links = [bit(), bit_sub(), replace(collar("C1"), facts={**NECK, fact: "no"})]
    (problem,) = of("R19", links, stress_relief_wanted=True)
    assert problem.severity is Severity.ASKS
    assert words in problem.text
    assert problem.pieces == ("C1",)


def test_a_relief_that_nobody_noted_is_missing_and_no_pass():
    links = [bit(), bit_sub(), replace(collar("C1"), facts={})]
    texts = [one.text for one in of("R19", links, stress_relief_wanted=True)]
    assert any("stress relief of the pin of C1 is not known" in text for text in texts)
    assert any("bore-back of the box of C1 is not known" in text for text in texts)


def test_a_box_by_box_sub_needs_no_relieved_pin():
    sub = replace(bit_sub(), facts={"bored_back": "yes"})
    assert of("R19", [bit(), sub], stress_relief_wanted=True) == []


# R24: 2.25 to 2.75 (from memory; forum S49), or the band of the standard that the plan names.


@pytest.mark.parametrize(
    "od, bore, thread, wrong",
    [
        ("6-3/4", "2-13/16", "NC50", False),
        ("6-1/2", "2-13/16", "NC46", True),  # above: the pin is the weaker
        ("6-1/2", "2-13/16", "NC50", True),  # the real case of a recut from 4 IF to 4-1/2 IF: too low
        ("8", "2-13/16", "6-5/8 REG", False),
        ("4-3/4", "2-1/4", "NC38", True),
    ],
)
def test_a_collar_is_kept_in_the_usual_ratio(od, bore, thread, wrong):
    problems = of("R24", [collar("C1", od=od, bore=bore, conn=thread)])
    assert [one.severity for one in problems] == ([Severity.ASKS] if wrong else [])
    if wrong:
        assert problems[0].limit == "2.25 to 2.75"
        assert float(problems[0].measured) < 2.25 or float(problems[0].measured) > 2.75


def test_a_small_collar_is_in_the_band_of_the_standard_though_not_in_the_usual_one():
    small = collar("C1", od="4-3/4", bore="2-1/4", conn="NC38")
    assert len(of("R24", [small])) == 1
    assert of("R24", [small], ratio_standard="DS-1 Vol 3") == []  # 1.8 to 2.5 below 6 in


def test_collars_of_one_size_and_thread_are_one_sentence():
    (problem,) = of("R24", [collar(f"C{n}", od="6-1/2") for n in range(1, 8)])
    assert problem.where == "pieces 1 to 7"
    assert "C1, C2, C3, C4 and 3 more" in problem.text


def test_a_collar_whose_bore_is_not_known_has_no_ratio():
    (problem,) = [one for one in of("R12", [collar("C1", bore=0)]) if "bore" in one.text]
    assert "R24" in problem.rules
    assert problem.severity is Severity.ASKS


def test_a_thread_without_dimensions_is_said():
    (problem,) = of("R24", [collar("C1", conn="3-1/2 XH", od=5, bore=2)])
    assert "3-1/2 XH" in problem.text
