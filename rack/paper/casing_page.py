"""What every page of a casing plan carries on paper: its head with the code, its foot with the address."""

from collections.abc import Callable

from rack.calc.casing_content import CasingContent
from rack.calc.units import UNIT_NAMES
from rack.paper import fonts
from rack.paper.flow import Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, Surface
from rack.paper.tally_sheet import when

_CODE_SIDE = 22.2
_FOOT = 11.0
SIGNERS = ("Tally by", "Checked by", "Supervisor")


def drawn(
    content: CasingContent, kind: str, parts: Callable[[Flow], None], *, size: str, address: str
) -> bytes:
    """Return the PDF of `kind` ("Running list"): its facts, then what `parts` write, page x of y."""

    def once(pages: int) -> tuple[bytes, int]:
        title = f"{kind}, tally {content.tally_no}, revision {content.revision}"
        on = Surface(size, title, content.site_name)

        def begin_page(number: int) -> float:
            _foot(on, content, address, number, pages)
            return _head(on, content, kind, address)

        flow = Flow(on, begin_page, on.bottom - _FOOT)
        parts(flow)
        return on.finish(), flow.page

    _, pages = once(0)
    return once(pages)[0]


def _head(on: Surface, content: CasingContent, kind: str, address: str) -> float:
    side = on.code(on.right - _CODE_SIDE + 2.2, MARGIN - 3, address, 0.6, _CODE_SIDE)
    room = on.room - _CODE_SIDE - 4
    middle = on.right - side / 2 + 2.2
    on.text(middle, MARGIN + _CODE_SIDE - 1.6, content.code, 8, fonts.BOLD_FIGURES, "centre")
    on.mark(MARGIN, MARGIN, 9)
    on.text(MARGIN + 11, MARGIN + 4.4, kind, 8, fonts.BOLD)
    on.fitted(MARGIN + 38, MARGIN + 4.4, f"{content.site_name} ({content.site_code})", room - 38, 8)
    title = content.string or content.tally_title or f"Tally {content.tally_no}"
    name = f"{content.well}: {title}" if content.well else title
    on.fitted(MARGIN, MARGIN + 13, name, room, 13, fonts.BOLD, least=6)
    said = f"Plan revision {content.revision}, printed {when(content.printed_at)} by {content.printed_by}"
    on.fitted(MARGIN, MARGIN + 19, said, room, 8.5)
    on.rule(MARGIN, MARGIN + _CODE_SIDE, on.right, MARGIN + _CODE_SIDE, HEAVY)
    return MARGIN + _CODE_SIDE + 2


def _foot(on: Surface, content: CasingContent, address: str, page: int, pages: int) -> None:
    y = on.bottom - 6.5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 3, f"{address} says whether this plan is still the current one.", on.room, 7)
    left = f"{content.site_code} · casing plan of tally {content.tally_no} · revision {content.revision}"
    on.fitted(MARGIN, y + 6.5, f"{left} · sheet {content.code}", on.room * 0.52, 7, fonts.BOLD)
    on.text(MARGIN + on.room * 0.68, y + 6.5, "Record sheet, not a certificate", 7, align="centre")
    on.text(on.right, y + 6.5, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def facts(flow: Flow, content: CasingContent) -> None:
    """What was said at the head of the plan: lengths, datum, hole, straps."""
    unit = UNIT_NAMES[content.unit][1] if content.unit in UNIT_NAMES else content.unit
    tally = f"tally {content.tally_no}, revision {content.tally_revision}"
    _pair(flow, "Lengths", f"{content.length_kind}, {unit}, from {tally}")
    shoulder = "not said" if content.shoulder_nm is None else (
        f"{content.datum} to landing shoulder {content.shown(content.shoulder_nm)} {content.unit}, "
        f"{content.measured}")
    _pair(flow, "Datum", shoulder)
    if content.hole_nm is not None:
        off = "" if content.off_bottom_nm is None else (
            f", shoe wanted {content.shown(content.off_bottom_nm)} {content.unit} off bottom")
        _pair(flow, "Hole", f"{content.shown(content.hole_nm)} {content.unit} below {content.datum}{off}")
    for hands in content.hands:
        _pair(flow, "Straps", hands)
    flow.gap(2)


def _pair(flow: Flow, label: str, text: str) -> None:
    on = flow.on
    lines = on.lines(text, on.room - 20, 8.5)
    on.text(MARGIN, flow.y + 3.7, label, 7)
    for place, line in enumerate(lines):
        on.text(MARGIN + 18, flow.y + 3.7 + place * 3.8, line, 8.5)
    flow.y += len(lines) * 3.8 + 1.2
    on.rule(MARGIN, flow.y, on.right, flow.y, HAIR)


def counted(flow: Flow, content: CasingContent) -> None:
    """The three counts and which numbers must lie on the rack: the crew's best check."""
    flow.heading("When it is landed", 30)
    figures = (
        ("Joints received", str(content.received)), ("To run", str(content.to_run)),
        ("Spare", str(content.spare)), ("Left out", str(content.left_out)),
        ("Must lie on the rack", str(len(content.on_rack))),
    )
    wide = flow.on.room / len(figures)
    for place, (label, shown) in enumerate(figures):
        flow.on.fitted(MARGIN + place * wide, flow.y + 3.4, label, wide - 2, 7)
        flow.on.fitted(MARGIN + place * wide, flow.y + 9, shown, wide - 2, 13, fonts.BOLD_FIGURES)
    flow.gap(11)
    there = ", ".join(content.on_rack) if content.on_rack else "none"
    flow.paragraph(f"On the rack must lie, when the string is landed: {there}.", 9.5, fonts.BOLD)
    for row in content.rows:
        if row.role == "out":
            gone = "; not on the rack" if row.away else ""
            flow.paragraph(f"Left out: {row.name}: {row.reason}{gone}.", 8)


def landed(flow: Flow, content: CasingContent) -> None:
    """The length below the shoulder, the shoe, the losses by pins, the stick-up."""
    layout = content.layout()
    unit = content.unit
    flow.heading("Length and shoe", 24)
    cut = f" less {content.shown(layout.cut_off)} cut off" if layout.cut_off.nanometres else ""
    flow.paragraph(
        f"Below the landing shoulder {content.shown(layout.total)} {unit}: {content.shown(layout.gross)} "
        f"less {content.shown(layout.losses, 1)} of make-up loss on {layout.pins} pins{cut}.", 9)
    if layout.shoe is not None:
        flow.paragraph(
            f"Shoe at {content.shown(layout.shoe)} {unit} below {content.datum}: "
            f"{content.shown(layout.total)} and {content.shown(layout.anchor)} to the landing shoulder.",
            9.5, fonts.BOLD)
    if content.hole_nm is not None and layout.shoe is not None:
        off = content.hole_nm - layout.shoe.nanometres
        flow.paragraph(f"Off bottom {content.shown(off)} {unit}.", 9)
    if layout.stick_up is not None:
        parts = ", ".join(f"{item.name} {content.shown(item.effective)}" for item in layout.above)
        flow.paragraph(f"Stick-up above {content.datum} when landed {content.shown(layout.stick_up)} {unit} "
                       f"({parts}).", 9)
    sources = dict.fromkeys(row.loss_source for row in content.rows
                            if row.role == "run" and row.loss_nm and row.loss_source)
    for source in sources:
        flow.paragraph(f"Make-up loss: {source}.", 7.5)
    flow.paragraph("Each figure is rounded once, half up, from the exact length.", 7.5)


def close(flow: Flow, content: CasingContent) -> None:
    """What was asked and why it was accepted, the cautions, who signs."""
    if content.asked:
        flow.heading("Accepted with a reason", 20)
        flow.paragraph(content.reason, 8.5, fonts.BOLD)
        flow.points(content.asked)
    flow.heading("Cautions", 20)
    flow.points(content.cautions)
    flow.need(16)
    flow.gap(10)
    wide = flow.on.room / len(SIGNERS)
    for place, who in enumerate(SIGNERS):
        x = MARGIN + place * wide
        flow.on.rule(x, flow.y, x + wide - 5, flow.y, HAIR)
        flow.on.text(x, flow.y + 3.2, who, 7)
    flow.gap(5)
