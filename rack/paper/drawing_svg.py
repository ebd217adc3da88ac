"""A drawing that was made for paper as a picture for the page: no style, no script, nothing fetched."""

from dataclasses import dataclass
from typing import Any
from xml.sax.saxutils import escape

from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, PolyLine, Rect, String

from rack.paper import fonts


@dataclass(frozen=True)
class Tint:
    """The two colours of a line drawing: the ground and what is drawn on it."""

    ground: str
    ink: str


DAY, NIGHT = Tint("#fffdf8", "#1c2329"), Tint("#1a2127", "#d5dadd")
_BOLD = (fonts.BOLD, fonts.BOLD_FIGURES)


def svg(drawing: Drawing, title: str, tint: Tint = DAY) -> str:
    """Return `drawing` as SVG text for an <img>. Black becomes the ink, white the ground.

    Knows lines, faces, circles and texts; anything else raises ValueError.
    """
    wide, high = _n(drawing.width), _n(drawing.height)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
        'role="img">',
        f"<title>{escape(fonts.clean(title))}</title>",
        f'<rect width="{wide}" height="{high}" fill="{tint.ground}"/>',
        *(_element(shape, drawing.height, tint) for shape in drawing.contents),
        "</svg>",
    ]
    return "\n".join(out)


def _element(shape: Any, high: float, tint: Tint) -> str:
    if isinstance(shape, String):
        return _text(shape, high, tint)
    if not isinstance(shape, (Line, Rect, Circle, Polygon, PolyLine)):
        raise ValueError(f"{type(shape).__name__} has no place in a picture of the page")
    pen = f'{_paint("fill", getattr(shape, "fillColor", None), tint)} {_stroke(shape, tint)}'
    if isinstance(shape, Line):
        return (f'<line x1="{_n(shape.x1)}" y1="{_n(high - shape.y1)}" x2="{_n(shape.x2)}" '
                f'y2="{_n(high - shape.y2)}" {_stroke(shape, tint)}/>')
    if isinstance(shape, Rect):
        return (f'<rect x="{_n(shape.x)}" y="{_n(high - shape.y - shape.height)}" width="{_n(shape.width)}" '
                f'height="{_n(shape.height)}" {pen}/>')
    if isinstance(shape, Circle):
        return f'<circle cx="{_n(shape.cx)}" cy="{_n(high - shape.cy)}" r="{_n(shape.r)}" {pen}/>'
    flat = shape.points
    points = " ".join(f"{_n(flat[at])},{_n(high - flat[at + 1])}" for at in range(0, len(flat), 2))
    if isinstance(shape, Polygon):
        return f'<polygon points="{points}" {pen}/>'
    return f'<polyline points="{points}" fill="none" {_stroke(shape, tint)}/>'


def _text(shape: String, high: float, tint: Tint) -> str:
    weight = ' font-weight="700"' if shape.fontName in _BOLD else ""
    family = "DejaVu Sans, Verdana, sans-serif"
    if "Figures" in shape.fontName:
        family = "DejaVu Sans Mono, monospace"
    return (f'<text x="{_n(shape.x)}" y="{_n(high - shape.y)}" font-size="{_n(shape.fontSize)}" '
            f'font-family="{family}"{weight} text-anchor="{shape.textAnchor}" '
            f'{_paint("fill", shape.fillColor, tint)}>{escape(fonts.clean(shape.text))}</text>')


def _stroke(shape: Any, tint: Tint) -> str:
    dash = getattr(shape, "strokeDashArray", None)
    dashed = f' stroke-dasharray="{" ".join(_n(one) for one in dash)}"' if dash else ""
    return f'{_paint("stroke", shape.strokeColor, tint)} stroke-width="{_n(shape.strokeWidth)}"{dashed}'


def _paint(name: str, colour: Any, tint: Tint) -> str:
    if colour is None:
        return f'{name}="none"'
    return f'{name}="{tint.ground if colour.red > 0.5 else tint.ink}"'


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
