"""A rack on paper: its picture end on, the table of its layers, its load against its own rating."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.paper import fonts
from rack.paper.flow import Col, Flow
from rack.paper.rackpicture import MARKS, Drawing, LayerEnds, draw, layout
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface

_ROOM_MM_A_UNIT = 0.2583


@dataclass(frozen=True)
class RackSheet:
    """What stands on the paper of a rack, all of it as text already shown once.

    `rows` are the cells of the table, one row a layer, the last one the whole rack; `notes` what must be
    said of the sum, `cautions` what the work asks.
    """

    site: str
    rack: str
    printed: str
    layers: tuple[LayerEnds, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    rating: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


def pdf(sheet: RackSheet, *, size: str = "A4") -> bytes:
    """Return the PDF of a rack on "A4" or "Letter". Raises ValueError for another paper."""
    _, pages = _drawn(sheet, size, 0)
    made, _ = _drawn(sheet, size, pages)
    return made


def _drawn(sheet: RackSheet, size: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"{sheet.rack}, end on", sheet.site)

    def begin_page(number: int) -> float:
        _foot(surface, sheet, number, pages)
        return _head(surface, sheet)

    flow = Flow(surface, begin_page, surface.bottom - 9)
    _picture(flow, sheet.layers)
    flow.heading("Layers", 20)
    _table(flow, sheet)
    flow.gap(2)
    flow.paragraph(sheet.rating, 9, fonts.BOLD)
    for text in sheet.notes:
        flow.paragraph(text, 8)
    flow.heading("Cautions", 14)
    flow.points(sheet.cautions)
    return surface.finish(), flow.page


def _head(on: Surface, sheet: RackSheet) -> float:
    on.mark(MARGIN, MARGIN, 9)
    on.text(MARGIN + 11, MARGIN + 4.4, "Rack, end on", 8, fonts.BOLD)
    on.fitted(MARGIN + 36, MARGIN + 4.4, sheet.site, on.room - 36, 8)
    on.fitted(MARGIN, MARGIN + 12, sheet.rack, on.room, 14, fonts.BOLD)
    on.rule(MARGIN, MARGIN + 14.5, on.right, MARGIN + 14.5, HEAVY)
    return MARGIN + 16


def _foot(on: Surface, sheet: RackSheet, page: int, pages: int) -> None:
    y = on.bottom - 5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 4, f"As it stood {sheet.printed}. The rack changes; the page shows it now.",
              on.room * 0.75, 7)  # fmt: skip
    on.text(on.right, y + 4, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def _picture(flow: Flow, layers: Sequence[LayerEnds]) -> None:
    """Each layer by itself, so that a tall rack goes on over a page between layers."""
    marks: set[str] = set()
    across = flow.on.room / _ROOM_MM_A_UNIT
    whole = layout(layers, across)
    for part in _parts(layers, whole, across):
        high = part.height * _ROOM_MM_A_UNIT
        flow.need(high)
        draw(flow.on.canvas, part, MARGIN, flow.on.height - flow.y, flow.on.room)
        flow.y += high
        marks |= set(part.marks)
    if marks:
        words = [f"{'x' if mark == 'held' else mark} = {MARKS[mark]}" for mark in MARKS if mark in marks]
        flow.paragraph("Filled: " + "; ".join(words) + ".", 7.5)


def _parts(layers: Sequence[LayerEnds], whole: Drawing, across: float) -> list[Drawing]:
    """The drawing cut between its rows, every part to the scale of the whole."""
    parts, start = [], 0.0
    for sill in whole.sills:
        end = sill.y + 20.0
        here = [one._replace(y=one.y - start) for one in whole.circles if start <= one.y < sill.y]
        parts.append(Drawing(across, end - start, tuple(here), (sill._replace(y=sill.y - start),)))
        start = end
    return parts


def _table(flow: Flow, sheet: RackSheet) -> None:
    wide = flow.on.room / (len(sheet.heads) + 1)
    first = Col(sheet.heads[0], 2 * wide)
    rest = [Col(head, wide, "right", fonts.FIGURES) for head in sheet.heads[1:]]
    flow.table([first, *rest], sheet.rows, 8)
