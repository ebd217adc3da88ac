"""A person at the strap page in a real Chromium."""

from collections.abc import Callable
from typing import Any

from rack.models import Strap, Tally
from tests import stock

READINGS = "**/api/readings"


class Desk:
    """A person at the strap page of a tally."""

    def __init__(self, page: Any, address: str, sign_in: Callable[..., None]) -> None:
        self.page, self.address, self._sign_in = page, address, sign_in
        self.site = stock.site()
        self.crew = stock.person("ada", "crew", self.site)
        self.page.console_errors.clear()

    def tally(self, count: int, **head: Any) -> Tally:
        made = stock.tally(self.crew, self.site, stock.pieces(stock.rack(self.site), count), **head)
        self.lines = list(made.lines.in_order())
        return made

    def open(self, tally: Tally, strap_n: int = 1) -> None:
        self._sign_in(self.page, self.crew, self.address)
        self.page.goto(f"/tallies/{tally.number}/strap/{strap_n}/")
        self.page.wait_for_selector("html[data-strap=ready]")

    def types(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def joint(self) -> str:
        return self.page.inner_text("#joint b")

    def sent(self) -> None:
        """Wait until nothing waits in this browser any more."""
        self.page.wait_for_function("() => document.getElementById('sending').textContent === ''")

    def kept(self) -> int:
        """How many entries lie in the outbox of this browser."""
        return self.page.evaluate("""() => new Promise((resolve) => {
            const open = indexedDB.open("tierbook-outbox");
            open.onsuccess = () => {
                const count = open.result.transaction("entries").objectStore("entries").count();
                count.onsuccess = () => { open.result.close(); resolve(count.result); };
            };
        })""")

    def quiet(self) -> None:
        """A lost connection writes an error on the console; here it is meant."""
        meant = "Failed to load"
        self.page.console_errors[:] = [line for line in self.page.console_errors if meant not in line]

    def told(self, words: str) -> None:
        """Wait until the page says so of what waits."""
        said = "(words) => document.getElementById('waiting').textContent.includes(words)"
        self.page.wait_for_function(said, arg=words)


def standing(strap_n: int = 1) -> list[Strap]:
    return list(Strap.objects.standing().filter(strap_n=strap_n).order_by("line__rank"))
