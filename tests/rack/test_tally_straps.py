"""A blind strap stays blind; two straps are compared; closing names everything at once."""

import uuid

import pytest
from django.urls import reverse

from rack.actions import lines, pencil, straps, tallies
from rack.calc.lengths import Length
from rack.errors import Refused
from rack.models import Consent, Sheet
from rack.models.comparing import compared
from tests import stock
from tests.rack.tally_desk import ROLES, do, read, signed_in, text_of

pytestmark = pytest.mark.django_db


# Blindness


SECRET = "31.87"


@pytest.fixture
def blind(here, layer, ada):
    """Two straps wanted, the first finished and one of its readings asked about; the second takes 30s."""
    tally = stock.tally(ada, here, stock.pieces(layer, 9), straps_wanted=2)
    read(ada, tally, [SECRET] * 8 + ["78.13"])
    straps.finish_strap(stock.asks(ada), tally, 1)
    return tally


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("begun", [False, True], ids=["second wanted", "second open"])
def test_nothing_of_the_first_strap_is_on_any_page_while_the_second_is_open(here, ada, blind, role, begun):
    if begun:
        straps.begin_strap(stock.asks(ada), blind, 2, "T-11", "Ben", "")
        read(ada, blind, ["30.11"] * 3, 2)
    client = signed_in(role, role, here)
    total = Length(sum(line.first_nm for line in blind.lines.all())).shown("ft", 2)
    found = [
        total,
        SECRET,
        "31.8",
        "78.13",
        "78,13",
        str(Length.parse(SECRET).nanometres),
        "asked",
        "reads so",
        "a question",
    ]
    answers = [client.get(reverse(name, args=[1])) for name in ("tally", "compare", "tally_close", "pencil")]
    answers += [client.get(reverse("tally_list")), client.get(reverse("pencil", args=[1]) + "?strap=1")]
    answers += [
        do(client, blind, "withdraw", line="", reason="x"),
        do(client, blind, "tape", line="1", typed="31"),
    ]
    for answer in answers:
        text = text_of(answer)
        assert [words for words in found if words in text] == [], answer.request["PATH_INFO"]
    if begun:
        assert "second strap open, 3 of 9" in text_of(answers[0])


def test_the_first_readings_come_back_when_the_second_strap_is_finished(here, ada, blind):
    straps.begin_strap(stock.asks(ada), blind, 2, "T-11", "Ben", "")
    read(ada, blind, [SECRET] * 9, 2)
    client = signed_in(at=here)
    assert do(client, blind, "finish", strap="2").status_code == 302
    assert SECRET in text_of(client.get(reverse("tally", args=[1])))


def test_a_question_of_the_first_strap_cannot_be_confirmed_while_it_is_shut_away(here, ada, blind):
    key = blind.lines.get(painted="9").straps.get().journal.key
    response = do(signed_in(at=here), blind, "confirm", reading=str(key))
    assert response.status_code == 422 and not Consent.objects.exists()


# Two straps


@pytest.fixture
def strapped_twice(here, layer, ada):
    """Joint 2 a foot more, joint 4 a foot less in the second strap: the totals agree."""
    tally = stock.tally(ada, here, stock.pieces(layer, 6), straps_wanted=2)
    first = ["31.24", "31.02", "31.55", "31.40", "31.33", "31.71"]
    read(ada, tally, first)
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    read(ada, tally, ["31.24", "32.02", "31.55", "30.40", "31.33", "31.71"], 2)
    straps.finish_strap(stock.asks(ada), tally, 2)
    return tally


def test_errors_that_cancel_are_said_and_each_joint_is_named(here, strapped_twice):
    page = signed_in(at=here).get(reverse("compare", args=[1]))
    text = text_of(page)
    assert "totals agree but joints do not" in text and "Joint 2" in text and "Joint 4" in text
    assert [joint["name"] for joint in page.context["differing"]] == ["2", "4"]
    assert text.count('name="typed"') == 2


def test_taping_again_settles_a_joint(here, strapped_twice):
    client = signed_in("ben", "crew", here)
    for painted, typed in (("2", "31.02"), ("4", "3140")):
        line = strapped_twice.lines.get(painted=painted)
        assert do(client, strapped_twice, "tape", line=str(line.pk), typed=typed).url == reverse(
            "compare", args=[1]
        )
    assert not client.get(reverse("compare", args=[1])).context["differing"]


def test_a_third_reading_that_is_none_is_refused_and_stays(here, strapped_twice):
    line = strapped_twice.lines.get(painted="2")
    response = do(signed_in(at=here), strapped_twice, "tape", line=str(line.pk), typed="31 and a bit")
    assert response.status_code == 422 and 'value="31 and a bit"' in text_of(response)


def test_one_strap_alone_has_nothing_to_compare(here, layer, ada):
    stock.tally(ada, here, stock.pieces(layer, 2))
    assert "one strap only" in text_of(signed_in(at=here).get(reverse("compare", args=[1])))


# Closing


def test_closing_names_every_problem_at_once(here, ada):
    tally = stock.tally(ada, here, [])
    tallies.add_numbers(stock.asks(ada), tally, "1", 9)
    read(ada, tally, ["31.24"] * 7 + ["13.24"])
    client = signed_in(at=here)
    for answer in (
        client.get(reverse("tally_close", args=[1])),
        client.post(reverse("tally_close", args=[1]), {"key": str(uuid.uuid4()), "reason": "late"}),
    ):
        text = text_of(answer)
        assert (
            "Not read yet: joint 9" in text
            and "No piece stands behind" in text
            and "question at joint 8" in text
        )
    assert answer.status_code == 422 and not Sheet.objects.exists()


def test_fewer_straps_than_wanted_need_a_reason_and_the_sheet_carries_it(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2), straps_wanted=2)
    read(ada, tally, ["31.24", "31.30"])
    client, page = signed_in(at=here), reverse("tally_close", args=[1])
    response = client.post(page, {"key": str(uuid.uuid4()), "reason": ""})
    assert response.status_code == 422 and "Two straps were wanted" in text_of(response)
    response = client.post(page, {"key": str(uuid.uuid4()), "reason": "crane was needed"})
    assert response.url == reverse("sheet", args=[Sheet.objects.get().code])
    assert "crane was needed" in text_of(client.get(response.url))


def test_closing_sent_twice_writes_one_sheet(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    read(ada, tally, ["31.24", "31.30"])
    client, key = signed_in(at=here), str(uuid.uuid4())
    for _ in range(2):
        assert client.post(reverse("tally_close", args=[1]), {"key": key}).status_code == 302
    assert Sheet.objects.count() == 1


def test_closing_a_list_that_changed_meanwhile_is_refused_and_the_reason_stays(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2), straps_wanted=2)
    read(ada, tally, ["31.24", "31.30"])
    form = {"key": str(uuid.uuid4()), "reason": "crane was needed", "seen": str(tally.version + 5)}
    response = signed_in(at=here).post(reverse("tally_close", args=[1]), form)
    assert (
        response.status_code == 409 and "crane was needed" in text_of(response) and not Sheet.objects.exists()
    )


def test_a_closed_tally_offers_a_revision_and_no_change(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    read(ada, tally, ["31.24", "31.30"])
    client = signed_in(at=here)
    client.post(reverse("tally_close", args=[1]), {"key": str(uuid.uuid4())})
    text = text_of(client.get(reverse("tally", args=[1])))
    assert "Make a new revision" in text and "Withdraw it" not in text and "62.54" in text
    assert do(client, tally, "numbers", count="2").status_code == 422
    assert do(client, tally, "revise", reason="").status_code == 422
    assert do(client, tally, "revise", reason="joint 2 was bent").status_code == 302
    tally.refresh_from_db()
    assert tally.open
    assert do(signed_in("ben", "crew", here), tally, "revise", reason="x").status_code == 403


def test_a_closed_page_keeps_what_the_sheet_says_whatever_happens_to_a_piece(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2))
    read(ada, tally, ["31.24", "31.30"])
    client = signed_in(at=here)
    client.post(reverse("tally_close", args=[1]), {"key": str(uuid.uuid4())})
    tally.lines.update(first_nm=Length.parse("29.99").nanometres)
    text = text_of(client.get(reverse("tally", args=[1])))
    assert "31.24" in text and "29.99" not in text


def test_a_strap_written_on_an_old_list_is_named_as_a_stale_list(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 3, first=800), straps_wanted=2)
    read(ada, tally, ["31.10", "31.20", "31.30"])
    pencil.note_list(stock.asks(ada), tally, 1, 1)
    lines.swap_lines(stock.asks(ada), *tally.lines.in_order()[:2])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    tally.refresh_from_db()
    read(ada, tally, ["31.20", "31.10", "31.30"], 2)
    straps.finish_strap(stock.asks(ada), tally, 2)
    found = {one.code: one.words for one in compared(tally).findings}
    assert "first strap was taken on list 1, the second on list 2" in found["T12"]


@pytest.mark.parametrize("numbers", [(None, None), (1, 1), (1, None)])
def test_straps_on_the_same_list_are_no_stale_list(here, layer, ada, numbers):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=800), straps_wanted=2)
    read(ada, tally, ["31.10", "31.20"])
    straps.begin_strap(stock.asks(ada), tally, 2, "T-11", "Ben", "")
    read(ada, tally, ["31.10", "31.20"], 2)
    for strap_n, list_n in enumerate(numbers, start=1):
        if list_n:
            pencil.note_list(stock.asks(ada), tally, strap_n, list_n)
    assert compared(tally).findings == ()


def test_a_list_that_was_never_printed_is_refused(here, layer, ada):
    tally = stock.tally(ada, here, stock.pieces(layer, 2, first=800))
    with pytest.raises(Refused, match="no list 7 of"):
        pencil.note_list(stock.asks(ada), tally, 1, 7)
