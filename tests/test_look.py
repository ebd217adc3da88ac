"""What a person cannot see at a glance: contrast, one night, no missing drawing, nothing inline."""

import re
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parent.parent
STATIC = HOUSE / "rack" / "static" / "rack"
SHEET = (STATIC / "tierbook.css").read_text(encoding="utf-8")
TEMPLATES = sorted((HOUSE / "templates").rglob("*.html"))

GROUNDS = ("paper", "sheet")
STATES = ("fine", "soon", "due", "over", "held")

#: What is read: (ink, ground), at least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3).
READ = [(ink, ground) for ink in ("ink", "quiet", "steel", "dope", *STATES) for ground in GROUNDS] + [
    ("bar-ink", "bar"),
    ("find-ink", "find"),
    ("find-quiet", "find"),
    ("steel-ink", "steel"),
    ("steel-ink", "steel-over"),
    ("ink", "here"),
    ("steel", "here"),
    ("quiet", "here"),
    ("over", "over-wash"),
    ("due", "due-wash"),
    *((ink, wash) for ink in ("ink", "quiet") for wash in ("over-wash", "due-wash", "note-wash")),
]

#: What only has to be seen, such as the edge of a field: at least 3 to 1 (success criterion 1.4.11).
SEEN = [(edge, ground) for edge in ("edge", "focus", "steel-end") for ground in GROUNDS] + [
    ("bar-here", "bar"),
    ("focus", "here"),
]


def colours(selector: str) -> dict[str, str]:
    """The colours set in the first block of that selector."""
    block = SHEET.split(selector, 1)[1].split("}", 1)[0]
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})\b", block))


DAY = colours("\n:root {")
NIGHT = colours(':root:not([data-theme="light"]) {')
THEMES = {"day": DAY, "night": {**DAY, **NIGHT}}


def brightness(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21, as WCAG 2.2 defines it."""
    dark, light = sorted((brightness(one), brightness(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_measured_as_the_standard_says():
    # W3C, Understanding WCAG 2.2, contrast (minimum): black on white 21; #777 on white 4.48, too little.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ink, ground", READ)
def test_every_text_can_be_read_by_day_and_by_night(theme: str, ink: str, ground: str):
    assert contrast(THEMES[theme][ink], THEMES[theme][ground]) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("edge, ground", SEEN)
def test_every_edge_can_be_seen_by_day_and_by_night(theme: str, edge: str, ground: str):
    assert contrast(THEMES[theme][edge], THEMES[theme][ground]) >= 3


def test_night_by_choice_is_the_night_of_the_system():
    chosen = colours(':root[data-theme="dark"] {')
    assert NIGHT
    assert chosen == NIGHT


def test_every_drawing_that_a_page_asks_for_is_in_the_sheet():
    drawn = set(re.findall(r'<symbol id="([\w-]+)"', (STATIC / "icons.svg").read_text(encoding="utf-8")))
    asked = {
        name for page in TEMPLATES for name in re.findall(r'{% icon "([\w-]+)"', page.read_text("utf-8"))
    }
    assert asked
    assert asked <= drawn
    assert {*STATES, "stops", "asks", "note"} <= drawn


@pytest.mark.parametrize("page", TEMPLATES, ids=lambda page: page.name)
def test_no_page_carries_a_style_or_a_script_of_its_own(page: Path):
    # The content policy would drop them without a word, and the page would look broken.
    text = page.read_text(encoding="utf-8")
    assert not re.search(r"""\sstyle\s*=\s*["']""", text)
    assert not re.search(r"\son\w+\s*=", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)
    assert "<style" not in text
