"""No barrier on any page: axe at WCAG 2.2 AA over every address, by day and by night."""

from collections.abc import Iterator, Sequence
from typing import Any

import pytest
from django.urls import resolve

from tests import rig as rigs
from tests.browser.walk import sign_in, walk

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PARTS = 4
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
#: By night the same words and marks stand on the page in other colours, so that only the rules about
#: colour can answer otherwise; all of them are asked by day.
OF_COLOUR = ["color-contrast", "link-in-text-block"]
ASKED = {"light": {"type": "tag", "values": TAGS}, "dark": {"type": "rule", "values": OF_COLOUR}}


def barriers(page: Any, scheme: str = "light") -> Iterator[str]:
    """What axe finds on the page that is open, a line each."""
    from axe_playwright_python.sync_playwright import Axe

    options = {"runOnly": ASKED[scheme], "resultTypes": ["violations"]}
    for found in Axe().run(page, options=options).response["violations"]:
        for node in found["nodes"]:
            yield f"{found['id']}: {' '.join(map(str, node['target']))} {node['html'][:120]}"


def by_day_and_by_night(
    page: Any, at: str, schemes: Sequence[str] = ("light", "dark")
) -> Iterator[str]:
    """What axe finds on the open page in both schemes, each line with the address."""
    for scheme in schemes:
        page.emulate_media(color_scheme=scheme)
        for line in barriers(page, scheme):
            yield f"{at} {scheme}: {line}"


@pytest.mark.parametrize("part", range(PARTS))
def test_no_page_has_a_barrier_and_none_is_wider_than_a_desk(page: Any, live_server: Any, part: int) -> None:
    """In parts, so that the processes of the tests share the walk."""
    rig = rigs.build()
    page.goto("/sign-in/")
    found = list(by_day_and_by_night(page, "/sign-in/"))
    sign_in(page.context, rig, live_server.url)
    width = page.viewport_size["width"]
    by_night: set[Any] = set()
    for at in walk(page, rig, part, PARTS):
        view = resolve(at.partition("?")[0]).func
        # By night a page in another state has the same colours: one state of each is asked.
        found += by_day_and_by_night(page, at, ("light",) if view in by_night else ("light", "dark"))
        by_night.add(view)
        across = page.evaluate("() => document.documentElement.scrollWidth")
        found += [f"{at}: {across} px wide"] if across > width else []
        page.emulate_media(color_scheme="light")
    assert width == 1280
    assert not found, "\n".join(found)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_first_page_of_an_empty_program_has_no_barrier(page: Any, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)
    page.goto("/begin/")
    assert page.locator("input[name=code]").count() == 1
    assert list(barriers(page, scheme)) == []


def test_a_page_with_a_barrier_is_found(page: Any) -> None:
    """Else the silence of the others proves nothing."""
    page.goto("/sign-in/")
    page.evaluate("() => document.querySelector('label').remove()")
    assert any(line.startswith("label") for line in barriers(page))


def test_ink_that_cannot_be_read_by_night_is_found(page: Any) -> None:
    page.emulate_media(color_scheme="dark")
    page.goto("/sign-in/")
    page.evaluate("() => { document.querySelector('label').style.color = '#333'; }")
    assert any(line.startswith("color-contrast") for line in barriers(page, "dark"))
