"""A run from the desk to the page of a piece: begun, its tours typed by keyboard, ended, its hours read."""

from collections.abc import Callable
from typing import Any

import pytest

from rack.models import Clock, Component, Leg, Run
from tests import runs, stock
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

HOUR = 3600
#: Two tours of twelve hours as a driller types them: from, to, depths, rotating, sliding, circulating, on
#: bottom, below rotary, rpm.
DAY_TOUR = (
    ("0:00", "4:00", "0", "8000", "0", "0", "1/2", "0", "4", ""),
    ("4:00", "12:00", "8000", "8150", "6 1/4", "1:15", "7.75", "7.25", "8", "120"),
)
NIGHT_TOUR = (("", "24:00", "8150", "8300", "10", "0", "11", "9.5", "12", "110"),)


def rig() -> tuple[Any, list[Component]]:
    """A string with a bit, a motor, a jar and three joints that is in the hole and has no run yet."""
    here = stock.site()
    ola = stock.person("ola", "supervisor", here)
    layer = stock.rack(here)
    string = runs.string(ola, layer)
    tools = [runs.tool(layer, kind, 9001 + n) for n, kind in enumerate(("bit", "motor", "jar"))]
    pieces = [*tools, *stock.pieces(layer, 3, lengths=["31.50"] * 3)]
    runs.join(ola, string, pieces, hours=-3)
    return ola, pieces


def typed(page: Any, lines: tuple[tuple[str, ...], ...]) -> None:
    """Into the first cell, then nothing but keys: figures, Tab, and Enter at the end."""
    page.focus("[name=from-0]")
    for n, cells in enumerate(lines):
        for text in cells:
            if text:
                page.keyboard.press("Control+A")
                page.keyboard.type(text)
            page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.name") == f"from-{n + 1}"
    page.focus(f"[name=rpm-{len(lines) - 1}]")
    with page.expect_navigation():
        page.keyboard.press("Enter")


def says(page: Any) -> str:
    return " ".join(page.inner_text("main").split())


@pytest.mark.parametrize("width", [1280, 390])
def test_from_a_run_by_its_tours_to_the_clocks_of_a_piece(
    page: Any, live_server: Any, sign_in: Callable[..., None], width: int
) -> None:
    ola, pieces = rig()
    page.set_viewport_size({"width": width, "height": 844})
    sign_in(page, ola, live_server.url)
    _begins(page)
    page.fill("[name=day]", "2026-03-02")
    typed(page, DAY_TOUR)
    assert Leg.objects.count() == 2, says(page)
    assert page.input_value("[name=from-0]") == "12:00"
    typed(page, NIGHT_TOUR)
    assert Leg.objects.count() == 3, says(page)
    _earned(page, pieces)
    _jarred(page)
    _ends(page)
    _on_the_page_of_a_piece(page, pieces)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert "No difference" in audited()


def _begins(page: Any) -> None:
    page.goto("/strings/1/")
    page.goto("/runs/new/?string=1")
    page.fill("[name=bit_no]", "5RR1")
    page.fill("[name=bha_no]", "3")
    page.fill("[name=in_at]", "2026-03-02T00:00")
    page.fill("[name=in_depth]", "8000")
    with page.expect_navigation():
        page.click("text=Begin the run")
    assert "Run 1, bit 5RR1" in says(page)


def _earned(page: Any, pieces: list[Component]) -> None:
    """Below the motor the bit turned while sliding, too; above it nothing did."""
    text = says(page)
    assert "credited the whole run, the safe side" in text
    totals = dict(Clock.objects.filter(clock="rotating_s").values_list("component", "total"))
    bit, _, jar, *joints = pieces
    assert totals[bit.pk] == 17.5 * HOUR
    assert {totals[piece.pk] for piece in (jar, *joints)} == {16.25 * HOUR}
    assert "17.50" in text and "16.25" in text and "300.00" in text


def _jarred(page: Any) -> None:
    page.click("text=Something happened")
    page.select_option("#event_kind", "jar_up")
    page.fill("#event_from_at", "2026-03-02T23:00")
    page.fill("#event_amount", "12")
    page.select_option("#event_unit", "hits")
    with page.expect_navigation():
        page.click("text=Write the event down")
    assert "Jarring up, 12 hits; 6 pieces" in says(page)


def _ends(page: Any) -> None:
    page.click("text=The bit is out")
    page.fill("#end_out_at", "2026-03-03T00:00")
    page.fill("#end_out_depth", "8300")
    page.select_option("#end_reason_pulled", "TD")
    page.fill("#end_dull", "1-2-WT-A-X-I-NO-TD")
    with page.expect_navigation():
        page.click("text=End the run")
    run = Run.objects.get()
    assert (run.reason_pulled, run.dull) == ("TD", "1-2-WT-A-X-I-NO-TD"), says(page)
    assert "How it came out" in says(page)


def _on_the_page_of_a_piece(page: Any, pieces: list[Component]) -> None:
    for piece, words in (
        (pieces[3], ("Rotating h", "at least 16.25", "at least 300.00", "Ended run 1")),
        (pieces[2], ("Hits", "at least 12", "Jarring up: string 1")),
    ):
        page.goto(f"/runs/{Run.objects.get().pk}/")
        with page.expect_navigation():
            page.click(f"a[href='/piece/{piece.tag}/']")
        assert [one for one in words if one not in says(page)] == [], says(page)[:1500]
