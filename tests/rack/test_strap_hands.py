"""Whose hands took two straps, and readings that came after their strap was over: both are said."""

import uuid

import pytest
from django.urls import reverse

from rack.actions import closing, straps
from rack.calc.sheets import SheetContent
from rack.calc.strap_hands import LateLine, StrapHands, late_problems, same_hands
from rack.errors import Refused
from rack.models.strap_hands import two_straps
from tests import stock
from tests.rack.tally_desk import do, form_of, read, send, signed_in, text_of

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("first", "second", "codes"),
    [
        (("T-07", "Ada", "Ben"), ("T-11", "Ben", "Ada"), []),
        (("T-07", "Ada", "Ben"), ("T-07", "Ben", "Ada"), ["tape"]),
        (("T-07", "Ada", "Ben"), ("T-11", "ADA ", "Cleo"), ["hands"]),
        (("t-07", "Ada  Fenn", "Ben"), ("T-07", "ada fenn", "ben"), ["hands", "tape"]),
        (("", "", ""), ("", "", ""), []),
    ],
)
def test_whose_hands_are_the_same(first, second, codes):
    assert [one.code for one in same_hands(StrapHands(*first), StrapHands(*second))] == codes


def test_of_many_late_lines_the_rest_is_a_number():
    (one,) = late_problems([LateLine(str(n), "2026-03-01 14:20") for n in range(1, 24)], [])
    assert "joint 20 at 2026-03-01 14:20 and 3 more." in one.text and "joint 21" not in one.text



def second_strap(tally, ada, *, tape="T-11", reader="Ben", late=(), late_second=()):
    """Both straps alike; `late` lengths are read into the first strap while the second is open."""
    read(ada, tally, ["31.24", "31.02", "31.55"])
    straps.begin_strap(stock.asks(ada), tally, 2, tape, reader, "")
    read(ada, tally, ["31.24", "31.02", "31.55"], 2)
    read(ada, tally, list(late))
    straps.finish_strap(stock.asks(ada), tally, 2)
    read(ada, tally, list(late_second), 2)


@pytest.fixture
def twice(here, layer, ada):
    return stock.tally(ada, here, stock.pieces(layer, 3), straps_wanted=2)


def test_one_reader_of_both_straps_is_asked_about_wherever_they_are_compared(here, ada, twice):
    second_strap(twice, ada, tape=" t-07", reader="ADA")
    client = signed_in(at=here)
    for name in ("compare", "tally_close"):
        text = text_of(client.get(reverse(name, args=[1])))
        assert "Both straps have the same reader, ADA" in text and "same tape, t-07" in text, name
    with pytest.raises(Refused) as refused:
        closing.close(stock.asks(stock.person("eve", "supervisor", here)), twice)
    assert "hands" in {problem.code for problem in refused.value.problems}


def test_two_readers_with_two_tapes_close_without_a_reason(here, ada, twice):
    second_strap(twice, ada)
    sheet = closing.close(stock.asks(stock.person("eve", "supervisor", here)), twice)
    assert SheetContent.from_text(sheet.content).checks == ()


@pytest.mark.parametrize("way", ["strap page", "tally page", "pencil"])
def test_the_same_hands_are_said_when_the_second_strap_begins(here, ada, twice, way):
    read(ada, twice, ["31.24", "31.02", "31.55"])
    client = signed_in("ben", "crew", here)
    head = {"tape": "T-11", "reader": "ada ", "writer": ""}
    if way == "strap page":
        form = {"key": str(uuid.uuid4()), "do": "begin", **head}
        response = client.post(reverse("strap", args=[1, 2]), form, follow=True)
    elif way == "tally page":
        response = client.get(do(client, twice, "begin", **head).url)
    else:
        form = {**form_of(client, twice, strap=2), "reader": "Ada"}
        response = client.get(send(client, twice, form, ["31.24", "31.02", "31.55"]).url)
    assert "Both straps have the same reader" in text_of(response)


def test_a_reading_of_the_first_strap_that_comes_late_is_kept_and_said_with_line_and_time(here, ada, twice):
    """It waited in a phone without signal: it is stored, and whoever compares knows when it came."""
    second_strap(twice, ada, late=["31.25"])
    late = twice.lines.get(painted="1").straps.filter(reversed_by=None, strap_n=1).latest("id")
    at = late.at.astimezone(here.zone).strftime("%Y-%m-%d %H:%M")
    said = f"Read in the first strap after the second was opened: joint 1 at {at}."
    client = signed_in(at=here)
    assert said in text_of(client.get(reverse("compare", args=[1])))
    page = text_of(client.get(reverse("tally_close", args=[1])))
    assert said in page and "Closing asks for a reason" not in page
    sheet = closing.close(stock.asks(stock.person("eve", "supervisor", here)), twice)
    assert said in sheet.content


def test_a_reading_of_the_second_strap_after_both_were_shown_is_said_too(here, ada, twice):
    second_strap(twice, ada, late_second=["31.26"])
    text = text_of(signed_in(at=here).get(reverse("compare", args=[1])))
    assert "Read in the second strap after both straps were shown: joint 1 at" in text


def test_a_third_reading_is_not_called_late(here, twice, ada):
    second_strap(twice, ada)
    straps.tape_again(stock.asks(ada), twice.lines.get(painted="2"), "31.04")
    assert two_straps(twice).problems == []


def test_late_readings_are_not_spoken_of_while_the_second_strap_is_open(here, ada, twice):
    read(ada, twice, ["31.24", "31.02", "31.55"])
    straps.begin_strap(stock.asks(ada), twice, 2, "T-11", "Ben", "")
    read(ada, twice, ["31.25"])
    assert two_straps(twice) is None
    client = signed_in(at=here)
    for name in ("tally", "compare", "tally_close"):
        assert "after the second was opened" not in text_of(client.get(reverse(name, args=[1]))), name


def test_a_finished_first_strap_takes_a_late_reading(here, ada, layer):
    """Nothing typed is lost: a strap that somebody finished still takes what waited in a browser."""
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    read(ada, tally, ["31.24"])
    straps.finish_strap(stock.asks(ada), tally, 1)
    read(ada, tally, ["31.25", "31.02"])
    assert [line.first_nm for line in tally.lines.in_order()] == [stock.feet("31.25"), stock.feet("31.02")]
    assert two_straps(tally) is None
