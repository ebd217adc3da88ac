"""POST /api/readings: every entry by itself, each stored once, whatever else is in the list."""

import json
import uuid
from typing import Any

import pytest
from django.test import Client

from rack.actions.people import make_token
from rack.models import Consent, Journal, Line, Strap, Tally
from tests import stock
from tests.rack.reading import ADDRESS, Rig, result, send, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return Rig()


def test_a_reading_is_stored_with_count_and_total_of_its_strap(rig: Rig) -> None:
    done = result(signed_in(rig.crew), rig.reading(1, "3124"))
    assert (done["status"], done["shown"], done["painted"]) == ("stored", "31.24", "1")
    assert (done["count"], done["total"], done["unread"]) == (1, "31.24", 9)
    assert Strap.objects.get().typed == "3124"


# Who may: role x how they say who they are


@pytest.mark.parametrize("by", ["session", "token"])
@pytest.mark.parametrize(
    ("role", "status"),
    [("crew", "stored"), ("supervisor", "stored"), ("office", "stored"), ("viewer", "refused"),
     ("stranger", "refused"), ("nobody at all", "refused")],
)
def test_who_may_read(rig: Rig, role: str, by: str, status: str) -> None:
    if role == "stranger":
        user = stock.person("stranger", "crew", stock.site("ELSE"))
    else:
        user = stock.person("someone", "" if role == "nobody at all" else role, rig.site)
    entry = rig.reading(1, "31.24")
    if by == "session":
        done = result(signed_in(user), entry)
    else:
        head = {"Authorization": f"Bearer {make_token(stock.asks(user), user, 'tablet')}"}
        done = send(Client(), [entry], headers=head).json()[0]
    assert done["status"] == status
    assert Strap.objects.count() == (1 if status == "stored" else 0)
    if role in ("stranger", "nobody at all"):
        assert [one["text"] for one in done["problems"]] == ["There is no such tally here."]


@pytest.mark.parametrize("head", [{}, {"Authorization": "Bearer wrong"}, {"Authorization": "Basic YTpi"}])
def test_without_signing_in_the_whole_call_is_refused_in_a_sentence(rig: Rig, head: dict[str, str]) -> None:
    answer = send(Client(), [rig.reading(1, "31.24")], headers=head)
    assert answer.status_code == 401
    assert answer.json()["refused"] == "Sign in, or send a token that still holds."
    assert not Strap.objects.exists()


def test_a_wrong_token_is_not_rescued_by_the_session(rig: Rig) -> None:
    answer = send(signed_in(rig.crew), [rig.reading(1, "31.24")], headers={"Authorization": "Bearer wrong"})
    assert answer.status_code == 401


def test_a_session_without_the_page_s_token_is_refused(rig: Rig) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(rig.crew, backend="django.contrib.auth.backends.ModelBackend")
    answer = send(client, [rig.reading(1, "31.24")])
    assert answer.status_code == 403
    assert "Load it again" in answer.json()["refused"]
    assert not Strap.objects.exists()


def test_a_token_needs_no_page(rig: Rig) -> None:
    client = Client(enforce_csrf_checks=True)
    head = {"Authorization": f"Bearer {make_token(stock.asks(rig.crew), rig.crew, 'tablet')}"}
    assert send(client, [rig.reading(1, "31.24")], headers=head).json()[0]["status"] == "stored"


# Once


def test_the_same_entry_sent_again_stores_once_and_answers_the_same(rig: Rig) -> None:
    client, entry = signed_in(rig.crew), rig.reading(1, "31.24")
    first, second = result(client, entry), result(client, entry)
    assert (first.pop("status"), second.pop("status")) == ("stored", "repeated")
    assert first == second
    assert Strap.objects.count() == 1


def test_a_new_number_sent_again_makes_one_line(rig: Rig) -> None:
    client = signed_in(rig.crew)
    entry = {"key": str(uuid.uuid4()), "tally": rig.tally.pk, "painted": "10A", "typed": "31.24"}
    assert [result(client, entry)["status"] for _ in range(2)] == ["stored", "repeated"]
    assert rig.tally.lines.filter(painted="10A").count() == 1


def test_the_same_key_for_something_else_is_a_conflict_and_changes_nothing(rig: Rig) -> None:
    client, entry = signed_in(rig.crew), rig.reading(1, "31.24")
    result(client, entry)
    done = result(client, {**entry, "typed": "31.42"})
    assert done["status"] == "conflict"
    assert "already used for something else" in done["problems"][0]["text"]
    assert Strap.objects.get().typed == "31.24"


def test_the_key_of_another_hand_is_a_conflict_and_tells_nothing(rig: Rig) -> None:
    entry = rig.reading(1, "31.24")
    result(signed_in(rig.crew), entry)
    done = result(signed_in(stock.person("bo", "crew", rig.site)), entry)
    assert (done["status"], done["shown"], done["total"]) == ("conflict", "", None)


# A list


BAD: list[Any] = [
    "no entry", 7, None, [], {},
    {"key": "no key", "typed": "31.24"},
    {"key": str(uuid.uuid4()), "typed": "31.24"},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "31.24", "odd": 1},
    {"key": str(uuid.uuid4()), "tally": 2**63, "typed": "31.24", "painted": "1"},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "9" * 41, "painted": "1"},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "31.24", "painted": "3\u00006"},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "31.24", "painted": "\ud800"},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "31.24", "made_at": "2026-11-12T10:00:00"},
    {"key": str(uuid.uuid4()), "takes_back": str(uuid.uuid4())},
    {"key": str(uuid.uuid4()), "confirms": str(uuid.uuid4())},
    {"key": str(uuid.uuid4()), "tally": 1, "typed": "31.24", "takes_back": str(uuid.uuid4())},
]


@pytest.mark.parametrize("bad", BAD, ids=range(len(BAD)))
def test_a_bad_entry_never_loses_the_others(rig: Rig, bad: Any) -> None:
    answer = send(signed_in(rig.crew), [rig.reading(1, "31.24"), bad, rig.reading(2, "31.30")])
    assert [one["status"] for one in answer.json()] == ["stored", "refused", "stored"]
    assert all(one["text"] for one in answer.json()[1]["problems"])
    assert Strap.objects.count() == 2
    assert Journal.objects.filter(verb="read").count() == 2, "a refused entry leaves no line in the journal"


@pytest.mark.parametrize("typed", ["abc", "0", "31.2.4", "-5", "1e3", "31.24 ft 3 m"])
def test_what_is_no_length_is_refused_and_names_why(rig: Rig, typed: str) -> None:
    done = result(signed_in(rig.crew), rig.reading(1, typed))
    assert done["status"] == "refused"
    assert done["problems"][0]["severity"] == "STOPS"


@pytest.mark.parametrize(
    ("typed", "unit", "shown"), [("9.62 m", "", "31.56"), ("9.62", "m", "31.56"), ("31 ft 3 in", "", "31.25")]
)
def test_a_length_may_come_in_another_unit(rig: Rig, typed: str, unit: str, shown: str) -> None:
    assert result(signed_in(rig.crew), rig.reading(1, typed, unit=unit))["shown"] == shown


@pytest.mark.parametrize(
    ("body", "words"),
    [(b"", "not JSON"), (b"{", "not JSON"), (b"[" * 100_000, "not JSON"), (b"{}", "Send a list"),
     (b'"a"', "Send a list"), (json.dumps([0] * 501).encode(), "at most 500")],
)
def test_what_is_no_list_of_readings_is_refused_in_a_sentence(rig: Rig, body: bytes, words: str) -> None:
    answer = signed_in(rig.crew).post(ADDRESS, body, content_type="application/json")
    assert answer.status_code == 400
    assert words in answer.json()["refused"]


def test_five_hundred_go_at_once(rig: Rig) -> None:
    entries = [rig.reading(1 + n % 10, "31.24") for n in range(40)] + [{}] * 460
    assert len(send(signed_in(rig.crew), entries).json()) == 500


def test_a_line_of_another_tally_is_no_line_here(rig: Rig) -> None:
    other = Rig("ELSE")
    done = result(signed_in(rig.crew), {**rig.reading(1, "31.24"), "line": other.lines[0].pk})
    assert done["status"] == "refused"
    assert "no such line" in done["problems"][0]["text"]


# Questions, confirming, taking back


def with_five(rig: Rig, client: Client) -> None:
    send(client, [rig.reading(n, "31.2" + str(n)) for n in range(1, 6)])


def test_a_reading_that_looks_wrong_is_stored_and_asks(rig: Rig) -> None:
    client = signed_in(rig.crew)
    with_five(rig, client)
    done = result(client, rig.reading(6, "13.24"))
    assert done["status"] == "stored"
    assert "31.24" in done["questions"][0]["text"]
    assert Line.objects.get(pk=rig.lines[5].pk).questions_n == 1


def test_a_question_is_answered_with_one_entry(rig: Rig) -> None:
    client = signed_in(rig.crew)
    with_five(rig, client)
    entry = rig.reading(6, "36.12")
    assert result(client, entry)["questions"]
    yes = {"key": str(uuid.uuid4()), "confirms": entry["key"]}
    assert [result(client, yes)["status"] for _ in range(2)] == ["stored", "repeated"]
    assert Consent.objects.count() == 1
    assert Line.objects.get(pk=rig.lines[5].pk).questions_n == 0


def test_a_reading_may_come_confirmed_and_is_confirmed_once(rig: Rig) -> None:
    client = signed_in(rig.crew)
    with_five(rig, client)
    entry = rig.reading(6, "36.12", confirm=True)
    assert [result(client, entry)["questions"] for _ in range(2)] == [[], []]
    assert Consent.objects.count() == 1


def test_a_reading_is_taken_back_once_by_reversing_it(rig: Rig) -> None:
    client, entry = signed_in(rig.crew), rig.reading(1, "31.24")
    result(client, entry)
    back = {"key": str(uuid.uuid4()), "takes_back": entry["key"]}
    done = result(client, back)
    assert (done["status"], done["count"], done["total"]) == ("stored", 0, "0.00")
    assert result(client, back)["status"] == "repeated"
    assert result(client, {"key": str(uuid.uuid4()), "takes_back": entry["key"]})["status"] == "refused"
    assert Strap.objects.count() == 2
    assert Line.objects.get(pk=rig.lines[0].pk).first_nm is None


def test_a_reading_of_another_site_can_be_neither_taken_back_nor_confirmed(rig: Rig) -> None:
    other = Rig("ELSE")
    entry = other.reading(1, "31.24")
    result(signed_in(other.crew), entry)
    for what in ("takes_back", "confirms"):
        done = result(signed_in(rig.crew), {"key": str(uuid.uuid4()), what: entry["key"]})
        assert [one["text"] for one in done["problems"]] == ["There is no such reading here."]


def test_a_closed_tally_takes_no_reading(rig: Rig) -> None:
    Tally.objects.filter(pk=rig.tally.pk).update(open=False)
    done = result(signed_in(rig.crew), rig.reading(1, "31.24"))
    assert done["status"] == "refused"
    assert "is closed" in done["problems"][0]["text"]
