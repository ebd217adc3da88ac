"""Thirty joints inspected by keyboard: typed down the columns, saved, a bad row put right, nothing lost."""

import os
import signal
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import pytest

from rack.models import Component
from tests import stock
from tests.chromium import FLAGS, chromium

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SAVE = "**/inspect/grid/save/"
JOINTS = 30


class Grid:
    """A supervisor at the grid, with thirty joints on a layer."""

    def __init__(self, page: Any, address: str, sign_in: Callable[..., None]) -> None:
        from inspection.models import Inspector
        from tests.inspection.pieces import pipe

        self.page, self.address = page, address
        self.site = stock.site()
        self.ola = stock.person("ola", "supervisor", self.site)
        self.layer = stock.rack(self.site)
        self.joints = stock.pieces(self.layer, JOINTS, facts=pipe())
        Component.objects.update(received_on=date(2026, 1, 2))
        self.inspector = Inspector.objects.create(site=self.site, name="R. Vik", level="Level II",
                                                  valid_to=date(2036, 1, 1))  # fmt: skip
        sign_in(page, self.ola, address)

    def begin(self) -> None:
        self.page.goto(f"/inspect/grid/?way=layer&layer={self.layer.pk}")
        self.page.fill("[name=on]", "2026-11-20")
        self.page.select_option("[name=inspector]", str(self.inspector.pk))
        for code in ("VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-F", "DIM2"):
            self.page.check(f"[name=methods][value={code}]")
        self.page.click("text=To the grid")
        self.ready()

    def ready(self) -> None:
        self.page.wait_for_selector("html[data-grid=ready]")

    def down(self, column: str, texts: list[str]) -> None:
        """Type a column from the top: Enter goes down."""
        self.page.locator(f"[data-column='{column}']").first.focus()
        for n, text in enumerate(texts):
            self.page.keyboard.type(text)
            if n < len(texts) - 1:
                self.page.keyboard.press("Enter")

    def fill(self, **odd: dict[int, str]) -> None:
        for column, usual in (("tube-wall", "0.340"), ("tube-od", "4.960"), ("box-od", "6 1/2"),
                              ("box-shoulder", "31/64"), ("given", "Premium")):  # fmt: skip
            other = odd.get(column.replace("-", "_"), {})
            self.down(column, [other.get(n, usual) for n in range(JOINTS)])

    def save(self) -> None:
        self.page.keyboard.press("Control+Enter")

    def told(self, words: str) -> None:
        said = "(words) => document.getElementById('grid-state').textContent.includes(words)"
        self.page.wait_for_function(said, arg=words, timeout=60_000)

    def becomes(self, n: int) -> str:
        return self.page.locator(".becomes").nth(n).inner_text()


@pytest.fixture
def grid(page: Any, live_server: Any, sign_in: Callable[..., None]) -> Iterator[Grid]:
    one = Grid(page, live_server.url, sign_in)
    yield one
    meant = "Failed to load"
    page.console_errors[:] = [line for line in page.console_errors if meant not in line]


def test_thirty_joints_by_keyboard_with_a_bad_row_and_two_that_fall(grid: Grid) -> None:
    from inspection.models import Inspection

    grid.begin()
    grid.fill(tube_wall={3: "0.27", 4: "0,265", 7: "o.340"}, given={9: "Scrap"})
    grid.save()
    grid.told("1 left")
    assert Inspection.objects.count() == 29
    assert grid.becomes(0) == "Premium holds"
    assert "Class 2 holds; Premium was given" in grid.becomes(3) and "Class 2 holds" in grid.becomes(4)
    assert "Scrap holds" in grid.becomes(9) and "Held:" in grid.becomes(9)
    assert "is no length" in grid.becomes(7)
    cell = grid.page.locator("[data-column='tube-wall']").nth(7)
    cell.fill("0.340")
    grid.save()
    grid.told("Everything typed is stored")
    assert Inspection.objects.count() == JOINTS
    assert grid.page.locator("#grid-count").inner_text().startswith(f"{JOINTS} of {JOINTS} stored")
    assert Component.objects.filter(pipe_class="Class 2").count() == 2
    grid.page.goto("/inspect/grid/")
    grid.ready()
    assert grid.page.locator("#unfinished").is_hidden(), "what is stored whole is not kept"


def test_a_lost_answer_is_sent_again_and_stored_once(grid: Grid) -> None:
    from inspection.models import Inspection

    grid.begin()
    grid.fill()
    lost: list[int] = []

    def lose(route: Any) -> None:
        if len(lost) < 1:
            lost.append(route.fetch().status)  # the server has stored it
            route.abort()
        else:
            route.continue_()

    grid.page.route(SAVE, lose)
    grid.save()
    grid.told("Everything typed is stored")
    assert lost == [200] and Inspection.objects.count() == JOINTS


def test_the_arrow_keys_and_tab_move_and_the_search_key_stays_a_letter(grid: Grid) -> None:
    grid.begin()
    here = "() => [document.activeElement.dataset.column, document.activeElement.getAttribute('aria-label')]"
    keys = grid.page.keyboard
    assert grid.page.evaluate(here)[0] == "tube-wall"
    keys.press("ArrowDown")
    keys.press("ArrowRight")
    assert grid.page.evaluate(here) == ["tube-od", "OD, KD4102"]
    keys.press("Tab")
    keys.press("ArrowUp")
    assert grid.page.evaluate(here) == ["box-od", "Box OD, KD4101"]
    keys.type("6 1/2")
    keys.press("ArrowLeft")
    assert grid.page.evaluate(here) == ["box-od", "Box OD, KD4101"], "inside a text the arrows stay in it"
    assert grid.page.locator("[data-column='box-od']").first.input_value() == "6 1/2"


def test_a_killed_browser_loses_nothing_typed(grid: Grid, tmp_path: Any) -> None:
    """A browser of its own with a profile on the disk, ended as a flat battery ends it."""
    grid.begin()
    cookies, at = grid.page.context.cookies(), grid.page.url
    engine = grid.page.context.browser.browser_type

    def opened() -> tuple[Any, Any]:
        context = engine.launch_persistent_context(
            str(tmp_path / "profile"), executable_path=chromium(), args=list(FLAGS)
        )
        context.add_cookies(cookies)
        return context, context.new_page()

    context, page = opened()
    page.goto(at)
    page.wait_for_selector("html[data-grid=ready]")
    page.locator("[data-column='tube-wall']").first.focus()
    for n in range(12):
        page.keyboard.type(f"0.3{n:02d}")
        page.keyboard.press("Enter")
    page.wait_for_timeout(300)
    for pid in _processes(str(tmp_path / "profile")):
        os.kill(pid, signal.SIGKILL)
    context, page = opened()
    page.goto(grid.address + "/inspect/grid/")
    page.wait_for_selector("html[data-grid=ready]")
    assert "12 rows not stored" in page.locator("#unfinished").inner_text()
    page.click("text=Go on")
    page.wait_for_selector("html[data-grid=ready]")
    typed = page.locator("[data-column='tube-wall']").evaluate_all("(all) => all.map((one) => one.value)")
    assert typed[:12] == [f"0.3{n:02d}" for n in range(12)]
    context.close()


def _processes(profile: str) -> list[int]:
    """The processes of the browser with this profile, by their command line."""
    found = []
    for name in os.listdir("/proc"):
        if name.isdecimal() and int(name) != os.getpid():
            try:
                with open(f"/proc/{name}/cmdline", "rb") as file:
                    line = file.read().decode(errors="replace")
            except OSError:
                continue
            if profile in line and "--type=" not in line:
                found.append(int(name))
    return found
