"""A printed casing plan as a workbook: its figures add up to what the plan says of the string."""

import io

import pytest
from openpyxl import load_workbook

from rack.exchange import casing_files
from tests.rack.exchange.test_sheet_book import every_cell, table
from tests.rack.paper.casing_drawn import plan

ADDRESS = "https://sandholm.example/C/K7Q2M9A"


@pytest.fixture(scope="module")
def book():
    return load_workbook(io.BytesIO(casing_files.xlsx(plan(), ADDRESS)))


def figure(nm):
    return float(plan().shown(nm).replace(",", ""))


def test_the_running_list_adds_up_to_the_string_below_the_shoulder(book):
    rows = table(book["Running list"], "Run")
    assert len(rows) == 42 and [row["Run"] for row in rows] == list(range(1, 43))
    assert sum(row["Exact effective (nm)"] for row in rows) == plan().total_nm
    assert rows[-1]["Total (ft)"] == figure(plan().total_nm)
    for row in rows:
        assert row["Effective (ft)"] == pytest.approx(row["Exact effective (nm)"] / 304_800_000, abs=0.005001)


def test_the_casing_detail_reaches_from_the_shoulder_to_the_shoe(book):
    rows = table(book["Casing detail"], "Top (ft)")
    assert rows[0]["Top (ft)"] == figure(plan().shoulder_nm)
    assert rows[-1]["Bottom (ft)"] == figure(plan().shoe_nm)
    assert [row["Number"] for row in rows] == [
        row["Number"] for row in reversed(table(book["Running list"], "Run"))]


def test_the_head_says_what_the_plan_says_and_where_it_lives(book):
    head = [row[:2] for row in book["Head"].iter_rows(values_only=True)]
    for one in (("Live page", ADDRESS), ("Shoe (ft)", figure(plan().shoe_nm)), ("Must lie on the rack", 2),
                ("Below the shoulder (ft)", figure(plan().total_nm)), ("Left out", "42: thread damaged")):
        assert one in head


def test_no_cell_is_a_formula(book):
    assert [cell.value for cell in every_cell(book) if cell.data_type == "f"] == []
