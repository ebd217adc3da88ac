"""A sheet closed before its content grew: it still loads, keeps its digest and prints as it printed then."""

import hashlib
from dataclasses import replace
from pathlib import Path

import pytest

from rack.calc.sheets import (
    LATER,
    SheetContent,
    SheetCorrection,
    SheetFinding,
    SheetSample,
    SheetStand,
    digest_of,
)
from rack.paper import tally_sheet
from tests.rack.paper.drawn import ADDRESS, watched

TEXT = Path(__file__).parents[3].joinpath("fixtures/sheets/closed_before_purposes.json").read_text("utf-8")
#: Both were computed by the program as it was before these fields existed.
DIGEST = "f985335a6a4ab6e8b7f4d4db03771696fb2330a0981090b3d02f973ba0a51ad8"
DRAWN = "9afc0a47e3415be34024bcfa5b0946dc8d17f13649175c51fb1a5e887710d16e"

NEW = {
    "mind": "One reading a stand.",
    "checks": (SheetFinding("T05", (3, 4), "Alike.", "Walk the rack."),),
    "third": (SheetFinding("", (3,), "The list bears out the first strap.", ""),),
    "third_list": "list gantry_42.csv",
    "sample": SheetSample("K7Q2M9A", (4, 9, 2), 9_500_000_000, 570_000_000_000, 571, 12, "the total"),
    "stands": (SheetStand(1, (1, 2, 3), 28_500_000_000, 28_503_000_000),),
    "stands_words": "Nothing.",
    "gate_nm": 6_096_000,
    "correction": SheetCorrection(-3_000_000, "Ola Brandt", "2026-11-02T14:20+01:00", "stretch"),
}


def test_a_text_of_then_comes_back_to_the_letter() -> None:
    content = SheetContent.from_text(TEXT)
    assert content.to_text() == TEXT
    assert content.digest() == digest_of(TEXT) == DIGEST


def test_a_sheet_of_then_is_drawn_as_it_was() -> None:
    with watched() as found:
        tally_sheet.pdf(SheetContent.from_text(TEXT), address=ADDRESS)
    lines = "\n".join(f"{one.page} {one.left:.2f} {one.foot:.2f} {one.text}" for one in found)
    assert hashlib.sha256(lines.encode()).hexdigest() == DRAWN


def test_every_later_field_is_tried_here() -> None:
    assert set(NEW) == set(LATER)


@pytest.mark.parametrize("name", NEW)
def test_a_later_field_comes_back_and_is_in_the_digest(name: str) -> None:
    content = replace(SheetContent.from_text(TEXT), **{name: NEW[name]})
    assert f'"{name}":' in content.to_text()
    assert SheetContent.from_text(content.to_text()) == content
    assert content.digest() != DIGEST
