"""Every page fits a phone: nothing to scroll sideways; where gloves work, targets for gloves.

That every page fits a desk is seen on the walk of `test_axe`.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from tests import rig as rigs
from tests.browser.walk import sign_in, walk

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

#: The least side of what a glove taps, in CSS pixels.
GLOVE = 44
TARGETS = """() => [...document.querySelectorAll(
        "main a.act, main button, main input:not([type=hidden]), main select, main summary, main .keypad *")]
    .filter((one) => one.checkVisibility({ checkVisibilityCSS: true }) && !one.closest("svg"))
    .map((one) => {
        const box = (one.matches("[type=radio], [type=checkbox]") ? one.closest("label, .field") || one : one)
            .getBoundingClientRect();
        return [one.tagName.toLowerCase() + " " + (one.innerText || one.name || one.className).slice(0, 40),
                Math.round(box.width), Math.round(box.height)];
    })"""


@pytest.fixture
def phone(browser: Any, live_server: Any) -> Iterator[Any]:
    """A page on a phone, which has a touch screen."""
    context = browser.new_context(
        base_url=live_server.url, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.console_errors = []
    yield page
    context.close()


def test_no_page_scrolls_sideways_and_gloves_find_their_targets(phone: Any, live_server: Any) -> None:
    rig = rigs.build()
    sign_in(phone.context, rig, live_server.url)
    width, wrong, seen = phone.viewport_size["width"], [], 0
    for at in walk(phone, rig):
        across = phone.evaluate("() => document.documentElement.scrollWidth")
        if across > width:
            wrong.append(f"{at}: {across} px wide")
        if phone.locator("body.rack-size").count():
            targets = phone.evaluate(TARGETS)
            seen += len(targets)
            small = [one for one in targets if one[1] < GLOVE or one[2] < GLOVE]
            wrong += [f"{at}: {name} is {across} x {high} px" for name, across, high in small]
    assert seen > 40, "hardly a target was measured"
    assert not wrong, "\n".join(wrong)
