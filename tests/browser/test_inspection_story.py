"""From hours to bands: a run makes pipe due, a job is booked and typed by keyboard, what fell is told."""

import io
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.utils import timezone
from pypdf import PdfReader

from rack.actions import plans, running
from rack.actions.doing import Said
from rack.actions.legs import post_legs
from rack.calc.hours import Leg
from rack.models import Clock, Component, Hold, Site
from tests import runs, stock
from tests.inspection.pieces import pipe
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
JOINTS, PLANNED = 30, 24
HOUR = 3600
LIMIT, OVER, RAN = 60, 90, 72
#: Rows of the grid, from 0: two walls worn into class 2, one joint cracked at its pin.
THIN, CRACKED = (3, 12), 20
METHODS = ("VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-F", "DIM2")


class Rig:
    """A layer of pipe that was looked at in spring, an interval of the site, a planned string."""

    def __init__(self) -> None:
        self.here: Site = stock.site()
        self.ola = stock.person("ola", "supervisor", self.here)
        self.ines = stock.person("ines", "office", self.here)
        self.layer = stock.rack(self.here)
        self.today = timezone.localdate(timezone=self.here.zone)
        lengths = [f"{30.8 + (7 * n % 13) / 20:.2f}" for n in range(JOINTS)]
        self.joints = stock.pieces(self.layer, JOINTS, facts=pipe(), lengths=lengths)
        long_ago = self.today - timedelta(days=200)
        Component.objects.update(received_on=long_ago)
        self._looked_at_in_spring(long_ago)
        puts = [plans.Put(joint) for joint in self.joints[:PLANNED]]
        head = plans.PlanHead("8-1/2 in section")
        self.plan = plans.begin_plan(stock.asks(self.ines), self.here, head, puts)

    def _looked_at_in_spring(self, on: Any) -> None:
        """All sound, and by contract looked at again after sixty rotating hours."""
        from inspection.actions.found import Found, Head, Read
        from inspection.actions.policies import set_interval
        from inspection.actions.recording import record
        from inspection.calc.readings import Look
        from inspection.calc.rules import Rule
        from inspection.models import Inspector
        from tests.inspection.pieces import good

        self.inspector = Inspector.objects.create(
            site=self.here, name="R. Vik", company="Nordlys Control", level="Level II"
        )
        looks = tuple(Look(code, "nothing to reject") for code in METHODS)
        reads = tuple(Read(one) for one in good())
        found = [Found(joint, looks, reads, "Premium") for joint in self.joints]
        head = Head(on, "full", inspector=self.inspector)
        record(stock.asks(self.ola), self.here, head, found, reason="new here")
        by_contract = Rule("drill_pipe", "rotating_s", "full", due=LIMIT * HOUR, over=OVER * HOUR,
                           authority="contract", from_on=on, source="Contract 14")  # fmt: skip
        set_interval(stock.asks(self.ines), self.here, by_contract)

    def runs(self) -> None:
        """Every joint turns for three days, and is laid down where it lay."""
        begins = timezone.now().replace(minute=0, second=0, microsecond=0) - timedelta(days=20)
        string = runs.string(self.ola, self.layer)
        made_up = Said(begins - timedelta(hours=6), None, "as planned")
        running.join(stock.asks(self.ola), string, self.joints, made_up)
        run = runs.run(self.ola, string, in_at=begins)
        legs = [_leg(begins + timedelta(hours=12 * n)) for n in range(RAN // 12)]
        post_legs(stock.asks(self.ola), run, legs, "as the sheet has it")
        out = Said(begins + timedelta(days=4), None, "out of the hole")
        running.lay_down(stock.asks(self.ola), string, self.joints[::-1], self.layer, out)


def _leg(begins: datetime) -> Leg:
    lasts = 12 * HOUR
    return Leg(begins, begins + timedelta(hours=12), None, None, lasts, 0, lasts, lasts, lasts, 120)


class Desk:
    def __init__(self, page: Any) -> None:
        self.page = page

    def says(self) -> str:
        return " ".join(self.page.inner_text("main").split())

    def goes(self, words: str) -> None:
        with self.page.expect_navigation():
            self.page.click(f"main >> text={words}")

    def paper(self, address: str) -> str:
        """The words of a PDF."""
        body = self.page.request.get(address).body()
        text = " ".join(one.extract_text() for one in PdfReader(io.BytesIO(body)).pages)
        return " ".join(text.split())


def test_from_the_hours_of_a_run_to_new_bands(
    page: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    rig = Rig()
    sign_in(page, rig.ola, live_server.url)
    desk = Desk(page)
    page.goto("/due/?list=due")
    assert "No piece stands on this list today" in desk.says()
    rig.runs()
    _the_board_shows_them_due(page, desk, rig)
    _a_job_is_booked_of_them(page, desk)
    _the_grid_is_filled_by_keyboard(page, desk, rig)
    _what_fell_gets_new_bands(page, desk, rig)
    _the_planned_string_tells_what_it_lost(page, desk, rig)
    _the_job_is_closed(page, desk)
    page.goto("/due/?list=due")
    assert "No piece stands on this list today" in desk.says()
    assert "No difference" in audited()


def _the_board_shows_them_due(page: Any, desk: Desk, rig: Rig) -> None:
    clocks = Clock.objects.filter(clock="rotating_s", basis="full")
    assert {clock.total - clock.zero for clock in clocks} == {RAN * HOUR}
    page.goto("/due/")
    with page.expect_navigation():
        page.get_by_role("link", name=re.compile(rf"^Due\s*{JOINTS}$")).click()
    text = desk.says()
    assert text.count("rotating since the last full inspection: 12.00 past 60.00 h") == JOINTS, text[:900]
    assert [joint.serial for joint in rig.joints if joint.serial not in text] == []
    page.locator("main table summary").first.click()
    page.get_by_text("Contract 14").first.wait_for()


def _a_job_is_booked_of_them(page: Any, desk: Desk) -> None:
    desk.goes("Book a job")
    assert page.locator("input[name=piece]:checked").count() == JOINTS
    page.fill("[name=on]", timezone.localdate().isoformat())
    page.fill("[name=company]", "Nordlys Control")
    desk.goes("Book it")
    assert f"{JOINTS} pieces without an outcome" in desk.says()


def _the_grid_is_filled_by_keyboard(page: Any, desk: Desk, rig: Rig) -> None:
    from inspection.models import Inspection

    desk.goes("Type the results")
    page.select_option("[name=inspector]", str(rig.inspector.pk))
    for code in METHODS:
        page.check(f"[name=methods][value={code}]")
    desk.goes("To the grid")
    page.wait_for_selector("html[data-grid=ready]")
    columns = {
        "tube-wall": ["0.268" if n in THIN else "0.340" for n in range(JOINTS)],
        "tube-od": ["4.960"] * JOINTS, "box-od": ["6 1/2"] * JOINTS, "box-shoulder": ["31/64"] * JOINTS,
        "given": ["Scrap" if n == CRACKED else "2" if n in THIN else "Premium" for n in range(JOINTS)],
        "crack": ["pin" if n == CRACKED else "" for n in range(JOINTS)],
    }  # fmt: skip
    for column, texts in columns.items():
        page.locator(f"[data-column='{column}']").first.focus()
        for n, text in enumerate(texts):
            page.keyboard.type(text)
            if n < JOINTS - 1:
                page.keyboard.press("Enter")
    page.keyboard.press("Control+Enter")
    said = "() => document.getElementById('grid-state').textContent.includes('Everything typed is stored')"
    page.wait_for_function(said, timeout=20_000)
    rows = Inspection.objects.filter(job__number=1)
    assert rows.count() == JOINTS and rows.values("journal").distinct().count() == 2, "25 rows at a time"
    assert "Class 2 holds" in page.locator(".becomes").nth(THIN[0]).inner_text()
    assert "Held:" in page.locator(".becomes").nth(CRACKED).inner_text()
    assert Hold.objects.get().component_id == rig.joints[CRACKED].pk


def _what_fell_gets_new_bands(page: Any, desk: Desk, rig: Rig) -> None:
    desk.goes("Inspection job 1")
    desk.goes("What fell")
    text = desk.says()
    fell = [rig.joints[n] for n in (*THIN, CRACKED)]
    assert [joint.serial for joint in fell if joint.serial not in text] == []
    assert rig.joints[0].serial not in text and "8-1/2 in section" in text
    desk.goes("Print their tags")
    assert "3 pieces" in desk.says()
    sends = "(form) => form.action + '?' + new URLSearchParams(new FormData(form))"
    address = page.locator("form[action$='tags.pdf']").evaluate(sends)
    tags = desk.paper(address)
    assert tags.count("Class 2") == 2 and tags.count("one yellow band") == 2, tags
    assert [joint.serial for joint in fell if joint.serial not in tags] == []


def _the_planned_string_tells_what_it_lost(page: Any, desk: Desk, rig: Rig) -> None:
    page.goto(f"/due/?plan={rig.plan.pk}")
    text = desk.says()
    assert f"1 of its {PLANNED} named pieces cannot stay in it as it is" in text, text[:900]
    assert rig.joints[CRACKED].serial in text.split("Taken out of")[1]
    desk.goes("Open it")
    text, cracked = desk.says(), rig.joints[CRACKED].serial
    worn = " and ".join(rig.joints[n].serial for n in THIN)
    assert f"{cracked} is classed Scrap and must not go in the hole" in text, text[:2000]
    assert f"{worn} are Class 2; our default wants premium or better" in text, text[:2000]


def _the_job_is_closed(page: Any, desk: Desk) -> None:
    page.goto("/jobs/1/")
    assert "Every piece has an outcome" in desk.says()
    desk.goes("Close the job")
    assert "Closed" in desk.says()
    sheet = desk.paper("/jobs/1/record.pdf")
    assert "Not a certificate" in sheet and "2 Class 2" in sheet, sheet[:600]
