"""The drawing of a kind of piece, made once for page and paper: SVG for the one, a flowable for the other."""

from typing import Any

from reportlab.graphics.shapes import Drawing, Polygon, PolyLine
from reportlab.lib.colors import black

from rack.calc.kinds import KINDS
from rack.paper.parts import HEIGHT, WIDTH, Shape
from rack.paper.shapes import shapes_of

_THICK, _THIN = 1.5, 0.75


def svg(code: str) -> str:
    """Return the drawing of a kind as a picture of its own, black on nothing; the page turns it at night.

    Raises ValueError for a code that is no kind. It has no script and no style: the content policy
    of the pages holds for it too.
    """
    drawn = "".join(_element(shape) for shape in shapes_of(code))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" width="{WIDTH}" '
        f'height="{HEIGHT}" fill="none" stroke="#000" stroke-linejoin="round">'
        f"<title>{KINDS[code].name}</title>{drawn}</svg>\n"
    )


def _element(shape: Shape) -> str:
    points = " ".join(f"{x:g},{y:g}" for x, y in shape.points)
    name = "polygon" if shape.closed else "polyline"
    fill = ' fill="#000"' if shape.fill else ""
    return f'<{name} points="{points}" stroke-width="{_THIN if shape.thin else _THICK}"{fill}/>'


def drawing(code: str, *, width: float = WIDTH) -> Any:
    """Return the same drawing for paper, `width` points wide. Raises ValueError for no kind."""
    scale = width / WIDTH
    made = Drawing(width, HEIGHT * scale)
    for shape in shapes_of(code):
        flat = [value * scale for x, y in shape.points for value in (x, HEIGHT - y)]
        pen = {"strokeColor": black, "strokeWidth": (_THIN if shape.thin else _THICK) * scale}
        if shape.closed:
            made.add(Polygon(flat, fillColor=black if shape.fill else None, **pen))
        else:
            made.add(PolyLine(flat, **pen))
    return made
