"""The reference pages as the tests ask for them: a pick a page, and what a page shows."""

import re
from typing import Any
from urllib.parse import urlencode

from django.test import Client
from django.urls import reverse

from rack.models import Site
from tests import stock

PIPE = {"pipe": "5/19.50", "grade": "S135", "pipe_class": "premium"}
JOINT = {"connection": "4-1/2 IF", "od": "6-1/2", "bore": "3,25", "body": "new tool joint"}
CASING = {"pipe": "casing/9-5.8/47", "grade": "L80", "thread": "BTC", "range": "R3"}
BIT = {
    "bit": "fixed cutter", "size": "8-1/2", "nozzles": "3x16", "code": "M323", "dull": "1-2-WT-A-X-I-NO-TD",
}  # fmt: skip
PICKS = {"pipe": PIPE, "connections": JOINT, "casing": CASING, "bits": BIT}


def signed_in(name: str = "ada", role: str = "viewer", at: Site | None = None, **more: Any) -> Client:
    client = Client()
    client.force_login(stock.person(name, role, at, **more))
    return client


def office() -> Client:
    return signed_in("ines", "office", everywhere=True)


def look(client: Client, page: str, **typed: str) -> Any:
    return client.get(f"{reverse(f'reference_{page}')}?{urlencode(typed)}")


def figures(response: Any) -> dict[str, str]:
    """Label -> text of every figure that the page shows."""
    return {one.label: one.text for part in response.context["parts"] for one in part.figures}


def text_of(response: Any) -> str:
    """What the page says, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).split())
