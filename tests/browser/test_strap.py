"""The strap page in a real Chromium: thirty joints by keyboard, questions, jumps, gloves, two straps."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from rack.actions import straps
from rack.actions.tallies import add_numbers
from rack.calc.lengths import Length
from rack.calc.painted import number_after
from rack.models import Consent, Line, Strap
from tests import stock
from tests.browser.strap_desk import READINGS, Desk, standing

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def desk(page: Any, live_server: Any, sign_in: Callable[..., None]) -> Iterator[Desk]:
    desk = Desk(page, live_server.url, sign_in)
    yield desk
    desk.quiet()


def test_thirty_joints_are_strapped_by_keyboard_alone(desk: Desk) -> None:
    tally = desk.tally(30)
    desk.open(tally)
    typed = [f"31{n:02d}" for n in range(10, 40)]
    for n, text in enumerate(typed, start=1):
        assert desk.joint() == f"Joint {n}"
        desk.types("6131" if n == 12 else "3131" if n == 20 else text)
        if n == 12:  # it looks wrong; the next joint comes all the same
            desk.page.wait_for_selector("#asking [data-yes]")
            assert desk.joint() == "Joint 13"
            desk.page.keyboard.press("+")
        if n == 20:  # the wrong joint was read: taken back and read again
            desk.page.keyboard.press("-")
            assert desk.joint() == "Joint 20"
            desk.types(text)
    desk.sent()
    assert desk.joint() == "Every line is read"
    expected = [Length.parse("61.31" if n == 12 else f"31.{n + 9:02d}").nanometres for n in range(1, 31)]
    assert [one.nm for one in standing()] == expected
    total = Length(sum(expected)).shown("ft", 2)
    desk.page.wait_for_function(f"() => document.getElementById('total').textContent === '{total}'")
    assert desk.page.inner_text("#count") == "30"
    assert Consent.objects.count() == 1
    assert Strap.objects.exclude(reverses=None).count() == 1
    assert Strap.objects.filter(reverses=None).count() == 31
    assert desk.page.locator("#last li").count() == 10
    assert desk.kept() == 0


def test_a_long_list_is_strapped_without_a_connection_from_the_first_joint_on(desk: Desk) -> None:
    """A hundred joints lie ready; the page never says that every line is read while some are not."""
    tally = stock.tally(desk.crew, desk.site)
    add_numbers(stock.asks(desk.crew), tally, "1", 100)
    desk.open(tally)
    desk.page.context.set_offline(True)
    for n in range(1, 61):
        assert desk.joint() == f"Joint {n}"
        desk.types(f"31{n:02d}")
    desk.page.context.set_offline(False)
    desk.sent()
    assert [one.typed for one in standing()] == [f"31{n:02d}" for n in range(1, 61)]


def test_every_answer_may_be_a_tap(desk: Desk) -> None:
    desk.open(desk.tally(8))
    for n in range(1, 6):
        desk.types(f"312{n}")
    desk.types("1324")
    desk.page.click("#asking [data-again]")
    assert desk.joint() == "Joint 6"
    desk.types("3124")
    desk.page.locator("#last li", has_text="31.22").locator("button").click()
    desk.page.wait_for_function("() => document.querySelector('#joint b').textContent === 'Joint 2'")
    desk.types("3199")
    desk.types("6112")
    desk.page.click("#asking [data-yes]")
    desk.sent()
    assert [one.typed for one in standing()] == ["3121", "3199", "3123", "3124", "3125", "3124", "6112"]
    assert Consent.objects.count() == 1
    assert desk.page.locator("#asking li").count() == 0


def test_a_list_grows_by_itself_and_takes_a_new_number_between(desk: Desk) -> None:
    tally = stock.tally(desk.crew, desk.site)
    desk.open(tally)
    desk.types("3124")
    desk.types("3125")
    desk.page.keyboard.press("*")
    desk.types("2A")
    desk.page.wait_for_function("() => document.querySelector('#joint b').textContent === 'Joint 2A'")
    desk.types("3126")
    desk.types("3127")
    desk.sent()
    painted = list(tally.lines.in_order().values_list("painted", flat=True))
    assert painted == ["1", "2", "2A", "3"]
    assert [one.typed for one in standing()] == ["3124", "3125", "3126", "3127"]


def test_a_joint_left_out_comes_again_at_the_end(desk: Desk) -> None:
    desk.open(desk.tally(4))
    desk.types("3121")
    desk.page.keyboard.press("ArrowDown")
    assert desk.joint() == "Joint 3"
    desk.types("3123")
    desk.types("3124")
    assert desk.joint() == "Joint 2"
    desk.types("3122")
    desk.sent()
    assert [one.typed for one in standing()] == ["3121", "3122", "3123", "3124"]


def test_another_joint_is_reached_by_its_number(desk: Desk) -> None:
    desk.open(desk.tally(60))
    desk.page.keyboard.press("*")
    desk.types("55")
    desk.page.wait_for_function("() => document.querySelector('#joint b').textContent === 'Joint 55'")
    desk.types("3124")
    desk.sent()
    assert Line.objects.get(pk=desk.lines[54].pk).first_nm
    assert desk.joint() == "Joint 1", "the joint in hand comes again"
    desk.page.wait_for_selector("#sheet caption:text('1 to 10')")


def test_gloves_have_a_keypad_with_large_keys(
    browser: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    context = browser.new_context(
        base_url=live_server.url, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.console_errors = []
    desk = Desk(page, live_server.url, sign_in)
    desk.open(desk.tally(3))
    for figure in "3124":
        page.tap(f"#keypad [data-digit='{figure}']")
    page.tap("#keypad [data-erase]")
    page.tap("#keypad [data-digit='9']")
    assert page.input_value("#reading") == "3129"
    assert page.get_attribute("#reading", "inputmode") == "none"
    page.tap("#read .next")
    desk.sent()
    assert [one.typed for one in standing()] == ["3129"]
    keys = page.locator("#keypad button, #read .next, #last button, #skip, #jump button")
    for place in range(keys.count()):
        box = keys.nth(place).bounding_box()
        assert box["height"] >= 56, keys.nth(place).inner_text()
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390
    context.close()


def test_the_second_strap_asks_for_its_hands_and_shows_nothing_of_the_first(desk: Desk) -> None:
    tally = desk.tally(4, straps_wanted=2)
    for line, typed in zip(desk.lines, ["31.07", "31.18", "30.93", "31.29"], strict=True):
        straps.read(stock.asks(desk.crew), straps.Reading(tally, typed, 1, line))
    desk._sign_in(desk.page, desk.crew, desk.address)
    desk.page.goto(f"/tallies/{tally.number}/strap/2/")
    for name, text in {"tape": "T-09", "reader": "Bo", "writer": "Cy"}.items():
        desk.page.fill(f"[name={name}]", text)
    seen: list[str] = []
    desk.page.on("response", lambda answer: "/static/" in answer.url or seen.append(answer.text()))
    desk.page.click("main button[type=submit]")
    desk.page.wait_for_selector("html[data-strap=ready]")
    for typed in ("3260", "3261", "1332", "3263"):
        desk.types(typed)
    desk.sent()
    desk.page.wait_for_function("() => document.getElementById('count').textContent === '4'")
    text = desk.page.content() + "".join(seen)
    leaks = [leak for leak in ("31.07", "31.18", "30.93", "31.29", "124.47", "31.12") if leak in text]
    assert leaks == []
    assert [one.typed for one in standing(2)] == ["3260", "3261", "1332", "3263"]


@pytest.mark.parametrize("painted", ["1", "36", "36A", "R-09", "R-99", "", "A", "007", "9"])
def test_the_page_counts_painted_numbers_on_as_the_server_does(
    page: Any, live_server: Any, painted: str
) -> None:
    page.goto("/sign-in/")
    module = f"{live_server.url}/static/rack/strap-figures.js"
    told = page.evaluate(f"async (text) => (await import('{module}')).numberAfter(text)", painted)
    assert told == number_after(painted)


@pytest.mark.parametrize(
    ("typed", "digits", "steps"),
    [("3124", 2, 3124), ("31.24", 2, 3124), ("31,2", 2, 3120), ("31.", 2, 3100), ("9523", 3, 9523),
     ("31.245", 2, None), ("31 ft 3 in", 2, None), ("7", 2, 7)],
)
def test_the_page_reads_plain_lengths_as_the_server_does(
    page: Any, live_server: Any, typed: str, digits: int, steps: int | None
) -> None:
    page.goto("/sign-in/")
    module = f"{live_server.url}/static/rack/strap-figures.js"
    told = page.evaluate(
        f"async ([text, digits]) => (await import('{module}')).stepsOf(text, digits)", [typed, digits]
    )
    assert told == steps


def test_lines_that_exist_already_are_read_in_their_order(desk: Desk) -> None:
    tally = stock.tally(desk.crew, desk.site)
    add_numbers(stock.asks(desk.crew), tally, "R-08", 3)
    desk.open(tally)
    for typed in ("3121", "3122", "3123", "3124"):
        desk.types(typed)
    desk.sent()
    assert list(tally.lines.in_order().values_list("painted", flat=True)) == ["R-08", "R-09", "R-10", "R-11"]
    assert [one.typed for one in standing()] == ["3121", "3122", "3123", "3124"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390])
def test_the_page_in_its_busiest_state_has_no_barrier(desk: Desk, scheme: str, width: int) -> None:
    """With a question, a refused entry, one taken back and the server gone, at WCAG 2.2 AA."""
    from axe_playwright_python.sync_playwright import Axe

    desk.page.emulate_media(color_scheme=scheme)
    desk.page.set_viewport_size({"width": width, "height": 844})
    desk.open(desk.tally(12))
    for text in ("3121", "3122", "31.2.4", "6131"):
        desk.types(text)
    desk.page.wait_for_selector("#asking li")
    desk.page.wait_for_selector("#refused li")
    desk.page.locator("#last button").last.click()
    desk.sent()
    desk.page.route(READINGS, lambda route: route.abort())
    desk.types("3125")
    desk.told("No answer")
    desk.page.click("#finish summary")
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    found = Axe().run(desk.page, options={"runOnly": {"type": "tag", "values": tags}})
    assert found.violations_count == 0, found.generate_report()
    assert desk.page.evaluate("() => document.documentElement.scrollWidth") <= width
    desk.page.unroute(READINGS)
    desk.sent()


def test_a_glove_that_taps_twice_answers_one_question(desk: Desk) -> None:
    desk.open(desk.tally(4))
    desk.types("6131")
    desk.types("6232")
    desk.page.wait_for_function("() => document.querySelectorAll('#asking li').length === 2")
    desk.page.dblclick("#asking [data-yes]")
    desk.sent()
    assert Consent.objects.count() == 1
