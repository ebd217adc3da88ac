"""A rig with its people and an open tally, and how an entry is sent to it."""

import json
import uuid
from typing import Any

from django.test import Client

from rack.actions.tallies import add_numbers
from tests import stock

ADDRESS = "/api/readings"


class Rig:
    """A site with its people and an open tally of ten numbered lines."""

    def __init__(self, code: str = "SH3", **head: Any) -> None:
        self.site = stock.site(code)
        self.crew = stock.person(f"crew-{code}", "crew", self.site)
        self.tally = stock.tally(self.crew, self.site, **head)
        add_numbers(stock.asks(self.crew), self.tally, "1", 10)
        self.lines = list(self.tally.lines.in_order())

    def reading(self, n: int, typed: str, **more: Any) -> dict[str, Any]:
        line = self.lines[n - 1].pk
        return {"key": str(uuid.uuid4()), "tally": self.tally.pk, "line": line, "typed": typed, **more}


def signed_in(user: Any) -> Client:
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


def send(client: Client, entries: Any, **more: Any) -> Any:
    return client.post(ADDRESS, json.dumps(entries), content_type="application/json", **more)


def result(client: Client, entry: Any) -> Any:
    answer = send(client, [entry])
    assert answer.status_code == 200, answer.content
    return answer.json()[0]
