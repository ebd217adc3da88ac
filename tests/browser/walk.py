"""One walk by a real browser over every page of the table of addresses."""

from collections.abc import Iterator
from typing import Any

from django.conf import settings
from django.test import Client
from django.urls import resolve

from tests import rig as rigs
from tests.addresses import pages
from tests.rig import Rig

#: The pages that say there is no such thing.
NOT_THERE = ("/S/ABC/", "/C/ABC/", "/L/ABC/", "/T/ABC", "/T/000000W")
SETTLED = """() => !document.querySelector(".htmx-request, [hx-trigger=load]:has(> .pad)")
    && (!document.querySelector("#strap-page") || document.documentElement.dataset.strap === "ready")"""


def sign_in(context: Any, rig: Rig, address: str) -> None:
    """Sign in a person who sees every page and all that can be done there, with a list that waits."""
    client = Client()
    client.force_login(rig.everywhere, backend="django.contrib.auth.backends.ModelBackend")
    rigs.waits(client, rig)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": address}])


def addresses(rig: Rig) -> list[str]:
    """Every address with a page behind it; those that are one page under two spellings, once."""
    found: dict[tuple[Any, ...], str] = {}
    for at in (one(rig) for one in pages()):
        path, _, query = at.partition("?")
        match = resolve(path)
        found.setdefault((match.func, *map(str, match.kwargs.values()), query), at)
    return list(found.values())


def walk(page: Any, rig: Rig, part: int = 0, parts: int = 1) -> Iterator[str]:
    """Open each address of a part in turn, wait until it has settled, and fold everything out."""
    for at in addresses(rig)[part::parts]:
        answer = page.goto(at)
        assert answer.status == (404 if at in NOT_THERE else 200), f"{at}: {answer.status}"
        if at in NOT_THERE:  # the browser writes that on its console, too
            page.console_errors[:] = [line for line in page.console_errors if "404" not in line]
        page.wait_for_function(SETTLED)
        page.evaluate("() => document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        yield at
