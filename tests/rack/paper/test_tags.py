"""Tags: the right piece on the right label, read by a phone, with nothing on it that can change."""

import dataclasses
import io
import re
from unittest.mock import patch

import pytest
from pypdf import PdfReader
from reportlab.lib.units import mm

from rack.calc.labels import adjusted, grids
from rack.calc.lengths import Length
from rack.paper import bands, qr, tags
from rack.paper.tag_label import points
from rack.paper.tags import COMMON, TagLabel
from tests.rack.paper.drawn import over_each_other, page_count, seen, watched, words

GRIDS = grids()
A_PAGE = COMMON.a_page


def label(n: int, **more: str) -> TagLabel:
    code = f"K7Q2M{n:02d}"
    plain = {"code": code, "address": f"https://sandholm.example/T/{code}", "serial": f"KD{4100 + n}",
             "item": "5 in 19.50 S-135 NC50 R2 drill pipe", "owner": f"F-{n}"}
    return TagLabel(**{**plain, **more})


HARD = [
    label(1),
    label(2, serial="ŁÓDŹ-ŽČ-2231-0045-AB/7",
          item="8 x 2-13/16 in 6-5/8 REG box x 6-5/8 REG pin drill collar, non-magnetic, spiral, with "
          "elevator and slip recess, short, for the 12-1/4 in section"),
    label(3, serial="", address="https://tubulars.company.example/t/K7Q2M03"),
    label(4, serial="A" * 60, owner="B" * 60),
    label(5, serial="", owner=""),
    label(6, address="https://tubulars.rigs.company-with-a-long-name.example:8443/T/K7Q2M06"),
    label(7, serial="Серийный 7", item="переводник П-147", owner="Şule-7"),
]
GIVEN = {"listed": "2026-11-02", "scheme": "drill pipe tube"}
CLASSED = [
    label(n, pipe_class=word, **GIVEN, **more)
    for n, (word, more) in enumerate([
        ("Premium", {}), ("Class 2", {"owner": ""}), ("Class 3", {"serial": "ŁÓDŹ-ŽČ-2231-0045-AB/7"}),
        ("New", {"item": HARD[1].item}), ("Scrap", {"serial": "", "owner": ""}), ("Class 1", {}),
        ("W" * 40, {"serial": "A" * 60, "owner": "B" * 60}),
    ], start=11)
]


def test_every_tag_is_read_by_a_phone_and_opens_its_own_piece():
    labels = [label(n) for n in range(1, 31)]
    pages = seen(tags.pdf(labels))
    assert sorted(found for page in pages for found in page) == sorted(one.address.upper() for one in labels)
    assert [len(page) for page in pages] == [A_PAGE, 30 - A_PAGE]


def test_long_addresses_and_serials_leave_the_code_readable():
    pages = seen(tags.pdf(HARD))
    assert sorted(pages[0]) == sorted(one.address.upper() for one in HARD)


def test_serial_code_and_item_stand_in_clear_with_the_warning():
    text = words(tags.pdf(HARD))
    assert "KD4101 K7Q2M01 Owner's no. F-1 5 in 19.50 S-135 NC50 R2 drill pipe" in text
    assert "Серийный 7" in text and "переводник П-147" in text
    assert text.count("Take off before this goes in the hole, never on a protector") == len(HARD)


def test_a_piece_without_a_serial_goes_by_its_owners_number_and_one_without_either_says_so():
    text = words(tags.pdf([label(3, serial=""), label(5, serial="", owner="")]))
    assert "F-3 K7Q2M03" in text
    assert "No serial K7Q2M05" in text


def test_a_tag_can_hold_only_what_stays_with_the_piece():
    """Length, place and due date change; a tag that showed them would be wrong one day.

    The class is what a list or an inspection said on a day, and the tag names which of both and the day.
    """
    assert {field.name for field in dataclasses.fields(TagLabel)} == {
        "code", "address", "serial", "item", "owner", "pipe_class", "listed", "scheme",
        "inspected",
    }


def boxes(grid):
    """Left, right, foot and top of every label of a page in points, by the figures of its row."""
    high = points(grid.page_h.nanometres)
    found = []
    for place in range(grid.a_page):
        across, down = (points(one.nanometres) for one in grid.corner(place))
        wide, tall = points(grid.label_w.nanometres), points(grid.label_h.nanometres)
        found.append((across, across + wide, high - down - tall, high - down))
    return found


def place_of(one, grid):
    """The label that a string stands on, from 0; None where it leaves every label."""
    spare = 0.01
    inside = [n for n, (left, right, foot, top) in enumerate(boxes(grid))
              if left <= one.left and one.right <= right + spare and foot <= one.foot and one.top <= top]
    return inside[0] if inside else None


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_no_word_leaves_its_label_or_stands_on_another(grid):
    with watched() as found:
        tags.pdf((HARD if not grid.is_low else [label(1), *HARD[3:5]]) + CLASSED, grid=grid)
    assert [one.text for one in found if place_of(one, grid) is None] == []
    assert over_each_other(found) == []


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_no_label_leaves_its_paper_and_none_lies_on_another(grid):
    wide, high = points(grid.page_w.nanometres), points(grid.page_h.nanometres)
    found = boxes(grid)
    apart = 1e-6
    assert [box for box in found
            if box[0] < 0 or box[1] > wide + apart or box[2] < -apart or box[3] > high] == []
    assert [
        (one, other) for place, one in enumerate(found) for other in found[:place]
        if one[0] < other[1] - apart and other[0] < one[1] - apart
        and one[2] < other[3] - apart and other[2] < one[3] - apart
    ] == []


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_every_code_of_every_grid_is_read_from_the_printed_page(grid):
    labels = [label(n, pipe_class="Premium", **GIVEN) for n in range(1, min(grid.a_page, 90) + 2)]
    pages = seen(tags.pdf(labels, grid=grid))
    assert sorted(found for page in pages for found in page) == sorted(one.address.upper() for one in labels)
    assert len(pages) == -(-len(labels) // grid.a_page)


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_every_page_has_the_size_of_its_paper(grid):
    box = PdfReader(io.BytesIO(tags.pdf([label(1)], grid=grid))).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(
        (points(grid.page_w.nanometres), points(grid.page_h.nanometres)), abs=0.01)


@pytest.mark.parametrize("grid", GRIDS.values(), ids=GRIDS)
def test_code_and_quiet_zone_stand_on_their_own_label(grid):
    drawn = []
    plain = qr.drawn

    def noted(made, x, y, module):
        quiet = qr.QUIET * module
        drawn.append((x - quiet, x + (made.modules + qr.QUIET) * module,
                      y - (made.modules + qr.QUIET) * module, y + quiet))
        return plain(made, x, y, module)

    with patch.object(qr, "drawn", noted):
        tags.pdf([label(n) for n in range(grid.a_page)], grid=grid)
    for (left, right, foot, top), label_box in zip(drawn, boxes(grid), strict=True):
        assert label_box[0] <= left and right <= label_box[1] + 0.01
        assert label_box[2] - 0.01 <= foot and top <= label_box[3] + 0.01


@pytest.mark.parametrize(("word", "said"), [
    ("Premium", "two white bands"), ("Class 2", "one yellow band"), ("Class 3", "one orange band"),
    ("Scrap", "one red band"), ("New", "one white band"),
])
def test_the_class_of_the_list_stands_as_a_word_with_its_bands_and_on_whose_word(word, said):
    text = words(tags.pdf([label(1, pipe_class=word, **GIVEN)]))
    assert word in text and said in text
    assert "As given on the list of 2026-11-02, not an inspection" in text


def test_a_class_without_bands_of_its_own_is_a_word_alone():
    """Some write class 1 for new pipe and some for premium: no band is drawn for it."""
    text = words(tags.pdf([label(1, pipe_class="Class 1", **GIVEN)]))
    assert "Class 1" in text and "band" not in text
    assert "band" not in words(tags.pdf([label(1, pipe_class="Premium", listed="2026-11-02", scheme="")]))


def test_no_class_is_spoken_of_where_the_list_gave_none():
    assert "list" not in words(tags.pdf([label(1, **GIVEN)]))


def test_bands_are_told_apart_without_their_colour():
    """Two bands that print alike would be one class on a black copy."""
    shapes = {(count, colour): bands.drawn(count, colour, 0, 0, 60, 15)
              for count, colour in ((1, "white"), (2, "white"), (1, "yellow"), (1, "orange"), (1, "red"))}
    assert len(set(shapes.values())) == len(shapes)
    assert not any(re.search(r"\b(rg|RG|k|K|sc|SC|scn)\b", shape) for shape in shapes.values())


def test_a_label_too_small_for_the_code_is_refused_in_a_sentence():
    long = label(1, address="https://tubulars.rigs.company-with-a-long-name.example:8443/T/K7Q2M06")
    with pytest.raises(ValueError, match=r"a module of this code would be 0\.\d+ mm; under 0\.5 mm"):
        tags.pdf([label(2), long], grid=GRIDS["A4 5 x 13"])


def test_a_label_off_the_paper_is_refused_in_a_sentence():
    moved = adjusted(COMMON, left=Length.parse("15", "mm"))
    with pytest.raises(ValueError, match="a label would leave the paper by 0.5 mm"):
        tags.pdf([label(1)], grid=moved)


def test_margins_and_pitch_move_every_label():
    moved = adjusted(COMMON, left=Length.parse("9", "mm"), pitch_y=Length.parse("38.2", "mm"))
    with watched() as found:
        tags.pdf([label(n) for n in range(1, 22)], grid=moved)
    assert {place_of(one, moved) for one in found} == set(range(21))
    first, last = (next(one for one in found if one.text == f"KD{4100 + n}") for n in (1, 19))
    assert (first.foot - last.foot) == pytest.approx(6 * 38.2 * mm)


def corner(one):
    """The column and the row of the label that a string stands on, from 0."""
    place = place_of(one, COMMON)
    return place % COMMON.columns, place // COMMON.columns


@pytest.mark.parametrize(("start", "place"), [(1, (0, 0)), (2, (1, 0)), (4, (0, 1)), (21, (2, 6))])
def test_a_used_sheet_goes_on_at_the_label_that_is_asked_for(start, place):
    with watched() as found:
        pdf = tags.pdf([label(1)], start=start)
    assert {corner(one) for one in found} == {place}
    assert page_count(pdf) == 1


def test_after_the_last_label_a_new_sheet_begins():
    assert page_count(tags.pdf([label(1), label(2)], start=21)) == 2
    assert page_count(tags.pdf([label(n) for n in range(A_PAGE)])) == 1


def test_copies_stand_side_by_side():
    with watched() as found:
        tags.pdf([label(1), label(2)], copies=2)
    serials = [one for one in found if one.text.startswith("KD")]
    assert [one.text for one in serials] == ["KD4101", "KD4101", "KD4102", "KD4102"]
    assert [corner(one) for one in serials] == [(0, 0), (1, 0), (2, 0), (0, 1)]


@pytest.mark.parametrize("start", [0, 22, -1])
def test_a_label_that_the_sheet_has_not_is_refused(start):
    with pytest.raises(ValueError, match=f"there is no label {start}"):
        tags.pdf([label(1)], start=start)


@pytest.mark.parametrize(("labels", "copies"), [([], 1), ([label(1)], 0)])
def test_nothing_to_print_is_refused(labels, copies):
    with pytest.raises(ValueError, match="no tag to print"):
        tags.pdf(labels, copies=copies)


def test_the_same_tags_are_the_same_bytes():
    first = tags.pdf(HARD)
    tags.pdf([label(9)])
    assert tags.pdf(HARD) == first


def test_edges_are_drawn_only_for_a_trial():
    assert len(tags.pdf(HARD, outlines=True)) != len(tags.pdf(HARD))


def test_a_short_address_takes_a_code_of_version_three():
    """29 modules: at 0.75 mm with its quiet zone 27.75 mm, which leaves the label room for words."""
    assert qr.code("HTTPS://SANDHOLM.EXAMPLE/T/K7Q2M9A").modules == 29
    assert qr.code("HTTPS://TUBULARS.COMPANY.EXAMPLE/T/K7Q2M9A").modules == 33


@pytest.mark.parametrize(("given", "coded"), [
    ("https://rig.example/T/K7Q2M9A", "HTTPS://RIG.EXAMPLE/T/K7Q2M9A"),
    ("https://rig.example/t/k7q2m9a", "HTTPS://RIG.EXAMPLE/T/K7Q2M9A"),
    ("http://rig.example:8000/T/K7Q2M9A", "HTTP://RIG.EXAMPLE:8000/T/K7Q2M9A"),
    ("https://rig.example/tallies/14/", "HTTPS://RIG.EXAMPLE/tallies/14/"),
    ("https://rig.example/tierbook/T/K7Q2M9A", "HTTPS://RIG.EXAMPLE/tierbook/T/K7Q2M9A"),
    ("https://rig.example/T/K7Q2M9A?of=paper", "HTTPS://RIG.EXAMPLE/T/K7Q2M9A?of=paper"),
    ("K7Q2M9A", "K7Q2M9A"),
])
def test_capitals_never_change_where_an_address_leads(given, coded):
    assert qr.upper(given) == coded


def test_the_path_of_a_code_covers_its_dark_modules_and_no_light_one():
    text = "HTTPS://SANDHOLM.EXAMPLE/T/K7Q2M9A"
    dark = {(x, y) for y, row in enumerate(qr.rows(text)) for x, sign in enumerate(row) if sign == "1"}
    covered = set()
    for bar in qr.code(text).path.removesuffix(" re").split(" re "):
        x, foot, wide, high = (float(figure) for figure in bar.split())
        y = round(-foot - high)
        covered |= {(int(x) + step, y) for step in range(int(wide))}
    assert covered == dark
