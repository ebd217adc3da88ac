"""What the tests of the tally's pages have in common: signing in, strapping, sending a form."""

import uuid
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from rack.actions import straps
from rack.models import Site, Tally
from tests import stock

ROLES = ("crew", "supervisor", "office", "viewer")


def signed_in(name: str = "ola", role: str = "supervisor", at: Site | None = None) -> Client:
    client = Client()
    client.force_login(stock.person(name, role, at))
    return client


def read(by: Any, tally: Tally, lengths: list[str], strap_n: int = 1) -> None:
    """Read the standing lines in order, as far as there are lengths."""
    for line, typed in zip(tally.lines.standing().in_order(), lengths, strict=False):
        straps.read(stock.asks(by), straps.Reading(tally, typed, strap_n, line))


def do(client: Client, tally: Tally, what: str, **typed: Any) -> HttpResponse:
    """Send one form of the tally's page, under a new key unless one is given."""
    key = typed.pop("key", None) or uuid.uuid4()
    return client.post(reverse("tally_change", args=[tally.number, what]), {"key": str(key), **typed})


def text_of(response: HttpResponse) -> str:
    return response.content.decode()
