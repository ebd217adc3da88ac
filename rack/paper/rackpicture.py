"""The rack seen end on, layer by layer on its sills: one drawing, made once, for the page and for paper.

Every circle is in true proportion by its outside diameter. A piece that needs attention is filled and
bears a shape or a letter, so that colour never speaks alone. A layer wider than the picture goes on in
a row of its own, marked as the same layer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple
from xml.sax.saxutils import escape

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.paper import fonts

#: What a mark means: held is a cross, the others are a letter.
MARKS = {"held": "held: do not use", "I": "at inspection", "R": "in repair", "S": "scrapped"}

#: A joint of the most usual size is drawn so wide (in units of the drawing), and none smaller or larger.
_USUAL, _LEAST, _MOST = 15.0, 7.0, 64.0
_GAP = 1.0
_NAME = 13.0
_SILL = 4.0
_BETWEEN = 9.0
#: Outside diameter that stands in for one that is not known: drawn dashed, so that nobody reads a size.
_UNKNOWN_NM = 127_000_000


class PipeEnd(NamedTuple):
    """One piece end on: its outside diameter in nm (0 = not known) and its mark, "" or a key of MARKS."""

    od_nm: int
    mark: str = ""


@dataclass(frozen=True)
class LayerEnds:
    """A layer: its name as it stands under the sill, and its pieces from left to right."""

    name: str
    ends: tuple[PipeEnd, ...]


class Circle(NamedTuple):
    x: float
    y: float
    r: float
    mark: str
    known: bool


class Sill(NamedTuple):
    """A sill across the picture, and the words under it."""

    y: float
    words: str


@dataclass(frozen=True)
class Drawing:
    """Places in units of the drawing from its upper left corner; whoever draws it scales it."""

    width: float
    height: float
    circles: tuple[Circle, ...]
    sills: tuple[Sill, ...]

    @property
    def marks(self) -> tuple[str, ...]:
        """The marks that stand on it, in the order of MARKS."""
        there = {circle.mark for circle in self.circles}
        return tuple(mark for mark in MARKS if mark in there)


def layout(layers: Sequence[LayerEnds], across: float = 960.0) -> Drawing:
    """Return where everything stands on a drawing `across` units wide; the top layer comes first.

    `layers` count from the bottom up. Raises ValueError for a picture narrower than 120 units.
    """
    if across < 120:
        raise ValueError(f"a picture of a rack is at least 120 wide; {across} is not")
    scale = _scale([end.od_nm or _UNKNOWN_NM for layer in layers for end in layer.ends])
    circles: list[Circle] = []
    sills: list[Sill] = []
    y = 2.0
    for layer in reversed(layers):
        rows = _rows([(_size(end, scale), end) for end in layer.ends], across - 16)
        for place, row in reversed(list(enumerate(rows))):
            y += max((size for size, _ in row), default=_USUAL)
            circles += _standing(row, y, across)
            sills.append(Sill(y, _words(layer, place, len(rows))))
            y += _SILL + _NAME + _BETWEEN
    return Drawing(across, max(y - _BETWEEN + 3, 20.0), tuple(circles), tuple(sills))


def _scale(sizes: Sequence[int]) -> float:
    """Units a nanometre: the usual size is drawn the usual width, unless another would be lost or huge."""
    if not sizes:
        return _USUAL / _UNKNOWN_NM
    usual = sorted(sizes)[len(sizes) // 2]
    scale = max(_USUAL / usual, _LEAST / min(sizes))
    return min(scale, _MOST / max(sizes))


def _size(end: PipeEnd, scale: float) -> float:
    return (end.od_nm or _UNKNOWN_NM) * scale


def _rows(sized: list[tuple[float, PipeEnd]], room: float) -> list[list[tuple[float, PipeEnd]]]:
    """Cut a layer into rows that go into the picture; an empty layer is one empty row."""
    rows: list[list[tuple[float, PipeEnd]]] = [[]]
    used = 0.0
    for size, end in sized:
        if rows[-1] and used + size > room:
            rows.append([])
            used = 0.0
        rows[-1].append((size, end))
        used += size + _GAP
    return rows


def _standing(row: list[tuple[float, PipeEnd]], y: float, across: float) -> list[Circle]:
    """The pieces of a row on their sill, side by side, in the middle of the picture."""
    wide = sum(size + _GAP for size, _ in row) - _GAP
    x, found = (across - wide) / 2, []
    for size, end in row:
        found.append(Circle(x + size / 2, y - size / 2, size / 2, end.mark, end.od_nm > 0))
        x += size + _GAP
    return found


def _words(layer: LayerEnds, place: int, rows: int) -> str:
    count = len(layer.ends)
    pieces = f"{layer.name}: {count} piece{'' if count == 1 else 's'}" if count else f"{layer.name}: empty"
    return pieces if rows == 1 else f"{pieces}, row {place + 1} of {rows}"


@dataclass(frozen=True)
class Ink:
    """The colours of a drawing: by day, by night, on paper."""

    ground: str
    steel: str
    wood: str
    words: str
    mark: dict[str, str]


DAY = Ink("#fffdf8", "#6f7880", "#cbb385", "#5a6168",
          {"held": "#6b3fa0", "I": "#8a6100", "R": "#b04300", "S": "#b3261e"})  # fmt: skip
NIGHT = Ink("#1a2127", "#8d979f", "#8f7c57", "#a8aeb3",
            {"held": "#c3a2f0", "I": "#e3b341", "R": "#ff9b57", "S": "#ff8078"})  # fmt: skip


def svg(drawing: Drawing, ink: Ink = DAY, title: str = "The rack, end on") -> str:
    """Return the drawing as an SVG text for an <img>: no style, no script, nothing fetched."""
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" '
        f'width="{_n(drawing.width)}" height="{_n(drawing.height)}" role="img">',
        f"<title>{escape(fonts.clean(title))}</title>",
        f'<rect width="{_n(drawing.width)}" height="{_n(drawing.height)}" fill="{ink.ground}"/>',
    ]
    for sill in drawing.sills:
        out.append(f'<rect x="0" y="{_n(sill.y + 0.6)}" width="{_n(drawing.width)}" height="{_SILL}" '
                   f'fill="{ink.wood}"/>')  # fmt: skip
        out.append(f'<text x="8" y="{_n(sill.y + _SILL + _NAME - 1)}" font-size="11.5" '
                   f'font-family="system-ui, sans-serif" fill="{ink.words}">'
                   f"{escape(fonts.clean(sill.words))}</text>")  # fmt: skip
    out += [_svg_circle(circle, ink) for circle in drawing.circles]
    out.append("</svg>")
    return "\n".join(out)


def _svg_circle(one: Circle, ink: Ink) -> str:
    weight = _weight(one)
    fill = ink.mark.get(one.mark, ink.ground)
    edge = fill if one.mark else ink.steel
    dash = "" if one.known else ' stroke-dasharray="2 2"'
    at = f'cx="{_n(one.x)}" cy="{_n(one.y)}" r="{_n(one.r - weight / 2)}"'
    shape = f'<circle {at} fill="{fill}" stroke="{edge}" stroke-width="{_n(weight)}"{dash}/>'
    if one.mark == "held":
        arm = one.r * 0.48
        left, right, up, down = one.x - arm, one.x + arm, one.y - arm, one.y + arm
        shape += (f'<path d="M{_n(left)} {_n(up)}L{_n(right)} {_n(down)}M{_n(right)} {_n(up)}L{_n(left)} '
                  f'{_n(down)}" stroke="{ink.ground}" stroke-width="{_n(one.r * 0.34)}"/>')  # fmt: skip
    elif one.mark:
        size = one.r * 1.35
        shape += (f'<text x="{_n(one.x)}" y="{_n(one.y + size * 0.36)}" font-size="{_n(size)}" '
                  f'font-weight="700" font-family="system-ui, sans-serif" text-anchor="middle" '
                  f'fill="{ink.ground}">{escape(one.mark)}</text>')  # fmt: skip
    return shape


def _weight(one: Circle) -> float:
    return min(2.0, one.r * 0.28)


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def draw(canvas: Canvas, drawing: Drawing, left: float, top: float, wide: float) -> float:
    """Draw it in black on a page, `wide` mm across; `left` in mm, `top` in mm from the page's foot.

    Returns its height in mm.
    """
    unit = wide / drawing.width
    canvas.saveState()
    canvas.translate(left * mm, top * mm)
    canvas.scale(unit * mm, unit * mm)
    for sill in drawing.sills:
        canvas.setFillGray(0.62)
        canvas.rect(0, -sill.y - 0.6 - _SILL, drawing.width, _SILL, stroke=0, fill=1)
        canvas.setFillGray(0)
        canvas.setFont(fonts.TEXT, 11)
        canvas.drawString(4, -(sill.y + _SILL + _NAME - 1), fonts.clean(sill.words))
    for one in drawing.circles:
        _paper_circle(canvas, one)
    canvas.restoreState()
    return drawing.height * unit


def _paper_circle(canvas: Canvas, one: Circle) -> None:
    """Black and white only: a mark is white on a black end, so that a copy keeps it."""
    weight = _weight(one)
    canvas.setLineWidth(weight * 0.7)
    canvas.setDash([2, 2] if not one.known else [])
    canvas.setStrokeGray(0)
    canvas.setFillGray(0 if one.mark else 1)
    canvas.circle(one.x, -one.y, one.r - weight / 2, stroke=1, fill=1)
    canvas.setDash([])
    if one.mark == "held":
        arm = one.r * 0.48
        canvas.setStrokeGray(1)
        canvas.setLineWidth(one.r * 0.34)
        canvas.line(one.x - arm, -one.y - arm, one.x + arm, -one.y + arm)
        canvas.line(one.x - arm, -one.y + arm, one.x + arm, -one.y - arm)
    elif one.mark:
        size = one.r * 1.35
        canvas.setFillGray(1)
        canvas.setFont(fonts.BOLD, size)
        canvas.drawCentredString(one.x, -one.y - size * 0.36, one.mark)
    canvas.setFillGray(0)
