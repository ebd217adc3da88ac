"""The BHA sheet and the fishing diagram: what is printed is what the content says, on page and paper."""

import io
import re
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from reportlab.graphics.shapes import Drawing, Group, Polygon, Rect, String

from rack.calc.bha import known_weight
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.exchange import bha_table
from rack.exchange.bha_sheet import read_sheet
from rack.exchange.bha_table import write_csv, write_xlsx
from rack.paper.bha_sheet import pdf
from rack.paper.bha_sums import lacking, pounds, sum_pairs
from rack.paper.drawing_svg import NIGHT, svg
from rack.paper.fishing_diagram import NARROW, WIDE, drawings, pictures
from rack.paper.fishing_layout import LEAST, MOST, ON_PAGE, blocks_of, strips
from tests.rack.exchange.bha_paper import sheet
from tests.rack.paper.bha_drawn import ADDRESS, content, links, pipe


def words_of(data: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


def texts(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.contents if isinstance(shape, String)]


@pytest.mark.parametrize("size, wide", [("A4", 595), ("Letter", 612)])
def test_the_paper_carries_every_piece_its_place_and_what_it_comes_to(size: str, wide: int) -> None:
    data = pdf(content(), size=size, address=ADDRESS)
    assert round(float(PdfReader(io.BytesIO(data)).pages[0].mediabox.width)) == wide
    printed = words_of(data)
    for link in links():
        assert link.serial in printed
    for words in ("468.17", "34,767", "29,353", "20,002", "16,887", "2-1/4, no. 12", "52.40", "clamp on",
                  "Revision 2, made 2026-11-25", "R12 accepted by S. Moe", ADDRESS, "K7Q2M9A", "RP 7G",
                  "Directional driller", "mandrel clamp", "Fishing diagram", "Record sheet, not a "
                  "certificate"):
        assert words in printed, words


def test_the_same_content_gives_the_same_bytes_and_another_paper_is_refused() -> None:
    assert pdf(content(), address=ADDRESS) == pdf(content(), address=ADDRESS)
    with pytest.raises(ValueError, match="no paper called"):
        pdf(content(), size="A3", address=ADDRESS)


def test_pages_are_counted_and_a_long_assembly_takes_several_diagrams() -> None:
    many = tuple(replace(pipe(n), spec=SpecFacts("collar", od_nm=165_100_000)) for n in range(60))
    printed = words_of(pdf(content(many), address=ADDRESS))
    of = len(PdfReader(io.BytesIO(pdf(content(many), address=ADDRESS))).pages)
    assert f"page {of} of {of}" in printed and "part 1 of 3 from the top" in printed


def test_what_is_not_known_is_printed_so() -> None:
    bare = (*links()[:2], replace(links()[2], length=None), *links()[3:])
    printed = words_of(pdf(content(bare), address=ADDRESS))
    for words in ("not known", "Without a length: no. 3 (", "; the others make"):
        assert words in printed


def test_rows_that_lack_something_are_told_by_their_ends_and_the_others_are_added_up() -> None:
    known = links()
    bare = tuple(replace(one, spec=replace(one.spec, weight_mlb_ft=0, od_nm=0)) if n in (0, 2, 3, 4) else one
                 for n, one in enumerate(known))  # fmt: skip
    made = content(bare)
    weighed = sum(line.mlb or 0 for line in made.lines)
    assert f"Without a weight: no. 1 and 3 to 5; the others weigh {round(weighed / 1000):,} lb in air." in (
        lacking(made))
    assert not any(text.startswith("Without") for text in lacking(content()))


def test_one_piece_without_a_weight_is_named_and_the_others_are_the_least_that_it_weighs() -> None:
    """A bit without a weight must not take the whole string's weight away."""
    known = links()
    bare = (replace(known[0], spec=replace(known[0].spec, weight_mlb_ft=0, od_nm=0, facts="{}")), *known[1:])
    made = content(bare)
    assert made.no_weight == (1,) and made.air_mlb is None
    rest = sum(line.mlb or 0 for line in made.lines)
    pairs = dict(sum_pairs(made))
    assert pairs["Weight in air, lb"] == f"at least {pounds(rest)}"
    assert pairs["Weight in mud, lb"] == f"at least {pounds(known_weight(made.lines, made.head.mud_mppg)[1])}"
    assert dict(sum_pairs(content()))["Weight in air, lb"] == pounds(content().air_mlb)
    (said,) = [text for text in lacking(made) if text.startswith("Without a weight")]
    assert said.startswith(f"Without a weight: no. 1 ({made.lines[0].item}")
    written = bha_table.write_csv(made)
    assert f"Weight in air,at least {pounds(rest).replace(',', '')} lb" in written
    assert "Without a weight,no. 1" in written


def test_below_a_jar_only_what_hangs_there_is_the_least() -> None:
    known = links()
    at = next(n for n, one in enumerate(known) if one.spec.kind == "jar")
    top = replace(known[-1], spec=replace(known[-1].spec, weight_mlb_ft=0, od_nm=0, facts="{}"))
    pairs = dict(sum_pairs(content((*known[:-1], top))))
    assert at < len(known) - 1, "the piece without a weight stands above the jar"
    assert pairs["Weight in air, lb"].startswith("at least")
    assert not pairs[f"Below jar no. {at + 1} in air, lb"].startswith("at least")


@pytest.mark.parametrize("rows", range(8, 40, 4))
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_signatures_never_stand_alone_on_a_page(rows: int, size: str) -> None:
    made = content(tuple(replace(pipe(n), spec=SpecFacts("collar", od_nm=165_100_000)) for n in range(rows)))
    pages = PdfReader(io.BytesIO(pdf(made, size=size, address=ADDRESS))).pages
    signed = [text for text in (page.extract_text() for page in pages) if "Directional driller" in text]
    assert len(signed) == 1 and "mandrel clamp" in signed[0]


def test_a_scale_in_millimetres_is_told_on_paper_alone() -> None:
    assert any("1 mm is" in text for text in texts(drawings(content())[0]))
    (picture,) = pictures(content())
    assert "1 mm is" not in picture and "times that of lengths" in picture


def test_an_empty_string_still_prints() -> None:
    assert "BHA 7" in words_of(pdf(content(()), address=ADDRESS))
    assert drawings(content(())) == () and pictures(content(())) == ()


def test_the_diagram_says_what_a_fisherman_asks() -> None:
    (one,) = drawings(content())
    found = texts(one)
    for words in ("OD 6-3/4 · bore 5-1/4", "FN 6-1/2 x 1.60 ft", "gauge 8-3/8", "gauge 8-1/2", "4-1/2 REG "
                  "box",
                  "NC46 pin", "sensor 52.40", "JR-902 · 31.45 ft", "stands open, clamp on", "468.17", "0.00"):
        assert any(words in text for text in found), words
    assert any(text.startswith("15 to 20 · 6 joints of") for text in found)
    assert any("Not to scale where * stands" in text for text in found)


def test_a_star_stands_at_every_piece_that_is_not_to_scale_and_nowhere_else() -> None:
    (part,) = strips(content().lines, 640)
    assert {block.first.n for block, true in zip(part.blocks, part.true, strict=True) if not true} == {
        1, 3, 4, 7, 14, 15}  # fmt: skip
    marked = [text for text in texts(drawings(content())[0]) if text.endswith("ft *")]
    assert len(marked) == part.true.count(False)


def test_what_is_to_scale_is_in_proportion_and_short_tools_can_be_read() -> None:
    (part,) = strips(content().lines, 640)
    assert sum(part.heights) <= 640 and min(part.heights) >= LEAST and max(part.heights) <= MOST
    for block, high, true in zip(part.blocks, part.heights, part.true, strict=True):
        if true:
            assert high == pytest.approx((block.nm or 0) / 304_800_000 * part.scale)


def test_the_picture_of_the_page_is_one_and_keeps_tools_to_scale_where_it_can() -> None:
    room = ON_PAGE * len(blocks_of(content().lines))
    (part,) = strips(content().lines, room)
    assert sum(part.heights) <= room and part.true.count(True) >= 8
    assert len(pictures(content(tuple(replace(pipe(n), serial=f"{n}", spec=SpecFacts("collar"))
                                      for n in range(60))))) == 1  # fmt: skip


def test_a_short_assembly_is_not_blown_up() -> None:
    (part,) = strips(content(links()[:4]).lines, 640)
    assert sum(part.heights) < 320 and part.true[1]


def test_diameters_are_drawn_to_one_scale() -> None:
    (one,) = drawings(content())
    rects = [shape.width for shape in one.contents if isinstance(shape, Rect) and not shape.strokeDashArray]
    assert min(abs(wide / max(rects) - 6.5 / 6.75) for wide in rects) < 0.001
    blade = [shape for shape in one.contents if isinstance(shape, Polygon) and len(shape.points) == 8]
    reach = max(max(shape.points[::2]) for shape in blade) - WIDE * 0.4
    assert reach * 2 / max(rects) == pytest.approx(8.375 / 6.75)


def test_every_text_and_line_stays_inside_the_drawing() -> None:
    long = replace(links()[3], serial="S" * 90)
    for width in (WIDE, NARROW):
        for one in drawings(content((*links()[:3], long, *links()[4:])), width=width):
            x1, y1, x2, y2 = one.getBounds()
            assert x1 >= -1 and y1 >= -1 and x2 <= width + 1 and y2 <= one.height + 1


def test_the_same_pipe_in_a_row_is_one_block_and_two_joints_are_not() -> None:
    assert [block.count for block in blocks_of(content(tuple(pipe(n) for n in range(9))).lines)] == [9]
    assert len(blocks_of(content((pipe(1), pipe(2))).lines)) == 2


@pytest.mark.parametrize("code", KINDS)
def test_every_kind_can_be_drawn_and_printed(code: str) -> None:
    one = replace(pipe(1), spec=replace(pipe(1).spec, kind=code))
    bare = replace(one, spec=SpecFacts(code), length=None, serial="")
    for picture in pictures(content((one, bare))):
        ElementTree.fromstring(picture)
    assert pdf(content((one, bare)), address=ADDRESS).startswith(b"%PDF")


@pytest.mark.parametrize("narrow", [False, True])
def test_the_picture_of_the_page_has_no_style_and_no_script(narrow: bool) -> None:
    (picture,) = pictures(content(), narrow=narrow, tint=NIGHT)
    root = ElementTree.fromstring(picture)
    assert root.attrib["width"] == (f"{NARROW:g}" if narrow else f"{WIDE:g}")
    assert not re.search(r"style|script|href|url\(", picture)
    assert NIGHT.ground in picture and "JR-902" in picture and "#000" not in picture


def test_a_shape_that_the_page_does_not_know_is_refused() -> None:
    odd = Drawing(10, 10)
    odd.add(Group())
    with pytest.raises(ValueError, match="no place"):
        svg(odd, "odd")


def test_markup_in_a_serial_stays_text() -> None:
    odd = replace(links()[3], serial="<b>&'\"")
    assert "&lt;b&gt;&amp;" in pictures(content((*links()[:3], odd)))[0]


@pytest.mark.parametrize("make", [lambda made: write_csv(made).encode(), write_xlsx], ids=["csv", "xlsx"])
def test_the_table_is_read_back_without_a_fault(make: Any) -> None:
    made = content()
    found = read_sheet(make(made), "bha")
    assert [one.text for one in found.problems] == ["The sheet has no column for the last inspection."]
    assert [link.length for link in found.links] == [Length(line.nm or 0) for line in made.lines]
    assert [link.serial for link in found.links] == [line.serial for line in made.lines]
    assert [link.spec.od_nm for link in found.links] == [line.od_nm for line in made.lines]
    assert [link.spec.kind for link in found.links] == [line.kind for line in made.lines]
    assert found.sheet.foot.below_jar == 16887 and found.sheet.foot.length == Length(made.length_nm or 0)


def test_a_cell_is_never_a_formula() -> None:
    odd = replace(links()[3], serial="=1+1")
    made = content((*links()[:3], odd), notes=("@SUM(A1)",))
    text = write_csv(made)
    assert "'=1+1" in text and "'@SUM(A1)" in text and ",=1+1" not in text
    assert read_sheet(write_xlsx(made), "bha").links[3].serial == "=1+1"


def test_the_table_shows_the_sums() -> None:
    text = write_csv(content())
    for words in ("BHA length,468.17 ft", "Weight in air,34767 lb", "Weight below jar,16887 lb in mud"):
        assert words in text
    assert len(sheet().rows) == 20
