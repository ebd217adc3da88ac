"""What a rack carries against its own rating: exact, by layer, and never against a figure of ours."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.rackload import (
    GEOMETRY,
    LABEL,
    Lying,
    left_out_words,
    load_of,
    load_problems,
    shown,
    weight_a_foot,
    weight_lb,
)

FT = 304_800_000
IN = 25_400_000


def joint(name="KD1", layer=1, feet=30, mlb_ft=19_500):
    return Lying(name, layer, None if feet is None else feet * FT, mlb_ft)


def test_forty_joints_of_thirty_feet_weigh_what_the_trade_guide_multiplies():
    """joints x length x lb/ft: 40 x 30 x 19.50 = 23,400 lb, times 0.45359237 kg."""
    whole = load_of([joint(f"KD{n}") for n in range(40)]).whole
    assert whole.lb == 23_400
    assert whole.kg == 23_400 * Fraction(45_359_237, 100_000_000)
    assert (shown(whole.lb), shown(whole.kg)) == ("23,400", "10,614")


def test_the_sum_is_exact_however_odd_the_lengths_are():
    one = Lying("KD1", 1, 9_525_001, 19_501)
    assert load_of([one] * 3).whole.lb == 3 * Fraction(9_525_001, FT) * Fraction(19_501, 1000)


def test_each_layer_is_summed_by_itself_and_empty_layers_are_shown():
    load = load_of([joint(layer=1), joint(layer=3), joint(layer=3)], layers=[1, 2, 3])
    assert [(one.layer, one.count, one.lb) for one in load.layers] == [(1, 1, 585), (2, 0, 0), (3, 2, 1170)]
    assert load.whole.layer == 0 and load.whole.count == 3


def test_a_piece_without_length_or_weight_is_named_and_not_guessed():
    load = load_of([joint("KD1"), joint("KD2", feet=None), joint("KD3", mlb_ft=0),
                    joint("KD4", feet=None, mlb_ft=0)])  # fmt: skip
    assert load.whole.lb == 585
    assert load.whole.not_in_sum == ("KD2", "KD4", "KD3")
    assert left_out_words(load.whole) == (
        "3 pieces are not in the sum, for want of length and weight: KD2, KD4, KD3.")


def test_many_left_out_are_counted_after_the_first_five():
    words = left_out_words(load_of([joint(f"KD{n}", feet=None) for n in range(8)]).whole)
    assert words == (
        "8 pieces are not in the sum, for want of length: KD0, KD1, KD2, KD3, KD4 and 3 more.")


@pytest.mark.parametrize("pounds, rated, asks", [
    (100_000_000, 45_359_237, False),
    (100_000_000, 45_359_236, True),
    (100_000_001, 45_359_237, True),
    (99_999_999, 45_359_237, False),
])  # fmt: skip
def test_exactly_the_rating_is_not_over_it(pounds, rated, asks):
    load = load_of([Lying("KD1", 1, FT * pounds, 1000)]).whole
    assert [one.severity for one in load_problems("R1", load, rated)] == ([Severity.ASKS] if asks else [])


def test_without_a_rating_nothing_is_ever_said():
    heavy = load_of([joint(feet=10**9)]).whole
    assert load_problems("R1", heavy, None) == []


def test_over_says_what_was_measured_and_whose_limit_it_is():
    (over,) = load_problems("R1", load_of([joint(f"KD{n}") for n in range(40)]).whole, 10_000)
    assert over.severity is Severity.ASKS
    assert over.text == "R1 would carry 10,614 kg; its own rating is 10,000 kg."
    assert (over.measured, over.limit, over.unit) == ("10,614", "10,000", "kg")


def test_what_is_not_in_the_sum_is_noted_wherever_there_is_a_rating():
    (left,) = load_problems("R1", load_of([joint(feet=None)]).whole, 10_000)
    assert left.severity is Severity.NOTE and "KD1" in left.text


@pytest.mark.parametrize("kind, label, od, bore, weight, basis", [
    ("drill_pipe", 19_500, 5 * IN, 0, 19_500, LABEL),
    ("collar", 0, 8 * IN, 71_437_500, 149_767, GEOMETRY),
    ("collar", 147_000, 8 * IN, 71_437_500, 147_000, LABEL),
    ("collar", 0, 8 * IN, 0, 0, LABEL),
    ("collar", 0, 2 * IN, 3 * IN, 0, LABEL),
    ("bit", 0, 8 * IN, 1 * IN, 0, LABEL),
])  # fmt: skip
def test_a_weight_a_foot_says_where_it_comes_from(kind, label, od, bore, weight, basis):
    found, by = weight_a_foot(kind, label, od, bore)
    assert by == basis
    assert found == pytest.approx(weight, abs=800)  # two published collar tables differ by more


@given(st.lists(st.tuples(st.integers(1, 5), st.none() | st.integers(1, 10**11), st.integers(0, 300_000)),
                max_size=40))  # fmt: skip
def test_layers_always_add_up_to_the_whole(rows):
    pieces = [Lying(f"P{n}", layer, nm, weight) for n, (layer, nm, weight) in enumerate(rows)]
    load = load_of(pieces, layers=range(1, 6))
    assert sum(one.lb for one in load.layers) == load.whole.lb
    assert sum(one.count for one in load.layers) == load.whole.count == len(pieces)
    assert sum(one.nm for one in load.layers) == load.whole.nm
    weighed = sum(1 for piece in pieces if weight_lb(piece.nm, piece.mlb_ft) is not None)
    assert weighed + len(load.whole.not_in_sum) == len(pieces)
