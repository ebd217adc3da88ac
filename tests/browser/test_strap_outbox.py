"""Nothing typed on the strap page is lost or stored twice, whatever line, server or browser do."""

import uuid
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from rack.models import Strap
from tests import stock
from tests.browser.strap_desk import READINGS, Desk, standing

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def desk(page: Any, live_server: Any, sign_in: Callable[..., None]) -> Iterator[Desk]:
    desk = Desk(page, live_server.url, sign_in)
    yield desk
    desk.quiet()


def test_an_answer_that_is_lost_after_it_was_stored_does_not_double(desk: Desk) -> None:
    desk.open(desk.tally(5))
    lost = []

    def lose(route: Any) -> None:
        if len(lost) < 2:
            lost.append(route.fetch().status)  # the server has stored it
            route.abort()
        else:
            route.continue_()

    desk.page.route(READINGS, lose)
    desk.types("3124")
    desk.types("3125")
    desk.told("No answer")
    desk.sent()
    assert lost == [200, 200]
    assert [one.typed for one in standing()] == ["3124", "3125"]
    assert Strap.objects.count() == 2
    assert desk.page.inner_text("#count") == "2"
    assert desk.page.inner_text("#waiting") == ""


def test_without_a_connection_it_goes_on_and_sends_when_there_is_one(desk: Desk) -> None:
    desk.open(desk.tally(30))
    desk.types("3124")
    desk.sent()
    desk.page.context.set_offline(True)
    for n in range(2, 23):
        assert desk.joint() == f"Joint {n}"
        desk.types(f"31{n:02d}")
    desk.page.keyboard.press("-")
    desk.types("3140")
    desk.told("23 entries wait")
    assert desk.page.inner_text("#count") == "22", "the sums go on with what waits"
    assert desk.page.locator("#finish-it").is_disabled()
    assert Strap.objects.count() == 1
    desk.page.context.set_offline(False)
    desk.sent()
    assert [one.typed for one in standing()] == ["3124", *[f"31{n:02d}" for n in range(2, 22)], "3140"]
    assert desk.kept() == 0
    assert desk.page.locator("#finish-it").is_enabled()


def test_what_waits_is_there_after_the_page_was_loaded_again(desk: Desk) -> None:
    tally = desk.tally(5)
    desk.open(tally)
    desk.page.route(READINGS, lambda route: route.abort())
    desk.types("3124")
    desk.types("3125")
    desk.told("2 entries wait")
    desk.page.reload()
    desk.page.wait_for_selector("html[data-strap=ready]")
    assert desk.joint() == "Joint 3"
    assert desk.page.locator("#last li", has_text="waits").count() == 2
    assert desk.page.inner_text("#total") == "62.49"
    desk.page.unroute(READINGS)
    desk.sent()
    assert [one.typed for one in standing()] == ["3124", "3125"]


@pytest.mark.parametrize("status", [500, 502, 200])
def test_a_server_that_answers_nonsense_has_stored_nothing(desk: Desk, status: int) -> None:
    desk.open(desk.tally(3))
    desk.page.route(READINGS, lambda route: route.fulfill(status=status, body="<p>the line is down</p>"))
    desk.types("3124")
    desk.told("No answer")
    assert desk.kept() == 1
    desk.page.unroute(READINGS)
    desk.sent()
    assert [one.typed for one in standing()] == ["3124"]


def test_a_person_who_was_signed_out_keeps_what_was_typed(desk: Desk) -> None:
    tally = desk.tally(3)
    desk.open(tally)
    desk.page.context.clear_cookies()
    desk.types("3124")
    desk.page.wait_for_selector("#sign-in:not([hidden])")
    assert "signed out" in desk.page.inner_text("#waiting")
    assert desk.kept() == 1
    desk.open(tally)
    desk.sent()
    assert [one.typed for one in standing()] == ["3124"]


def test_another_person_on_the_same_tablet_does_not_send_it_in_their_name(desk: Desk, sign_in: Any) -> None:
    tally = desk.tally(3)
    desk.open(tally)
    desk.page.route(READINGS, lambda route: route.abort())
    desk.types("3124")
    desk.told("1 entry waits")
    desk.page.unroute_all()
    desk.page.goto("about:blank")
    ada, desk.crew = desk.crew, stock.person("bo", "crew", desk.site)
    desk.open(tally)
    desk.told("from Ada")
    desk.types("3130")
    desk.sent()
    assert [(one.typed, one.journal.by.username) for one in standing()] == [("3130", "bo")]
    desk.crew = ada
    desk.open(tally)
    desk.sent()
    assert {one.journal.by.username for one in Strap.objects.filter(reverses=None)} == {"ada", "bo"}


def test_a_refused_reading_stays_in_sight_until_somebody_deals_with_it(desk: Desk) -> None:
    tally = desk.tally(3)
    desk.open(tally)
    desk.types("31.2.4")
    desk.page.wait_for_selector("#refused li")
    assert "31.2.4" in desk.page.inner_text("#refused")
    desk.page.reload()
    desk.page.wait_for_selector("#refused li")
    desk.page.click("#refused [data-again]")
    assert desk.joint() == "Joint 1"
    assert desk.page.input_value("#reading") == "31.2.4"
    desk.page.fill("#reading", "")
    desk.types("3124")
    desk.sent()
    assert [(one.typed, one.line_id) for one in standing()] == [("3124", desk.lines[0].pk)]
    assert desk.page.locator("#refused li").count() == 0


def test_words_without_a_figure_are_not_even_sent(desk: Desk) -> None:
    desk.open(desk.tally(2))
    desk.types("abc")
    assert desk.page.inner_text("#wrong") == "Type the length in figures."
    assert desk.joint() == "Joint 1"
    assert desk.kept() == 0


def test_a_key_is_drawn_without_https_too(page: Any, live_server: Any) -> None:
    page.goto("/sign-in/")
    module = f"{live_server.url}/static/rack/strap-figures.js"
    keys = page.evaluate(f"""async () => {{
        const {{ newKey }} = await import('{module}');
        crypto.randomUUID = undefined;
        return [newKey(), newKey()];
    }}""")
    assert uuid.UUID(keys[0]).version == 4
    assert keys[0] != keys[1]


def test_two_pages_share_what_waits_and_send_it_once(desk: Desk) -> None:
    tally = desk.tally(6)
    desk.open(tally)
    desk.page.route(READINGS, lambda route: route.abort())
    desk.types("3121")
    desk.told("1 entry waits")
    other = desk.page.context.new_page()
    other.goto(f"/tallies/{tally.number}/strap/1/")
    other.wait_for_selector("html[data-strap=ready]")
    desk.page.unroute(READINGS)
    desk.sent()
    desk.page.wait_for_function("() => document.getElementById('waiting').textContent === ''")
    assert [one.typed for one in standing()] == ["3121"]
    assert Strap.objects.count() == 1
