"""A string from the office to the floor: planned, mended, pulled to 3,000 m, run, pulled out, handed over."""

import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader

from rack.actions.wells import WellFacts, add_well
from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts
from rack.models import Component, Plan, String
from rack.models.running import hanging_of, members_of, running_members
from tests import stock
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

IN = 25_400_000
JOINTS = 330


def tool(kind: str, up: str, down: str, down_gender: str = "pin") -> SpecFacts:
    return SpecFacts(
        kind=kind, od_nm=6 * IN + IN // 2, bore_nm=2 * IN + 13 * IN // 16, up_conn=up, up_gender="box",
        down_conn=down, down_gender=down_gender,
    )  # fmt: skip


BIT = SpecFacts(
    kind="bit", od_nm=8 * IN + IN // 2, up_conn="4-1/2 REG", up_gender="pin", facts='{"make":"PDC"}'
)


def rig() -> tuple[Any, Any]:
    """A metric rig: a bottom assembly, two crossovers of which one fits, and pipe for more than 3,000 m."""
    site = stock.site(units="metric")
    ines, ola = stock.person("ines", "office", site), stock.person("ola", "supervisor", site)
    add_well(stock.asks(ines), site, WellFacts("SD-14"))
    layer = stock.rack(site, layers=4)
    first = iter(range(1001, 9999, 1000))
    for facts, lengths in (
        (BIT, ["1.04"]), (tool("bit_sub", "NC50", "4-1/2 REG", down_gender="box"), ["3.11"]),
        (tool("collar", "NC50", "NC50"), ["30.37", "30.41", "30.25"]),
        (tool("crossover", "5-1/2 FH", "NC50"), ["2.96"]), (tool("crossover", "NC50", "NC50"), ["3.02"]),
    ):  # fmt: skip
        stock.pieces(layer, len(lengths), facts=facts, first=next(first), lengths=lengths)
    lengths = [f"{30.8 + (7 * n % 13) / 20:.2f}" for n in range(JOINTS)]
    stock.pieces(layer, JOINTS, first=20001, lengths=lengths)
    return ines, ola


class Desk:
    def __init__(self, page: Any) -> None:
        self.page = page

    def sends(self, ending: str, **typed: str) -> None:
        form = self.page.locator(f"form[action$='{ending}']").first
        self.page.evaluate(
            "() => document.querySelectorAll('details').forEach((one) => { one.open = true; })"
        )
        for name, text in typed.items():
            form.locator(f"[name={name}]").last.fill(text)
        with self.page.expect_navigation():
            form.locator("button[type=submit]").first.click()

    def says(self) -> str:
        return " ".join(self.page.inner_text("main").split())


def test_from_a_wrong_crossover_to_the_handover_sheet(
    page: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    ines, _ = rig()
    sign_in(page, ines, live_server.url)
    desk = Desk(page)
    _plans(page, desk)
    _mends_the_crossover(page, desk)
    _pulls_to_three_thousand(page, desk)
    string = _runs_in(page, desk)
    _ten_singles_and_one_laid_down(page, desk, string)
    _pulls_out_and_hands_over(page, desk, string)
    assert "No difference" in audited()


def _plans(page: Any, desk: Desk) -> None:
    page.goto("/plans/new/")
    page.fill("[name=title]", "8-1/2 in section")
    page.select_option("[name=well]", index=1)
    page.fill("[name=depth]", "3000")
    page.select_option("[name=class_by]", "default")
    with page.expect_navigation():
        page.click("text=Begin the plan")
    serials = ["KD1001", "KD2001", "KD3001", "KD3002", "KD3003", "KD4001"]
    desk.sends("do/put/", names="\n".join(serials))
    assert Plan.objects.get().lines.count() == 6


def _mends_the_crossover(page: Any, desk: Desk) -> None:
    desk.sends("do/put/", names="KD20330")
    assert re.search(r"R02 .*KD20330 on top of KD4001.*does not make up", desk.says()), desk.says()[:600]
    for serial in ("KD20330", "KD4001"):
        page.check(f"input[aria-label='Take {serial} out']")
    with page.expect_navigation():
        page.click("text=Take the ticked ones out")
    desk.sends("do/put/", names="KD5001")
    assert "R02" not in desk.says()


def _pulls_to_three_thousand(page: Any, desk: Desk) -> None:
    page.click("text=Pull pipe for it")
    page.select_option("#pull_class_wanted", "")
    with page.expect_navigation():
        page.click("text=Propose")
    assert "Put aside" in desk.says()
    with page.expect_navigation():
        page.get_by_text(re.compile(r"^Take these \d+ into the plan$")).click()
    assert "Over depth and reserve" in desk.says()
    answer = page.request.get("/plans/1/picks.pdf")
    words = " ".join(one.extract_text() for one in PdfReader(io.BytesIO(answer.body())).pages)
    assert words.count("KD20") + words.count("KD203") >= Plan.objects.get().lines.count() - 6


def _runs_in(page: Any, desk: Desk) -> String:
    with page.expect_navigation():
        page.click("text=Run it")
    with page.expect_navigation():
        page.click("text=Begin the string")
    lines = Plan.objects.get().lines.from_the_bit().select_related("component")
    tags = [line.component.tag for line in lines if line.component]
    desk.sends("do/join/", names="\n".join(tags[:-10]), reason="as planned")
    string = String.objects.get()
    assert len(running_members(string)) == len(tags) - 10
    return string


def _ten_singles_and_one_laid_down(page: Any, desk: Desk, string: String) -> None:
    page.goto("/strings/1/driller/")
    for _ in range(10):
        page.goto("/strings/1/driller/")
        name = page.locator(".driller-next").first.inner_text()
        page.goto("/strings/1/")
        desk.sends("do/join/", names=name, reason="single")
    hangs = hanging_of(string, members_of(string))
    assert hangs.unknown == 0
    assert hangs.bit >= Length.parse("3000 m")
    below = running_members(string)[-2].component
    page.select_option("#down_place", index=1)
    desk.sends("do/down/", names=below.serial)
    assert "Not this one" in desk.says()
    page.console_errors[:] = [line for line in page.console_errors if "422" not in line]  # the refusal
    page.goto("/strings/1/")
    page.fill("#down_count", "1")
    page.select_option("#down_place", index=1)
    with page.expect_navigation():
        page.click("text=Lay it down")


def _pulls_out_and_hands_over(page: Any, desk: Desk, string: String) -> None:
    before = hanging_of(string, members_of(string)).bit
    for row in range(1, 4):
        desk.sends("do/back/", count="100", side="A", row=str(row))
    after = hanging_of(string, members_of(string)).bit
    assert after < before
    assert Component.objects.filter(state="in_derrick").count() == 300
    answer = page.request.get("/strings/1/handover.pdf?size=A4")
    words = " ".join(PdfReader(io.BytesIO(answer.body())).pages[0].extract_text().split())
    assert f"Depth of the bit: {after.shown('m', 2)} m" in words
    assert "In the derrick: 300" in words
