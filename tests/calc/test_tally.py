"""Columns, pages and the whole tally chain exactly, whatever is blank and whatever the units."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import ZERO, Length
from rack.calc.tally import average_shown, pages, shown_lines_add_up, summary
from rack.calc.units import NM

FT = NM["ft"]
LINES = st.lists(st.none() | st.integers(0, 50 * FT).map(Length), max_size=170)


def feet(text: str) -> Length:
    return Length.parse(text, "ft")


def test_sixty_lines_are_two_pages_of_columns_of_ten() -> None:
    made = pages([feet("31.24")] * 60)
    assert [len(page.columns) for page in made] == [5, 1]
    assert [column.first for page in made for column in page.columns] == [1, 11, 21, 31, 41, 51]
    assert [page.total.shown("ft", 2) for page in made] == ["1,562.00", "312.40"]
    assert [page.carried.shown("ft", 2) for page in made] == ["0.00", "1,562.00"]
    assert made[1].columns[0].running.shown("ft", 2) == "1,874.40"
    assert made[1].running.shown("ft", 2) == "1,874.40"
    assert made[1].number == 2


def test_an_unread_line_keeps_its_place_and_is_not_counted() -> None:
    (page,) = pages([feet("31.24"), None, feet("31.26")])
    (column,) = page.columns
    assert column.entries[1] is None
    assert (column.count, page.count) == (2, 2)
    assert column.total == feet("62.50")


def test_an_empty_tally_has_no_page() -> None:
    assert pages([]) == []


def test_the_last_column_may_be_short() -> None:
    made = pages([Length(1)] * 53, column=10, page=50)
    assert len(made[1].columns[0].entries) == 3


@pytest.mark.parametrize("column, page", [(0, 50), (10, 45), (10, 5), (-1, 10)])
def test_a_page_that_cannot_be_cut_into_columns_is_refused(column: int, page: int) -> None:
    with pytest.raises(ValueError, match="cannot be cut"):
        pages([Length(1)], column=column, page=page)


@given(LINES, st.sampled_from([(10, 50), (5, 25), (1, 1), (10, 10), (7, 21)]))
def test_columns_pages_and_the_whole_chain_exactly(lines: list[Length | None], cut: tuple[int, int]) -> None:
    made = pages(lines, column=cut[0], page=cut[1])
    assert [entry for page in made for column in page.columns for entry in column.entries] == lines
    running = ZERO
    seen = 0
    for page in made:
        assert page.carried == running
        assert page.total == sum((column.total for column in page.columns), ZERO)
        for column in page.columns:
            assert column.first == seen + 1
            seen += len(column.entries)
            running += column.total
            assert column.running == running
        assert page.running == running
    whole = summary(lines)
    assert running == whole.total
    assert sum(page.count for page in made) == whole.count


def test_a_summary_counts_what_is_read() -> None:
    found = summary([feet("31.24"), None, feet("30.99"), feet("31.40")])
    assert (found.count, found.total) == (3, feet("93.63"))
    assert found.average == Fraction(feet("93.63").nanometres, 3)
    assert (found.shortest, found.longest) == (feet("30.99"), feet("31.40"))


def test_a_summary_of_nothing_has_no_average() -> None:
    found = summary([None, None])
    assert (found.count, found.total, found.average) == (0, ZERO, None)
    assert found.shortest is None
    assert found.longest is None
    assert average_shown(found.average, "ft", 2) == ""


@pytest.mark.parametrize(
    "lines, shown",
    [
        (["31.24", "31.25"], "31.25"),  # exactly 31.245
        (["31.24", "31.24", "31.25"], "31.24"),
        (["31.24", "31.25", "31.25"], "31.25"),
        (["1031.24", "1031.24"], "1,031.24"),
    ],
)
def test_an_average_is_rounded_once_half_up(lines: list[str], shown: str) -> None:
    assert average_shown(summary([feet(line) for line in lines]).average, "ft", 2) == shown


def test_a_third_of_a_nanometre_under_a_half_is_not_rounded_up() -> None:
    """Rounding the average to a nanometre first would make this 31.25."""
    half = 31_245 * FT // 1000
    lines = [Length(half), Length(half), Length(half - 1)]
    assert average_shown(summary(lines).average, "ft", 2) == "31.24"


def test_lines_read_in_the_shown_unit_add_up_as_shown() -> None:
    assert shown_lines_add_up([feet("31.24"), None, feet("30.99")], "ft", 2)


def test_lines_read_in_another_unit_may_not_add_up_and_that_is_said() -> None:
    thirds = [Length.parse("9.621 m"), Length.parse("9.622 m")]
    assert [line.shown("m", 2) for line in thirds] == ["9.62", "9.62"]
    assert sum(thirds, ZERO).shown("m", 2) == "19.24"
    assert shown_lines_add_up(thirds, "m", 2)
    fours = [Length.parse("9.624 m"), Length.parse("9.624 m")]
    assert not shown_lines_add_up(fours, "m", 2)


@given(st.lists(st.none() | st.integers(0, 5000).map(lambda n: Length(n * (FT // 100))), max_size=120))
def test_hundredths_of_a_foot_always_add_up_as_shown(lines: list[Length | None]) -> None:
    assert shown_lines_add_up(lines, "ft", 2)
