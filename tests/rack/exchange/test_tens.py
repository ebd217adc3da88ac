"""Columns of lengths that share one number column: every joint with its number, or refused in a sentence."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.errors import UnreadableFile
from rack.exchange.delivery import read_delivery

LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "lists"
REFUSED = LISTS.parent / "refused"
HEAD = "5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe\nLengths in feet, shoulder to shoulder\n"


def read(name: str):
    return read_delivery((LISTS / name).read_bytes(), name)


def numbers(delivery) -> list[int]:
    return [int(row.painted) for row in delivery.rows]


def test_two_pages_of_four_columns_are_numbered_down_each_column_and_on() -> None:
    delivery = read("columns_that_share_one_number_column.csv")
    assert numbers(delivery) == list(range(1, 68))
    lines = (LISTS / "columns_that_share_one_number_column.csv").read_text().splitlines()
    third = lines[5 + 2].split(";")  # line 3 of page 1
    by_number = {int(row.painted): row.length for row in delivery.rows}
    assert [by_number[n] for n in (3, 13, 23, 33)] == [Length.parse(text, "ft") for text in third[1:]]
    assert len(delivery.totals) == 9 and all(total.agrees for total in delivery.totals)


def test_headings_that_name_their_joints_are_read_the_same() -> None:
    delivery = read("tens_columns_headed_by_their_numbers.csv")
    assert numbers(delivery) == list(range(1, 28))
    assert not any(one.severity == "STOPS" for one in delivery.problems)


def test_a_total_below_a_column_is_held_against_that_column_alone() -> None:
    delivery = read("tens_columns_with_a_column_total_a_foot_out.csv")
    [wrong] = [total for total in delivery.totals if not total.agrees]
    assert wrong.where == "C16" and "1.00 ft more" in wrong.text
    assert numbers(delivery) == list(range(1, 28))


@pytest.mark.parametrize("name, words", [
    ("three_readings_of_one_joint_beside_one_number.csv", "readings of one joint"),
    ("shared_numbers_that_leave_one_out.csv", "do not follow each other (line 10)"),
    ("shared_numbers_of_columns_of_twelve.csv", "a column has 12 lines"),
    ("a_column_of_tens_that_ends_early.csv", "column C ends at 7 of 10 while a later one goes on"),
])
def test_what_only_looks_like_it_is_refused_in_a_sentence(name, words) -> None:
    data = (REFUSED / name).read_bytes()
    with pytest.raises(UnreadableFile, match="share one number column") as refused:
        read_delivery(data, name)
    assert words in str(refused.value)


def table(lengths: list[int], columns: int, height: int, heading: str) -> str:
    lines = []
    for first in range(0, len(lengths), columns * height):
        page = lengths[first : first + columns * height]
        lines.append(f"No;{heading}")
        for line in range(height):
            cells = [*page, *[None] * columns * height][line : columns * height : height]
            lines.append(";".join([str(line + 1), *("" if n is None else f"{n / 100:.2f}" for n in cells)]))
    return HEAD + "\n".join(lines) + "\n"


@settings(max_examples=25, deadline=None)
@given(st.integers(12, 130), st.integers(2, 5), st.sampled_from([10, 20, 25]), st.integers(0, 282))
def test_every_joint_comes_once_under_its_own_number(count, columns, height, start) -> None:
    if count <= height:
        count += height
    lengths = [2900 + (97 * n + start) % 283 for n in range(count)]
    text = table(lengths, columns, height, ";".join(["Length"] * columns))
    delivery = read_delivery(text.encode(), "t.csv")
    found = {int(row.painted): row.length for row in delivery.rows}
    assert found == {n: Length.parse(f"{one / 100:.2f}", "ft") for n, one in enumerate(lengths, start=1)}


def test_a_joint_without_a_length_in_the_middle_is_named_and_the_rest_keep_their_numbers() -> None:
    lengths = [3000 + (37 * n) % 150 for n in range(30)]
    text = table(lengths, 3, 10, "1-10;11-20;21-30").replace(f"{lengths[13] / 100:.2f}", "", 1)
    delivery = read_delivery(text.encode(), "t.csv")
    assert numbers(delivery) == [n for n in range(1, 31) if n != 14]
    assert any("No length stands at 14" in one.text for one in delivery.problems)


def test_the_same_length_once_more_beside_it_stays_a_list_of_ten() -> None:
    rows = "\n".join(f"{n};30.{n + 10};30.{n + 10}" for n in range(1, 11))
    delivery = read_delivery((HEAD + "No;Length ft;Length ft\n" + rows).encode(), "t.csv")
    assert numbers(delivery) == list(range(1, 11))


@pytest.mark.parametrize("heading", ["0;10;20", "10;20;30", "1 to 10;11 to 20;21 to 30", "1–10;11–20;21–30"])
def test_the_ways_in_which_columns_of_ten_are_headed(heading) -> None:
    lengths = [3000 + (37 * n) % 150 for n in range(30)]
    delivery = read_delivery(table(lengths, 3, 10, heading).encode(), "t.csv")
    assert numbers(delivery) == list(range(1, 31))


@pytest.mark.parametrize("heading", ["1-10;11-20;31-40", "0;10;30", "1;2;3", "5;15;25", "1-10;12-20;21-30"])
def test_headings_that_do_not_follow_are_no_such_columns(heading) -> None:
    lengths = [3000 + (37 * n) % 150 for n in range(30)]
    with pytest.raises(UnreadableFile):
        read_delivery(table(lengths, 3, 10, heading).encode(), "t.csv")
