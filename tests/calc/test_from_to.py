"""Painted numbers in the order in which they count, and a stretch of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.painted import from_to, in_counting_order

LAYER = ["31", "32", "33", "36", "36A", "37", "R-7"]


@pytest.mark.parametrize("texts, ordered", [
    (["10", "9", "2"], ["2", "9", "10"]),
    (["37", "36A", "36"], ["36", "36A", "37"]),
    (["R-10", "R-9"], ["R-9", "R-10"]),
    (["", "1"], ["", "1"]),
])  # fmt: skip
def test_painted_numbers_sort_as_they_count(texts, ordered):
    assert sorted(texts, key=in_counting_order) == ordered


@pytest.mark.parametrize("first, last, places", [
    ("31", "33", (0, 1, 2)), ("36", "36A", (3, 4)), ("36a", "37", (4, 5)), ("33", "33", (2,)),
    ("36", "r7", (3, 4, 5, 6)),
])  # fmt: skip
def test_both_ends_are_in_and_36a_lies_between_36_and_37(first, last, places):
    assert from_to(LAYER, first, last) == (places, ())


@pytest.mark.parametrize("names, first, last, words", [
    (LAYER, "30", "33", ["No joint there is painted 30."]),
    (LAYER, "30", "99", ["No joint there is painted 30.", "No joint there is painted 99."]),
    (LAYER, "30", "30", ["No joint there is painted 30."]),
    (["31", "31", "32"], "31", "32", ["2 joints there are painted 31; choose them by serial."]),
    (LAYER, "36", "31", ["36 comes behind 31 there; type the lower number first."]),
    ([], "1", "2", ["No joint there is painted 1.", "No joint there is painted 2."]),
])  # fmt: skip
def test_what_is_wrong_is_said_all_at_once_and_nothing_is_chosen(names, first, last, words):
    places, problems = from_to(names, first, last)
    assert places == () and [problem.text for problem in problems] == words


@given(st.lists(st.integers(1, 500), unique=True, min_size=1), st.data())
def test_a_stretch_is_whole_and_holds_nothing_beyond_its_ends(numbers, data):
    names = sorted(map(str, numbers), key=in_counting_order)
    ends = sorted(data.draw(st.tuples(st.sampled_from(numbers), st.sampled_from(numbers))))
    places, problems = from_to(names, str(ends[0]), str(ends[1]))
    assert not problems
    assert [int(names[place]) for place in places] == sorted(n for n in numbers if ends[0] <= n <= ends[1])
