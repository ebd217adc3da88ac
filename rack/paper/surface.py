"""A page to draw on in millimetres from its upper left corner, with text, rules, the mark and the code."""

import io
from typing import Literal

from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.paper import fonts, qr

SIZES = {"A4": A4, "Letter": letter}
MARGIN = 12.0
#: Weights of rules in points: between lines, round a box, and the heavier one after every ten.
HAIR, RULE, HEAVY = 0.35, 0.7, 1.4
#: The lines between joints stand back from the figures; on a copy they may fade without harm.
_HAIR_GRAY = 0.5
Align = Literal["left", "right", "centre"]

#: The mark: five pipe ends in two layers, as places of their centres in units of a pipe's diameter.
_ENDS = ((0.5, 0.5), (1.5, 0.5), (2.5, 0.5), (1.0, 1.37), (2.0, 1.37))


class Surface:
    """Pages of one size. Places and widths in mm from the upper left corner, sizes of letters in points."""

    def __init__(self, size: str, title: str, subject: str) -> None:
        if size not in SIZES:
            raise ValueError(f"there is no paper called {size!r}; there are: {', '.join(SIZES)}")
        fonts.register()
        self._sink = io.BytesIO()
        self.page_size = SIZES[size]
        self.width, self.height = self.page_size[0] / mm, self.page_size[1] / mm
        self.right = self.width - MARGIN
        self.bottom = self.height - MARGIN
        self.room = self.width - 2 * MARGIN
        self.canvas = Canvas(self._sink, pagesize=self.page_size, invariant=1, pageCompression=1)
        self.canvas.setTitle(fonts.clean(title))
        self.canvas.setSubject(fonts.clean(subject))
        self.canvas.setCreator("Tierbook")
        self.canvas.setAuthor("Tierbook")

    def next_page(self) -> None:
        self.canvas.showPage()

    def finish(self) -> bytes:
        """Return the PDF. The page being drawn is the last one."""
        self.canvas.showPage()
        self.canvas.save()
        return self._sink.getvalue()

    def text(
        self, x: float, y: float, text: str, size: float = 8, font: str = fonts.TEXT, align: Align = "left"
    ) -> None:
        """Write one line with its foot at y."""
        if not text:
            return
        if align != "left":
            wide = fonts.width(text, font, size) / mm
            x -= wide if align == "right" else wide / 2
        self.canvas.setFont(font, size)
        self.canvas.drawString(x * mm, (self.height - y) * mm, text)

    def fitted(
        self, x: float, y: float, text: str, room: float, size: float = 8, font: str = fonts.TEXT,
        align: Align = "left", least: float = 3,
    ) -> None:
        """Write one line, smaller where it would not go into `room`."""
        text = fonts.clean(text)
        self.text(x, y, text, fonts.size_to_fit(text, font, size, room * mm, least), font, align)

    def lines(self, text: str, room: float, size: float = 8, font: str = fonts.TEXT) -> tuple[str, ...]:
        """Cut a text into the lines that go into `room`."""
        return fonts.wrap(text, font, size, room * mm)

    def rule(self, x: float, y: float, x2: float, y2: float, weight: float = HAIR) -> None:
        self.canvas.setLineWidth(weight)
        self.canvas.setStrokeGray(_HAIR_GRAY if weight == HAIR else 0)
        self.canvas.line(x * mm, (self.height - y) * mm, x2 * mm, (self.height - y2) * mm)

    def box(self, x: float, y: float, wide: float, high: float, weight: float = RULE) -> None:
        self.canvas.setLineWidth(weight)
        self.canvas.setStrokeGray(0)
        self.canvas.rect(x * mm, (self.height - y - high) * mm, wide * mm, high * mm)

    def tint(self, x: float, y: float, wide: float, high: float) -> None:
        """Lay a light grey under what will be written there; it may be lost on a copy without harm."""
        self.canvas.setFillGray(0.92)
        self.canvas.rect(x * mm, (self.height - y - high) * mm, wide * mm, high * mm, stroke=0, fill=1)
        self.canvas.setFillGray(0)

    def mark(self, x: float, y: float, wide: float) -> None:
        """Draw the five pipe ends with the upper left corner of the mark at x, y."""
        across = wide / 3
        self.canvas.setLineWidth(across * mm * 0.14)
        self.canvas.setStrokeGray(0)
        for right, up in _ENDS:
            foot = self.height - y - across * 1.87
            self.canvas.circle((x + right * across) * mm, (foot + up * across) * mm, across * 0.42 * mm)

    def named(self, what: str, site: str, room: float) -> None:
        """Write at the top which kind of paper this is, and after it whose, in `room` mm of the width."""
        self.mark(MARGIN, MARGIN, 9)
        self.text(MARGIN + 11, MARGIN + 4.4, what, 8, fonts.BOLD)
        after = 11 + fonts.width(fonts.clean(what), fonts.BOLD, 8) / mm + 4
        self.fitted(MARGIN + after, MARGIN + 4.4, site, room - after, 8)

    def code(self, x: float, y: float, address: str, module: float = 0.6, most: float = 30) -> float:
        """Draw the code of an address, its quiet zone's corner at x, y; return its side, at most `most`."""
        made = qr.code(qr.upper(address))
        across = made.modules + 2 * qr.QUIET
        module = min(module, most / across)
        left, top = (x + qr.QUIET * module) * mm, (self.height - y - qr.QUIET * module) * mm
        self.canvas.addLiteral(qr.drawn(made, left, top, module * mm))
        return across * module
