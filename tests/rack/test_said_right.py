"""Refusals say the right thing to the person: whose code it is, which post they hold, what the call lacks."""

import json
import uuid

import pytest
from django.http import HttpResponse
from django.test import RequestFactory

from rack.errors import NotAllowed, TierbookError
from rack.middleware import RefusalSentences
from rack.people import check_can
from tests import stock

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "address, what", [("/S/ZZZ", "sheet"), ("/C/ZZZ", "sheet"), ("/L/ZZZ", "list"), ("/T/ZZZ", "tag")]
)
def test_a_wrong_code_is_called_by_what_bears_it(client, ada, address, what):
    client.force_login(ada)
    said = client.get(address, follow=True).content.decode()
    assert f"A {what} code has 7 signs" in said
    assert what == "tag" or "tag code has" not in said


def test_crew_refused_at_what_counts_everywhere_are_not_told_that_they_hold_no_post(ada):
    with pytest.raises(NotAllowed, match="you are crew at a site of your own"):
        check_can(ada, "reference", None)


def test_who_holds_no_post_at_all_is_told_so(here):
    with pytest.raises(NotAllowed, match="you hold no post there"):
        check_can(stock.person("nils"), "reference", None)


def test_a_hold_without_a_reason_answers_422_and_keeps_the_page(client, ada, layer):
    client.force_login(ada)
    piece = stock.pieces(layer, 1)[0]
    answer = client.post(f"/piece/{piece.tag}/hold/", {"reason": "", "key": str(uuid.uuid4())})
    assert answer.status_code == 422
    assert piece.tag in answer.content.decode()


def test_nothing_was_stored_is_said_once(client, ada, ola, here):
    client.force_login(ola)
    refuse = RefusalSentences(lambda request: HttpResponse()).process_exception
    for sentence in ("Somebody else changed it. Nothing was stored.", "Choose it again; nothing was stored.",
                     "There is no such rack."):
        request = RequestFactory().get("/rack/")
        request.user, request.session = ola, client.session
        text = refuse(request, TierbookError(sentence)).content.decode()
        assert text.lower().count("nothing was stored") == 1, sentence


def test_the_time_on_an_error_page_is_the_clock_of_the_site(client, ada):
    """Europe/Oslo is never UTC: a page that is not found once said the time in UTC."""
    client.force_login(ada)
    for address in ("/piece/nothing/", "/tallies/999/", "/accounts/"):
        answer = client.get(address)
        assert answer.status_code in (403, 404)
        printed = answer.content.decode().partition("printed ")[2].partition("<")[0]
        assert printed.endswith((" CET", " CEST")), (address, printed)


def test_the_page_of_signing_in_has_a_site_of_its_own_without_a_clock(client, ada):
    assert client.get("/sign-in/").status_code == 200


def test_a_move_without_a_place_answers_422(client, ada, layer):
    client.force_login(ada)
    piece = stock.pieces(layer, 1)[0]
    answer = client.post(f"/piece/{piece.tag}/move/", {"place": "", "key": str(uuid.uuid4())})
    assert answer.status_code == 422
    assert piece.tag in answer.content.decode()


@pytest.mark.parametrize("entry, said", [
    ({}, "key is missing."),
    ({"key": "7"}, "key is no key: draw a UUID."),
    ({"key": str(uuid.uuid4()), "tally": 1, "typed": "3" * 50}, "typed is longer than 40 letters."),
    ({"key": str(uuid.uuid4()), "tally": "x", "typed": "3"}, "tally is no whole number."),
    ({"key": str(uuid.uuid4()), "tally": 0, "typed": "3"}, "tally is less than 1."),
    ({"key": str(uuid.uuid4()), "tally": 1, "typed": "3", "strap_n": 3}, "strap_n is none of 1 or 2."),
    ({"key": str(uuid.uuid4()), "tally": 1, "typed": "3", "made_at": "soon"},
     "made_at is no moment; write it as 2026-05-01T14:20:00Z."),
    ({"key": str(uuid.uuid4()), "tally": 1, "typed": "3", "colour": 1},
     "colour is not known here; look at the description of this call."),
    ({"key": str(uuid.uuid4())}, "Give one of the three: typed, takes_back or confirms."),
])  # fmt: skip
def test_a_call_that_is_not_as_it_should_be_is_told_in_a_sentence(client, ada, entry, said):
    client.force_login(ada)
    answer = client.post("/api/readings", json.dumps([entry]), content_type="application/json")
    problems = [one["text"] for result in answer.json() for one in result["problems"]]
    assert said in problems, problems


def test_the_choices_of_a_list_are_folded_on_a_phone_until_one_is_made(client, ada, layer):
    """Six open fields stood between a phone and its list; the fold of a narrowed list is open."""
    client.force_login(ada)
    stock.pieces(layer, 1)
    plain, narrowed = (client.get(f"/rack/{query}").content.decode() for query in ("", "?state=received"))
    assert 'id="filters-shown">' in plain
    assert 'id="filters-shown" checked>' in narrowed
