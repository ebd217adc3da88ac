"""What stands on one tag and where, from its upper left corner: code, serial, tag, item, class, warning.

Two layouts: the code with words beside and the warning under it; on a low label everything beside the code.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.calc.bands import bands_of
from rack.calc.labels import Grid, module_of
from rack.paper import bands, fonts, qr

WARNING = ("Take off before this goes in the hole,", "never on a protector")
NOT_INSPECTED = "not an inspection"
_EDGE = 1.2
_LOW_EDGE = 0.8
_NM = 1_000_000


@dataclass(frozen=True)
class TagLabel:
    """What stands on one tag: only what stays the same as long as the piece does.

    `code` is the piece's tag, `address` what its code opens; `serial` and `owner` (the owner's
    number) may be empty. `pipe_class` is the class as the list gave it, `listed` the date of that
    list and `scheme` whose class it is: what a list said on a day stays true, whatever is found later.
    """

    code: str
    address: str
    serial: str
    item: str = ""
    owner: str = ""
    pipe_class: str = ""
    listed: str = ""
    scheme: str = ""


@dataclass(frozen=True)
class Frame:
    """The sizes of one layout in points, worked out once for a whole print."""

    wide: float
    high: float
    scale: float
    low: bool

    @classmethod
    def of(cls, grid: Grid) -> "Frame":
        """The layout of the labels of a grid."""
        wide, high = points(grid.label_w.nanometres), points(grid.label_h.nanometres)
        return cls(wide, high, 1.0 if grid.is_low else float(grid.scale), grid.is_low)


def points(nanometres: int) -> float:
    """Return whole nanometres in points of a page."""
    return nanometres / _NM * mm


def draw(canvas: Canvas, label: TagLabel, made: qr.Code, grid: Grid, frame: Frame, x: float, top: float) -> None:
    """Draw one label with its upper left corner at x, top (points from the lower left of the page)."""
    module = points(module_of(grid, made.modules).nanometres)
    side = (made.modules + 2 * qr.QUIET) * module
    if frame.low:
        _low(canvas, label, made, frame, x, top, module, side)
    else:
        _full(canvas, label, made, frame, x, top, module, side)


def _full(
    canvas: Canvas, label: TagLabel, made: qr.Code, frame: Frame, x: float, top: float, module: float,
    side: float,
) -> None:  # fmt: skip
    """Code and words side by side, the warning under both."""
    unit = frame.scale * mm
    edge, quiet = _EDGE * unit, qr.QUIET * module
    canvas.addLiteral(qr.drawn(made, x + edge + quiet, top - edge - quiet, module))
    left = x + edge + side + 0.6 * unit
    room = frame.wide - (left - x) - 2 * unit
    foot = top - 30.8 * unit
    if label.pipe_class:
        foot = _class(canvas, label, left, foot, room, frame.scale) + 0.6 * unit
    _words(canvas, label, left, top - edge - 1.6 * unit, room, foot, frame.scale)
    canvas.setFont(fonts.BOLD, 7 * frame.scale)
    canvas.drawString(x + edge + quiet, top - 33.4 * unit, WARNING[0])
    canvas.drawString(x + edge + quiet, top - 36.2 * unit, WARNING[1])


def _low(
    canvas: Canvas, label: TagLabel, made: qr.Code, frame: Frame, x: float, top: float, module: float,
    side: float,
) -> None:  # fmt: skip
    """All words beside the code, the warning at the foot of them."""
    edge, quiet = _LOW_EDGE * mm, qr.QUIET * module
    aside = (frame.high - side) / 2
    canvas.addLiteral(qr.drawn(made, x + edge + quiet, top - aside - quiet, module))
    left = x + edge + side
    room = frame.wide - (left - x) - 1.2 * mm
    size = 4.5 if room > 20 * mm else 3.6
    foot = top - frame.high + 1.1 * mm
    lines = fonts.wrap(" ".join(WARNING), fonts.BOLD, size, room)
    canvas.setFont(fonts.BOLD, size)
    for line in reversed(lines):
        canvas.drawString(left, foot + 0.2 * size, line)
        foot += size * 1.08
    foot += 0.8 * mm
    if label.pipe_class:
        foot = _class(canvas, label, left, foot, room, 0.8 if room > 20 * mm else 0.62) + 0.4 * mm
    _words(canvas, label, left, top - 1.2 * mm, room, foot, 0.75 if room > 20 * mm else 0.6)


def _class(
    canvas: Canvas, label: TagLabel, x: float, foot: float, room: float, scale: float
) -> float:  # fmt: skip
    """The class as a word with its bands drawn, and on whose word; standing on `foot`. Return its top."""
    found = bands_of(label.scheme, label.pipe_class)
    given = f"As given on the list of {label.listed}" if label.listed else "As given on the list"
    small = 4.8 * scale
    canvas.setFont(fonts.TEXT, small)
    y = foot
    for line in reversed(_said(f"{given}, {NOT_INSPECTED}", small, room)):
        canvas.drawString(x, y + 0.2 * small, line)
        y += small * 1.12
    size = _fit(label.pipe_class, fonts.BOLD, 8 * scale, room)
    word = _cut(label.pipe_class, size, room)
    if found:
        y += 0.3 * scale * mm
        high, beside = 3 * scale * mm, fonts.width(word, fonts.BOLD, size) + 1.6 * mm
        words_size = 5.5 * scale
        needed = 4 * high + 1 * mm + fonts.width(found.words, fonts.TEXT, words_size)
        one_line = beside + needed <= room
        at = x + beside if one_line else x
        words_size = fonts.size_to_fit(found.words, fonts.TEXT, words_size, x + room - at - 4 * high - mm, 2)
        canvas.addLiteral(bands.drawn(found.count, found.colour, at, y, 4 * high, high))
        canvas.setFont(fonts.TEXT, words_size)
        canvas.drawString(at + 4 * high + 1 * mm, y + 0.3 * high, found.words)
        y += 0.5 * scale * mm if one_line else high + 0.4 * scale * mm
    canvas.setFont(fonts.BOLD, size)
    canvas.drawString(x, y + 0.2 * size, word)
    return y + max(size * 0.95, 2.7 * scale * mm if found else 0)


def _said(text: str, size: float, room: float) -> Sequence[str]:
    return fonts.wrap(text, fonts.TEXT, size, room)


def _fit(text: str, font: str, size: float, room: float) -> float:
    return fonts.size_to_fit(fonts.clean(text), font, size, room, size / 2)


@lru_cache(maxsize=512)
def _cut(text: str, size: float, room: float) -> str:
    """The text on one line; what does not go in even at half its size ends in an ellipsis."""
    text = fonts.clean(text)
    if fonts.width(text, fonts.BOLD, size) <= room:
        return text
    while text and fonts.width(text + "…", fonts.BOLD, size) > room:
        text = text[:-1]
    return text + "…"


def _words(
    canvas: Canvas, label: TagLabel, x: float, y: float, room: float, foot: float, scale: float
) -> None:  # fmt: skip
    """The words beside the code, from y down to foot: the serial large, the code in clear, the item."""
    for text, size in _serial(label, room, scale):
        y -= size * 0.8
        canvas.setFont(fonts.BOLD, size)
        canvas.drawString(x, y, text)
        y -= size * 0.3
    y -= 12 * scale
    size = fonts.size_to_fit(label.code, fonts.BOLD_FIGURES, 12 * scale, room, 6 * scale)
    canvas.setFont(fonts.BOLD_FIGURES, size)
    canvas.drawString(x, y, label.code)
    y -= 3 * scale
    if label.owner and label.serial:
        text = f"Owner's no. {label.owner}"
        y = _block(canvas, text, x, y, room, (y - foot) / 2, scale) - 1.5 * scale
    _block(canvas, label.item, x, y, room, y - foot, scale)


def _block(
    canvas: Canvas, text: str, x: float, y: float, room: float, height: float, scale: float
) -> float:  # fmt: skip
    """A text in as many lines as it needs, from y downward; return where it ends."""
    size, lines = _sized(text, room, height, scale)
    canvas.setFont(fonts.TEXT, size)
    for line in lines:
        y -= size + scale
        canvas.drawString(x, y, line)
    return y


def _sized(text: str, room: float, height: float, scale: float) -> tuple[float, tuple[str, ...]]:
    """The text at the largest size at which all of it goes in; what is longer still ends in an ellipsis.

    Where not even one line goes in, nothing is written: another text stands there.
    """
    size, least = 7.0 * scale, max(4.5 * scale, 3.2)
    lines = fonts.wrap(text, fonts.TEXT, size, room)
    while len(lines) * (size + scale) > height and size > least:
        size = max(least, size - 0.5)
        lines = fonts.wrap(text, fonts.TEXT, size, room)
    most = int(height / (size + scale))
    if len(lines) <= most:
        return size, lines
    return size, (*lines[: most - 1], lines[most - 1][:-2] + "…") if most > 0 else ()


def _serial(label: TagLabel, room: float, scale: float) -> list[tuple[str, float]]:
    """The serial in lines with their sizes: large on one, smaller on two where it is long."""
    text = fonts.clean(label.serial) or fonts.clean(label.owner) or "No serial"
    size = fonts.size_to_fit(text, fonts.BOLD, 16 * scale, room, 1)
    if size >= 9 * scale:
        return [(text, size)]
    lines = fonts.wrap(text, fonts.BOLD, 9 * scale, room)
    size = (9.0 if len(lines) <= 2 else 5.5) * scale
    return [(line, size) for line in fonts.wrap(text, fonts.BOLD, size, room)]
