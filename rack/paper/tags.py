"""Tags for the rack: A4 sheets of 3 x 7 labels, one piece a label, nothing on them that can change."""

import io
from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.paper import fonts, qr

# The grid of the common 3 x 7 sheet: two label makers' pages agree on 63.5 x 38.1, 7.2 and 15.1 mm.
PAGE = (210 * mm, 297 * mm)
COLUMNS, ROWS = 3, 7
A_PAGE = COLUMNS * ROWS
LABEL = (63.5 * mm, 38.1 * mm)
LEFT, TOP = 7.2 * mm, 15.15 * mm
PITCH = (66.0 * mm, 38.1 * mm)

_MODULE = 0.75 * mm
_CODE_ROOM = 30.2 * mm
_EDGE = 1.2 * mm
_GAP = 0.6 * mm
WARNING = ("Take off before this goes in the hole,", "never on a protector")


@dataclass(frozen=True)
class TagLabel:
    """What stands on one tag: only what stays the same as long as the piece does.

    `code` is the piece's tag, `address` what its code opens; `serial` and `owner` (the owner's
    number) may be empty.
    """

    code: str
    address: str
    serial: str
    item: str = ""
    owner: str = ""


def pdf(labels: Sequence[TagLabel], *, start: int = 1, copies: int = 1, outlines: bool = False) -> bytes:
    """Return the PDF of these tags, the first one on label `start` (1 to 21, row by row) of the first sheet.

    `copies` is how many of each, side by side; `outlines` draws the label edges, for a trial on plain
    paper. Raises ValueError when there is nothing to print or `start` is no label of the sheet.
    Source of the grid: label makers' pages, seen in two places.
    """
    if not 1 <= start <= A_PAGE:
        raise ValueError(f"a sheet has labels 1 to {A_PAGE}; there is no label {start}")
    if copies < 1 or not labels:
        raise ValueError("there is no tag to print")
    fonts.register()
    sink = io.BytesIO()
    canvas = Canvas(sink, pagesize=PAGE, invariant=1, pageCompression=1)
    canvas.setTitle("Tags")
    canvas.setCreator("Tierbook")
    place = start - 1
    for label in labels:
        made = qr.code(qr.upper(label.address))
        for _ in range(copies):
            if place == A_PAGE:
                canvas.showPage()
                place = 0
            row, column = divmod(place, COLUMNS)
            corner = LEFT + column * PITCH[0], PAGE[1] - TOP - row * PITCH[1]
            _draw(canvas, label, made, *corner)
            if outlines:
                canvas.setLineWidth(0.3)
                canvas.rect(corner[0], corner[1] - LABEL[1], *LABEL)
            place += 1
    canvas.showPage()
    canvas.save()
    return sink.getvalue()


def _draw(canvas: Canvas, label: TagLabel, made: qr.Code, x: float, top: float) -> None:
    """One label with its upper left corner at x, top."""
    across = made.modules + 2 * qr.QUIET
    module = min(_MODULE, _CODE_ROOM / across)
    side = across * module
    quiet = qr.QUIET * module
    canvas.addLiteral(qr.drawn(made, x + _EDGE + quiet, top - _EDGE - quiet, module))
    left = x + _EDGE + side + _GAP
    room = LABEL[0] - _EDGE - side - _GAP - 2 * mm
    _words(canvas, label, left, top - _EDGE - 1.6 * mm, room, top - 31 * mm)
    canvas.setFont(fonts.BOLD, 7)
    canvas.drawString(x + _EDGE + quiet, top - 33.4 * mm, WARNING[0])
    canvas.drawString(x + _EDGE + quiet, top - 36.2 * mm, WARNING[1])


def _words(canvas: Canvas, label: TagLabel, x: float, y: float, room: float, foot: float) -> None:
    """The words beside the code, from y down to foot: the serial large, the code in clear, the item."""
    for text, size in _serial(label, room):
        y -= size * 0.8
        canvas.setFont(fonts.BOLD, size)
        canvas.drawString(x, y, text)
        y -= size * 0.3
    y -= 12
    canvas.setFont(fonts.BOLD_FIGURES, fonts.size_to_fit(label.code, fonts.BOLD_FIGURES, 12, room, 6))
    canvas.drawString(x, y, label.code)
    y -= 3
    if label.owner and label.serial:
        y = _block(canvas, f"Owner's no. {label.owner}", x, y, room, (y - foot) / 2) - 1.5
    _block(canvas, label.item, x, y, room, y - foot)


def _block(canvas: Canvas, text: str, x: float, y: float, room: float, height: float) -> float:
    """A text in as many lines as it needs, from y downward; return where it ends."""
    size, lines = _sized(text, room, height)
    canvas.setFont(fonts.TEXT, size)
    for line in lines:
        y -= size + 1
        canvas.drawString(x, y, line)
    return y


def _sized(text: str, room: float, height: float) -> tuple[float, tuple[str, ...]]:
    """The text at the largest size at which all of it goes in; what is longer still ends in an ellipsis."""
    size, lines = 7.0, fonts.wrap(text, fonts.TEXT, 7, room)
    while len(lines) * (size + 1) > height and size > 4.5:
        size -= 0.5
        lines = fonts.wrap(text, fonts.TEXT, size, room)
    most = max(1, int(height / (size + 1)))
    return size, lines if len(lines) <= most else (*lines[: most - 1], lines[most - 1][:-2] + "…")


def _serial(label: TagLabel, room: float) -> list[tuple[str, float]]:
    """The serial in lines with their sizes: large on one, smaller on two where it is long."""
    text = fonts.clean(label.serial) or fonts.clean(label.owner) or "No serial"
    size = fonts.size_to_fit(text, fonts.BOLD, 16, room, 1)
    if size >= 9:
        return [(text, size)]
    lines = fonts.wrap(text, fonts.BOLD, 9, room)
    size = 9.0 if len(lines) <= 2 else 5.5
    return [(line, size) for line in fonts.wrap(text, fonts.BOLD, size, room)]
