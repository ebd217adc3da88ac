"""Sheets and rolls of labels: where each label lies, and what is refused in a sentence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.labels import LEAST_MODULE, adjusted, grid_of, grid_problems, grids, mm, module_of
from rack.calc.lengths import Length
from rack.calc.lookup import rows

GRIDS = grids()
COMMON = GRIDS["A4 3 x 7"]
#: Modules of the code of an upper-case address of 31 and of 43 signs at level H (ISO/IEC 18004).
SHORT, LONGER = 29, 33


def length(text):
    return Length.parse(text, "mm")


def stops_of(grid, modules=SHORT):
    return [one for one in grid_problems(grid, modules) if one.severity is Severity.STOPS]


def test_there_are_sheets_of_both_papers_and_rolls_and_the_seen_grid_is_the_first():
    assert {grid.page for grid in GRIDS.values()} == {"A4", "Letter", "Roll"}
    assert next(iter(GRIDS)) == "A4 3 x 7" and COMMON.conf == "A"
    assert all(grid.caution for grid in GRIDS.values() if grid.conf == "M")


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_every_grid_takes_the_code_of_a_short_address(grid):
    assert stops_of(grid) == []
    assert module_of(grid, SHORT) >= LEAST_MODULE


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_every_label_lies_on_its_paper(grid):
    for place in range(grid.a_page):
        across, down = grid.corner(place)
        assert across + grid.label_w <= grid.page_w and down + grid.label_h <= grid.page_h


def test_labels_are_counted_along_the_rows():
    assert COMMON.corner(0) == (length("7.2"), length("15.15"))
    assert COMMON.corner(4) == (length("73.2"), length("53.25"))
    assert COMMON.corner(20) == (length("139.2"), length("243.75"))
    with pytest.raises(ValueError, match="there is no label 22"):
        COMMON.corner(21)


@pytest.mark.parametrize(("change", "where", "words"), [
    ({"left": "14.51"}, "pitch_x", "On the right a label would leave the paper by 0.01 mm"),
    ({"top": "31"}, "pitch_y", "At the foot a label would leave the paper by 0.7 mm"),
    ({"pitch_x": "80"}, "pitch_x", "On the right a label would leave the paper by 20.7 mm"),
    ({"pitch_x": "63"}, "pitch_x", "The pitch across is 63 mm and a label is 63.5 mm wide"),
    ({"pitch_y": "38"}, "pitch_y", "The pitch down is 38 mm and a label is 38.1 mm high"),
])  # fmt: skip
def test_a_grid_that_cannot_be_printed_is_refused_in_a_sentence(change, where, words):
    (found,) = stops_of(adjusted(COMMON, **{name: length(text) for name, text in change.items()}))
    assert found.where == where and found.text.startswith(words)


@pytest.mark.parametrize(("name", "text"), [
    ("left", "14.5"), ("left", "0"), ("pitch_x", "63.5"), ("pitch_y", "38.1"),
])  # fmt: skip
def test_a_label_that_just_reaches_the_edge_is_printed(name, text):
    assert stops_of(adjusted(COMMON, **{name: length(text)})) == []


def test_inches_are_exact():
    moved = adjusted(COMMON, left=Length.parse("1/4 in", "mm"))
    assert moved.left == length("6.35") and mm(moved.left) == "6.35"


@pytest.mark.parametrize(("name", "modules", "stopped"), [
    ("A4 5 x 13", SHORT, False), ("A4 5 x 13", LONGER, True), ("Letter 3 x 10", LONGER, False),
    ("A4 3 x 7", 53, True), ("A4 3 x 7", 49, False),
])  # fmt: skip
def test_a_code_whose_modules_would_be_too_small_is_refused(name, modules, stopped):
    found = stops_of(GRIDS[name], modules)
    assert bool(found) is stopped
    assert [one.text for one in found if "a phone does not read it surely" not in one.text] == []


def test_a_small_module_is_noted_and_a_good_one_is_not():
    (small,) = grid_problems(GRIDS["Roll 50 x 25"], SHORT)
    assert small.severity is Severity.NOTE and "our judgement" in small.text
    assert grid_problems(COMMON, SHORT) == []


@given(st.integers(21, 177), st.sampled_from(list(GRIDS)))
def test_the_code_with_its_quiet_zone_never_leaves_its_room(modules, name):
    grid = GRIDS[name]
    assert module_of(grid, modules) * (modules + 8) <= grid.code_room
    assert grid.code_room <= grid.label_h and grid.code_room <= grid.label_w


OWN = {**rows("label_grids")[0], "grid": "Ours", "source": "the box"}


@pytest.mark.parametrize(("column", "text"), [
    ("cols", ""), ("cols", "0"), ("cols", "2.5"), ("rows", "900"), ("label_w_mm", "wide"),
    ("page_h_mm", "-1"), ("pitch_x_mm", "1e9"), ("page_w_mm", "999999"), ("left_margin_mm", "1/3"),
])  # fmt: skip
def test_a_row_of_the_office_that_is_no_grid_is_not_offered(column, text):
    with pytest.raises(ValueError):
        grid_of({**OWN, column: text})
    assert list(grids([{**OWN, column: text}, OWN])) == ["Ours"]
