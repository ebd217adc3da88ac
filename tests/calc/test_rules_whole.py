"""All rules at once: the table, the order, what is unknown, what holds when a string grows, consent."""

import random
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.chain import placed
from rack.calc.checks import Severity
from rack.calc.lookup import rows
from rack.calc.rules import JUDGES, RULES, Consent, Plan, check, left_after, overridable
from rack.calc.specs import SpecFacts
from tests.calc.stringing import PLAN, bit, collar, found, ft, good, heavy, jar, pipe, saver, tool


def bad():
    """A string with many faults of many rules."""
    return [collar("C1", od=8), bit(), heavy("H1", holds=("washed",)), jar(od=5), tool("mwd", "MWD1"),
            pipe("P1", grade="S135", key=5), pipe("P2", pipe_class="", key=5),
            collar("C2", conn="NC46")]  # fmt: skip


def test_every_rule_of_the_table_has_its_function():
    assert list(RULES) == list(JUDGES) == [f"R{n:02}" for n in range(1, 32)]


def test_every_rule_has_words_a_severity_and_a_source():
    for rule in RULES.values():
        assert rule.words.endswith(".")
        assert rule.source
        assert not any(part.startswith("S") and part[1:].isdigit() for part in rule.source.split())


@pytest.mark.parametrize("code, severity", [(row["rule"], row["severity"]) for row in rows("rules")])
def test_the_severity_of_a_rule_is_that_of_the_table(code, severity):
    assert RULES[code].severity is Severity(severity)


def test_a_good_string_has_no_problem():
    assert found(good()) == []


def test_every_problem_is_a_whole_sentence_with_its_source():
    problems = found(bad())
    assert len(problems) > 12
    for one in problems:
        assert one.text[0].isupper() or one.text[0].isdigit()
        assert one.text.endswith(".")
        assert one.source
        assert one.code in RULES
        assert one.where


def test_problems_stand_by_rule_and_then_from_the_bit():
    problems = found(bad())
    keys = [(one.code, one.places[:1]) for one in problems]
    assert keys == sorted(keys)
    assert problems == found(bad())


def test_all_problems_are_told_at_once():
    told = {one.code for one in found(bad())}
    assert {"R01", "R02", "R03", "R07", "R09", "R13", "R16", "R20", "R24"} <= told


def test_nothing_known_is_nothing_passed_and_nothing_broken():
    gone = {"length": None, "pipe_class": "", "facts": {}}
    blank = [replace(one, spec=SpecFacts(one.spec.kind), **gone) for one in good()]
    problems = check(blank, Plan())
    told = {one.text.partition(" of ")[0] for one in problems if one.rules}
    assert {"The length", "The OD", "The bore", "The class", "The grade"} <= told
    missing = [(what, piece) for one in problems if one.rules and one.pieces
               for what in [one.text.partition(" of ")[0]] for piece in one.pieces]  # fmt: skip
    assert len(missing) == len(set(missing))  # each fact of each piece once
    assert {one.severity for one in problems if one.rules} <= {Severity.ASKS, Severity.NOTE}


@pytest.mark.parametrize("kind", ["kelly", "other", "stage_collar", "tubing", "under_reamer", "fishing_tool"])
def test_a_piece_of_any_kind_breaks_no_rule_function(kind):
    links = [replace(pipe("X"), spec=SpecFacts(kind), length=None)]
    assert isinstance(check([*links, *good()], Plan()), list)


def keyed(problems):
    return {(one.code, one.pieces, one.measured) for one in problems if not one.rules}


@given(st.integers(0, 17))
def test_one_more_good_joint_takes_no_problem_away(place):
    links = [*bad()[:4], *good()[26:46], collar("C2", conn="NC46"), saver()]
    more = [*links[:5 + place], pipe("EXTRA", key=999), *links[5 + place :]]
    assert keyed(found(links)) <= keyed(found(more))


@given(st.randoms(use_true_random=False))
def test_the_depth_is_the_sum_of_the_lengths_in_any_order(rng):
    links = good()
    rng.shuffle(links)
    assert placed(links)[-1].top == sum((one.length for one in links), ft(0))


@given(st.permutations(range(8)))
def test_no_order_of_pieces_breaks_a_rule(order):
    links = bad()
    shuffled = [links[n] for n in order]
    assert found(shuffled) == found(shuffled)


def test_growing_at_the_top_changes_no_place():
    links = bad()
    grown = [*links, pipe("P9", key=9), pipe("P10", key=10)]
    before = {(one.code, one.places) for one in found(links) if one.places and not one.rules}
    assert before <= {(one.code, one.places) for one in found(grown)}


def test_a_long_string_is_judged_in_no_time():
    links = [*good()[:-1], *(pipe(f"X{n}", key=1000 + n) for n in range(700)), saver()]
    assert found(links) == []


# Consent: law 9 of the blueprint. What stops is never answered.


TODAY = date(2026, 5, 1)


def held(*idents):
    joints = (pipe(ident, holds=("washed",), key=900 + n) for n, ident in enumerate(idents))
    return found([*good()[:-1], *joints, saver()])


def yes(code="R16", **more):
    return Consent(code, **{"until": TODAY, "reason": "seen by the supervisor", **more})


@pytest.mark.parametrize("consent, left", [
    (yes(piece="A"), 0),
    (yes(lot="D 12"), 0),
    (yes(lot="delivery 3"), 0),
    (yes(lot="delivery 4"), 1),
    (yes(lot="delivery 3", until=TODAY - timedelta(days=1)), 1),
    (yes(lot="D 1"), 1),
    (yes(), 0),
    (yes(piece="B"), 1),
    (yes(lot="D 13"), 1),
    (yes("R15", piece="A"), 1),
    (yes(piece="A", until=TODAY - timedelta(days=1)), 1),
    (yes(piece="A", until=TODAY + timedelta(days=30)), 0),
    (yes(piece="A", reason="  "), 1),
    (yes(piece="A", words="A is held: washed."), 0),
    (yes(piece="A", words="A is held: cracked."), 1),
    (yes(key=900), 0),
    (yes(key=901), 1),
    (yes(piece="A", until=None), 0),
    (yes(where="piece 48"), 0),
    (yes(where="piece 47"), 1),
])  # fmt: skip
def test_a_consent_answers_its_own_rule_for_its_own_lot_until_its_day(consent, left):
    result = left_after(held("A"), [consent], {900: ("D 12", "delivery 3"), "A": ("D 13 of another",)}, TODAY)
    assert len(result.problems) == left
    assert len(result.consented) == 1 - left
    if not left:
        assert result.consented[0][1] == (consent,)


def test_a_consent_for_one_lot_leaves_the_other():
    result = left_after(held("A", "B"), [yes(lot="D 12")], {900: ("D 12",), 901: ("D 13",)}, TODAY)
    assert [one.pieces for one in result.problems] == [("B",)]


def test_a_problem_of_several_pieces_is_answered_when_each_of_them_is():
    problems = [one for one in found([pipe("A", pipe_class="Class 2"), pipe("B", pipe_class="Class 2")])
                if one.code == "R15"]  # fmt: skip
    lots = {"A": ("D 12",), "B": ("D 13",)}
    one = yes("R15", lot="D 12")
    assert left_after(problems, [one], lots, TODAY).problems == tuple(problems)
    both = [one, yes("R15", lot="D 13")]
    assert left_after(problems, both, lots, TODAY).consented[0][1] == tuple(both)


@pytest.mark.parametrize("more", [{"state": "scrapped"}, {"due": "over", "due_by": "law"}])
def test_what_stops_cannot_be_consented_to(more):
    problems = [one for one in found([pipe("A", **more)]) if one.code == "R16"]
    assert not overridable(problems[0])
    assert left_after(problems, [yes(), yes(piece="A")], {}, TODAY).problems == tuple(problems)


def test_a_blank_lot_is_no_lot():
    assert left_after(held("A"), [yes(lot="")], {}, TODAY).problems == ()  # for the whole string
    assert len(left_after(held("A"), [yes(lot="D 12")], {900: ("",)}, TODAY).problems) == 1


def test_two_pieces_of_one_name_are_answered_one_by_one():
    result = left_after(held("A", "A"), [yes(key=901)], {}, TODAY)
    assert [one.keys for one in result.problems] == [(900,)]


def test_consents_take_away_and_never_add():
    problems = found(bad(), plan=PLAN)
    pick = random.Random(7)
    for _ in range(50):
        some = [yes(one.code, piece=pick.choice(one.pieces or ("",))) for one in pick.sample(problems, 3)]
        result = left_after(problems, some, {}, TODAY)
        assert len(result.problems) + len(result.consented) == len(problems)
        assert all(one in problems for one in result.problems)
