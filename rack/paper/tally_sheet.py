"""The sheet of a closed tally on paper: head, book, what it adds up to, straps, cautions, signatures.

Drawn from `SheetContent` alone, so that a print made years later is the print of the day.
"""

from rack.calc.kinds import LENGTH_KINDS
from rack.calc.sheets import SheetContent
from rack.calc.units import UNIT_NAMES
from rack.paper import fonts, sheet_parts, tally_grid
from rack.paper.flow import Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface

_CODE_SIDE = 22.2
_FOOT = 11.0


def pdf(content: SheetContent, *, size: str = "A4", address: str) -> bytes:
    """Return the PDF of a closed tally on "A4" or "Letter".

    `address` is what the printed code opens, and it stands in clear at the foot of every page. The
    same content and address give the same bytes. Raises ValueError for another paper.
    """
    book = tally_grid.book(content)
    _, pages = _drawn(book, size, address, 0)
    # A few joints whose last lines would stand alone on a second page are drawn closer, when one page does.
    tight = pages == 2 and len(book.pages) == 1 and _drawn(book, size, address, 0, tight=True)[1] == 1
    made, _ = _drawn(book, size, address, 1 if tight else pages, tight=tight)
    return made


def name_of(content: SheetContent) -> str:
    """Return what the tally is called: "Tally 14: drill pipe for the 8 1/2 in section"."""
    return f"Tally {content.tally_no}: {content.title}" if content.title else f"Tally {content.tally_no}"


def when(instant: str) -> str:
    """Return an ISO instant as it is read on paper: "2026-11-02 14:20 +01:00"."""
    day, _, rest = instant.partition("T")
    for sign in "+-":
        clock, found, zone = rest.partition(sign)
        if found:
            return f"{day} {clock[:5]} {sign}{zone}"
    return f"{day} {rest[:5]} UTC" if rest.endswith("Z") else f"{day} {rest[:5]}".strip()


def _drawn(
    book: tally_grid.Book, size: str, address: str, pages: int, *, tight: bool = False
) -> tuple[bytes, int]:
    """Draw the whole sheet; `pages` is what "page 1 of" says, known only after drawing once."""
    content = book.content
    surface = Surface(size, f"{name_of(content)}, revision {content.revision}", content.site_name)

    def begin_page(number: int) -> float:
        _foot(surface, content, address, number, pages)
        return _head(surface, content, address)

    flow = Flow(surface, begin_page, surface.bottom - _FOOT, tight=tight)
    _facts(flow, content)
    tally_grid.draw(flow, book)
    for part in sheet_parts.PARTS:
        part(flow, book)
    return surface.finish(), flow.page


def _head(on: Surface, content: SheetContent, address: str) -> float:
    """The head of every page: what it is, whose, which revision, and the code."""
    side = on.code(on.right - _CODE_SIDE + 2.2, MARGIN - 3, address, 0.6, _CODE_SIDE)
    room = on.room - _CODE_SIDE - 4
    middle = on.right - side / 2 + 2.2
    on.text(middle, MARGIN + _CODE_SIDE - 1.6, content.code, 8, fonts.BOLD_FIGURES, "centre")
    on.mark(MARGIN, MARGIN, 9)
    on.text(MARGIN + 11, MARGIN + 4.4, "Tally sheet", 8, fonts.BOLD)
    on.fitted(MARGIN + 32, MARGIN + 4.4, f"{content.site_name} ({content.site_code})", room - 32, 8)
    lines, size = _title(on, name_of(content), room)
    y = MARGIN + (6.4 if len(lines) == 1 else 5.2)
    for line in lines:
        y += size * 0.42
        on.text(MARGIN, y + 1, line, size, fonts.BOLD)
    closed = f"Revision {content.revision}, closed {when(content.closed_at)} by {content.closed_by}"
    on.fitted(MARGIN, MARGIN + 19.8, closed, room, 8.5)
    on.rule(MARGIN, MARGIN + _CODE_SIDE, on.right, MARGIN + _CODE_SIDE, HEAVY)
    return MARGIN + _CODE_SIDE + 2


def _title(on: Surface, name: str, room: float) -> tuple[tuple[str, ...], float]:
    """The title on one line, or on two in smaller letters; nothing of it is left out."""
    for size in (14.0, 12.0, 10.0, 8.0, 6.0):
        lines = on.lines(name, room, size, fonts.BOLD)
        if len(lines) == 1 or (size <= 10 and len(lines) == 2):
            return lines, size
    return on.lines(name, room, 5, fonts.BOLD)[:3], 5.0


def _foot(on: Surface, content: SheetContent, address: str, page: int, pages: int) -> None:
    """The foot of every page: the address in clear, tally and revision, page x of y."""
    y = on.bottom - 6.5
    on.rule(MARGIN, y, on.right, y, HAIR)
    opens = f"{address} says whether this sheet is still the current one."
    on.fitted(MARGIN, y + 3, opens, on.room, 7)
    left = f"{content.site_code} · tally {content.tally_no} · revision {content.revision}"
    on.fitted(MARGIN, y + 6.5, f"{left} · sheet {content.code}", on.room * 0.5, 7, fonts.BOLD)
    on.text(MARGIN + on.room * 0.66, y + 6.5, "Record sheet, not a certificate", 7, align="centre")
    on.text(on.right, y + 6.5, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def _facts(flow: Flow, content: SheetContent) -> None:
    """What was asked once at the head of the tally."""
    half = flow.on.room / 2
    unit = UNIT_NAMES[content.unit][1] if content.unit in UNIT_NAMES else content.unit
    figures = "1 figure" if content.digits == 1 else f"{content.digits} figures"
    kind = LENGTH_KINDS.get(content.length_kind, "")
    straps = f"{content.straps_taken} taken, {content.straps_wanted} wanted"
    _pair(flow, ("Item", content.item, flow.on.room))
    _pair(flow, ("Length", f"{content.length_kind}: {kind}" if kind else content.length_kind, flow.on.room))
    _pair(flow, ("Purpose", content.purpose, half), ("Unit", f"{unit}, {figures} after the point", half))
    _pair(flow, ("Opened", when(content.opened_at), half), ("Straps", straps, half))
    for hands in content.hands:
        who = f"tape {hands.tape or '–'}, reader {hands.reader or '–'}, writer {hands.writer or '–'}"
        _pair(flow, (f"Strap {hands.strap_n}", who, flow.on.room))
    flow.gap(1.5 if flow.tight else 2.5)


def _pair(flow: Flow, *pairs: tuple[str, str, float]) -> None:
    """One ruled line of the facts: each a label, what it says, and how much of the line is its own."""
    on, high = flow.on, 0.0
    x = MARGIN
    for label, text, wide in pairs:
        lines = on.lines(text, wide - 20, 8.5)
        on.text(x, flow.y + 3.7, label, 7)
        for place, line in enumerate(lines):
            on.text(x + 18, flow.y + 3.7 + place * 3.8, line, 8.5)
        high = max(high, len(lines) * 3.8 + (0.7 if flow.tight else 1.2))
        x += wide
    flow.y += high
    on.rule(MARGIN, flow.y, on.right, flow.y, HAIR)
