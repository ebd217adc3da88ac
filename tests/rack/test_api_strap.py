"""What /api/ tells of a strap: blind while the second is open, and always as it is described."""

import uuid
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from django.test import Client

from rack.actions.people import make_token
from rack.actions.straps import begin_strap, finish_strap
from rack.models import Line
from tests import stock
from tests.rack.reading import Rig, send, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return Rig()


# Blindness (law 13)


FIRST = ["31.07", "31.18", "30.93", "31.29", "31.36", "30.81"]
LEAKS = [*FIRST, "186.64", "31.1", "30.8", "186"]


@pytest.fixture
def blind() -> Rig:
    """A first strap of six lines, and the second one begun."""
    rig = Rig(straps_wanted=2)
    rig.first = [rig.reading(n, length) for n, length in enumerate(FIRST, start=1)]
    send(signed_in(rig.crew), rig.first)
    begin_strap(stock.asks(rig.crew), rig.tally, 2, "T-09", "Bo", "")
    return rig


def clean(answer: Any) -> None:
    text = answer.content.decode()
    shown = [leak for leak in LEAKS if leak in text]
    assert shown == [], f"the first strap shows through: {shown} in {text[:400]}"


def test_a_reading_of_the_second_strap_tells_nothing_of_the_first(blind: Rig) -> None:
    answer = send(signed_in(blind.crew), [blind.reading(1, "32.50", strap_n=2)])
    clean(answer)
    assert (answer.json()[0]["count"], answer.json()[0]["total"]) == (1, "32.50")


@pytest.mark.parametrize("typed", ["13.17", "99.99", "32.55"])
def test_a_late_reading_of_the_first_strap_is_kept_and_answered_blindly(blind: Rig, typed: str) -> None:
    answer = send(signed_in(blind.crew), [blind.reading(1, typed)])
    clean(answer)
    done = answer.json()[0]
    assert (done["status"], done["shown"], done["questions"], done["total"]) == ("stored", "", [], None)
    assert Line.objects.get(pk=blind.lines[0].pk).first_nm is not None


def test_taking_back_in_the_first_strap_tells_no_length(blind: Rig) -> None:
    clean(send(signed_in(blind.crew), [{"key": str(uuid.uuid4()), "takes_back": blind.first[0]["key"]}]))


def test_the_first_strap_cannot_be_asked_for_and_the_second_tells_nothing(blind: Rig) -> None:
    client = signed_in(blind.crew)
    for tail in ("", "/line?joint=1"):
        first = client.get(f"/api/tallies/{blind.tally.pk}/strap/1{tail}")
        assert first.status_code == 403
        clean(first)
        second = client.get(f"/api/tallies/{blind.tally.pk}/strap/2{tail}")
        assert second.status_code == 200
        clean(second)


def test_both_straps_are_shown_when_the_second_is_finished(blind: Rig) -> None:
    client = signed_in(blind.crew)
    send(client, [blind.reading(1, "31.07", strap_n=2)])
    finish_strap(stock.asks(blind.crew), blind.tally, 2)
    assert client.get(f"/api/tallies/{blind.tally.pk}/strap/1").json()["count"] == 6


# What the page asks for


def test_the_state_of_a_strap_names_the_lines_that_come(rig: Rig) -> None:
    client = signed_in(rig.crew)
    send(client, [rig.reading(1, "31.24"), rig.reading(2, "31.30")])
    strap = client.get(f"/api/tallies/{rig.tally.pk}/strap/1?most=3&after={rig.lines[1].pk}").json()
    assert [one["painted"] for one in strap["coming"]] == ["3", "4", "5"]
    assert [one["shown"] for one in strap["last"]] == ["31.30", "31.24"]
    assert (strap["count"], strap["total"], strap["unread"], strap["follows"]) == (2, "62.54", 8, "11")


@pytest.mark.parametrize(("joint", "found"), [("3", "3"), ("36A", None), ("\0", None)])
def test_a_line_is_found_by_its_number(rig: Rig, joint: str, found: str | None) -> None:
    answer = signed_in(rig.crew).get(f"/api/tallies/{rig.tally.pk}/strap/1/line", {"joint": joint}).json()
    assert (answer["found"] or {}).get("painted") == found


@pytest.mark.parametrize("tail", ["strap/1", "strap/2", "strap/1/line?joint=1"])
def test_a_tally_of_another_site_does_not_exist(rig: Rig, tail: str) -> None:
    client = signed_in(stock.person("stranger", "office", stock.site("ELSE")))
    answer = client.get(f"/api/tallies/{rig.tally.pk}/{tail}")
    assert answer.status_code == 404
    assert answer.json()["refused"]


def test_the_description_is_there_and_sends_nobody_elsewhere(rig: Rig) -> None:
    answer = Client().get("/api/openapi.json")
    assert answer.status_code == 200
    assert set(answer.json()["paths"]["/api/readings"]) == {"post"}
    assert b"http://" not in answer.content
    assert b"https://" not in answer.content
    assert Client().get("/api/docs").status_code == 404


def test_the_api_answers_as_it_is_described(rig: Rig) -> None:
    """A small trial with made-up calls: no 5xx, and no status or body that the description does not know."""
    import schemathesis
    from hypothesis import HealthCheck, Phase, given, settings

    from rack.wsgi import application

    head = {"Authorization": f"Bearer {make_token(stock.asks(rig.crew), rig.crew, 'trial')}"}
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", application)
    tried = []
    for operation in schema.get_all_operations():
        one = operation.ok()

        @given(case=one.as_strategy())
        @settings(
            max_examples=25, deadline=None, database=None, phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        def trial(case: Any) -> None:
            case.call_and_validate(headers=head)

        trial()
        tried.append(one.path)
    assert len(tried) == 3


@pytest.fixture(autouse=True)
def connection_outlives_a_call() -> Iterator[None]:
    """A call through WSGI would close the connection that holds the test's transaction."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)
