"""The balance by piece: it closes by count, and what fails is named by serial."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.balance import (
    PARTS,
    UNPLACED,
    balance,
    is_shown,
    missing,
    missing_problems,
    part_of,
)
from rack.calc.states import BY_HAND, ON_SITE, REACHED, STATES, by_hand, hand_problems, move_problems


@pytest.mark.parametrize("state, kind, part", [
    ("received", "rack", "rack"), ("accepted", "rack", "rack"), ("received", "aside", "aside"),
    ("accepted", "away", UNPLACED), ("received", "", UNPLACED), ("in_transit", "away", "transit"),
    ("in_transit", "rack", "transit"), ("at_inspection", "rack", "inspection"), ("in_repair", "", "repair"),
    ("in_string", "", "hole"), ("in_derrick", "", "derrick"), ("left_in_well", "", "left"),
    ("lost_in_hole", "", "lost"), ("returned", "away", "returned"), ("scrapped", "rack", "scrapped"),
    ("on_order", "", ""),
])  # fmt: skip
def test_every_state_stands_in_its_term(state, kind, part):
    assert part_of(state, kind) == part


def test_every_state_of_the_table_has_a_term_or_is_not_received_yet():
    without = [state for state in STATES if not part_of(state, "rack")]
    assert without == ["on_order"]


def test_a_state_that_is_none_is_named():
    with pytest.raises(ValueError, match="'sold'"):
        part_of("sold", "rack")


def test_counts_add_up_term_by_term():
    found = balance(12, [("received", "rack", 5), ("accepted", "rack", 2), ("accepted", "aside", 1),
                         ("in_transit", "away", 3)], elsewhere=1)  # fmt: skip
    assert (found.parts["rack"], found.parts["aside"], found.parts["transit"]) == (7, 1, 3)
    assert found.closes and found.accounted == 12


def test_a_piece_on_no_rack_is_left_over():
    found = balance(3, [("received", "rack", 2), ("received", "", 1)])
    assert found.difference == 1 and not found.closes


def test_a_count_under_nothing_is_refused():
    with pytest.raises(ValueError, match="received: -1"):
        balance(1, [("received", "rack", -1)])


def test_one_lost_and_one_found_cancel_in_the_totals_and_never_by_name():
    found = missing({"KD1", "KD2", "KD3"}, {"rack": {"KD1", "KD2"}, "transit": {"KD9"}})
    assert found.nowhere == ("KD3",) and found.never_received == ("KD9",)
    assert [problem.where for problem in missing_problems(found)] == ["KD3", "KD9"]


def test_a_piece_in_two_places_is_named_with_both():
    found = missing({"KD1"}, {"rack": {"KD1"}, "transit": {"KD1"}})
    assert found.twice == (("KD1", ("rack", "transit")),)
    assert missing_problems(found)[0].text == "KD1 is counted twice: on the rack and in transit."


def test_sets_that_agree_are_silent():
    assert not missing({"KD1", "KD2"}, {"rack": {"KD1"}, "aside": {"KD2"}})
    assert missing_problems(missing(set(), {})) == []


def test_terms_that_nothing_fills_are_not_shown_until_something_does():
    assert [code for code in PARTS if not is_shown(code, 0)] == ["mousehole", "elsewhere"]
    assert is_shown("mousehole", 1)
    assert is_shown("hole", 1) and is_shown("elsewhere", 2)


@given(st.lists(st.tuples(st.sampled_from(sorted(STATES)), st.sampled_from(["rack", "aside", "away", ""]),
                          st.integers(0, 500))))  # fmt: skip
def test_received_less_the_unplaced_is_always_accounted_for(groups):
    received = sum(n for state, _, n in groups if state != "on_order")
    loose = sum(n for state, kind, n in groups if part_of(state, kind) == UNPLACED)
    assert balance(received, groups).difference == loose


@given(st.dictionaries(st.integers(0, 60).map(lambda n: f"KD{n}"), st.sampled_from(sorted(PARTS))))
def test_names_told_apart_into_terms_are_never_missing(held):
    parts = {code: {name for name, part in held.items() if part == code} for code in PARTS}
    assert not missing(set(held), parts)


def test_the_table_of_states_names_only_states():
    assert {then for state in STATES.values() for then in state.then} <= set(STATES)
    assert set(BY_HAND) < set(REACHED) < set(STATES)


@pytest.mark.parametrize("before", list(STATES))
def test_what_is_offered_by_hand_is_allowed_by_the_table(before):
    for after in by_hand(before):
        assert move_problems("KD1", before, after) == []
        assert hand_problems("KD1", before, after) == []


@pytest.mark.parametrize("before, after, words", [
    ("accepted", "in_transit", "when the load that it is on is sent"),
    ("in_transit", "received", "receive its load, or take the load back"),
    ("accepted", "in_string", "next can be: at inspection"),
    ("scrapped", "accepted", "next can be: nothing"),
])  # fmt: skip
def test_what_only_a_load_or_a_string_brings_about_is_refused_by_hand(before, after, words):
    (problem,) = hand_problems("KD1", before, after)
    assert words in problem.text


def test_nothing_leads_out_of_scrap_and_nothing_is_a_dead_end_but_scrap():
    assert [code for code, state in STATES.items() if not state.then] == ["scrapped"]


@pytest.mark.parametrize("state", ON_SITE)
def test_a_piece_on_site_can_go_every_way_out(state):
    assert {"in_string", "in_transit", "returned", "scrapped", "at_inspection"} <= set(STATES[state].then)
