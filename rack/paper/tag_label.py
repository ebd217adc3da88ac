"""What stands on one tag and where, from its upper left corner: code, serial, tag, item, class, warning.

Two layouts: the code with words beside and the warning under it; on a low label everything beside the code.
"""

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
    number) may be empty. `pipe_class` is the class as a list gave it, or an inspection where `inspected`;
    `listed` is the day of that and `scheme` whose class it is: what was said on a day stays true, whatever
    is found later.
    """

    code: str
    address: str
    serial: str
    item: str = ""
    owner: str = ""
    pipe_class: str = ""
    listed: str = ""
    scheme: str = ""
    inspected: bool = False


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


def draw(
    canvas: Canvas, label: TagLabel, made: qr.Code, grid: Grid, frame: Frame, x: float, top: float
) -> None:  # fmt: skip
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
    given = _given(label, room, frame.scale)
    _words(canvas, label, left, top - edge - 1.6 * unit, room, foot + given.high, frame.scale)
    _write(canvas, given, left, foot)
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
    wide = room > 20 * mm
    warning = _warning(4.5 if wide else 3.6, room)
    foot = top - frame.high + 1.1 * mm
    given = _given(label, room, 0.8 if wide else 0.62)
    words_foot = foot + warning.high + given.high
    _words(canvas, label, left, top - 1.2 * mm, room, words_foot, 0.75 if wide else 0.6)
    _write(canvas, given, left, foot + warning.high)
    _write(canvas, warning, left, foot)


@dataclass(frozen=True)
class Block:
    """Lines of text, each with font, size and its foot's place over the block's, and drawn bands."""

    high: float
    lines: tuple[tuple[str, float, float, float, str], ...] = ()
    bands: tuple[int, str, float, float, float] | None = None


def _write(canvas: Canvas, block: Block, x: float, foot: float) -> None:
    """Write a block with its lower left corner at x, foot, its lines from the top down."""
    for font, size, right, up, text in block.lines:
        canvas.setFont(font, size)
        canvas.drawString(x + right, foot + up, text)
    if block.bands:
        count, colour, right, up, high = block.bands
        canvas.addLiteral(bands.drawn(count, colour, x + right, foot + up, 4 * high, high))


@lru_cache(maxsize=64)
def _warning(size: float, room: float) -> Block:
    lines = fonts.wrap(" ".join(WARNING), fonts.BOLD, size, room)
    step = size * 1.08
    made = tuple((fonts.BOLD, size, 0.0, (len(lines) - 1 - n) * step + 0.2 * size, text)
                 for n, text in enumerate(lines))  # fmt: skip
    return Block(len(lines) * step + 0.8 * mm, made)


def _given(label: TagLabel, room: float, scale: float) -> Block:
    """The class as a word with its bands drawn, and on whose word; nothing where the list gave none."""
    if not label.pipe_class:
        return Block(0)
    day = f" of {label.listed}" if label.listed else ""
    whose = f"As given on the list{day}, {NOT_INSPECTED}"
    if label.inspected:
        whose = f"As of the inspection{day}"
    return _class(label.pipe_class, label.scheme, whose, room, scale)


@lru_cache(maxsize=1024)
def _class(pipe_class: str, scheme: str, whose: str, room: float, scale: float) -> Block:
    found = bands_of(scheme, pipe_class)
    small, size = 4.8 * scale, _fit(pipe_class, fonts.BOLD, 8 * scale, room)
    said = fonts.wrap(whose, fonts.TEXT, small, room)
    step = small * 1.12
    under = [(fonts.TEXT, small, 0.0, (len(said) - 1 - n) * step + 0.2 * small, text)
             for n, text in enumerate(said)]  # fmt: skip
    y, word = len(said) * step, _cut(pipe_class, size, room)
    if not found:
        line = (fonts.BOLD, size, 0.0, y + 0.2 * size, word)
        return Block(y + size * 0.95 + 0.6 * scale * mm, (line, *under))
    y += 0.3 * scale * mm
    high, beside = 3 * scale * mm, fonts.width(word, fonts.BOLD, size) + 1.6 * mm
    one_line = beside + 4 * high + mm + fonts.width(found.words, fonts.TEXT, 5.5 * scale) <= room
    at = beside if one_line else 0.0
    words_size = fonts.size_to_fit(found.words, fonts.TEXT, 5.5 * scale, room - at - 4 * high - mm, 2)
    beside_bands = (fonts.TEXT, words_size, at + 4 * high + mm, y + 0.3 * high, found.words)
    drawn = (found.count, found.colour, at, y, high)
    y += 0.5 * scale * mm if one_line else high + 0.4 * scale * mm
    line = (fonts.BOLD, size, 0.0, y + 0.2 * size, word)
    top = y + max(size * 0.95, 2.7 * scale * mm if one_line else 0)
    return Block(top + 0.6 * scale * mm, (line, beside_bands, *under), drawn)


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
    name = fonts.clean(label.serial) or fonts.clean(label.owner) or "No serial"
    for text, size in _serial(name, room, y - foot - 15 * scale, scale):
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


@lru_cache(maxsize=4096)
def _serial(text: str, room: float, height: float, scale: float) -> tuple[tuple[str, float], ...]:
    """The serial in lines with their sizes: large on one, smaller on more where it is long.

    On the lowest labels what does not go in even small ends in an ellipsis.
    """
    size = fonts.size_to_fit(text, fonts.BOLD, 16 * scale, room, 1)
    if size >= 9 * scale:
        return ((text, size),)
    lines: tuple[str, ...] = ()
    for size in (9 * scale, 5.5 * scale, max(3.6, 4 * scale)):
        lines = fonts.wrap(text, fonts.BOLD, size, room)
        if len(lines) * size * 1.1 <= height and (size < 9 * scale or len(lines) <= 2):
            return tuple((line, size) for line in lines)
    most = max(1, int(height / (size * 1.1)))
    kept = lines if len(lines) <= most else (*lines[: most - 1], lines[most - 1][:-1] + "…")
    return tuple((line, size) for line in kept)
