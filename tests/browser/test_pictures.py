"""The pictures of the documentation, taken from the demo rig; and that each of them is shown somewhere.

TIERBOOK_PICTURES=1 manage.py test --soak tests/browser/test_pictures.py    takes them anew
"""

import io
import os
import re
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from rack import demo
from rack.models import Component, Delivery, Sheet

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
LIST = ROOT / "fixtures" / "story" / "lieferschein_7-2214.csv"
DESK, PHONE = (1280, 800), (390, 844)


@dataclass(frozen=True)
class Shot:
    """One picture: its name, who looks, where, on what, and what is done first."""

    name: str
    who: str
    at: Callable[[], str]
    size: tuple[int, int] = DESK
    night: bool = False
    first: Callable[[Any], None] | None = None


def text(path: str) -> Callable[[], str]:
    return lambda: path


def receives(page: Any) -> None:
    page.set_input_files("[name=file]", LIST)
    page.select_option("[name=place]", index=3)
    page.fill("[name=sender]", "Schwarzfeld Rohrlager")
    page.get_by_role("button", name="Read the list").click()
    page.get_by_text("Show only the").click()
    page.wait_for_load_state("networkidle")
    page.evaluate("() => document.querySelector('[aria-label=Rows]').scrollIntoView()")


def straps_a_few(page: Any) -> None:
    page.wait_for_selector("html[data-strap=ready]")
    for figures in ("3124", "3118", "3131", "3109", "3127", "3162", "3121", "6124"):
        page.keyboard.type(figures)
        page.keyboard.press("Enter")
    page.wait_for_selector("#asking [data-yes]")
    page.wait_for_function("() => document.getElementById('sending').textContent === ''")
    page.wait_for_timeout(600)


def tally_at(number: int, rest: str = "") -> Callable[[], str]:
    return text(f"/tallies/{number}/{rest}")


def sheet_at(pattern: str) -> Callable[[], str]:
    return lambda: pattern.format(Sheet.objects.order_by("-id")[0].code)


def held() -> str:
    pieces = Component.objects.filter(holds_n__gt=0, spec__kind="drill_pipe").order_by("serial_key")
    return f"/piece/{pieces[0].tag}/"


def piece(serial: str) -> Callable[[], str]:
    return lambda: f"/piece/{Component.objects.get(serial=serial).tag}/"


def delivered(pattern: str, name: str = "drill_pipe.csv") -> Callable[[], str]:
    return lambda: pattern.format(Delivery.objects.get(file__typed_name=name).pk)


SHOTS = (
    Shot("rack", "ola", text("/rack/")),
    Shot("rack-night", "ola", text("/rack/?kind=drill_pipe"), night=True),
    Shot("rack-phone", "ada", text("/rack/"), PHONE),
    Shot("preview", "ines", text("/receive/"), first=receives),
    Shot("delivery", "ines", delivered("/deliveries/{}/", "drill_pipe_rental.xlsx")),
    Shot("tally-new", "ada", text("/tallies/new/")),
    Shot("strap", "ada", tally_at(10, "strap/1/"), first=straps_a_few),
    Shot("strap-phone", "ada", tally_at(10, "strap/1/"), PHONE, first=straps_a_few),
    Shot("strap-phone-night", "ada", tally_at(10, "strap/1/"), PHONE, night=True),
    Shot("tally", "ola", tally_at(1)),
    Shot("compare", "ola", tally_at(7, "compare/")),
    Shot("close", "ola", tally_at(7, "close/")),
    Shot("sheet", "ola", sheet_at("/S/{}/")),
    Shot("sheet-phone", "ada", sheet_at("/S/{}/"), PHONE),
    Shot("piece", "ola", held),
    Shot("piece-phone", "ada", held, PHONE),
    Shot("tags", "ada", delivered("/tags/?delivery={}")),
    Shot("pencil", "ada", tally_at(9, "pencil/")),
    Shot("tool", "ben", piece("MTR 675-6")),
    Shot("rack-end-on", "ola", text("/rack/R1/")),
    Shot("casing-plan", "ola", tally_at(5, "casing/")),
    Shot("load", "ines", text("/loads/3/")),
    Shot("plan", "ines", text("/plans/1/")),
    Shot("pull", "ines", text("/plans/1/pull/?lot=1&count=12&class_wanted=")),
    Shot("string", "ola", text("/strings/3/")),
    Shot("driller", "ben", text("/strings/3/driller/"), night=True),
    Shot("places", "ola", text("/rack/places/")),
    Shot("reference", "ola", text("/reference/pipe/?pipe=5/19.50&grade=S135&pipe_class=premium")),
    Shot("accounts", "ines", text("/accounts/")),
)

#: Paper, as it leaves the printer.
PAPERS = {
    "paper-sheet": sheet_at("/S/{}.pdf"),
    "paper-tags": delivered("/tags.pdf?start=1&copies=1&delivery={}"),
    "paper-pencil": tally_at(9, "pencil.pdf"),
}
NAMES = {shot.name for shot in SHOTS} | set(PAPERS)


def pages() -> Iterator[tuple[Path, str]]:
    for file in (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))):
        yield file, file.read_text(encoding="utf-8")


def shown() -> set[str]:
    """The pictures that a page of the documentation shows."""
    picture = re.compile(r"!\[[^]]+\]\((?:docs/)?pictures/([\w-]+)\.png\)")
    return {name for _, words in pages() for name in picture.findall(words)}


def test_every_picture_is_shown_and_every_picture_shown_is_there() -> None:
    kept = {file.stem for file in PICTURES.iterdir()}
    assert kept == shown()
    assert kept <= NAMES, "a picture that nothing takes any more"


def test_every_picture_says_in_words_what_it_shows() -> None:
    """For whoever cannot see it."""
    short = [words for _, page in pages() for words in re.findall(r"!\[([^]]*)\]", page) if len(words) < 15]
    assert short == []


def test_no_picture_is_heavy() -> None:
    assert [file.name for file in PICTURES.iterdir() if file.stat().st_size > 300_000] == []


@pytest.mark.browser
@pytest.mark.soak
@pytest.mark.django_db(transaction=True)
def test_the_pictures_are_taken_from_the_demo_rig(
    browser: Any, live_server: Any, settings: Any, tmp_path: Path
) -> None:
    settings.ADDRESS = "https://tally.rig.example"
    folder = PICTURES if os.environ.get("TIERBOOK_PICTURES") else tmp_path
    folder.mkdir(exist_ok=True)
    demo.load()
    for shot in SHOTS:
        take(browser, live_server.url, shot, folder)
    for name, at in PAPERS.items():
        print_out(client_of("ada").get(at()).content, folder / f"{name}.png")
    assert {file.stem for file in folder.iterdir()} >= NAMES


def client_of(name: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=name), backend="django.contrib.auth.backends.ModelBackend")
    return client


def take(browser: Any, address: str, shot: Shot, folder: Path) -> None:
    from django.conf import settings

    phone = shot.size == PHONE
    context = browser.new_context(
        base_url=address, viewport={"width": shot.size[0], "height": shot.size[1]}, has_touch=phone,
        is_mobile=phone, color_scheme="dark" if shot.night else "light",
    )  # fmt: skip
    name = settings.SESSION_COOKIE_NAME
    value = client_of(shot.who).cookies[name].value
    context.add_cookies([{"name": name, "value": value, "url": address}])
    page = context.new_page()
    page.goto(shot.at())
    page.wait_for_load_state("networkidle")
    if shot.first:
        shot.first(page)
        page.wait_for_load_state("networkidle")
    keep(page.screenshot(), folder / f"{shot.name}.png")
    context.close()


def print_out(pdf: bytes, to: Path) -> None:
    command = ["pdftoppm", "-r", "70", "-png", "-singlefile", "-"]
    keep(subprocess.run(command, input=pdf, capture_output=True, check=True).stdout, to)


def keep(png: bytes, to: Path) -> None:
    """A screen has few colours: a palette keeps the picture small."""
    from PIL import Image

    Image.open(io.BytesIO(png)).convert("RGB").quantize(128).save(to, optimize=True)
