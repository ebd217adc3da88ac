"""A tally in blocks side by side: every joint once, in its order, every sum against what it stands for."""

import io
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.calc.receiving import Mapping
from rack.exchange.blocks import layout_of, unfolded
from rack.exchange.delivery import as_json, read_delivery
from rack.exchange.workbook import read_table

LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "lists"
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe"
LENGTHS = [3101 + (7 * n) % 97 for n in range(97)]


def feet(hundredths: int) -> str:
    return f"{hundredths / 100:.2f}"


def page(first: int, count: int, *, blocks=5, total_of=sum) -> list[str]:
    """One page: `count` joints in columns of ten, a sum below each and one of the page."""
    columns = [range(at, min(at + 10, first + count)) for at in range(first, first + blocks * 10, 10)]
    lines = [",".join(["No.,Serial,Length"] * blocks)]
    for line in range(10):
        cells = [column[line] if line < len(column) else None for column in columns]
        lines.append(",".join(",," if n is None else f"{n + 1},TS{n},{feet(LENGTHS[n])}" for n in cells))
    lines.append(",".join(f",Total,{feet(sum(LENGTHS[n] for n in column))}" for column in columns))
    lines.append(f"Page total,,{feet(total_of(LENGTHS[n] for column in columns for n in column))}")
    return lines


def tally(*, second_page=sum, grand=None) -> str:
    lines = [f"Item: {PIPE}", "Lengths in feet; shoulder to shoulder", "", *page(0, 50), ""]
    lines += page(50, 47, total_of=second_page)
    return "\n".join([*lines, "", f"GRAND TOTAL,,{feet(grand or sum(LENGTHS))}"]) + "\n"


def read(text: str, name: str = "tally.csv"):
    return read_delivery(text.encode(), name)


def test_a_whole_tally_in_blocks_is_read_in_its_order_and_every_sum_agrees():
    delivery = read(tally())
    assert [row.serial for row in delivery.rows] == [f"TS{n}" for n in range(97)]
    assert [row.number for row in delivery.rows] == [str(n + 1) for n in range(97)]
    assert len(delivery.totals) == 13
    assert all(total.agrees for total in delivery.totals)
    assert (delivery.counted.read, delivery.counted.sum_rows, delivery.counted.stopped) == (97, 13, 0)
    assert not [each for row in delivery.rows for each in row.problems]


def test_a_wrong_page_total_is_named_and_the_grand_total_that_carries_it_on():
    right = str(sum(LENGTHS[50:]))
    swapped = int(right[1] + right[0] + right[2:])
    delivery = read(tally(second_page=lambda _: swapped, grand=sum(LENGTHS[:50]) + swapped))
    wrong = [total for total in delivery.totals if not total.agrees]
    assert [total.where for total in wrong] == ["C30", "C32"]
    assert "Digits changed places, perhaps: " + f"{sum(LENGTHS[50:]) / 100:,.2f}" in wrong[0].text
    assert "the slip is in this adding" in wrong[0].text
    assert "carries on the slip of C30" in wrong[1].text
    assert delivery.counted.accepted == 97


def test_a_workbook_in_blocks_names_the_cells_of_its_sums():
    book = openpyxl.Workbook()
    for line in tally().splitlines():
        book.active.append(
            [float(cell) if cell.replace(".", "", 1).isdigit() else cell for cell in line.split(",")]
        )
    book.active.title = "Tally"
    made = io.BytesIO()
    book.save(made)
    delivery = read_delivery(made.getvalue(), "tally.xlsx")
    assert [total.where for total in delivery.totals[:2]] == ["Tally C15", "Tally F15"]
    assert delivery.rows[11].where == "row 6, block 2 (no. 12) of Tally"


def test_a_column_that_is_a_foot_out_is_named_with_the_sums_that_carry_it_on():
    delivery = read_delivery((LISTS / "blocks_column_total_a_foot_out.csv").read_bytes(), "blocks.csv")
    wrong = [total for total in delivery.totals if not total.agrees]
    assert [total.where for total in wrong] == ["F27", "C28", "C29"]
    assert all("1.00 ft more" in total.text for total in wrong)


def test_blocks_of_a_number_and_a_length_are_painted_numbers_and_unused_lines_are_said():
    delivery = read_delivery((LISTS / "blocks_of_numbers_and_lengths.csv").read_bytes(), "book.csv")
    assert [row.painted for row in delivery.rows] == [str(n) for n in range(1, 26)]
    assert all(total.agrees for total in delivery.totals)
    assert any("Lines 26 to 30" in each.text for each in delivery.problems)
    assert [row["row"] for row in as_json(delivery)["rows"]] == list(range(1, 26))


def test_two_joints_of_one_row_are_left_out_one_by_one():
    text = tally()
    first = read(text).rows
    out = read_delivery(
        text.encode(), "tally.csv", left_out=frozenset({(first[10].part, first[10].row)})
    ).rows
    assert [row.serial for row in out if row.fate == "left out"] == ["TS10"]
    assert first[0].row == first[10].row


def test_the_mapping_of_blocks_reads_the_same_file_again():
    first = read(tally())
    mapping = Mapping.from_json(first.mapping.to_json())
    assert read_delivery(tally().encode(), "tally.csv", mapping=mapping).rows == first.rows


@pytest.mark.parametrize(
    "headings, blocks",
    [
        (["No.", "Serial", "Length"] * 5, 5),
        (["No", "Length", "", "No", "Length"], 2),
        (["Rack", "No", "Length", "No", "Length"], 2),
        (["No", "Length", "No", "Length", "Remarks"], 2),
        (["No.", "Serial", "Length", "Mill length"], 0),
        (["Serial", "Length ft", "Serial", "Length m"], 0),
        (["Serial", "OD", "ID", "OD", "ID", "Length"], 0),
        (["", "", ""], 0),
    ],
)
def test_blocks_are_told_by_headings_that_repeat(headings, blocks):
    layout = layout_of(headings)
    assert (len(layout.blocks) if layout else 0) == blocks


def test_a_sheet_without_blocks_is_left_as_it_is():
    sheet = read_table(f"Serial,Item,Length ft\nA1,{PIPE},31.2\n".encode(), "x.csv")[0]
    assert unfolded(sheet) is sheet


def test_units_below_the_headings_of_every_block_are_no_joints():
    text = f"Item: {PIPE}\nNo,Serial,Length,No,Serial,Length\n,,(ft),,,(ft)\n1,A1,31.2,2,A2,31.3\n"
    assert [(row.serial, row.length_unit) for row in read(text).rows] == [("A1", "ft"), ("A2", "ft")]


def test_pages_without_headings_of_their_own_are_told_by_their_numbers():
    lines = [f"Item: {PIPE}", "No,Length ft,No,Length ft"]
    lines += [f"{n},31.{n:02d},{n + 5},31.{n + 5:02d}" for n in range(1, 6)]
    lines += [f"{n},31.{n:02d},{n + 5},31.{n + 5:02d}" for n in range(11, 16)]
    assert [row.painted for row in read("\n".join(lines)).rows] == [str(n) for n in range(1, 21)]


def test_the_word_of_a_page_total_and_its_figure_may_stand_in_two_blocks():
    lines = [
        f"Item: {PIPE}",
        "No,Length ft,No,Length ft",
        "1,31.20,3,31.00",
        "2,31.10,4,31.05",
        "Page total,,,124.35",
    ]
    delivery = read("\n".join(lines))
    assert [(total.agrees, total.where) for total in delivery.totals] == [(True, "D5")]
    assert len(delivery.rows) == 4


@given(st.integers(2, 6), st.integers(1, 25), st.randoms(use_true_random=False))
def test_no_joint_is_lost_and_none_is_read_twice(blocks, height, random):
    count = random.randint(blocks, blocks * height)
    lines = [f"Item: {PIPE}", ";".join(["No", "Serial", "Length ft"] * blocks)]
    for line in range(height):
        numbers = [block * height + line for block in range(blocks)]
        lines.append(";".join(f"{n + 1};S{n};31,{n % 100:02d}" if n < count else ";;" for n in numbers))
    rows = read("\n".join(lines)).rows
    assert [row.serial for row in rows] == [f"S{n}" for n in range(count)]
    assert rows[0].length == Length.parse("31.00 ft")
