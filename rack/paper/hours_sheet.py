"""Hours against limits on paper: the same bars as on the page, what they mean, cautions."""

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.graphics import renderPDF
from reportlab.lib.units import mm

from rack.calc.hours_limits import Bar
from rack.paper import fonts
from rack.paper.flow import Flow
from rack.paper.hours_chart import LEGEND, WIDE, drawing, fitting, height_of
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface

_PT = 25.4 / 72


@dataclass(frozen=True)
class HoursSheet:
    """What stands on the paper: `title` whose hours, `under` which clocks, `said` what must be known."""

    site: str
    title: str
    under: str
    printed: str
    bars: Sequence[Bar]
    said: Sequence[str]
    caution: str


def pdf(sheet: HoursSheet, *, size: str = "A4") -> bytes:
    """Return the PDF on "A4" or "Letter". Raises ValueError for another paper."""
    _, pages = _drawn(sheet, size, 0)
    made, _ = _drawn(sheet, size, pages)
    return made


def _drawn(sheet: HoursSheet, size: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"Hours against limits: {sheet.title}", sheet.site)

    def begin_page(number: int) -> float:
        _foot(surface, sheet, number, pages)
        return _head(surface, sheet)

    flow = Flow(surface, begin_page, surface.bottom - 9)
    for text in sheet.said:
        flow.paragraph(text, 8.5, fonts.BOLD)
    flow.warning(sheet.caution)
    flow.gap(1)
    flow.paragraph(LEGEND, 7.5)
    flow.gap(1)
    _chart(flow, sheet.bars, drawn=pages > 0)
    return surface.finish(), flow.page


def _chart(flow: Flow, bars: Sequence[Bar], *, drawn: bool) -> None:
    """The bars, cut between pages; each part has its scale over it, and all parts the same scale.

    While the pages are only counted nothing is drawn.
    """
    wide = min(WIDE, flow.on.room / _PT)
    rest = list(bars)
    while rest:
        part = rest[: fitting(rest, (flow.floor - flow.y) / _PT)]
        if not part:
            flow.new_page()
            continue
        high = height_of(part) * _PT
        if drawn:
            low = flow.on.height - flow.y - high
            one = drawing(part, width=wide, whole=bars)
            renderPDF.draw(one, flow.on.canvas, MARGIN * mm, low * mm)
        flow.gap(high)
        rest = rest[len(part) :]
        if rest:
            flow.new_page()


def _head(on: Surface, sheet: HoursSheet) -> float:
    on.named("Hours against limits", sheet.site, on.room)
    on.fitted(MARGIN, MARGIN + 12, sheet.title, on.room, 14, fonts.BOLD)
    on.fitted(MARGIN, MARGIN + 17, sheet.under, on.room, 8.5)
    on.rule(MARGIN, MARGIN + 19, on.right, MARGIN + 19, HEAVY)
    return MARGIN + 21


def _foot(on: Surface, sheet: HoursSheet, page: int, pages: int) -> None:
    y = on.bottom - 5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 4, f"As it stood {sheet.printed}. Hours go on; the page shows them now.",
              on.room * 0.75, 7)  # fmt: skip
    on.text(on.right, y + 4, f"page {page} of {pages}", 7, fonts.BOLD, "right")
