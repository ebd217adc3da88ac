"""The list of a load on paper: what is in each lift, what it weighs, and the return note of a rental.

Drawn from `LoadContent` alone, so that a print made years later is the print of the day.
"""

from rack.calc.lengths import Length
from rack.calc.loadlist import PROTECTORS, LiftSum, LoadContent, LoadLine, condition, sum_of
from rack.calc.rackload import GEOMETRY, LABEL_WORDS, shown
from rack.paper import fonts
from rack.paper.flow import Col, Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, RULE, Surface
from rack.paper.tally_sheet import when

WHY = {
    "site": "To another site", "return": "Rental going back", "inspection": "For inspection",
    "repair": "For repair", "other": "Handed over",
}  # fmt: skip
_CODE_SIDE = 22.2
_SIGNERS = ("Sent by", "Driver", "Received by", "Date and time")


def pdf(content: LoadContent, *, size: str = "A4", address: str) -> bytes:
    """Return the PDF of a sent load on "A4" or "Letter".

    `address` is what the printed code opens. The same content and address give the same bytes. Raises
    ValueError for another paper.
    """
    _, pages = _drawn(content, size, address, 0)
    made, _ = _drawn(content, size, address, pages)
    return made


def _drawn(content: LoadContent, size: str, address: str, pages: int) -> tuple[bytes, int]:
    surface = Surface(size, f"Load {content.number}, revision {content.revision}", content.site_name)

    def begin_page(number: int) -> float:
        _foot(surface, content, address, number, pages)
        return _head(surface, content, address)

    flow = Flow(surface, begin_page, surface.bottom - 11)
    _facts(flow, content)
    for lift in content.lifts:
        _lift(flow, content, lift)
    _whole(flow, content)
    if content.is_return:
        _note(flow, content)
    flow.heading("Cautions", 16)
    flow.points(content.cautions)
    _signatures(flow)
    return surface.finish(), flow.page


def _head(on: Surface, content: LoadContent, address: str) -> float:
    side = on.code(on.right - _CODE_SIDE + 2.2, MARGIN - 3, address, 0.6, _CODE_SIDE)
    room = on.room - _CODE_SIDE - 4
    middle = on.right - side / 2 + 2.2
    on.text(middle, MARGIN + _CODE_SIDE - 1.6, content.code, 8, fonts.BOLD_FIGURES, "centre")
    on.mark(MARGIN, MARGIN, 9)
    what = "Load-out list and return note" if content.is_return else "Load-out list"
    on.text(MARGIN + 11, MARGIN + 4.4, what, 8, fonts.BOLD)
    on.fitted(MARGIN + 60, MARGIN + 4.4, f"{content.site_name} ({content.site_code})", room - 60, 8)
    on.fitted(MARGIN, MARGIN + 12, f"Load {content.number} to {content.to}", room, 14, fonts.BOLD, least=5)
    sent = f"Revision {content.revision}, sent {when(content.sent_at)} by {content.sent_by}"
    on.fitted(MARGIN, MARGIN + 19, sent, room, 8.5)
    on.rule(MARGIN, MARGIN + _CODE_SIDE, on.right, MARGIN + _CODE_SIDE, HEAVY)
    return MARGIN + _CODE_SIDE + 2


def _foot(on: Surface, content: LoadContent, address: str, page: int, pages: int) -> None:
    y = on.bottom - 6.5
    on.rule(MARGIN, y, on.right, y, HAIR)
    opens = f"{address} says whether this list is still the current one, and what has arrived."
    on.fitted(MARGIN, y + 3, opens, on.room, 7)
    left = f"{content.site_code} · load {content.number} · revision {content.revision} · {content.code}"
    on.fitted(MARGIN, y + 6.5, left, on.room * 0.5, 7, fonts.BOLD)
    on.text(MARGIN + on.room * 0.66, y + 6.5, "Record sheet, not a certificate", 7, align="centre")
    on.text(on.right, y + 6.5, f"page {page} of {pages}", 7, fonts.BOLD, "right")


def _facts(flow: Flow, content: LoadContent) -> None:
    pairs = [("Why", WHY.get(content.why, content.why)), ("Carrier", content.carrier or "not said")]
    pairs += [("Remark", content.remark)] if content.remark else []
    for label, text in pairs:
        flow.on.text(MARGIN, flow.y + 3.7, label, 7)
        for line in flow.on.lines(text, flow.on.room - 20, 8.5):
            flow.on.text(MARGIN + 18, flow.y + 3.7, line, 8.5)
            flow.y += 3.8
        flow.y += 1.2
        flow.on.rule(MARGIN, flow.y, flow.on.right, flow.y, HAIR)
    flow.gap(1)


def _lift(flow: Flow, content: LoadContent, lift: LiftSum) -> None:
    flow.heading(f"{lift.called}: {lift.count} piece{'' if lift.count == 1 else 's'}", 26)
    wide = flow.on.room
    columns = (
        Col("No.", wide * 0.05, "right", fonts.FIGURES), Col("Painted", wide * 0.08, font=fonts.BOLD),
        Col("Serial", wide * 0.14, font=fonts.BOLD), Col("Owner's no.", wide * 0.11),
        Col("Item", wide * 0.24), Col(f"Length {content.unit}", wide * 0.1, "right", fonts.FIGURES),
        Col("lb", wide * 0.08, "right", fonts.FIGURES), Col("Protectors", wide * 0.1),
        Col("Tag", wide * 0.1, font=fonts.FIGURES),
    )  # fmt: skip
    flow.table(columns, [_cells(content, line) for line in lift.lines])
    flow.gap(1)
    flow.paragraph(sum_words(content, lift), 8.5, fonts.BOLD)


def _cells(content: LoadContent, line: LoadLine) -> tuple[str, ...]:
    return (
        str(line.n), line.painted or "–", line.serial or "not readable", line.owner_no or "–", line.item,
        length_of(content, line.nm), "–" if line.lb is None else shown(line.lb),
        PROTECTORS.get(line.protectors, line.protectors), line.tag,
    )  # fmt: skip


def length_of(content: LoadContent, nm: int | None) -> str:
    """A length as the list shows it, a dash for one that is not known."""
    return "–" if nm is None else Length(nm).shown(content.unit, content.digits)


def sum_words(content: LoadContent, lift: LiftSum) -> str:
    """What a lift or the whole load comes to, in one line, with what the sums leave out."""
    parts = [
        f"{lift.count} piece{'' if lift.count == 1 else 's'}",
        f"{length_of(content, lift.nm)} {content.unit}"
        + (f" ({lift.no_length} without a length)" if lift.no_length else ""),
        f"{shown(lift.lb)} lb, {shown(lift.kg)} kg"
        + (f" ({lift.not_weighed} not in the weight)" if lift.not_weighed else ""),
        f"protectors: {lift.protectors}",
    ]
    return " · ".join(parts)


def weight_words(content: LoadContent) -> tuple[str, ...]:
    """What must be said of the weights of this list."""
    notes = [LABEL_WORDS] if any(line.lb is not None for line in content.lines) else []
    if any(line.weight_basis == GEOMETRY for line in content.lines):
        notes.append("Drill collars without a label are reckoned from OD and bore, in steel.")
    return tuple(notes)


def _whole(flow: Flow, content: LoadContent) -> None:
    flow.heading("The whole load", 20)
    flow.paragraph(sum_words(content, sum_of("", content.lines)), 10, fonts.BOLD)
    for text in weight_words(content):
        flow.paragraph(text, 7.5)


def _note(flow: Flow, content: LoadContent) -> None:
    """The return note: each piece against its condition at delivery."""
    flow.heading("Return note, line by line against the condition at delivery", 26)
    flow.paragraph(
        "What the delivery list said is the sender's word. Where a row is marked, something differs or must "
        "be looked at.", 7.5,
    )  # fmt: skip
    wide = flow.on.room
    columns = (
        Col("No.", wide * 0.05, "right", fonts.FIGURES), Col("Piece", wide * 0.13, font=fonts.BOLD),
        Col("Hire", wide * 0.12), Col("What", wide * 0.12), Col("At delivery", wide * 0.2),
        Col("Now", wide * 0.31), Col("Mark", wide * 0.07, font=fonts.BOLD),
    )  # fmt: skip
    rows = []
    for line in content.lines:
        hire = f"{line.received_on} to {content.sent_at[:10]}"
        for place, (what, then, now, marked) in enumerate(condition(line, content.unit, content.digits)):
            head = (str(line.n), line.name, hire) if place == 0 else ("", "", "")
            rows.append((*head, what, then or "–", now, "!" if marked else ""))
    flow.table(columns, rows)


def _signatures(flow: Flow) -> None:
    flow.need(22)
    flow.gap(14)
    wide = flow.on.room / len(_SIGNERS)
    for place, words in enumerate(_SIGNERS):
        x = MARGIN + place * wide
        flow.on.rule(x, flow.y, x + wide - 5, flow.y, RULE)
        flow.on.text(x, flow.y + 3.4, words, 7)
    flow.gap(5)
