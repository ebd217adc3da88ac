"""A thousand tags beside a bare loop that draws the same codes and the same words."""

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from unittest.mock import patch

from qrcode.constants import ERROR_CORRECT_H
from qrcode.main import QRCode
from qrcode.util import QRData
from reportlab.pdfgen.canvas import Canvas

from rack.benching.figures import Figure, beside
from rack.paper import qr, tags

COUNT = 1000
ROUNDS = 5
MOST_RATIO = 1.5
_RUNS = re.compile("1+")


@dataclass
class Drawn:
    """What stands on the sheets, as it was drawn: for each page its words and the places of its codes."""

    words: list[tuple[str, float, float, float, str]] = field(default_factory=list)
    codes: list[tuple[str, float, float]] = field(default_factory=list)


def labels() -> list[tags.TagLabel]:
    return [
        tags.TagLabel(
            code=f"K{n:05d}V", address=f"HTTPS://TALLY.RIG.EXAMPLE/T/K{n:05d}V", serial=f"KD{4100 + n}",
            item="Drill pipe 5 in 19.50 lb/ft S-135 NC50 R2", owner=f"D-{n}",
            pipe_class="Premium", listed="2026-11-02", scheme="drill pipe tube",
        )
        for n in range(COUNT)
    ]  # fmt: skip


def figures() -> Iterator[Figure]:
    wanted = labels()
    pages = _watched(wanted)
    measured, floor = beside([lambda: tags.pdf(wanted), lambda: _bare(pages)], ROUNDS)
    yield Figure(f"{COUNT:,} tags", "s", measured, MOST_RATIO, floor)


def _watched(wanted: list[tags.TagLabel]) -> list[Drawn]:
    """Draw the tags once and note where each word and each code came to stand."""
    pages = [Drawn()]
    addresses = iter(qr.upper(label.address) for label in wanted)

    class Watching(Canvas):  # type: ignore[misc]
        def drawString(self, x: float, y: float, text: str, **more: Any) -> None:  # noqa: N802
            pages[-1].words.append((self._fontname, self._fontsize, x, y, text))
            super().drawString(x, y, text, **more)

        def showPage(self) -> None:  # noqa: N802
            pages.append(Drawn())
            super().showPage()

    plain = qr.drawn

    def drawn(made: qr.Code, x: float, y: float, module: float) -> str:
        pages[-1].codes.append((next(addresses), x, y))
        return plain(made, x, y, module)

    with patch.object(tags, "Canvas", Watching), patch.object(qr, "drawn", drawn):
        tags.pdf(wanted)
    return [page for page in pages if page.words]


def _bare(pages: list[Drawn]) -> bytes:
    """The least that puts the same codes and words on paper: no wrapping, no fitting, no measuring."""
    sink = io.BytesIO()
    canvas = Canvas(sink, invariant=1, pageCompression=1)
    for page in pages:
        for text, x, y in page.codes:
            made = QRCode(version=3, error_correction=ERROR_CORRECT_H, mask_pattern=3, border=0)
            made.add_data(QRData(text.encode()), optimize=0)
            made.make(fit=False)
            rows = ["".join(["1" if dark else "0" for dark in row]) for row in made.modules]
            bars = [
                f"{run.start()} {-1 - n} {run.end() - run.start()} 1 re"
                for n, row in enumerate(rows) for run in _RUNS.finditer(row)
            ]  # fmt: skip
            canvas.addLiteral(f"q 2.1 0 0 2.1 {x} {y} cm {' '.join(bars)} f Q")
        for font, size, x, y, text in page.words:
            canvas.setFont(font, size)
            canvas.drawString(x, y, text)
        canvas.showPage()
    canvas.save()
    return sink.getvalue()
