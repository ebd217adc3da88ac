"""Every page fits a desk and a phone: nothing to scroll sideways; where gloves work, targets for gloves."""

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


@pytest.fixture(params=[1280, 390], ids=["desk", "phone"])
def sized(request: pytest.FixtureRequest, browser: Any, live_server: Any) -> Iterator[Any]:
    """A page of that width, signed in; a phone has a touch screen."""
    phone = request.param < 600
    context = browser.new_context(
        base_url=live_server.url, viewport={"width": request.param, "height": 844},
        has_touch=phone, is_mobile=phone,
    )  # fmt: skip
    page = context.new_page()
    page.console_errors = []
    yield page
    context.close()


def test_no_page_scrolls_sideways_and_gloves_find_their_targets(sized: Any, live_server: Any) -> None:
    rig = rigs.build()
    sign_in(sized.context, rig, live_server.url)
    width, wrong, seen = sized.viewport_size["width"], [], 0
    for at in walk(sized, rig):
        across = sized.evaluate("() => document.documentElement.scrollWidth")
        if across > width:
            wrong.append(f"{at}: {across} px wide")
        if sized.locator("body.rack-size").count():
            targets = sized.evaluate(TARGETS)
            seen += len(targets)
            small = [one for one in targets if one[1] < GLOVE or one[2] < GLOVE]
            wrong += [f"{at}: {name} is {across} x {high} px" for name, across, high in small]
    assert seen > 40, "hardly a target was measured"
    assert not wrong, "\n".join(wrong)
