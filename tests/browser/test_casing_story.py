"""A hand-made casing tally of sixty lines: planned, a joint left out, one found, printed and read back."""

import io
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from pypdf import PdfReader

from rack.actions import straps
from rack.models import CasingPlan, CasingSheet, Tally
from tests import stock

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LINES = 62
LOSS = Decimal("0.40")


def length(n: int) -> Decimal:
    return Decimal("38.20") + Decimal(n * 37 % 211) / 100


def casing_tally() -> tuple[Any, Tally]:
    site = stock.site()
    ola = stock.person("ola", "supervisor", site)
    joints = stock.pieces(stock.rack(site), LINES, facts=stock.CASING, first=5001)
    tally = stock.tally(ola, site, joints, kind="threads on", title="9-5/8 in casing")
    for n, line in enumerate(tally.lines.in_order(), start=1):
        straps.read(stock.asks(ola), straps.Reading(tally, str(length(n)), 1, line))
    return ola, tally


class Desk:
    """The plan's page as a hand works it."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def open_part(self, words: str) -> None:
        part = self.page.locator("details", has=self.page.locator("summary", has_text=words))
        if part.get_attribute("open") is None:
            part.locator("summary").first.click()

    def part(self, kind: str, name: str, feet: str, below: str = "", *, locked: bool = False) -> None:
        self.open_part("Put in a part")
        self.page.select_option("#part-kind", kind)
        self.page.fill("#part-name", name)
        self.page.fill("#part-length_nm", feet)
        self.page.fill("#part-before", below)
        self.page.set_checked("#part-locked", locked)
        self.page.click("text=Put it in")
        self.page.wait_for_selector(f"text={name} is put in")

    def do(self, what: str, names: str = "", **typed: str) -> None:
        self.open_part("Do something with the ticked rows")
        self.page.select_option("#chosen-what", what)
        self.page.fill("#chosen-names", names)
        for field, text in typed.items():
            self.page.fill(f"#chosen-{field}", text)
        self.page.click("button:has-text('Do it')")
        self.page.wait_for_load_state()

    def count(self, label: str) -> str:
        return self.page.locator(f"dl.figures div:has(dt:text-is('{label}')) dd").first.inner_text()


def test_sixty_lines_are_planned_printed_and_held_against_what_lies_there(
    page: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    ola, tally = casing_tally()
    sign_in(page, ola, live_server.url)
    page.goto(f"/tallies/{tally.number}/")
    page.click("text=Casing plan")
    for field, text in (("string", "9-5/8 in 47 lb/ft L-80 BTC R3"), ("well_said", "SD-14"),
                        ("shoulder_nm", "24.60"), ("measured_by", "A. Fenn"), ("hole_nm", "2400"),
                        ("off_bottom_nm", "15"), ("track_n", "2"), ("loss_nm", str(LOSS)),
                        ("loss_source", "couplings measured")):
        page.fill(f"#head-{field}", text)
    page.click("button:has-text('Begin the plan')")
    page.wait_for_selector("text=62 joints to run")
    desk = Desk(page)

    desk.part("shoe", "FS", "1.85", "1", locked=True)
    desk.part("collar", "FC", "1.92", "3", locked=True)
    desk.part("marker", "MK", "10.15", "42")
    desk.part("hanger", "HGR", "1.20")
    desk.part("landing", "LJ", "38.10")
    desk.do("locked", "FS to FC")
    desk.do("drifted", "1 to 62")
    desk.do("threads", "1 to 62")
    desk.do("centralizers", "1 to 12", centralizer="bow", count="1", from_pin_nm="5")
    desk.do("spare", "61, 62")
    page.check("input[aria-label='Choose 17']")
    desk.do("out", reason="thread hit by the tongs")
    desk.part("joint", "36A", "39.27", "37")  # found between two numbers, on no tally

    counts = [desk.count(label) for label in ("Received", "To run", "Spare", "Left out")]
    assert counts == ["63", "60", "2", "1"]
    assert desk.count("Must lie on the rack when landed") == "3"
    assert page.locator("strong:text-is('17, 61, 62')").count() == 1
    page.wait_for_selector("text=36A is to run and on no tally")

    page.fill("#print-reason", "36A strapped and drifted by A. Fenn")
    page.click("button:has-text('Print it')")
    page.wait_for_selector("text=This is revision 1, the current one.")
    joints = [length(n) for n in range(1, 61) if n != 17] + [Decimal("39.27")]
    total = sum(joints) + Decimal("1.85") + Decimal("1.92") + Decimal("10.15") + Decimal("1.20")
    total -= LOSS * (len(joints) + 3)  # float collar, marker, hanger have a pin in a box; the shoe has none
    shoe = f"{total + Decimal('24.60'):,.2f}"
    assert f"{shoe} ft" in page.inner_text("main")
    sheet = CasingSheet.objects.get()
    for what in ("running-list", "casing-detail"):
        answer = page.request.get(f"/C/{sheet.code}/{what}.pdf")
        text = " ".join(one.extract_text() for one in PdfReader(io.BytesIO(answer.body())).pages)
        assert f"Shoe at {shoe} ft below RKB" in " ".join(text.split())
        assert "must lie, when the string is landed: 17, 61, 62" in " ".join(text.split())
        assert "thread hit by the tongs" in text

    page.goto(f"/tallies/{tally.number}/casing/check/")
    page.fill("#id_rack", "61, 62, 17")
    page.fill("#id_total", f"{total}")
    page.click("button:has-text('Hold them')")
    page.wait_for_selector("text=They agree with the plan.")
    page.fill("#id_rack", "61, 62, 41")  # the count agrees, the joints do not
    page.fill("#id_run", "1 2 3 4 5 7")
    page.fill("#id_total", f"{total + LOSS * 63}")
    page.click("button:has-text('Hold them')")
    page.wait_for_selector("text=41 was to run and lies on the rack: left out of the hole")
    for words in ("17 must lie on the rack and does not", "6 was passed over", "63 pins was forgotten there"):
        assert page.locator(f"text={words}").count() == 1, words

    page.goto(f"/tallies/{tally.number}/casing/")
    desk.do("out", "20", reason="failed the drift")
    page.goto(f"/C/{sheet.code}")
    page.wait_for_selector("text=the plan or its tally was changed since")
    assert CasingPlan.objects.get().items.filter(role="out").count() == 2
