"""The page to try labels with: every outline where its label is, rulers as long as they say, clear words."""

import re
from unittest.mock import patch

import pytest
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.paper import tags
from rack.paper.tag_label import points
from tests.rack.paper.drawn import over_each_other, page_count, watched, words
from tests.rack.paper.test_tags import GRIDS, boxes


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_the_test_page_has_every_outline_numbered_and_a_ruler_as_long_as_it_says(grid):
    outlines, lines = [], []
    rect, line = Canvas.rect, Canvas.line

    def boxed(self, *at, **more):
        outlines.append(at)
        rect(self, *at, **more)

    def ruled(self, *at):
        lines.append(at)
        line(self, *at)

    with patch.object(Canvas, "rect", boxed), patch.object(Canvas, "line", ruled):
        page = tags.trial(grid, 29)
    wanted = [(left, foot, right - left, top - foot) for left, right, foot, top in boxes(grid)]
    assert [each for each in outlines if each[2:] == pytest.approx(wanted[0][2:])] == [
        pytest.approx(each) for each in wanted]
    longest = max(at[2] - at[0] for at in lines) / mm
    said = re.search(r"rulers are (\d+) and (\d+) mm", words(page))
    assert longest == pytest.approx(max(int(said[1]), int(said[2])))
    assert int(said[1]) == (100 if points(grid.page_w.nanometres) > 110 * mm else int(said[1]) // 10 * 10)
    assert page_count(page) == 1


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_what_the_test_page_says_stands_on_no_number_of_a_label(grid):
    with watched() as found:
        tags.trial(grid, 29)
    said = next(one for one in found if "print at 100 %" in one.text)
    numbers = [one for one in found if one.text.isdigit() and one.foot > 20]  # below lie the ruler's own
    assert over_each_other([said, *numbers]) == []
    assert points(grid.page_w.nanometres) > said.right and said.foot > 0
