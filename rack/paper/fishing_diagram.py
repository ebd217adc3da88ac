"""The fishing diagram of a bottom assembly: one drawing for the page and for paper, as the string hangs.

Diameters are to one scale; lengths to another, but short tools are drawn tall enough to read and long ones
shortened: what is not to scale bears a star, and the true length is written beside every piece.
"""

from collections.abc import Iterator
from typing import Any

from reportlab.graphics.shapes import Drawing, Line, Polygon, String
from reportlab.lib.colors import black

from rack.calc.bha import BhaContent
from rack.calc.bha_lines import BhaLine
from rack.calc.lengths import Length
from rack.calc.specs import inches
from rack.calc.units import NM
from rack.paper import fonts
from rack.paper.drawing_svg import DAY, Tint, svg
from rack.paper.fishing_bodies import UNKNOWN_NM, Pen, body, widest
from rack.paper.fishing_layout import ON_PAGE, Block, Strip, blocks_of, strips

#: The width of the drawing in points: on paper and a desk, and on a phone.
WIDE, NARROW = 527.0, 352.0
_HEAD, _FOOT = 20.0, 24.0
_SMALL, _TEXT = 6.2, 7.0
STAR = "*"
_PT_A_MM = 72 / 25.4


def drawings(content: BhaContent, *, width: float = WIDE, height: float = 690.0) -> tuple[Drawing, ...]:
    """Return the diagram as drawings of `width` by at most `height` points, the bit in the first one.

    A long assembly takes several. An empty string gives (). Raises nothing.
    """
    return _drawn(content, width, height, in_mm=True)


def _drawn(content: BhaContent, width: float, height: float, *, in_mm: bool) -> tuple[Drawing, ...]:
    parts = strips(content.lines, height - _HEAD - _FOOT)
    return tuple(_Diagram(content, part, width, in_mm=in_mm).drawn(n, len(parts))
                 for n, part in enumerate(parts, 1))  # fmt: skip


def pictures(content: BhaContent, *, narrow: bool = False, tint: Tint = DAY) -> tuple[str, ...]:
    """Return the diagram for the page, one SVG text a drawing, the bit in the first one."""
    room = ON_PAGE * len(blocks_of(content.lines)) + _HEAD + _FOOT
    made = _drawn(content, NARROW if narrow else WIDE, room, in_mm=False)
    title = f"Fishing diagram, {content.head.title or content.head.well}"
    return tuple(svg(one, f"{title}, part {n} of {len(made)}" if len(made) > 1 else title, tint)
                 for n, one in enumerate(made, 1))


class _Diagram:
    """One strip of the string, with its columns: depth from bit, diameters, steel, threads, words.

    `in_mm` says its scales in millimetres: true of paper alone, for a page draws it as large as it has room.
    """

    def __init__(self, content: BhaContent, strip: Strip, width: float, *, in_mm: bool) -> None:
        fonts.register()
        self.in_mm = in_mm
        self.content, self.strip, self.width = content, strip, width
        self.high = sum(strip.heights) + _HEAD + _FOOT
        self.on = Drawing(width, self.high)
        self.steel = width * 0.17
        self.cx = width * 0.4
        self.pen = Pen(self.on, self.cx, self.steel / widest(content.lines))
        self.left = self.cx - self.steel / 2 - 6
        self.right = self.cx + self.steel / 2 + 6
        self.words = self.right + width * 0.115
        self.ruler = width * (0.125 if width > NARROW else 0.15)

    def drawn(self, n: int, of: int) -> Drawing:
        self._head(n, of)
        low = _FOOT
        tops: list[tuple[Block, float, float]] = []
        for block, high, true in zip(self.strip.blocks, self.strip.heights, self.strip.true, strict=True):
            self._tick(block.first.bottom_nm, low)
            body(self.pen, block, low, low + high, true=true)
            self._labels(block, low, low + high, true=true)
            tops.append((block, low, low + high))
            low += high
        self._tick(self.strip.blocks[-1].last.cum_nm, low)
        for block, foot, top in tops:
            self._sensors(block, foot, top)
        self._foot()
        return self.on

    def text(self, x: float, y: float, words: str, size: float = _TEXT, font: str = fonts.TEXT,
             anchor: str = "start", room: float = 0) -> None:  # fmt: skip
        words = fonts.clean(words)
        if room:
            size = fonts.size_to_fit(words, font, size, room, 4.2)
            while words and fonts.width(words, font, size) > room:
                words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
        self.on.add(String(x, y, words, fontName=font, fontSize=size, textAnchor=anchor, fillColor=black))

    def line(self, x: float, y: float, x2: float, y2: float, **more: Any) -> None:
        self.on.add(Line(x, y, x2, y2, **{"strokeColor": black, "strokeWidth": 0.4, **more}))

    def _head(self, n: int, of: int) -> None:
        y = self.high - 8
        unit = self.content.unit
        self.text(0, y, f"from bit, {unit}", _SMALL, fonts.BOLD)
        self.text(self.left, y, "diameters, in", _SMALL, fonts.BOLD, "end")
        self.text(self.cx, y, "top" if n == of else "goes on above", _SMALL, fonts.TEXT, "middle")
        self.text(self.right, y, "threads", _SMALL, fonts.BOLD)
        self.text(self.words, y, f"piece, serial, length {unit}", _SMALL, fonts.BOLD)
        self.line(0, y - 3, self.width, y - 3, strokeWidth=0.7)

    def _foot(self) -> None:
        lengths, sizes = self._scales()
        first = (f"Not to scale where {STAR} stands: drawn taller or shorter, the true length is written. "
                 f"Elsewhere {lengths}.")  # fmt: skip
        second = f"Diameters to a scale of their own: {sizes}. Broken lines: bore, or a size not known."
        self.text(0, 10, first, 5.8, room=self.width)
        self.text(0, 2.5, second, 5.8, room=self.width)

    def _scales(self) -> tuple[str, str]:
        """The scale of lengths and that of diameters, in words."""
        scale, of_sizes = max(self.strip.scale, 1e-6), self.pen.per_nm
        if not self.in_mm:
            times = of_sizes * NM["ft"] / scale
            return "lengths are to one scale", f"{times:.0f} times that of lengths"
        per_unit = _PT_A_MM / scale * (1 if self.content.unit == "ft" else 0.3048)
        per_inch = NM["in"] * of_sizes / _PT_A_MM
        return f"1 mm is {per_unit:.2f} {self.content.unit} of length", f"1 in is {per_inch:.1f} mm"

    def _shown(self, nm: int | None) -> str:
        return "not known" if nm is None else Length(nm).shown(self.content.unit, self.content.digits)

    def _tick(self, nm: int | None, y: float) -> None:
        self.line(self.ruler - 5, y, self.ruler, y)
        self.text(self.ruler - 7, y - 2.2, self._shown(nm), _SMALL, fonts.FIGURES, "end", room=self.ruler - 8)
        self.line(self.ruler, y, self.ruler + self.width * 0.03, y, strokeDashArray=[0.6, 2])

    def _labels(self, block: Block, low: float, high: float, *, true: bool) -> None:
        line, middle = block.first, (low + high) / 2
        sizes = [words for pair in _sizes(self.content, line)
                 for words in (pair.split(" · ") if self.width <= NARROW else [pair])]
        step = min(7.4, (high - low - 1) / max(len(sizes), 1))
        y = middle + step * len(sizes) / 2 - step * 0.78
        for words in sizes:
            self.text(self.left, y, words, min(_SMALL, step), anchor="end", room=self.width * 0.2)
            y -= step
        down, up = line.connections[0], block.last.connections[1]
        self.text(self.right, high - 6.6, up, 5.6, room=self.width * 0.105)
        if line.kind not in ("bit", "core_bit"):
            self.text(self.right, low + 2, down, 5.6, room=self.width * 0.105)
        room = self.width - self.words
        first, *others = self._words(block, true=true)
        wrapped = fonts.wrap(first, fonts.BOLD, _SMALL, room)[:2] if fonts.width(
            first, fonts.BOLD, _TEXT) > room else (first,)
        rows = [*wrapped, *others]
        step = min(8.2, (high - low - 1) / len(rows))
        y = middle + step * len(rows) / 2 - step * 0.78
        for n, words in enumerate(rows):
            font = fonts.BOLD if n < len(wrapped) else fonts.TEXT
            self.text(self.words, y, words, min(_TEXT, step), font, room=room)
            y -= step
        self.line(self.right, low, self.width, low, strokeWidth=0.25)

    def _words(self, block: Block, *, true: bool) -> Iterator[str]:
        line = block.first
        many = f"{block.count} joints of " if block.count > 1 else ""
        yield f"{block.numbers} · {many}{line.item}"
        serials = [one.serial for one in block.lines if one.serial]
        name = (line.serial or ("list to follow" if line.count > 1 else "no serial") if len(block.lines) == 1
                else f"{serials[0]} … {serials[-1]}" if serials else "no serials")
        yield f"{name} · {self._shown(block.nm)} {self.content.unit}{'' if true else ' ' + STAR}"
        extra = [f"bend {line.bend}°" if line.bend else "", f"stands {line.stands}" if line.stands else "",
                 line.remark]  # fmt: skip
        if any(extra):
            yield ", ".join(part for part in extra if part)

    def _sensors(self, block: Block, low: float, high: float) -> None:
        """A mark where a sensor lies, by its share of the piece, and its distance on the left."""
        for line in block.lines:
            if line.sensor_nm is None or line.bottom_nm is None or not line.nm:
                continue
            share = min(1.0, max(0.0, (line.sensor_nm - line.bottom_nm) / line.nm))
            y, x = low + (high - low) * share, self.cx - self.pen.half(line.od_nm or UNKNOWN_NM)
            self.on.add(Polygon([x, y, x - 7, y + 3, x - 7, y - 3], fillColor=black, strokeColor=black,
                                strokeWidth=0.3))
            foot = min(high - 12.0, max(low + 8.0, y - 2))  # clear of the figures at the joints
            words = f"sensor {self._shown(line.sensor_nm)}"
            self.text(self.ruler - 7, foot, words, _SMALL, fonts.BOLD, "end", room=self.ruler - 8)


def _sizes(content: BhaContent, line: BhaLine) -> Iterator[str]:
    """The diameters of a piece in words, one a line."""
    if line.kind in ("bit", "core_bit"):
        yield f"gauge {_inches(line.gauge_nm or line.od_nm)}"
        return
    yield f"OD {_inches(line.od_nm)} · bore {_inches(line.bore_nm)}"
    if line.neck_od_nm or line.neck_nm:
        length = Length(line.neck_nm).shown(content.unit, content.digits) if line.neck_nm else "?"
        yield f"FN {_inches(line.neck_od_nm)} x {length} {content.unit}"
    if line.tj_od_nm:
        yield f"tool joint {_inches(line.tj_od_nm)}"
    if line.gauge_nm:
        yield f"gauge {_inches(line.gauge_nm)}"


def _inches(nm: int) -> str:
    return inches(nm) if nm else "?"

