"""Two straps whose errors cancel, and a pencil sheet typed in: what a total hides, and what paper keeps."""

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader

from rack.actions import straps
from rack.calc.lengths import Length
from rack.models import PencilPhoto, Sheet, Strap, Tally
from tests import stock
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

JOINTS = 12
FIRST = [f"{30.9 + (7 * n % 13) / 20:.2f}" for n in range(JOINTS)]
#: The second tape: joint 4 too long by what joint 9 is too short, so that the totals agree.
SECOND = [f"{float(text) + {3: 0.40, 8: -0.40}.get(n, 0):.2f}" for n, text in enumerate(FIRST)]
PHOTO = b"\x89PNG\r\n\x1a\n an invented photograph of a pencil sheet"


def rig() -> tuple[Any, Tally]:
    site = stock.site()
    ola = stock.person("ola", "supervisor", site)
    tally = stock.tally(ola, site, stock.pieces(stock.rack(site), JOINTS), straps_wanted=2)
    return ola, tally


def strapped(by: Any, tally: Tally, strap_n: int, lengths: list[str]) -> None:
    for line, typed in zip(tally.lines.in_order(), lengths, strict=True):
        straps.read(stock.asks(by), straps.Reading(tally, typed, strap_n, line))
    straps.finish_strap(stock.asks(by), tally, strap_n)


def says(page: Any) -> str:
    return " ".join(page.inner_text("main").split())


def presses(page: Any, name: str) -> None:
    with page.expect_navigation():
        page.locator("main").get_by_text(name, exact=True).first.click()


def test_errors_that_cancel_are_named_on_the_page_and_on_paper(
    page: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    ola, tally = rig()
    strapped(ola, tally, 1, FIRST)
    straps.begin_strap(stock.asks(ola), tally, 2, "T-11", "Ben", "Cy")
    strapped(ola, tally, 2, SECOND)
    sums = {sum(map(Length.parse, lengths), Length(0)) for lengths in (FIRST, SECOND)}
    assert len(sums) == 1, "the totals agree to the last digit"
    sign_in(page, ola, live_server.url)
    page.goto(f"/tallies/{tally.number}/compare/")
    said = says(page)
    assert "errors that cancel" in said
    assert "Joint 4" in said
    assert "Joint 9" in said
    assert page.locator("[name=typed]").count() == 2
    page.goto(f"/tallies/{tally.number}/close/")
    page.fill("[name=reason]", "both joints stand as the first strap read them")
    presses(page, "Close the tally")
    answer = page.request.get(f"/S/{Sheet.objects.get().code}.pdf")
    sheets = PdfReader(io.BytesIO(answer.body())).pages
    words = " ".join(" ".join(one.extract_text() for one in sheets).split())
    assert "Errors that cancel" in words
    assert "A total that agrees clears no joint" in words
    assert "both joints stand as the first strap read them" in words


def test_a_pencil_sheet_is_typed_in_and_its_photograph_kept(
    page: Any, live_server: Any, sign_in: Callable[..., None]
) -> None:
    ola, tally = rig()
    sign_in(page, ola, live_server.url)
    blank = page.request.get(f"/tallies/{tally.number}/pencil.pdf")
    assert blank.body().startswith(b"%PDF")
    page.goto(f"/tallies/{tally.number}/pencil/")
    page.fill("[name=tape]", "T-07")
    page.fill("[name=reader]", "Ada Fenn")
    if page.locator("[name=date]").count():
        page.fill("[name=date]", "2026-11-24")
    page.set_input_files("[name=photo]", {"name": "sheet.png", "mimeType": "image/png", "buffer": PHOTO})
    for n, typed in enumerate(FIRST):
        page.fill(f"[name=typed-{n}]", "31.x4" if n == 5 else typed.replace(".", ""))
    presses(page, "Store these rows")
    page.console_errors[:] = [line for line in page.console_errors if "422" not in line]  # one row is refused
    assert page.input_value("[name=typed-5]") == "31.x4", "what could not be read stays as it was typed"
    assert Strap.objects.standing().filter(line__tally=tally).count() == JOINTS - 1
    page.fill("[name=typed-5]", FIRST[5])
    presses(page, "Store these rows")
    read = Strap.objects.standing().filter(line__tally=tally, strap_n=1).order_by("line__rank")
    assert [row.nm for row in read] == [Length.parse(text).nanometres for text in FIRST]
    assert PencilPhoto.objects.filter(tally=tally).count() == 1
    assert "No difference" in audited()
