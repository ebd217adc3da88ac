"""A plain list on paper: a head, one table, notes, cautions. Everything on it is text already shown once."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rack.paper import fonts
from rack.paper.flow import Col, Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface


@dataclass(frozen=True)
class Column:
    """A column: its head, its share of the width (all together 1), and where its text stands."""

    head: str
    share: float
    align: Literal["left", "right", "centre"] = "left"


@dataclass(frozen=True)
class ListSheet:
    """What stands on the paper. `what` is the kind of paper, `foot` what its reader must know of its age."""

    what: str
    site: str
    title: str
    under: str
    columns: tuple[Column, ...]
    rows: Sequence[tuple[str, ...]]
    notes: Sequence[str] = ()
    cautions: Sequence[str] = ()
    foot: str = ""
    figures: Sequence[tuple[str, str]] = ()
    signers: Sequence[str] = ()


def pdf(sheet: ListSheet, *, size: str = "A4") -> bytes:
    """Return the PDF of a list on "A4" or "Letter". Raises ValueError for another paper."""
    _, pages = _drawn(sheet, size, 0)
    made, _ = _drawn(sheet, size, pages)
    return made


def _drawn(sheet: ListSheet, size: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"{sheet.what}: {sheet.title}", sheet.site)

    def begin_page(number: int) -> float:
        _foot(surface, sheet, number, pages)
        return _head(surface, sheet)

    flow = Flow(surface, begin_page, surface.bottom - 9)
    for label, value in sheet.figures:
        flow.paragraph(f"{label}: {value}", 9, fonts.BOLD)
    if sheet.rows:
        wide = surface.room
        columns = [
            Col(one.head, wide * one.share, one.align, fonts.FIGURES if one.align == "right" else fonts.TEXT)
            for one in sheet.columns
        ]
        flow.table(columns, sheet.rows)
    else:
        flow.paragraph("Nothing stands on this list.", 9)
    flow.gap(2)
    for text in sheet.notes:
        flow.paragraph(text, 8)
    if sheet.cautions:
        flow.heading("Cautions", 14)
        flow.points(sheet.cautions)
    if sheet.signers:
        _signers(flow, sheet.signers)
    return surface.finish(), flow.page


def _head(on: Surface, sheet: ListSheet) -> float:
    on.named(sheet.what, sheet.site, on.room)
    on.fitted(MARGIN, MARGIN + 12, sheet.title, on.room, 14, fonts.BOLD)
    on.fitted(MARGIN, MARGIN + 17, sheet.under, on.room, 8.5)
    on.rule(MARGIN, MARGIN + 19, on.right, MARGIN + 19, HEAVY)
    return MARGIN + 21


def _foot(on: Surface, sheet: ListSheet, page: int, pages: int) -> None:
    y = on.bottom - 5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 4, sheet.foot, on.room * 0.75, 7)
    on.text(on.right, y + 4, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def _signers(flow: Flow, signers: Sequence[str]) -> None:
    flow.need(22)
    flow.gap(12)
    on = flow.on
    wide = on.room / len(signers)
    for place, signer in enumerate(signers):
        x = MARGIN + place * wide
        on.rule(x, flow.y, x + wide - 4, flow.y, HAIR)
        on.text(x, flow.y + 3.5, signer, 7)
    flow.y += 6
