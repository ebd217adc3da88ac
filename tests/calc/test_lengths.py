"""Sums of any mix of units are exact, a length is rounded once, half up, and losses come off once."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import ZERO, Length, make_up_length, make_up_length_worked, strap_digits
from rack.calc.units import NM

FT = NM["ft"]
IN = NM["in"]


FOOT = Fraction(3048, 10**4)

#: One reading in each habit: its text, and what it is as an exact fraction of a metre.
HABITS = st.one_of(
    st.integers(0, 9999).map(lambda n: (f"{n // 100}.{n % 100:02d} ft", Fraction(n, 100) * FOOT)),
    st.integers(0, 20_000).map(lambda n: (f"{n} mm", Fraction(n, 1000))),
    st.integers(0, 2000).map(lambda n: (f"{n // 100},{n % 100:02d} m", Fraction(n, 100))),
    st.integers(0, 9999).map(
        lambda n: (f"{n // 768} ft {n % 768 // 64} {n % 64}/64 in", Fraction(n, 64) * FOOT / 12)
    ),
    st.integers(0, 99_999).map(lambda n: (f"{n // 1000}.{n % 1000:03d} in", Fraction(n, 1000) * FOOT / 12)),
)


@given(st.lists(HABITS, max_size=60))
def test_any_mix_of_units_adds_up_to_the_last_digit(readings: list[tuple[str, Fraction]]) -> None:
    total = sum((Length.parse(text) for text, _ in readings), ZERO)
    assert Fraction(total.nanometres, 10**9) == sum((metres for _, metres in readings), Fraction(0))


@given(st.integers(0, 10**14))
def test_what_is_shown_to_the_nanometre_reads_back_as_the_same_length(nanometres: int) -> None:
    length = Length(nanometres)
    assert Length.parse(length.shown("m", 9), "m") == length
    assert Length.parse(length.shown("mm", 6) + " mm", "ft") == length


@given(st.integers(0, 30_000_000))
def test_hundredths_of_a_foot_shown_read_back_as_the_same_length(hundredths: int) -> None:
    length = Length(hundredths * (FT // 100))
    assert Length.parse(length.shown("ft", 2)) == length


@pytest.mark.parametrize(
    "nanometres, unit, digits, shown",
    [
        (3124 * FT // 100, "ft", 2, "31.24"),
        (103124 * FT // 100, "ft", 2, "1,031.24"),
        (3124 * FT // 100 + FT // 200, "ft", 2, "31.25"),  # an exact half goes up
        (3124 * FT // 100 + FT // 200 - 1, "ft", 2, "31.24"),
        (-(3124 * FT // 100 + FT // 200), "ft", 2, "-31.25"),  # and away from zero below it
        (-(FT // 200), "ft", 2, "-0.01"),
        (-(FT // 200) + 1, "ft", 2, "0.00"),
        (0, "ft", 2, "0.00"),
        (9_620_000_000, "m", 2, "9.62"),
        (9_620_000_000, "mm", 0, "9,620"),
        (500_000, "mm", 0, "1"),
        (1_234_567_890_000_000, "m", 1, "1,234,567.9"),
        (999_995 * FT // 100_000, "ft", 2, "10.00"),
    ],
)
def test_a_length_is_shown_rounded_once_half_up(nanometres: int, unit: str, digits: int, shown: str) -> None:
    assert Length(nanometres).shown(unit, digits) == shown


@given(st.integers(-(10**13), 10**13), st.sampled_from(sorted(NM)), st.integers(0, 9))
def test_shown_is_never_more_than_half_a_step_away(nanometres: int, unit: str, digits: int) -> None:
    shown = Fraction(Length(nanometres).shown(unit, digits).replace(",", ""))
    assert abs(shown * NM[unit] - nanometres) * 2 * 10**digits <= NM[unit]


def test_feet_and_metres_have_28_figures() -> None:
    assert Length.parse("1/3 ft").feet == Decimal("0.3333333333333333333333333333")
    assert Length(1).metres == Decimal("1E-9")
    assert Length.parse("1 m").feet == Decimal("3.280839895013123359580052493")


def test_lengths_compare_add_and_multiply() -> None:
    one, two = Length(1), Length(2)
    assert one < two <= two
    assert max(one, two) == two
    assert two - one == one
    assert one - two == Length(-1)
    assert -two == Length(-2)
    assert abs(-two) == two
    assert 3 * one == one * 3 == Length(3)
    assert sum([one, two]) == Length(3)
    assert len({one, Length(1)}) == 1


@pytest.mark.parametrize("wrong", [1.0, "1", True, None, Decimal(1)])
def test_a_length_is_made_of_a_whole_number_only(wrong: object) -> None:
    with pytest.raises(TypeError, match="whole number of nanometres"):
        Length(wrong)  # type: ignore[arg-type]


def test_a_length_mixes_with_no_other_number() -> None:
    for odd in (lambda: Length(1) + 1, lambda: 1 + Length(1), lambda: Length(1) * 1.5, lambda: Length(1) - 1,
                lambda: Length(1) < 1, lambda: Length(1) * True):  # fmt: skip
        with pytest.raises(TypeError):
            odd()


def test_a_length_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Length(1).nanometres = 2  # type: ignore[misc]


@pytest.mark.parametrize(
    "typed, unit, digits, nanometres",
    [
        ("3124", "ft", 2, 3124 * FT // 100),
        ("31.24", "ft", 2, 3124 * FT // 100),
        ("31,24", "ft", 2, 3124 * FT // 100),
        ("962", "m", 2, 9_620 * NM["mm"]),
        ("9620", "m", 3, 9_620 * NM["mm"]),
        ("9.62", "m", 3, 9_620 * NM["mm"]),
        ("7", "ft", 2, 7 * FT // 100),
        ("31", "ft", 0, 31 * FT),
        ("31 ft 3 in", "m", 2, 31 * FT + 3 * IN),
        ("９６２", "m", 2, 9_620 * NM["mm"]),
        ("0", "ft", 2, 0),
    ],
)
def test_bare_figures_on_the_strap_page_end_in_hundredths(
    typed: str, unit: str, digits: int, nanometres: int
) -> None:
    assert strap_digits(typed, unit, digits) == Length(nanometres)


@pytest.mark.parametrize("typed", ["", "-3124", "31 24", "3124x", "31²4", "9" * 40])
def test_what_is_no_reading_is_refused_on_the_strap_page(typed: str) -> None:
    with pytest.raises(ValueError, match="no length"):
        strap_digits(typed, "ft", 2)


@pytest.mark.parametrize(
    "overall, losses, expected",
    [
        ("31.875 ft", ["4 1/2 in"], "31.500"),  # NC50 drill pipe: trade guide 11, computed
        ("40.00 ft", ["4.000 in"], "39.667"),  # 7 in 29 LTC: formulas, computed
        ("40.00 ft", ["4.8125 in"], "39.599"),  # 9-5/8 BTC
        ("31.00 ft", ["2.125 in"], "30.823"),  # 2-7/8 EUE
        ("31.50 ft", ["0 in"], "31.500"),
        ("31.50 ft", [], "31.500"),  # taped pins off: nothing to take off
        ("3.00 ft", ["4 1/2 in", "5 in"], "2.208"),  # double pin
    ],
)
def test_a_make_up_length_is_overall_less_the_pins(overall: str, losses: list[str], expected: str) -> None:
    taken = [Length.parse(loss) for loss in losses]
    assert make_up_length(Length.parse(overall), taken).shown("ft", 3) == expected


def test_one_loss_may_be_given_by_itself() -> None:
    assert make_up_length(Length(10), Length(3)) == Length(7)


def test_a_loss_that_leaves_nothing_or_is_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing is left of 0.300 ft"):
        make_up_length(Length.parse("0.30 ft"), [Length.parse("4 1/2 in")])
    with pytest.raises(ValueError, match="below zero"):
        make_up_length(Length(10), [Length(-1)])


def test_a_make_up_length_can_be_opened() -> None:
    worked = make_up_length_worked(Length.parse("31.875 ft"), [Length.parse("4 1/2 in")])
    assert worked.value == Length.parse("31.500 ft")
    assert worked.inputs == {"overall": "31.875 ft", "loss 1": "0.375 ft"}
    assert "make-up length = 31.875 ft - 0.375 ft = 31.500 ft" in worked.steps
    assert "common practice" in worked.source
