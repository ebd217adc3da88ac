"""No barrier on any page: axe at WCAG 2.2 AA over every address, by day and by night, no rule switched off."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests import rig as rigs
from tests.browser.walk import sign_in, walk

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {"runOnly": {"type": "tag", "values": TAGS}, "resultTypes": ["violations"]}


def barriers(page: Any) -> Iterator[str]:
    """What axe finds on the page that is open, a line each."""
    from axe_playwright_python.sync_playwright import Axe

    for found in Axe().run(page, options=OPTIONS).response["violations"]:
        for node in found["nodes"]:
            yield f"{found['id']}: {' '.join(map(str, node['target']))} {node['html'][:120]}"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_has_a_barrier(page: Any, live_server: Any, scheme: str) -> None:
    rig = rigs.build()
    page.emulate_media(color_scheme=scheme)
    page.goto("/sign-in/")
    found = [f"/sign-in/ {line}" for line in barriers(page)]
    sign_in(page.context, rig, live_server.url)
    for at in walk(page, rig):
        found += [f"{at} {line}" for line in barriers(page)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_first_page_of_an_empty_program_has_no_barrier(page: Any, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)
    page.goto("/begin/")
    assert page.locator("input[name=code]").count() == 1
    assert list(barriers(page)) == []


def test_a_page_with_a_barrier_is_found(page: Any) -> None:
    """Else the silence of the others proves nothing."""
    page.goto("/sign-in/")
    page.evaluate("() => document.querySelector('label').remove()")
    assert any(line.startswith("label") for line in barriers(page))
