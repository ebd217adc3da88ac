"""One story in a real Chromium: from a messy list to a closed tally, its paper, its tags and its revision."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from rack.calc.lengths import Length
from rack.models import Component, Consent, Delivered, Sheet, Site, Strap, Tally
from tests import stock
from tests.rack.paper.drawn import seen, words

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LIST = Path(__file__).resolve().parents[2] / "fixtures" / "story" / "lieferschein_7-2214.csv"
JOINTS = 30
#: What the first tape reads, in hundredths of a foot; the second one reads a hundredth more.
FIRST = [3101 + 2 * (7 * n % 19) for n in range(JOINTS)]
ODD, WRONG, SLIP = 11, 19, 6  # one that is truly long; one read from the wrong joint; one written down wrong
FIRST[ODD] = 6043
FIRST[SLIP] = 3127

Enter = Callable[[str], "Person"]


class Person:
    """Somebody at a browser of their own. An error on its console fails the story."""

    def __init__(self, browser: Any, address: str, name: str) -> None:
        self.context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
        self.context.set_default_timeout(10_000)
        self.page = self.context.new_page()
        self.errors: list[str] = []
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("console", lambda line: self.errors.append(line.text) if line.type == "error" else None)
        self.page.goto("/")
        self.page.fill("[name=username]", name)
        self.page.fill("[name=password]", stock.PASSWORD)
        self.page.keyboard.press("Enter")
        self.page.wait_for_selector("nav")

    def presses(self, name: str) -> None:
        """Press the one button or link in the page of that name, and wait for the page it leads to."""
        with self.page.expect_navigation():
            self.page.locator("main").get_by_text(name, exact=True).click()

    def reads(self) -> str:
        return " ".join(self.page.inner_text("main").split())

    def types(self, figures: str) -> None:
        self.page.keyboard.type(figures)
        self.page.keyboard.press("Enter")

    def all_sent(self, strap_n: int) -> None:
        """Wait until every joint is read, and nothing waits in the browser any more."""
        self.page.wait_for_function(
            f"() => document.getElementById('count').textContent === '{JOINTS}'"
            " && document.getElementById('sending').textContent === ''"
        )
        for _ in range(100):
            if len(readings(strap_n)) == JOINTS:
                return
            self.page.wait_for_timeout(50)

    def finishes(self) -> None:
        self.page.click("#finish summary")
        with self.page.expect_navigation():
            self.page.click("#finish-it")

    def fetches(self, at: str) -> bytes:
        answer = self.page.request.get(at)
        assert answer.ok, f"{at}: {answer.status}"
        return answer.body()


@pytest.fixture
def enters(browser: Any, live_server: Any, settings: Any) -> Iterator[Enter]:
    """Let a person of the rig sign in, by hand."""
    settings.ADDRESS = live_server.url
    site = stock.site()
    stock.rack(site)
    for name, role in (("ines", "office"), ("ada", "crew"), ("ben", "crew"), ("ola", "supervisor")):
        stock.person(name, role, site)
    people: list[Person] = []

    def enter(name: str) -> Person:
        people.append(Person(browser, live_server.url, name))
        return people[-1]

    yield enter
    for one in people:
        one.context.close()
    assert [line for one in people for line in one.errors] == []


def test_from_a_messy_list_to_a_sheet_that_says_it_is_superseded(enters: Enter) -> None:
    receives_a_messy_list(enters("ines"))
    straps_by_keyboard(enters("ada"))
    straps_blind(enters("ben"))
    finds_the_slip_and_tapes_again(enters("ada"))
    ola = enters("ola")
    first = closes_and_prints(ola)
    opens_a_tag(enters("ada"))
    makes_a_new_revision(ola, first)


def receives_a_messy_list(ines: Person) -> None:
    """Latin-1, semicolons, a preamble, decimal commas, German heads, and three faults among 31 rows."""
    page = ines.page
    ines.page.goto("/receive/")
    page.set_input_files("[name=file]", LIST)
    page.select_option("[name=place]", index=1)
    page.fill("[name=sender]", "Schwarzfeld Rohrlager")
    ines.presses("Read the list")
    said = ines.reads()
    assert "Rows read 31" in said.replace("ROWS", "Rows")
    assert "Sum rows 1" in said.replace("SUM", "Sum")
    assert said.count("SF6129 stands in row") == 2
    assert "No length" in said
    assert "is no length of a Range 2 joint" in said
    assert "Gewinde" not in said or "geschützt" in said, "Latin-1 was read as something else"
    assert Component.objects.count() == 0, "nothing is stored before it is accepted"
    with page.expect_navigation():
        page.get_by_role("button", name="Leave out row 14", exact=True).click()
    assert "SF6129 stands in row" not in ines.reads(), "with one of the two left out the question is settled"
    page.check("[name=confirmed]")
    ines.presses("Accept 30 rows")
    assert Component.objects.count() == JOINTS
    fates = list(Delivered.objects.order_by("row_n").values_list("row_n", "fate"))
    assert [row for row, fate in fates if fate == "left out"] == [14]
    assert Component.objects.get(serial="SF6101").length_nm == 9_530_000_000


def straps_by_keyboard(ada: Person) -> None:
    """Thirty joints by keyboard alone; a questioned one is confirmed, one is taken back and read again."""
    page = ada.page
    at = Delivered.objects.first().delivery_id
    page.goto(f"/deliveries/{at}/")
    ada.presses("Strap them")
    page.fill("[name=title]", "Schwarzfeld 7-2214")
    page.check("[name=straps_wanted][value='2']")
    page.fill("[name=tape]", "T-07")
    page.fill("[name=reader]", "Ada")
    ada.presses("Open the tally")
    ada.presses("Strap")
    page.wait_for_selector("html[data-strap=ready]")
    for n, figures in enumerate(FIRST):
        ada.types(str(FIRST[n + 1]) if n == WRONG else str(figures))
        if n == ODD:
            page.wait_for_selector("#asking [data-yes]")
            page.keyboard.press("+")
        if n == WRONG:
            page.keyboard.press("-")
            ada.types(str(figures))
    ada.all_sent(1)
    assert page.inner_text("#joint b") == "Every line is read"
    assert page.inner_text("#count") == str(JOINTS)
    assert Consent.objects.count() == 1
    assert Strap.objects.exclude(reverses=None).count() == 1
    assert readings(1) == [Length.parse(figures_of(n)).nanometres for n in FIRST]
    ada.finishes()


def straps_blind(ben: Person) -> None:
    """The second strap by other hands: nothing that reaches this browser tells of the first."""
    page, got = ben.page, []

    def kept(route: Any) -> None:
        answer = route.fetch()
        got.append(answer.text())
        route.fulfill(response=answer)

    page.route("**/api/**", kept)
    page.route("**/*sheet=*", kept)
    page.goto(f"/tallies/{tally().number}/")
    pages = [page.content()]
    for name, text in {"tape": "T-11", "reader": "Ben", "writer": "Cy"}.items():
        page.fill(f"[name={name}]", text)
    ben.presses("Begin it")
    pages.append(page.content())
    ben.presses("Strap")
    page.wait_for_selector("html[data-strap=ready]")
    for n, figures in enumerate(FIRST):
        ben.types("3172" if n == SLIP else str(figures + 1))  # 31.27, and two figures changed places
        if n == ODD:
            page.wait_for_selector("#asking [data-yes]")
            page.keyboard.press("+")
    ben.all_sent(2)
    page.unroute_all(behavior="wait")
    assert "".join(got).count("stored") >= JOINTS, "the answers of the store were not kept"
    pages += [page.content(), *got]
    # The averages of one's own readings are one's own too, after however many of them an answer was drawn.
    second = [3172 if n == SLIP else figures + 1 for n, figures in enumerate(FIRST)]
    means = {figures_of((2 * sum(second[:n]) + n) // (2 * n)) for n in range(1, JOINTS + 1)}
    first = {figures_of(n) for n in FIRST} - {figures_of(n) for n in second} - means
    assert len(first) > 3, "too few figures of the first strap are told apart from the second's"
    first.add(Length(sum(readings(1))).shown("ft", 2))
    told = set(re.findall(r"(?<![\d.,])\d[\d,]*\.\d\d(?!\d)", " ".join(pages)))
    assert figures_of(FIRST[3] + 1) in told, "the figures of the second strap were looked through"
    assert told & first == set()
    ben.finishes()


def finds_the_slip_and_tapes_again(ada: Person) -> None:
    page = ada.page
    page.goto(f"/tallies/{tally().number}/compare/")
    said = ada.reads()
    name = tally().lines.in_order()[SLIP].painted
    assert re.search(rf"T01.*joint {name}\b.*changed places", said, re.I), said
    assert page.locator("[name=typed]").count() == 1, "one joint differs, and no other"
    page.fill("[name=typed]", "31.27")
    ada.presses("Store")
    assert "changed places" not in ada.reads().lower()
    assert page.locator("[name=typed]").count() == 0


def closes_and_prints(ola: Person) -> str:
    """The sheet on paper tells what the database holds, and its code leads to the page that says: current."""
    page = ola.page
    page.goto(f"/tallies/{tally().number}/close/")
    if page.locator("[name=reason]").count():
        page.fill("[name=reason]", "the long joint was looked at")
    ola.presses("Close the tally")
    sheet = Sheet.objects.get()
    assert f"This is revision {sheet.revision}, the current one." in ola.reads()
    total = Length(sum(readings(1))).shown("ft", 2)
    pdf = ola.fetches(page.get_by_text("Print it (PDF)").get_attribute("href"))
    printed = words(pdf)
    assert total in printed
    assert all(figures_of(n) in printed for n in FIRST)
    assert all(line.component.serial in printed for line in tally().lines.in_order())
    codes = {text for of_page in seen(pdf) for text in of_page}
    assert len(codes) == 1
    page.goto(codes.pop())
    assert f"This is revision {sheet.revision}, the current one." in ola.reads()
    assert total in ola.reads()
    table = ola.fetches(f"/S/{sheet.code}.csv").decode("utf-8-sig")
    assert figures_of(FIRST[0]) in table
    return sheet.code


def opens_a_tag(ada: Person) -> None:
    """The code on a printed tag opens its piece, with the length that the tally gave it."""
    pdf = ada.fetches(f"/tags.pdf?start=1&copies=1&tally={tally().number}")
    codes = [text for of_page in seen(pdf) for text in of_page]
    assert len(codes) == JOINTS
    piece = tally().lines.in_order()[3].component
    ada.page.goto(next(text for text in codes if text.endswith(piece.tag)))
    said = ada.reads()
    assert piece.serial in said
    assert figures_of(FIRST[3]) in said


def makes_a_new_revision(ola: Person, code: str) -> None:
    page = ola.page
    page.goto(f"/tallies/{tally().number}/")
    page.get_by_text("Make a new revision").click()
    page.fill("[name=reason]", "the owner asks for the last joint again")
    ola.presses("Open it again")
    page.goto(f"/tallies/{tally().number}/close/")
    if page.locator("[name=reason]").count():
        page.fill("[name=reason]", "the long joint was looked at")
    ola.presses("Close the tally")
    page.goto(f"/S/{code}/")
    assert "Superseded by revision 2" in ola.reads()
    ola.presses("open it")
    assert "This is revision 2, the current one." in ola.reads()
    assert Sheet.objects.count() == 2


def tally() -> Tally:
    return Tally.objects.get(site=Site.objects.get())


def readings(strap_n: int) -> list[int | None]:
    standing = Strap.objects.standing().filter(strap_n=strap_n, line__tally=tally())
    return [one.nm for one in standing.order_by("line__rank")]


def figures_of(hundredths: int) -> str:
    return f"{hundredths // 100}.{hundredths % 100:02d}"
