"""Every address against six people: what each gets, who writes, and that a stranger learns nothing."""

import json
import uuid
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import get_resolver

from rack.models import Journal
from tests import rig as rigs
from tests.addresses import ADDRESSES, PEOPLE, Address, Post
from tests.rig import Rig

SIGN_IN = "/sign-in/"
#: Words that stand on the pages of the rig and must never reach somebody from elsewhere.
SITE_NAME = "Sandholm SH3"
SECRETS = ("KD4102", "KD7001", SITE_NAME, "gantry_42")


@pytest.fixture
def rig(db: None) -> Rig:
    return rigs.build()


def routes(resolver: Any, before: str = "") -> Iterator[str]:
    for one in resolver.url_patterns:
        if hasattr(one, "url_patterns"):
            yield from routes(one, before + str(one.pattern))
        else:
            yield before + str(one.pattern)


def test_every_address_of_the_program_has_its_row_in_the_table() -> None:
    known = [one.route for one in ADDRESSES]
    assert sorted(known) == sorted(set(routes(get_resolver())))


def test_everything_that_can_be_done_to_a_tally_has_its_row() -> None:
    from rack.views.strapping import POSTS
    from rack.views.tally_changes import CHANGES

    row = next(one for one in ADDRESSES if one.route == "tallies/<int:number>/do/<slug:what>/")
    assert {post.name for post in row.posts} == set(CHANGES)
    assert {"read", "take back", "begin"} <= set(POSTS)


def client_of(rig: Rig, person: str) -> Client:
    client = Client()
    user = rig.who[person]
    if user:
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        if person != "stranger":
            rigs.waits(client, rig)
    return client


@pytest.mark.parametrize("person", PEOPLE)
def test_each_address_answers_each_person_as_the_table_says(rig: Rig, person: str) -> None:
    client, column, odd = client_of(rig, person), PEOPLE.index(person), []
    for row in ADDRESSES:
        answer = client.get(row.at(rig))
        expected = int(row.get.split()[column])
        if answer.status_code != expected:
            odd.append(f"{row.at(rig)}: {answer.status_code}, not {expected}")
        odd += _leads_astray(row, person, answer)
    assert not odd, "\n".join(odd)


@pytest.mark.parametrize("person", PEOPLE)
def test_each_form_answers_each_person_as_the_table_says(rig: Rig, person: str) -> None:
    column, odd = PEOPLE.index(person), []
    for row in ADDRESSES:
        for post in row.posts:
            with transaction.atomic():  # each is tried on the same rig
                odd += _sent(client_of(rig, person), rig, row, post, person, column)
                transaction.set_rollback(True)
    assert not odd, "\n".join(odd)


def _sent(client: Client, rig: Rig, row: Address, post: Post, person: str, column: int) -> list[str]:
    at, expected = (post.at or row.at)(rig), int(post.answers.split()[column])
    lines, here = Journal.objects.count(), Journal.objects.filter(site=rig.site).count()
    answer = send(client, at, post, rig)
    odd = _leads_astray(row, person, answer)
    if answer.status_code != expected:
        odd.append(f"{at} {post.name}: {answer.status_code}, not {expected}")
    written = Journal.objects.count() - lines
    if person in ("viewer", "nobody") and written:
        odd.append(f"{at} {post.name}: {person} has written")
    if person == "stranger" and Journal.objects.filter(site=rig.site).count() != here:
        odd.append(f"{at} {post.name}: the stranger has written here")
    allowed = expected in (200, 302) and person in ("crew", "supervisor", "office")
    if post.writes and allowed and not written:
        odd.append(f"{at} {post.name}: {person} may, but nothing was written")
    return odd


def send(client: Client, at: str, post: Post, rig: Rig) -> Any:
    body = post.body(rig)
    if post.json:
        return client.post(at, json.dumps(body), content_type="application/json")
    return client.post(at, {"key": str(uuid.uuid4()), **body})


def _leads_astray(row: Address, person: str, answer: Any) -> list[str]:
    """A person who is signed in is not asked to sign in; nobody sees no more than that page."""
    to = answer.headers.get("Location", "")
    free = row.route.startswith(("begin/", "sign-", "api/"))
    if person == "nobody" and not free and not to.startswith(SIGN_IN):
        return [f"{row.route}: nobody is led to {to or answer.status_code}"]
    if person != "nobody" and not free and to.startswith(SIGN_IN):
        return [f"{row.route}: {person} is led to sign in"]
    text = b"" if answer.streaming else answer.content
    secrets = [word for word in SECRETS if not (row.names_sites and word == SITE_NAME)]
    if person in ("stranger", "nobody") and any(word.encode() in text for word in secrets):
        return [f"{row.route}: {person} reads of the rig"]
    return []


def test_the_words_that_a_stranger_must_not_read_are_on_the_pages_of_the_rig(rig: Rig) -> None:
    """Else the search for them proves nothing."""
    client = client_of(rig, "office")
    seen = b"".join(client.get(row.at(rig)).content for row in ADDRESSES if row.page)
    assert [word for word in SECRETS if word.encode() not in seen] == []


def test_readings_of_a_viewer_and_of_a_stranger_are_refused_one_by_one(rig: Rig) -> None:
    row = next(one for one in ADDRESSES if one.route == "api/readings")
    said = {person: send(client_of(rig, person), "/api/readings", row.posts[0], rig).json()[0]["status"]
            for person in ("crew", "viewer", "stranger")}
    assert said == {"crew": "stored", "viewer": "refused", "stranger": "refused"}


def test_a_supervisor_of_another_site_finds_no_hold_here(rig: Rig) -> None:
    from tests import stock

    client = Client()
    user = stock.person("sue", "supervisor", rig.other)
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    at = f"/piece/{rig.pieces[2].tag}/release/{rig.hold.pk}/"
    answer = client.post(at, {"key": str(uuid.uuid4()), "reason": "dressed"})
    assert answer.status_code == 404
    assert not Journal.objects.filter(by=user).exists()


def test_a_deleted_post_shuts_the_site(rig: Rig) -> None:
    from rack.actions.people import end_post
    from tests import stock

    client = client_of(rig, "crew")
    assert client.get("/rack/").status_code == 200
    end_post(stock.asks(rig.who["office"]), rig.post_of("crew"))
    assert client.get("/rack/").status_code == 403
