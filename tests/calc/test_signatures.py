"""Each slip of one reading is told from what only resembles it."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.calc.signatures import (
    TEENS,
    misheard,
    neighbours_swapped,
    other_unit,
    said_otherwise,
    swapped,
    unit_mixed,
    whole_slip,
)

STEPS = st.integers(0, 9999)


@pytest.mark.parametrize(
    "one, other, expected",
    [
        (3126, 3162, True),  # hundredths
        (3126, 3216, True),  # across the point
        (3126, 1326, True),  # feet
        (3126, 6123, True),  # first and last
        (2130, 2103, True),
        (31, 3001, True),  # 00.31 and 30.01
        (3126, 3135, False),  # 0.09 apart, no swap
        (3126, 3117, False),
        (3126, 3161, False),  # one hundredth beside a swap
        (3126, 3163, False),
        (3126, 2163, False),  # three digits moved
        (3126, 1362, False),  # two swaps at once
        (3126, 3126, False),
        (3131, 3131, False),
        (3126, 4126, False),
    ],
)
def test_a_swap_is_two_digits_that_changed_places(one: int, other: int, expected: bool) -> None:
    assert swapped(one, other) is expected
    assert swapped(other, one) is expected


@given(STEPS, st.integers(0, 3), st.integers(0, 3))
def test_every_planted_swap_is_seen(reading: int, here: int, there: int) -> None:
    digits = list(f"{reading:04d}")
    assume(digits[here] != digits[there])
    digits[here], digits[there] = digits[there], digits[here]
    assert swapped(reading, int("".join(digits)))


@given(STEPS, STEPS)
def test_a_swap_keeps_its_digits_and_differs_by_a_multiple_of_nine(one: int, other: int) -> None:
    if swapped(one, other):
        assert sorted(f"{one:04d}") == sorted(f"{other:04d}")
        assert (one - other) % 9 == 0


def test_neighbours_that_change_places() -> None:
    assert neighbours_swapped(3612) == [6312, 3162, 3621]
    assert neighbours_swapped(962) == [9062, 692, 926]
    assert neighbours_swapped(3311) == [3131]
    assert neighbours_swapped(0) == []


@pytest.mark.parametrize(
    "one, other, digits, expected",
    [
        (3124, 3224, 2, 1),
        (3224, 3124, 2, 1),
        (3124, 4124, 2, 10),
        (3124, 3223, 2, 0),
        (3124, 3225, 2, 0),
        (3124, 3324, 2, 0),
        (3124, 3124, 2, 0),
        (9620, 10620, 3, 1),
        (9620, 9720, 3, 0),
    ],
)
def test_a_whole_foot_is_exactly_one_or_ten(one: int, other: int, digits: int, expected: int) -> None:
    assert whole_slip(one, other, digits) == expected


@pytest.mark.parametrize("teen, ty", sorted(TEENS.items()))
def test_every_spoken_pair_is_heard_in_hundredths_and_in_feet(teen: int, ty: int) -> None:
    assert misheard(3100 + teen, 3100 + ty, 2) == (teen, ty)
    assert misheard(3100 + ty, 3100 + teen, 2) == (teen, ty)
    assert misheard(100 * teen + 24, 100 * ty + 24, 2) == (teen, ty)
    assert misheard(9000 + teen, 9000 + ty, 3) == (teen, ty)
    assert misheard(9005 + 10 * teen, 9005 + 10 * ty, 3) == (teen, ty)


def test_the_differences_are_the_published_ones() -> None:
    assert sorted(ty - teen for teen, ty in TEENS.items()) == [17, 26, 35, 44, 53, 62, 71]


@pytest.mark.parametrize(
    "one, other",
    [
        (3112, 3129),  # 0.17 apart, but twelve
        (3113, 3129),  # thirteen, but 0.16
        (3113, 3131),
        (3113, 3230),  # another foot
        (3110, 3110),
        (3114, 3130),
        (3120, 3112),
    ],
)
def test_what_only_resembles_a_misheard_number_is_not_one(one: int, other: int) -> None:
    assert misheard(one, other, 2) is None
    assert misheard(other, one, 2) is None


def test_what_may_have_been_said() -> None:
    assert said_otherwise(1324, 2) == [3024]
    assert said_otherwise(3113, 2) == [3130]
    assert said_otherwise(3050, 2) == [3015, 1350]
    assert said_otherwise(3124, 2) == []


@pytest.mark.parametrize(
    "right, wrong, unit, expected",
    [
        ("31.56", "9.62", "ft", True),
        ("31.60", "9.63", "ft", True),
        ("31.56", "9.61", "ft", True),  # 31.53: half a centimetre and the gate
        ("31.56", "9.60", "ft", False),  # 31.50
        ("31.56", "9.70", "ft", False),
        ("9.62", "31.56", "m", True),
        ("9.62", "31.70", "m", False),
        ("31.56", "31.56", "ft", False),
        ("0.00", "0.00", "ft", False),
        ("31.56", "9.62", "in", False),
    ],
)
def test_a_reading_in_the_other_unit_is_seen(right: str, wrong: str, unit: str, expected: bool) -> None:
    lengths = Length.parse(right, unit), Length.parse(wrong, unit)
    gate = Length.parse("0.02 ft") if unit == "ft" else Length.parse("0.01 m")
    assert unit_mixed(*lengths, within=gate, unit=unit, digits=2) is expected


def test_feet_and_metres_are_mixed_up_and_nothing_else() -> None:
    assert [other_unit(unit) for unit in ("ft", "m", "in", "mm")] == ["m", "ft", "", ""]
