"""The steel of a fishing diagram: each piece upright, box up, its diameters true to one scale."""

from collections.abc import Iterable
from typing import Any

from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, PolyLine, Rect
from reportlab.lib.colors import black, white

from rack.calc.bha_lines import BhaLine
from rack.paper.fishing_layout import Block

#: Diameter that stands in for one that is not known: drawn dashed, so that nobody reads a size.
UNKNOWN_NM = 165_100_000
_PEN, _THIN = 0.9, 0.45
_THREAD = 6.0
BLADED = ("stabilizer", "reamer", "hole_opener", "under_reamer", "scraper", "motor", "rotary_steerable")


class Pen:
    """Draws on a `drawing` about the middle line `cx`; `per_nm` is points a nanometre of diameter."""

    def __init__(self, drawing: Drawing, cx: float, per_nm: float) -> None:
        self.on, self.cx, self.per_nm = drawing, cx, per_nm

    def half(self, nm: int) -> float:
        return nm * self.per_nm / 2

    def rect(self, half: float, low: float, high: float, *, fill: bool = False, dash: bool = False) -> None:
        self.on.add(Rect(self.cx - half, low, 2 * half, high - low, fillColor=black if fill else white,
                         strokeColor=black, strokeWidth=_PEN, strokeDashArray=[2, 2] if dash else None))

    def face(self, *points: tuple[float, float], fill: bool = False) -> None:
        flat = [value for x, y in points for value in (self.cx + x, y)]
        self.on.add(Polygon(flat, fillColor=black if fill else white, strokeColor=black, strokeWidth=_PEN))

    def line(self, *points: tuple[float, float], thin: bool = True, dash: bool = False) -> None:
        flat = [value for x, y in points for value in (self.cx + x, y)]
        made: dict[str, Any] = {"strokeColor": black, "strokeWidth": _THIN if thin else _PEN}
        if dash:
            made["strokeDashArray"] = [2.5, 2]
        self.on.add(PolyLine(flat, **made) if len(points) > 2 else Line(*flat, **made))

    def disc(self, x: float, y: float, r: float, *, fill: bool = False) -> None:
        self.on.add(Circle(self.cx + x, y, r, fillColor=black if fill else white, strokeColor=black,
                           strokeWidth=_THIN))


def widest(lines: Iterable[BhaLine]) -> int:
    """The largest diameter that is drawn, in nm."""
    sizes = [max(line.od_nm, line.gauge_nm, line.tj_od_nm, line.neck_od_nm) for line in lines]
    return max([UNKNOWN_NM, *sizes])


def body(pen: Pen, block: Block, low: float, high: float, *, true: bool) -> None:
    """Draw the steel of a block between the heights `low` and `high`."""
    line = block.first
    if line.kind in ("bit", "core_bit"):
        _bit(pen, line, low, high)
        return
    od = pen.half(line.od_nm or UNKNOWN_NM)
    pen.rect(od, low, high, dash=not line.od_nm)
    if line.neck_od_nm:
        top = _neck_height(line, high - low)
        pen.rect(pen.half(line.neck_od_nm), high - top, high)
    if line.tj_od_nm > line.od_nm or line.kind in ("drill_pipe", "heavy_weight"):
        joint = pen.half(line.tj_od_nm) if line.tj_od_nm else od * 1.3
        pen.rect(joint, low, low + (high - low) * 0.14, dash=not line.tj_od_nm)
        pen.rect(joint, high - (high - low) * 0.14, high, dash=not line.tj_od_nm)
    _gauge(pen, line, low, high)
    _kind_mark(pen, line.kind, od, low, high)
    _bore(pen, line, low, high)
    _ends(pen, line, od, low, high)
    if not true and len(block.lines) > 1 or (block.nm or 0) > 18_000_000_000:
        _broken(pen, od, (low + high) / 2)


def _neck_height(line: BhaLine, high: float) -> float:
    """The neck by its share of the piece, never under a sixth nor over half of what is drawn."""
    share = line.neck_nm / line.nm if line.neck_nm and line.nm else 0.2
    return high * min(0.5, max(1 / 6, share))


def _bit(pen: Pen, line: BhaLine, low: float, high: float) -> None:
    wide = pen.half(line.gauge_nm or line.od_nm or UNKNOWN_NM)
    shank, middle = wide * 0.55, low + (high - low) * 0.62
    pen.face((-shank, high), (shank, high), (shank, middle + 2), (wide, middle - 3), (wide, low + 4),
             (wide * 0.55, low), (-wide * 0.55, low), (-wide, low + 4), (-wide, middle - 3), (-shank,
                                                                                              middle + 2))
    for x in (-0.66, -0.22, 0.22, 0.66):
        pen.disc(x * wide, low + 4.5, 1.6, fill=True)
    for side in (-0.8, 0.8):
        pen.disc(side * wide, (low + middle) / 2, 1.6, fill=True)
    _pin_up(pen, shank, high)


def _pin_up(pen: Pen, half: float, high: float) -> None:
    pen.face((-half * 0.7, high), (half * 0.7, high), (half * 0.45, high + _THREAD), (-half * 0.45,
                                                                                      high + _THREAD))
    for at in (2, 4):
        pen.line((-half * 0.6, high + at), (half * 0.6, high + at))


def _gauge(pen: Pen, line: BhaLine, low: float, high: float) -> None:
    """Blades, or the sleeve of a motor, standing out to the gauge."""
    if line.gauge_nm <= line.od_nm or not line.od_nm:
        return
    od, wide = pen.half(line.od_nm), pen.half(line.gauge_nm)
    reach = high - low
    base, top = (low + reach * 0.12, low + reach * 0.3) if line.kind in ("motor", "rotary_steerable") else (
        low + reach * 0.25, low + reach * 0.68)
    for side in (-1, 1):
        pen.face((side * od, base), (side * wide, base + 2), (side * wide, top - 2), (side * od, top),
                 fill=True)


def _kind_mark(pen: Pen, kind: str, od: float, low: float, high: float) -> None:
    """What tells the tool from a plain collar, from the drawings of the kinds."""
    reach, middle = high - low, (low + high) / 2
    if kind == "jar":
        pen.rect(od * 0.62, high - reach * 0.42, high - reach * 0.24)
        pen.rect(od, middle - 4, middle - 1.5, fill=True)
    elif kind in ("accelerator", "shock_sub", "bumper_sub"):
        points = tuple((od * (0.8 if n % 2 else -0.8), low + reach * (0.25 + 0.07 * n)) for n in range(8))
        pen.line(*points, thin=False)
    elif kind == "motor":
        pen.line((-od, low + reach * 0.34), (od, low + reach * 0.38), thin=False)
        steps = 5
        for n in range(steps):
            y = low + reach * (0.46 + 0.08 * n)
            pen.line((-od * 0.9, y), (od * 0.9, y + reach * 0.06))
    elif kind == "mwd":
        for n, share in enumerate((0.3, 0.55, 0.8)):
            pen.line((-od * share, middle - 2 - n * 2.5), (0, middle - 5 - n * 2.5), (od * share,
                                                                                      middle - 2 - n * 2.5))
    elif kind in ("float_sub", "safety_valve"):
        pen.line((-od * 0.5, middle - 3), (0, middle + 4), (od * 0.5, middle - 3), thin=False)
    elif kind == "crossover":
        pen.line((-od, middle + 2), (od, middle + 2), thin=False)
        pen.line((-od, middle - 2), (od, middle - 2), thin=False)
    elif kind == "other":
        pen.line((-od, low), (od, high))
        pen.line((-od, high), (od, low))


def _bore(pen: Pen, line: BhaLine, low: float, high: float) -> None:
    if line.bore_nm:
        half = pen.half(line.bore_nm)
        for side in (-half, half):
            pen.line((side, low), (side, high), dash=True)


def _ends(pen: Pen, line: BhaLine, od: float, low: float, high: float) -> None:
    """The pin that goes into the piece below, or the box that takes its pin, as the genders say."""
    if line.down_gender == "box":
        pen.line((-od * 0.6, low), (-od * 0.4, low + _THREAD), (od * 0.4, low + _THREAD), (od * 0.6, low),
                 thin=False)
    if line.up_gender == "box":
        pen.line((-od * 0.6, high), (-od * 0.4, high - _THREAD), (od * 0.4, high - _THREAD), (od * 0.6, high),
                 thin=False)
    elif line.up_gender == "pin":
        _pin_up(pen, od, high)


def _broken(pen: Pen, od: float, y: float) -> None:
    """Two waves across a block that is drawn shorter than it is."""
    reach = od * 1.25
    pen.face((-reach, y - 3), (-reach / 2, y - 1), (0, y - 3), (reach / 2, y - 1), (reach, y - 3), (reach,
                                                                                                    y + 1),
             (reach / 2, y + 3), (0, y + 1), (-reach / 2, y + 3), (-reach, y + 1))
