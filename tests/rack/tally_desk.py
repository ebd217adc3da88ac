"""What the tests of the tally's pages have in common: signing in, strapping, sending a form or a sheet."""

import re
import uuid
from datetime import timedelta
from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from rack.actions import straps
from rack.models import Site, Tally
from tests import stock

ROLES = ("crew", "supervisor", "office", "viewer")
#: The head of a pencil sheet as it is typed in, and the beginning of a photo.
DAY = (timezone.now() - timedelta(days=9)).date().isoformat()
HEAD = {"date": DAY, "at": "14:20", "tape": "T-03", "reader": "Cleo", "writer": "Dag"}
JPEG = b"\xff\xd8\xff\xe0" + b"rack" * 20


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


def form_of(client: Client, tally: Tally, strap: int = 1, page: int = 1) -> dict[str, str]:
    """The fields of the page as a browser would send them back, nothing typed yet."""
    response = client.get(reverse("pencil", args=[tally.number]), {"strap": strap, "page": page})
    text = text_of(response)
    fields = re.findall(r'<input[^>]* name="((?:key|line|painted)-\d+)"[^>]*? value="([^"]*)"', text)
    return {**dict(fields), **HEAD, "strap": str(strap), "page": str(page), "key": str(uuid.uuid4())}


def send(client: Client, tally: Tally, form: dict[str, str], lengths: list[str], **more: Any) -> HttpResponse:
    """Send a page of a pencil sheet with these lengths typed into its rows."""
    typed = {f"typed-{n}": text for n, text in enumerate(lengths)}
    return client.post(reverse("pencil", args=[tally.number]), {**form, **typed, **more})
