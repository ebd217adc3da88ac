"""The record sheet of an inspection or of a whole job, drawn from plain text; no certificate."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.paper import fonts
from rack.paper.flow import Col, Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface

HEADLINE = "Record sheet. Not a certificate."
CAUTIONS = (
    "This sheet repeats what was recorded. It certifies nothing: the inspector's own report and certificate, "
    "the contract, the maker's sheet and local law come first.",
    "A computed class is a second opinion from the limits named beside it; the worse of given and computed "
    "holds here until a qualified person decides.",
    "A piece that is held or rejected stays out of the hole whatever this sheet says.",
)
_CODE = 26


@dataclass(frozen=True)
class Part:
    """A table under its own heading: heads with their share of the width (all together 1), and its rows."""

    title: str
    columns: Sequence[tuple[str, float, bool]]
    rows: Sequence[tuple[str, ...]]
    none: str = "Nothing was recorded."


@dataclass(frozen=True)
class RecordSheet:
    """What stands on the sheet. `address` is what its code opens, `foot` what tells its age."""

    site: str
    title: str
    under: str
    facts: Sequence[tuple[str, str]]
    parts: Sequence[Part]
    notes: Sequence[str] = ()
    address: str = ""
    foot: str = ""
    signers: Sequence[str] = ("For the inspection company", "Supervisor")


def pdf(sheet: RecordSheet, *, size: str = "A4") -> bytes:
    """Return the PDF of a record sheet on "A4" or "Letter". Raises ValueError for another paper."""
    _, pages = _drawn(sheet, size, 0)
    return _drawn(sheet, size, pages)[0]


def _drawn(sheet: RecordSheet, size: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"Record sheet: {sheet.title}", sheet.site)

    def begin_page(number: int) -> float:
        _foot(surface, sheet, number, pages)
        return _head(surface, sheet, first=number == 1)

    flow = Flow(surface, begin_page, surface.bottom - 9)
    _facts(flow, sheet.facts)
    for part in sheet.parts:
        flow.heading(part.title)
        if part.rows:
            flow.table([_column(surface, *column) for column in part.columns], part.rows)
        else:
            flow.paragraph(part.none, 8)
    flow.gap(2)
    for text in sheet.notes:
        flow.paragraph(text, 8)
    flow.heading("Cautions", 14)
    flow.points(CAUTIONS)
    _signers(flow, sheet.signers)
    return surface.finish(), flow.page


def _column(on: Surface, head: str, share: float, figure: bool) -> Col:
    font = fonts.FIGURES if figure else fonts.TEXT
    return Col(head, on.room * share, "right" if figure else "left", font)


def _head(on: Surface, sheet: RecordSheet, *, first: bool) -> float:
    on.named("Record sheet", sheet.site, on.room - (_CODE if first and sheet.address else 0))
    room = on.room
    if first and sheet.address:
        on.code(on.right - _CODE, MARGIN - 3, sheet.address, most=_CODE)
        room -= _CODE + 2
    on.fitted(MARGIN, MARGIN + 12, HEADLINE, room, 13, fonts.BOLD)
    on.fitted(MARGIN, MARGIN + 18, sheet.title, room, 11, fonts.BOLD)
    on.fitted(MARGIN, MARGIN + 22.5, sheet.under, room, 8.5)
    on.rule(MARGIN, MARGIN + 25, on.right, MARGIN + 25, HEAVY)
    return MARGIN + 27


def _facts(flow: Flow, facts: Sequence[tuple[str, str]]) -> None:
    """Label over text, three beside each other."""
    on = flow.on
    wide = on.room / 3
    for at in range(0, len(facts), 3):
        cells = [(label, on.lines(text or "not said", wide - 3, 8.5)) for label, text in facts[at : at + 3]]
        high = 4 + 3.9 * max(len(lines) for _, lines in cells)
        flow.need(high)
        for n, (label, lines) in enumerate(cells):
            x = MARGIN + n * wide
            on.text(x, flow.y + 3.2, label, 6.5, fonts.BOLD)
            for row, line in enumerate(lines):
                on.text(x, flow.y + 7 + row * 3.9, line, 8.5)
        flow.y += high + 0.8


def _foot(on: Surface, sheet: RecordSheet, page: int, pages: int) -> None:
    y = on.bottom - 5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 4, f"{HEADLINE} {sheet.foot}", on.room * 0.8, 7)
    on.text(on.right, y + 4, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def _signers(flow: Flow, signers: Sequence[str]) -> None:
    flow.need(22)
    flow.gap(12)
    on, wide = flow.on, flow.on.room / max(len(signers), 1)
    for place, signer in enumerate(signers):
        x = MARGIN + place * wide
        on.rule(x, flow.y, x + wide - 4, flow.y, HAIR)
        on.text(x, flow.y + 3.5, signer, 7)
    flow.y += 6
