"""A reading that looks wrong is asked about in words; fewer than 2 in 100 true ones are (law 9)."""

import random
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.asking import question
from rack.calc.checks import Severity
from rack.calc.lengths import Length

BATCH = [Length.parse(f"31.{n:02d}") for n in (24, 31, 18, 40, 27, 35, 22, 29, 33, 26, 38, 20)]
METRIC = [Length.parse(f"9.{n:02d} m") for n in (62, 60, 65, 58, 61, 63)]

Make = Callable[[random.Random], float]


def codes(typed: str, batch: list[Length], *, kind: str = "drill_pipe", unit: str = "ft") -> list[str]:
    found = question(Length.parse(typed, unit), batch, kind=kind, unit=unit, digits=2)
    assert all(problem.severity is Severity.ASKS for problem in found)
    return [problem.code for problem in found]


@pytest.mark.parametrize(
    "typed, code, guess",
    [
        ("36.12", "T01", "Digits changed places, perhaps: 31.62?"),
        ("13.24", "T01", "Digits changed places, perhaps: 31.24?"),
        ("9.53", "T14", "Metres in a list in feet, perhaps: 31.27?"),
        ("41.24", "T02", "Ten feet out, perhaps: 31.24?"),
        ("21.24", "T02", "Ten feet out, perhaps: 31.24?"),
        ("32.59", "T02", "A whole foot out, perhaps: 31.59?"),
        ("30.37", "T02", "A whole foot out, perhaps: 31.37?"),
        ("3.13", "T07", "A figure is missing, perhaps: 31.30?"),
        ("312.40", "T07", "A figure too many, perhaps: 31.24?"),
        ("34.40", "T07", "another kind of joint"),
        ("24.00", "T07", "another kind of joint"),
        ("0.00", "T07", "is no length of a joint"),
        ("0.07", "T07", "is no length of a joint"),
        ("100.01", "T07", "longer than any joint"),
    ],
)
def test_a_wrong_reading_is_asked_about_with_the_likely_slip(typed: str, code: str, guess: str) -> None:
    (problem,) = question(Length.parse(typed), BATCH, kind="drill_pipe", unit="ft", digits=2)
    assert problem.code == code
    assert guess in problem.text
    assert problem.text.startswith(f"{typed} ft is ")
    assert problem.text[-1] in ".?"
    assert problem.unit == "ft"
    assert "common practice" in problem.source


def test_a_misheard_number_is_guessed() -> None:
    batch = [Length.parse(f"40.{n:02d}") for n in (24, 31, 18, 40, 27)]
    (problem,) = question(Length.parse("14.24"), batch, kind="drill_pipe", unit="ft", digits=2)
    assert problem.code == "T20"
    assert "Teen and ty misheard, perhaps: 40.24?" in problem.text


@pytest.mark.parametrize("typed", ["31.24", "30.99", "31.62", "30.70", "31.90", "31.42"])
def test_a_reading_like_its_batch_is_not_asked_about(typed: str) -> None:
    assert codes(typed, BATCH) == []


@pytest.mark.parametrize("typed", ["18.00", "24.00", "28.00", "33.00", "39.00", "48.00", "31.24"])
def test_the_doors_of_drill_pipe_are_wide(typed: str) -> None:
    """Nearly every good Range 2 joint is longer than the 30 ft of the tube alone."""
    assert codes(typed, []) == []


@pytest.mark.parametrize("typed", ["17.99", "24.01", "27.99", "33.01", "38.99", "48.01"])
def test_outside_the_doors_is_asked_even_without_a_batch(typed: str) -> None:
    assert len(codes(typed, [])) == 1
    assert len(codes(typed, [], kind="heavy_weight")) == 1
    assert codes(typed, [], kind="collar") == []
    assert codes(typed, [], kind="") == []


def test_the_doors_are_named_in_the_unit_of_the_list() -> None:
    (problem,) = question(Length.parse("10.50 m"), [], kind="drill_pipe", unit="m", digits=2)
    assert "5.49 to 7.32, 8.53 to 10.06 or 11.89 to 14.63 m" in problem.text


@pytest.mark.parametrize("typed, expected", [("0.09", 1), ("0.10", 0), ("100.00", 0), ("100.01", 1)])
def test_a_tool_may_be_anything_from_a_tenth_to_a_hundred_feet(typed: str, expected: int) -> None:
    assert len(codes(typed, [], kind="sub")) == expected


def test_a_close_batch_reaches_less_far_from_its_tenth_reading_on() -> None:
    """0.9 ft off is within 1.5 ft of the middle, but nothing of ten close readings lies near it."""
    assert codes("32.20", BATCH[:9]) == []
    assert len(codes("32.20", BATCH[:10])) == 1


def test_a_batch_says_nothing_before_it_has_five_readings() -> None:
    assert codes("28.50", BATCH[:4]) == []
    assert len(codes("28.50", BATCH[:5])) == 1


def test_a_reading_like_one_that_was_confirmed_is_not_asked_about_again() -> None:
    """Two suppliers in one delivery: the first joint of the second is asked about, no more."""
    assert len(codes("28.50", BATCH)) == 1
    assert codes("28.62", [*BATCH, Length.parse("28.50")]) == []


@pytest.mark.parametrize("known, expected", [
    ("28.50", 0), ("28.40", 0), ("28.60", 0), ("28.39", 1), ("28.61", 1), ("31.24", 1), (None, 1),
])
def test_a_reading_that_the_list_has_too_is_not_asked_about(known: str | None, expected: int) -> None:
    listed = Length.parse(known) if known else None
    found = question(Length.parse("28.50"), BATCH, kind="drill_pipe", unit="ft", digits=2, known=listed)
    assert len(found) == expected


@pytest.mark.parametrize("typed, expected", [("9.12", 0), ("8.99", 1), ("11.12", 0), ("11.13", 1)])
def test_among_pups_one_vouches_for_another_a_foot_off(typed: str, expected: int) -> None:
    batch = [*(Length.parse(f"40.{n}2") for n in range(1, 9)), Length.parse("10.12")]
    assert len(codes(typed, batch, kind="")) == expected


def test_a_wide_batch_is_not_asked_about() -> None:
    wide = [Length.parse(f"{feet}.00") for feet in (28, 29, 30, 31, 32, 33)]
    assert codes("32.60", wide) == []


@pytest.mark.parametrize("typed, expected", [("15.99", 1), ("16.00", 0), ("48.00", 0), ("48.01", 1)])
def test_casing_is_held_against_its_ranges(typed: str, expected: int) -> None:
    assert len(codes(typed, [], kind="casing")) == expected


@pytest.mark.parametrize(
    "typed, code", [("6.92", "T01"), ("31.56", "T14"), ("10.62", "T02"), ("0.96", "T07"), ("9.59", "")]
)
def test_a_metric_list_is_judged_in_metres(typed: str, code: str) -> None:
    assert codes(typed, METRIC, unit="m") == ([code] if code else [])


def test_a_kind_that_is_not_known_is_judged_by_its_batch() -> None:
    assert codes("31.24", BATCH, kind="") == []
    assert codes("36.12", BATCH, kind="") == ["T01"]


@given(
    st.integers(0, 200_00),
    st.lists(st.integers(0, 60_00), max_size=15),
    st.sampled_from(["drill_pipe", "casing", "sub", ""]),
)
def test_at_most_one_question_is_asked_whatever_is_read(steps: int, batch: list[int], kind: str) -> None:
    lengths = [Length.parse(f"{each / 100:.2f}") for each in batch]
    found = question(Length.parse(f"{steps / 100:.2f}"), lengths, kind=kind, unit="ft", digits=2)
    assert len(found) <= 1
    assert all(problem.text.isprintable() and problem.code for problem in found)


def normal(middle: float, sigma: float) -> Make:
    return lambda chance: chance.gauss(middle, sigma)


def uniform(low: float, high: float) -> Make:
    return lambda chance: chance.uniform(low, high)


def mixed(one: Make, other: Make, share: float) -> Make:
    return lambda chance: (one if chance.random() < share else other)(chance)


TRUE_BATCHES = [
    ("new pipe, close", "drill_pipe", normal(31.5, 0.1)),
    ("new pipe", "drill_pipe", normal(31.5, 0.5)),
    ("used pipe, recut", "drill_pipe", normal(30.8, 0.8)),
    ("long pipe at the door", "drill_pipe", normal(32.7, 0.3)),
    ("anything in range 2", "drill_pipe", uniform(28, 33)),
    ("anything in range 3", "drill_pipe", uniform(39, 48)),
    ("a foot about", "drill_pipe", uniform(30.9, 31.9)),
    ("two suppliers, half and half", "drill_pipe", mixed(normal(30.2, 0.15), normal(32.0, 0.15), 0.5)),
    ("two suppliers, four to one", "drill_pipe", mixed(normal(30.2, 0.15), normal(32.0, 0.15), 0.8)),
    ("two suppliers, close and far", "drill_pipe", mixed(normal(30.2, 0.05), normal(32.0, 0.05), 0.95)),
    ("two ranges", "drill_pipe", mixed(normal(31.2, 0.3), normal(45.0, 0.3), 0.9)),
    ("casing", "casing", normal(40.0, 1.5)),
    ("casing, anything in range 3", "casing", uniform(34, 48)),
    ("subs of all lengths", "sub", uniform(1, 6)),
]


@pytest.mark.parametrize("name, kind, make", TRUE_BATCHES, ids=[each[0] for each in TRUE_BATCHES])
def test_fewer_than_2_in_100_true_readings_are_asked_about(name: str, kind: str, make: Make) -> None:
    chance = random.Random(name)
    asked, read = 0, 0
    for count in [30, 60, 100] * 15:
        batch: list[Length] = []
        for _ in range(count):
            reading = Length.parse(f"{make(chance):.2f}")
            asked += len(question(reading, batch, kind=kind, unit="ft", digits=2))
            batch.append(reading)
            read += 1
    assert asked / read < 0.02


def test_a_second_supplier_after_the_first_is_asked_about_once() -> None:
    chance = random.Random(9)
    readings = [Length.parse(f"{chance.gauss(middle, 0.1):.2f}") for middle in [30.2] * 30 + [32.0] * 30]
    asked = [
        bool(question(reading, readings[:place], kind="drill_pipe", unit="ft", digits=2))
        for place, reading in enumerate(readings)
    ]
    assert sum(asked) == 1
    assert asked[30]
    assert not any(one and other for one, other in pairwise(asked))
