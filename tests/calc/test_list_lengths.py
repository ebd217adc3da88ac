"""Equal neighbours and the inch tape: asked where chance does not give them, silent just beside."""

import random

import pytest

from rack.calc.items import read_item
from rack.calc.lengths import Length
from rack.calc.list_lengths import equal_neighbours, inch_tape
from rack.calc.outliers import length_problems
from rack.calc.receiving import ReadRow

PIPE, _ = read_item("5 in 19.50 lb/ft S-135 NC50 Range 2")
WIDE = ["9.412", "9.455", "9.391", "9.478", "9.402", "9.489", "9.366", "9.437", "9.423", "9.381"]


def rows(texts: list[str], unit: str = "ft") -> list[ReadRow]:
    return [
        ReadRow(
            row=at,
            serial=f"S{at}",
            spec=PIPE,
            length=Length.parse(text, unit),
            length_unit=unit,
            typed={"length": text},
        )
        for at, text in enumerate(texts, start=2)
    ]


# --- T05 ------------------------------------------------------------------------------------------


def test_three_equal_lengths_in_a_row_are_asked_about_on_each_row():
    found = equal_neighbours(rows([*WIDE[:4], "9.478", "9.478", *WIDE[4:]], "m"))
    assert set(found) == {3, 4, 5}
    assert "row 6 and row 7" in found[3][0].text
    assert found[3][0].code == "T05"


def test_two_equal_neighbours_are_asked_about_where_their_chance_is_under_one_in_a_hundred():
    few = [f"{9 + n * 0.271:.3f}" for n in range(5)]
    assert set(equal_neighbours(rows([*few, few[-1]], "m"))) == {4, 5}


@pytest.mark.parametrize(
    "texts, unit",
    [
        ([*WIDE, WIDE[-1]], "m"),
        (["31.5"] * 20, "ft"),
        (["31.2", "31.3", "31.2", "31.2", "31.3", "31.3", "31.2", "31.2"], "ft"),
        ([WIDE[0], *WIDE[1:], WIDE[0]], "m"),
        ([], "ft"),
        (["31.2"], "ft"),
    ],
)
def test_equal_neighbours_that_chance_gives_are_left_alone(texts, unit):
    assert equal_neighbours(rows(texts, unit)) == {}


def test_equal_rows_with_another_between_are_no_neighbours():
    listed = rows(["9.100", "9.371", "9.642", "9.913", "9.500", "9.913"], "m")
    assert equal_neighbours(listed) == {}


# --- T19 ------------------------------------------------------------------------------------------


def inches(count: int, seed: int = 3) -> list[str]:
    chance = random.Random(seed)
    return [f"{chance.randint(30, 31)}.{chance.randint(0, 11):02d}" for _ in range(count)]


def test_figures_that_never_pass_eleven_ask_which_tape_it_was():
    found = inch_tape(rows(inches(12)))
    assert [each.code for each in found] == ["T19"]
    assert "never more than 11" in found[0].text


def test_the_sum_that_the_inches_give_stands_beside_the_sum_as_typed():
    texts = ["31.06", "31.00", "30.11", "31.01", "30.10", "30.09", "31.03", "30.02", "31.05", "30.07"]
    as_inches = sum((Length.parse(f"{each[:2]} ft {int(each[3:])} in") for each in texts), Length(0))
    text = inch_tape(rows(texts))[0].text
    assert f"{as_inches.shown('ft', 2)} ft" in text
    assert "305.54 ft as typed" in text


def test_one_figure_after_the_point_in_all_rows_asks_too():
    assert "only one figure" in inch_tape(rows([f"3{n % 2}.{n}" for n in range(10)]))[0].text


@pytest.mark.parametrize(
    "texts, unit",
    [
        (inches(9), "ft"),
        ([*inches(15), "31.12"], "ft"),
        (["31.06", "30.97", *inches(12)], "ft"),
        (["9.6", "9.5", "9.4", "9.3", "9.7", "9.8", "9.9", "9.1", "9.2", "9.5"], "m"),
        (["31.00"] * 12, "ft"),
        (["31.5"] * 12, "ft"),
        (["31 ft 6 in", *inches(12)], "ft"),
    ],
)
def test_a_batch_that_one_reading_clears_is_not_asked_about(texts, unit):
    assert inch_tape(rows(texts, unit)) == []


# --- law 9 ----------------------------------------------------------------------------------------


def test_fewer_than_two_in_a_hundred_true_lengths_are_questioned(record_property):
    """Random true batches of several sizes, spreads and units; an alarm about a list counts ten rows."""
    chance = random.Random(17)
    seen = questioned = 0
    for _ in range(400):
        unit, digits = chance.choice([("ft", 2), ("m", 2), ("m", 3)])
        middle, spread = chance.choice([(31.2, 0.4), (30.8, 0.7), (44.0, 0.9), (31.4, 0.15)])
        factor = 1 if unit == "ft" else 0.3048
        count = chance.randint(5, 300)
        texts = [f"{chance.gauss(middle, spread) * factor:.{digits}f}" for _ in range(count)]
        listed = rows(texts, unit)
        for row in range(len(listed)):
            listed[row] = ReadRow(**{**vars(listed[row]), "spec": None})
        seen += count
        questioned += len(set(equal_neighbours(listed)) | set(length_problems(listed)))
        questioned += 10 * len(inch_tape(listed))
    record_property("true lengths in lists", seen)
    record_property("of them asked about", questioned)
    assert 50 * questioned < seen
