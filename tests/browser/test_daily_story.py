"""Hours come in by every way that a rig has: a tour by keyboard, lines pasted, a CSV, a daily report."""

from typing import Any

import pytest

from rack.models import DailyReport, Hours, Leg
from tests import rig as rigs
from tests.browser.walk import sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TOUR = (
    ("17:00", "19:15", "4500", "4530", "2 1/4", "0", "2:15", "2.25", "2,25", "120"),
    ("19:15", "24:00", "4530", "4200", "0", "0", "", "0", "4.75", ""),
)
PASTED = "Date\tFrom\tTo\tRotating\tCirculating\n2026-03-03\t00:00\t12:00\t0\t1.5\n"
CSV = b"Date;From;To;Rotating;Circulating\n2026-03-03;12:00;24:00;0;2,25\n"
REPORT = (
    "Date;From;To;Depth ft;Activity;Remark\n"
    "2026-03-04;00:00;06:30;4560;drilling -- drill;Drilled from 4530 ft to 4560 ft with 110 rpm.\n"
    "2026-03-04;06:30;24:00;100;drilling -- drill;POOH to 100 ft.\n"
)


def newest() -> Leg:
    return Leg.objects.order_by("-id")[0]


def sent(page: Any, button: Any) -> None:
    with page.expect_navigation():
        button.click()


def test_hours_come_in_by_every_way(page: Any, live_server: Any) -> None:
    rig = rigs.build()
    sign_in(page.context, rig, live_server.url)
    at = f"/runs/{rig.runs[1].pk}/"
    page.goto(at)
    page.locator("[name=day]").fill("2026-03-02")
    page.locator("[name=from-0]").focus()
    for cells in TOUR:
        for cell in cells:
            page.keyboard.press("Control+A")
            page.keyboard.type(cell)
            page.keyboard.press("Tab")
    page.locator("#lines_reason").fill("as the sheet has it")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    first, second = Leg.objects.order_by("-id")[:2][::-1]
    assert (first.rotating_s, first.bottom_s, first.rpm) == (8100, 8100, 120)
    assert (second.circulating_s, second.below_rotary_s) == (None, 17_100)
    assert f"{second.to_at.astimezone(rig.site.zone):%m-%d %H:%M}" == "03-03 00:00"

    write = page.get_by_role("button", name="Write them down")
    page.locator("[name=pasted]").fill(PASTED)
    page.locator("#lines_reason").fill("as the sheet has it")
    sent(page, write)
    assert newest().circulating_s == 5400
    page.locator("[name=table]").set_input_files({"name": "t.csv", "mimeType": "text/csv", "buffer": CSV})
    page.locator("#lines_reason").fill("as the sheet has it")
    sent(page, write)
    assert newest().circulating_s == 8100

    sent(page, page.get_by_role("link", name="From a daily report"))
    page.locator("[name=pasted]").fill(REPORT)
    sent(page, page.get_by_role("button", name="Read it"))
    assert "tripping is not rotation, whatever its code" in page.inner_text("main")
    sent(page, page.get_by_role("link", name="Change row 2"))
    page.locator("#row_rotating").fill("6 1/4")
    sent(page, page.get_by_role("button", name="Keep the row so"))
    assert "Changed by hand." in page.inner_text("main")
    page.locator("#reason").fill("as the report has it")
    sent(page, page.get_by_role("button", name="Accept 2 rows"))
    report = DailyReport.objects.get()
    drilled, tripped = Leg.objects.filter(journal=report.journal).order_by("seq")
    assert (drilled.rotating_s, drilled.rpm, tripped.rotating_s) == (22_500, 110, 0)
    assert Hours.objects.filter(leg=drilled, clock="rotating_s", amount=22_500).exists()
    assert not Hours.objects.filter(leg=tripped, clock="rotating_s").exists()
