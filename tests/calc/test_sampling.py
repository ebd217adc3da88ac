"""Twenty joints drawn so that anybody draws them again, and totals that somebody wrote."""

import random
from fractions import Fraction
from hashlib import sha256

import pytest

from rack.calc.lengths import ZERO, Length
from rack.calc.sampling import TAKE, average_test, drawn, sample, written_total
from rack.calc.strapped import Terms
from rack.calc.straps import GATE
from tests.calc.strapping import HUNDREDTH

FEET = Terms(GATE, "ft", 2)
METRES = Terms(GATE, "m", 1)
CODE = "K7Q2M9A"


def batch(count: int, seed: int, middle: int = 3900, spread: int = 400) -> list[Length]:
    draw = random.Random(seed)
    return [Length((middle + draw.randrange(spread)) * HUNDREDTH) for _ in range(count)]


def test_the_same_code_draws_the_same_joints_and_any_tool_can() -> None:
    by_hand = sorted(range(1, 301), key=lambda n: sha256(f"{CODE}:{n}".encode()).hexdigest())[:20]
    assert drawn(300, CODE) == tuple(by_hand) == drawn(300, CODE)
    assert drawn(300, "K7Q2M9B") != drawn(300, CODE)


def test_no_joint_is_drawn_twice_and_each_has_its_chance() -> None:
    seen = [0] * 61
    for n in range(600):
        lots = drawn(60, f"code {n}")
        assert len(set(lots)) == TAKE
        for line in lots:
            seen[line] += 1
    assert min(seen[1:]) > 140
    assert max(seen) < 260  # 200 each, give or take four standard errors


def test_twenty_joints_or_fewer_are_the_whole_and_no_sample() -> None:
    assert sample(batch(20, 1), CODE) is None
    assert sample(batch(21, 1), CODE) is not None


def test_the_average_and_what_it_makes_of_the_count_are_exact() -> None:
    lengths = batch(96, 3)
    made = sample(lengths, CODE)
    assert made is not None
    nm = [lengths[n - 1].nanometres for n in made.lines]
    assert made.mean_nm == Fraction(sum(nm), 20)
    assert made.expected_nm == made.mean_nm * 96
    middle = sum(each.nanometres for each in lengths) / 96
    variance = sum((each.nanometres - middle) ** 2 for each in lengths) / 95
    error = 96 * (variance / 20 * (1 - 20 / 96)) ** 0.5
    assert made.limit_nm == pytest.approx(3 * error, rel=1e-9)


def test_the_limit_holds_for_true_batches() -> None:
    out = sum(
        not made.agrees(sum(lengths, ZERO))
        for seed in range(400)
        if (lengths := batch(120, seed)) and (made := sample(lengths, f"code {seed}"))
    )
    assert out <= 8  # three standard errors of twenty: about 3 in 400 by chance


def test_a_list_with_a_joint_more_is_named_and_one_that_agrees_is_not() -> None:
    lengths = batch(120, 7, spread=120)
    made, total = sample(lengths, CODE), sum(lengths, ZERO)
    assert average_test(made, total, "the sender's list", FEET) is None
    found = average_test(made, total + lengths[0] + lengths[1], "the sender's list", FEET)
    assert found is not None
    assert found.code == "T09"
    assert "the sender's list adds up to" in found.words
    assert average_test(None, total, "x", FEET) is average_test(made, None, "x", FEET) is None


def test_the_drill_ship_page_is_a_wrong_sum() -> None:
    """Formulas J1, from a scientific drill-ship report: 137 m and 142 sections of 28.8 m are 4,226.6 m,
    and the page prints 4,215.5."""
    total = Length.parse("137 m") + 142 * Length.parse("28.8 m")
    assert total.shown("m", 1) == "4,226.6"
    found = written_total(total, Length.parse("4215.5 m"), METRES)
    assert found is not None
    assert found.code == "T08"
    assert found.words.startswith("The total was written as 4,215.5 m; the lengths give 4,226.6, 11.1 more.")
    assert written_total(total, Length.parse("4226.6 m"), METRES) is None


@pytest.mark.parametrize("written, nines", [("312.70", True), ("312.08", False)])
def test_a_written_sum_with_figures_that_changed_places_is_guessed(written: str, nines: bool) -> None:
    found = written_total(Length.parse("312.07"), Length.parse(written), FEET)
    assert found is not None
    assert ("nine divides" in found.words) is nines


def test_half_a_last_figure_is_rounding_and_no_slip() -> None:
    total = Length.parse("312.07") + Length(HUNDREDTH // 3)
    assert written_total(total, Length.parse("312.07"), FEET) is None
