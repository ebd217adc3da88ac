"""The pencil sheet: numbers, names and empty boxes, and never a reading."""

import dataclasses
import re

import pytest

from rack.calc.sheets import CAUTIONS_ALWAYS, CAUTIONS_STRAPPING
from rack.paper import pencil
from rack.paper.pencil import PencilHead, PencilLine
from rack.paper.surface import SIZES
from tests.rack.paper.drawn import outside, over_each_other, page_count, seen, watched, words

HEAD = PencilHead(
    "SH3", "Sandholm 3", 14, "drill pipe for the 8½ in section", "5 in 19.50 S-135 NC50 R2 drill pipe",
    "rack", "ft", 2, "pins off", straps_wanted=2, strap_n=2, address="https://sandholm.example/tallies/14/pencil/",
    printed="2026-11-01 07:10 +01:00", revision=1,
)
LONG = "ŁÓDŹ-ŽČ-2231-0045-AB/7"
HARD = [
    PencilLine(n, "36A" if n == 37 else str(n), LONG if n % 9 == 5 else f"KD{4100 + n}")
    for n in range(1, 138)
]


def test_nothing_that_the_sheet_is_drawn_from_can_hold_a_reading():
    """Law 13: a blind strap is blind on paper too, whatever a page hands over."""
    assert [field.name for field in dataclasses.fields(PencilLine)] == ["n", "painted", "serial"]
    assert not re.search(r"\d\.\d\d(?!\d)", words(pencil.pdf(HEAD, HARD)).replace("19.50", ""))


def test_lines_stand_in_typing_order_down_the_columns():
    with watched() as found:
        pencil.pdf(HEAD, HARD[:50])
    place = {one.text: one for one in found if one.text in {line.painted for line in HARD[:50]}}
    assert place["1"].left == place["10"].left < place["11"].left < place["41"].left == place["50"].left
    assert place["1"].foot > place["2"].foot > place["10"].foot
    assert place["1"].foot == place["11"].foot == place["41"].foot


def test_painted_numbers_and_serials_are_printed_as_they_are():
    text = words(pencil.pdf(HEAD, HARD))
    assert "36A KD4137" in text
    assert "5 ŁÓDŹ-ŽČ-2231-0045-AB/7" in text
    assert page_count(pencil.pdf(HEAD, HARD)) == 3


@pytest.mark.parametrize("name", ["Pencil sheet", "To tape again", "Filled in by hand, the second time"])
def test_what_kind_of_sheet_it_is_stands_clear_of_whose(name):
    with watched() as found:
        pencil.pdf(dataclasses.replace(HEAD, name=name), HARD[:3])
    kind, site = (next(one for one in found if one.text == text) for text in (name, "Sandholm 3 (SH3)"))
    assert kind.foot == site.foot and 6 < site.left - kind.right < 20


def test_an_empty_tally_gets_numbers_only():
    text = words(pencil.pdf(dataclasses.replace(HEAD, item=""), pencil.numbered(101, 163)))
    assert all(re.search(rf"\b{n}\b", text) for n in range(101, 164))
    assert "KD" not in text
    assert "page 2 of 2" in text


def test_what_the_hands_fill_in_has_a_box():
    text = words(pencil.pdf(HEAD, HARD[:3]))
    for word in ("Date", "Tape no.", "Weather, temperature", "Reader", "Writer", "Which strap (2 wanted)",
                 "first", "second", "Sum of the column", "Page total", "Joints on this page"):
        assert word in text
    assert "All in feet." in text
    assert "pins off: box face to pin shoulder" in text


def test_the_second_strap_is_told_not_to_look_at_the_first():
    words_of_second = "do not look at the first strap"
    assert words_of_second in words(pencil.pdf(HEAD, HARD[:3]))
    assert words_of_second not in words(pencil.pdf(dataclasses.replace(HEAD, strap_n=1), HARD[:3]))


def test_cautions_stand_on_every_page():
    text = words(pencil.pdf(HEAD, HARD))
    for caution in CAUTIONS_STRAPPING + CAUTIONS_ALWAYS:
        assert text.count(caution) == 3, caution


def test_the_code_leads_to_where_the_sheet_is_typed_in():
    pages = seen(pencil.pdf(HEAD, HARD))
    assert pages == [["HTTPS://SANDHOLM.EXAMPLE/tallies/14/pencil/"]] * 3
    assert seen(pencil.pdf(dataclasses.replace(HEAD, address=""), HARD[:3])) == [[]]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("count", [1, 10, 50, 51, 137])
@pytest.mark.parametrize(("unit", "digits"), [("ft", 2), ("m", 3), ("mm", 0), ("in", 2)])
def test_no_word_leaves_the_page_or_stands_on_another(unit, digits, count, size):
    head = dataclasses.replace(HEAD, unit=unit, digits=digits)
    with watched() as found:
        pencil.pdf(head, HARD[:count], size=size)
    found = [one for one in found if one.text != "."]
    assert outside(found, *SIZES[size], margin=18) == []
    assert over_each_other(found) == []


def test_the_same_sheet_is_the_same_bytes():
    assert pencil.pdf(HEAD, HARD) == pencil.pdf(HEAD, HARD)


@pytest.mark.parametrize(("first", "last"), [(0, 5), (7, 6)])
def test_numbers_that_run_backwards_are_refused(first, last):
    with pytest.raises(ValueError, match=f"no line from {first} to {last}"):
        pencil.numbered(first, last)


def test_a_sheet_without_lines_is_refused():
    with pytest.raises(ValueError, match="no line to print"):
        pencil.pdf(HEAD, [])
