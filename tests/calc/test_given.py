"""What is no measurement never reaches a formula, and the refusal names what was wrong."""

from decimal import Decimal
from fractions import Fraction

import pytest

from rack.calc.given import number_in, one_of


@pytest.mark.parametrize(
    "bad",
    [True, False, None, "5", float("nan"), float("inf"), -float("inf"), 10**400, [5], 5j,
     Decimal("NaN"), Decimal("sNaN")],
)
def test_what_is_no_number_is_refused(bad):
    with pytest.raises(ValueError, match=r"od_in: .* allowed is more than 0 and at most 60 in"):
        number_in("od_in", bad, "in", 0, 60, above=True)


@pytest.mark.parametrize("good", [5, 5.0, Decimal("5"), Fraction(5)])
def test_every_plain_kind_of_number_is_taken(good):
    assert number_in("od_in", good, "in", 0, 60) == 5.0


@pytest.mark.parametrize(
    "value, above, below, passes",
    [(0, False, False, True), (0, True, False, False), (60, False, False, True), (60, False, True, False),
     (60.0001, False, False, False), (-0.0001, False, False, False)],
)
def test_the_ends_of_the_range_count_as_the_caller_says(value, above, below, passes):
    if passes:
        assert number_in("od_in", value, "in", 0, 60, above=above, below=below) == value
    else:
        with pytest.raises(ValueError, match="out of range"):
            number_in("od_in", value, "in", 0, 60, above=above, below=below)


def test_the_refusal_names_argument_value_and_range():
    with pytest.raises(ValueError) as caught:
        number_in("yield_psi", 250_000, "psi", 20_000, 200_000)
    words = "yield_psi: 250,000 psi is out of range; allowed is at least 20,000 and at most 200,000 psi"
    assert str(caught.value) == words


@pytest.mark.parametrize("bad", ["Premium", None, True, 2])
def test_a_word_that_is_not_on_the_list_is_refused_with_the_list(bad):
    with pytest.raises(ValueError, match="pipe_class: .* allowed are 'new', 'premium'"):
        one_of("pipe_class", bad, ("new", "premium"))
