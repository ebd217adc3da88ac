"""The BHA sheet on paper: head, table, what it comes to, the fishing diagram, cautions and signatures.

Drawn from `BhaContent` alone, so that a print made years later is the print of the day.
"""

from reportlab.graphics import renderPDF
from reportlab.lib.units import mm

from rack.calc.bha import BhaContent
from rack.calc.bha_lines import BhaLine
from rack.calc.specs import inches
from rack.paper import fonts
from rack.paper.bha_sums import lacking, pounds, shown, size, sum_pairs
from rack.paper.fishing_diagram import WIDE, drawings
from rack.paper.flow import Col, Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, RULE, Surface
from rack.paper.tally_sheet import when

_CODE_SIDE = 22.2
_SIGNERS = ("Directional driller", "Driller", "Toolpusher", "Date and time")
_PT = 0.3528  # a point in mm
#: The cautions and the signatures under them stay on one page; their height in mm.
_CLOSE = 62


def pdf(content: BhaContent, *, size: str = "A4", address: str) -> bytes:
    """Return the PDF of the sheet with its fishing diagram on "A4" or "Letter".

    `address` is what the printed code opens, and it stands in clear at the foot of every page. The same
    content and address give the same bytes. Raises ValueError for another paper.
    """
    _, pages = _drawn(content, size, address, 0)
    made, _ = _drawn(content, size, address, pages)
    return made


def _drawn(content: BhaContent, size: str, address: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"{content.head.title}, revision {content.revision}", content.head.site_name)

    def begin_page(number: int) -> float:
        _foot(surface, content, address, number, pages)
        return _head(surface, content, address)

    flow = Flow(surface, begin_page, surface.bottom - 11)
    _facts(flow, content)
    _table(flow, content)
    _sums(flow, content)
    _notes(flow, content)
    flow.heading("Mind", _CLOSE)
    flow.points(content.cautions)
    _signatures(flow)
    _diagram(flow, content)
    return surface.finish(), flow.page


def _head(on: Surface, content: BhaContent, address: str) -> float:
    head = content.head
    side = on.code(on.right - _CODE_SIDE + 2.2, MARGIN - 3, address, 0.6, _CODE_SIDE)
    room = on.room - _CODE_SIDE - 4
    on.text(on.right - side / 2 + 2.2, MARGIN + _CODE_SIDE - 1.6, content.code, 8, fonts.BOLD_FIGURES,
            "centre")
    on.mark(MARGIN, MARGIN, 9)
    on.text(MARGIN + 11, MARGIN + 4.4, "BHA sheet and fishing diagram", 8, fonts.BOLD)
    on.fitted(MARGIN + 72, MARGIN + 4.4, f"{head.site_name} ({head.site_code})", room - 72, 8)
    on.fitted(MARGIN, MARGIN + 12, head.title, room, 14, fonts.BOLD, least=5)
    made = f"Revision {content.revision}, made {when(content.made_at)} by {content.made_by}"
    on.fitted(MARGIN, MARGIN + 19, made, room, 8.5)
    on.rule(MARGIN, MARGIN + _CODE_SIDE, on.right, MARGIN + _CODE_SIDE, HEAVY)
    return MARGIN + _CODE_SIDE + 2


def _foot(on: Surface, content: BhaContent, address: str, page: int, pages: int) -> None:
    y = on.bottom - 6.5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 3, f"{address} says whether this sheet is still the current one.", on.room, 7)
    left = f"{content.head.site_code} · {content.head.title} · revision {content.revision} · {content.code}"
    on.fitted(MARGIN, y + 6.5, left, on.room * 0.5, 7, fonts.BOLD)
    on.text(MARGIN + on.room * 0.66, y + 6.5, "Record sheet, not a certificate", 7, align="centre")
    on.text(on.right, y + 6.5, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def head_pairs(content: BhaContent) -> tuple[tuple[str, str], ...]:
    """What stands over the table, label and text, without what is not known."""
    head, unit = content.head, content.unit
    depth = " to ".join(f"{shown(content, nm)} {unit}" for nm in (head.depth_in_nm, head.depth_out_nm)
                        if nm is not None)  # fmt: skip
    pairs = (
        ("Well", head.well), ("BHA no.", head.bha_no), ("Bit no.", head.bit_no), ("Run no.", head.run_no),
        ("Hole", f"{inches(head.hole_nm)} in" if head.hole_nm else ""), ("Depth", depth),
        ("Mud", "" if head.mud_mppg is None else f"{head.mud_mppg / 1000:.2f} ppg"), ("Casing", head.casing),
        ("Hours", ", ".join(f"{clock} {hours}" for clock, hours in head.hours)), ("Lengths", head.lengths),
    )
    return tuple(pair for pair in pairs if pair[1])


def _facts(flow: Flow, content: BhaContent) -> None:
    half = flow.on.room / 2
    pairs = head_pairs(content)
    for at in range(0, len(pairs), 2):
        for place, (label, text) in enumerate(pairs[at : at + 2]):
            x = MARGIN + place * half
            flow.on.text(x, flow.y + 3.7, label, 7)
            flow.on.fitted(x + 16, flow.y + 3.7, text, half - 19, 8.5, least=4)
        flow.y += 5
        flow.on.rule(MARGIN, flow.y, flow.on.right, flow.y, HAIR)
    flow.gap(1)


def _table(flow: Flow, content: BhaContent) -> None:
    flow.heading("From the bit upward", 30)
    wide, figures, unit = flow.on.room, fonts.FIGURES, content.unit
    columns = (
        Col("No.", wide * 0.04, "right", figures), Col("Piece, serial", wide * 0.225),
        Col("OD in", wide * 0.072), Col("Bore in", wide * 0.072), Col("Gauge in", wide * 0.068),
        Col(f"Fishing neck OD in, length {unit}", wide * 0.1), Col("Down, up", wide * 0.125),
        Col(f"Length {unit}", wide * 0.075, "right", figures),
        Col(f"From bit {unit}", wide * 0.085, "right", figures), Col("lb/ft", wide * 0.063, "right", figures),
        Col("Weight lb", wide * 0.075, "right", figures),
    )  # fmt: skip
    flow.table(columns, [_row(content, line) for line in content.lines], 6.8)


def _row(content: BhaContent, line: BhaLine) -> tuple[str, ...]:
    neck = f"{size(line.neck_od_nm)} x {shown(content, line.neck_nm or None)}" if line.neck_od_nm else "–"
    return (
        str(line.n), piece_words(content, line), size(line.od_nm), bore_words(line), size(line.gauge_nm),
        neck, ends_words(line), shown(content, line.nm),
        shown(content, line.cum_nm), f"{line.mlb_ft / 1000:.1f}" if line.mlb_ft else "–", pounds(line.mlb),
    )  # fmt: skip


def piece_words(content: BhaContent, line: BhaLine) -> str:
    """The piece, its serial or that a list follows, and what matters of it beside the columns."""
    return "; ".join([item_words(line), serial_words(line), *more_words(content, line)])


def item_words(line: BhaLine) -> str:
    """What it is, and how many."""
    return f"{line.count} x {line.item}" if line.count > 1 else line.item


def serial_words(line: BhaLine) -> str:
    """Its serial, or that it has none, or that the list follows."""
    return line.serial or ("list to follow" if line.count > 1 or not line.named else "no serial")


def more_words(content: BhaContent, line: BhaLine) -> list[str]:
    """What matters of a piece beside its columns, a part each."""
    parts = []
    if line.bend:
        parts.append(f"bend {line.bend}°")
    if line.stands:
        parts.append(f"stands {line.stands}")
    if line.opened_nm is not None or line.closed_nm is not None:
        parts.append(f"open {shown(content, line.opened_nm)}, closed {shown(content, line.closed_nm)} "
                     f"{content.unit}")
    if line.sensor_nm is not None:
        parts.append(f"sensor {shown(content, line.sensor_nm)} {content.unit} from the bit")
    if line.remark:
        parts.append(line.remark)
    return parts


def ends_words(line: BhaLine) -> str:
    """Both ends, the lower first: "NC50 pin / box", "4-1/2 REG box / NC50 box", a dash for none."""
    if line.down and line.down == line.up:
        return f"{line.down} {line.down_gender or '?'} / {line.up_gender or '?'}"
    return " / ".join(part for part in line.connections if part) or "–"


def bore_words(line: BhaLine) -> str:
    """The bore, with the tighter one of a tool joint beside it."""
    if line.least_bore_nm and line.least_bore_nm != line.bore_nm:
        return f"{size(line.bore_nm)} (joint {size(line.least_bore_nm)})"
    return size(line.bore_nm)


def _sums(flow: Flow, content: BhaContent) -> None:
    pairs = sum_pairs(content)
    flow.heading("What it comes to", 26)
    wide = flow.on.room / 4
    for at in range(0, len(pairs), 4):
        flow.need(11)
        for place, (label, text) in enumerate(pairs[at : at + 4]):
            x = MARGIN + place * wide
            flow.on.fitted(x, flow.y + 3.4, label, wide - 2, 7)
            flow.on.fitted(x, flow.y + 8.4, text, wide - 2, 11, fonts.BOLD_FIGURES)
        flow.gap(10.5)
    for text in lacking(content):
        flow.paragraph(text, 7.5)


def _notes(flow: Flow, content: BhaContent) -> None:
    if content.notes:
        flow.heading("What the rules say, and what was answered", 18)
        flow.points(content.notes, 8)


def _diagram(flow: Flow, content: BhaContent) -> None:
    """The fishing diagram on pages of its own: the top of the string first, as it hangs."""
    if not content.lines:
        return
    wide = min(WIDE, flow.on.room / _PT)
    top = MARGIN + _CODE_SIDE + 14
    made = drawings(content, width=wide, height=(flow.floor - top) / _PT - 4)
    for part, one in enumerate(reversed(made), 1):
        flow.new_page()
        which = f", part {part} of {len(made)} from the top" if len(made) > 1 else ""
        flow.heading(f"Fishing diagram{which}", 10)
        low = flow.on.height - flow.y - 2 - one.height * _PT
        renderPDF.draw(one, flow.on.canvas, MARGIN * mm, low * mm)
        flow.gap(one.height * _PT + 4)


def _signatures(flow: Flow) -> None:
    flow.need(22)
    flow.gap(14)
    wide = flow.on.room / len(_SIGNERS)
    for place, words in enumerate(_SIGNERS):
        x = MARGIN + place * wide
        flow.on.rule(x, flow.y, x + wide - 5, flow.y, RULE)
        flow.on.text(x, flow.y + 3.4, words, 7)
    flow.gap(5)
