"""Tags: the right piece on the right label, read by a phone, with nothing on it that can change."""

import dataclasses

import pytest

from rack.paper import qr, tags
from rack.paper.tags import A_PAGE, LABEL, LEFT, PAGE, PITCH, TOP, TagLabel
from tests.rack.paper.drawn import over_each_other, page_count, seen, watched, words


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
    """Length, class, place and due date change; a tag that showed them would be wrong one day."""
    assert {field.name for field in dataclasses.fields(TagLabel)} == {
        "code", "address", "serial", "item", "owner",
    }


def test_no_word_leaves_its_label_or_stands_on_another():
    with watched() as found:
        tags.pdf(HARD * 3)
    for one in found:
        column, row = int((one.left - LEFT) // PITCH[0]), int((PAGE[1] - TOP - one.foot) // PITCH[1])
        left, top = LEFT + column * PITCH[0], PAGE[1] - TOP - row * PITCH[1]
        assert left <= one.left and one.right <= left + LABEL[0], one.text
        assert top - LABEL[1] <= one.foot and one.top <= top, one.text
    assert over_each_other(found) == []


def corner(one):
    """The column and the row of the label that a string stands on, from 0."""
    return int((one.left - LEFT) // PITCH[0]), int((PAGE[1] - TOP - one.foot) // PITCH[1])


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
