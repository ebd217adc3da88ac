"""Invented sheets for the tests of paper, and what a drawing put where."""

import io
import random
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

import zxingcpp
from PIL import Image
from pypdf import PdfReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from rack.calc.sheets import (
    Hands,
    SheetContent,
    SheetFinding,
    SheetLine,
    SheetLoss,
    Withdrawn,
    totals_of,
)
from tests.conftest import missing

HUNDREDTH_FT = 3_048_000
PIPE = "5 in 19.50 S-135 NC50 R2 drill pipe"
ADDRESS = "https://sandholm.example/T/K7Q2M9A"


def sheet(count: int, **more: Any) -> SheetContent:
    """A closed tally of `count` joints read once in hundredths of a foot, every value can be given."""
    draw = random.Random(count)
    lines = tuple(
        SheetLine(n, str(n), f"KD{4100 + n}", "", PIPE, nm, nm)
        for n in range(1, count + 1)
        for nm in [(3_050 + draw.randrange(120)) * HUNDREDTH_FT]
    )
    plain = SheetContent(
        site_code="SH3", site_name="Sandholm 3", tally_no=14, title="drill pipe for the 8½ in section",
        purpose="rack", item=PIPE, unit="ft", digits=2, length_kind="pins off", straps_wanted=1,
        straps_taken=1, hands=(Hands(1, "T-07", "Ada Fenn", "Ola Brandt"),),
        opened_at="2026-11-01T07:10+01:00", closed_at="2026-11-02T14:20+01:00", closed_by="Ola Brandt",
        revision=2, code="K7Q2M9A", lines=lines, **totals_of(lines, (), "pins off"),
    )
    return again(plain, **more)


def again(content: SheetContent, **more: Any) -> SheetContent:
    """The content with other values, its totals made to agree with them."""
    changed = replace(content, **more)
    return replace(changed, **totals_of(changed.lines, changed.losses, changed.length_kind))


def twice(count: int, slips: dict[int, int]) -> SheetContent:
    """A tally strapped twice; `slips` maps a line to how many hundredths the second reading is off."""
    once = sheet(count)
    lines = tuple(
        replace(line, second_nm=line.nm + slips.get(line.n, 0) * HUNDREDTH_FT) for line in once.lines
    )
    hands = (*once.hands, Hands(2, "T-09", "Łukasz Żółć", "Ола Брандт"))
    return again(once, lines=lines, straps_wanted=2, straps_taken=2, hands=hands)


def full(count: int) -> SheetContent:
    """A tally on which everything stands that a sheet can say."""
    base = twice(count, {n: 18 if n % 2 else -18 for n in range(3, count + 1, 4)})
    lines = tuple(
        replace(line, loss_nm=101_600_000, loss_source="thread table", loss_conf="A",
                note="confirmed as read" if line.n % 7 == 1 else "",
                serial="ŁÓDŹ-ŽČ-2231-0045-AB/7" if line.n % 5 == 0 else line.serial)
        for line in base.lines
    )
    return again(
        base, lines=lines, length_kind="threads on", cancels=True,
        reason="The crane was wanted elsewhere. " * 4,
        losses=(SheetLoss("7 in 29.00 LTC casing", 101_600_000, "thread table; from memory", "A", count),),
        findings=(
            SheetFinding("T01", (1,), "Two figures changed places: 31.26 and 31.62.", "Measure it again."),
        ),
        withdrawn=(Withdrawn("9A", "KD4199", "bent near the box, laid aside until somebody looks at it"),),
        title="casing for the 12¼ in section, second delivery of the well, with everything on it",
    )


def words(pdf: bytes) -> str:
    """All text of a PDF as a reader gets it, its blanks made one each."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def page_count(pdf: bytes) -> int:
    return len(PdfReader(io.BytesIO(pdf)).pages)


def seen(pdf: bytes) -> list[list[str]]:
    """What a phone reads from each page as printed at 150 dots an inch, from top to bottom."""
    if shutil.which("pdftoppm") is None:
        missing("paper", "no pdftoppm here; apt-get install poppler-utils")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "sheet.pdf"
        file.write_bytes(pdf)
        subprocess.run(["pdftoppm", "-r", "150", "-gray", str(file), f"{folder}/p"], check=True)
        pages = sorted(Path(folder).glob("p*.pgm"))
        return [[found.text for found in zxingcpp.read_barcodes(Image.open(page))] for page in pages]


@dataclass(frozen=True)
class Written:
    """One string on paper: its page and its box in points."""

    page: int
    text: str
    left: float
    right: float
    foot: float
    top: float


@contextmanager
def watched() -> Iterator[list[Written]]:
    """Note every string that is written on the last document drawn, and where."""
    found: list[Written] = []
    last: list[Canvas] = []
    write = Canvas.drawString

    def noted(self: Canvas, x: float, y: float, text: str, **more: Any) -> None:
        if last != [self]:
            # A sheet is drawn twice, the first time only to learn how many pages it takes.
            found.clear()
            last[:] = [self]
        wide = pdfmetrics.stringWidth(text, self._fontname, self._fontsize)
        size = self._fontsize
        found.append(Written(self.getPageNumber(), text, x, x + wide, y - 0.2 * size, y + 0.73 * size))
        write(self, x, y, text, **more)

    with patch.object(Canvas, "drawString", noted):
        yield found


def outside(found: list[Written], wide: float, high: float, margin: float) -> list[str]:
    """The strings that leave the part of a page that every printer prints."""
    return [
        one.text for one in found
        if one.left < margin or one.right > wide - margin or one.foot < margin or one.top > high - margin
    ]


def over_each_other(found: list[Written]) -> list[tuple[str, str]]:
    """The pairs of strings on one page whose letters touch."""
    spare = 0.3
    ranked = sorted(found, key=lambda one: (one.page, one.left))
    pairs = []
    for place, one in enumerate(ranked):
        for other in ranked[place + 1 :]:
            if other.page != one.page or other.left > one.right - spare:
                break
            if min(one.top, other.top) - max(one.foot, other.foot) > 2 * spare:
                pairs.append((one.text, other.text))
    return pairs
