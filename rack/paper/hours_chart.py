"""Hours against limits as bars: one drawing, made once, for the page and for paper.

Every bar has its words beside it and its state as a shape, so that nothing hangs on colour. A bar with a
limit is drawn as a share of it; one without is drawn against the longest of its clock.
"""

from collections.abc import Sequence
from itertools import groupby

from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, Rect, String
from reportlab.lib.colors import black, white

from rack.calc.hours_limits import WHOLE, Bar, longest
from rack.calc.standing import DUE, FINE, OVERDUE, SOON
from rack.paper import fonts
from rack.paper.drawing_svg import DAY, Tint, svg

#: The width of the drawing in points: on paper and a desk, and on a phone.
WIDE, NARROW = 527.0, 300.0
#: A share beyond this is cut off and marked so.
FARTHEST = 2 * WHOLE
_ROW, _ROW_NARROW, _HEAD, _BAR = 22.0, 43.0, 27.0, 8.0
_TEXT, _SMALL, _LEAST = 7.4, 6.2, 5.0
#: The longest bar without a limit leaves room for an open end.
_FULL = 0.92
#: What the marks across a bar and the shapes before it mean; stands under every chart in words.
LEGEND = (
    "Before each bar: disc fine, half disc soon, triangle due, square overdue, dash no limit. "
    "Across it: broken line soon, line due, heavy line overdue. An open end: at least so much, earlier "
    "hours are not known."
)


def drawing(
    bars: Sequence[Bar], *, width: float = WIDE, whole: Sequence[Bar] | None = None
) -> Drawing:
    """Return the bars in their order as one drawing of `width` points; () gives an empty one.

    Bars with a limit stand together under one scale, those without under another. `whole` are all the bars
    of which these are a part: every part is then drawn to the same scale.
    """
    return _Chart(bars, width, bars if whole is None else whole).drawn()


def height_of(bars: Sequence[Bar]) -> float:
    """Return how high the wide drawing of these bars is, in points."""
    heads = sum(1 for _ in groupby(bars, key=lambda bar: bar.share is not None))
    return _ROW * len(bars) + _HEAD * heads


def fitting(bars: Sequence[Bar], room: float) -> int:
    """Return how many of the bars, from the first, go into `room` points of a wide drawing."""
    used, before = 0.0, None
    for n, bar in enumerate(bars):
        limited = bar.share is not None
        used += _ROW + (_HEAD if limited is not before else 0)
        before = limited
        if used > room:
            return n
    return len(bars)


def picture(bars: Sequence[Bar], title: str, *, narrow: bool = False, tint: Tint = DAY) -> str:
    """Return the same for the page, as SVG text for an <img>."""
    return svg(drawing(bars, width=NARROW if narrow else WIDE), title, tint)


class _Chart:
    """Rows from above; the y of reportlab counts from below."""

    def __init__(self, bars: Sequence[Bar], width: float, whole: Sequence[Bar]) -> None:
        fonts.register()
        self.whole = whole
        self.width, self.narrow = width, width < (WIDE + NARROW) / 2
        self.row = _ROW_NARROW if self.narrow else _ROW
        self.parts = [(limited, list(part)) for limited, part in
                      groupby(bars, key=lambda bar: bar.share is not None)]  # fmt: skip
        self.high = max(sum(_HEAD + self.row * len(part) for _, part in self.parts), 12.0)
        self.on = Drawing(width, self.high)
        self.names = 0.0 if self.narrow else 13.0
        self.left = 13.0 if self.narrow else width * 0.36
        self.right = width - 6 if self.narrow else width * 0.67
        self.words = self.right + 9

    def drawn(self) -> Drawing:
        y = self.high
        for limited, bars in self.parts:
            y = self._head(y, limited=limited)
            for bar in bars:
                y -= self.row
                self._bar(bar, y)
        return self.on

    def text(self, x: float, y: float, words: str, size: float = _TEXT, font: str = fonts.TEXT,
             anchor: str = "start", room: float = 0, least: float = _SMALL) -> None:  # fmt: skip
        words = fonts.clean(words)
        if room:
            size = fonts.size_to_fit(words, font, size, room, least)
            while words and fonts.width(words, font, size) > room:
                words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
        self.on.add(String(x, y, words, fontName=font, fontSize=size, textAnchor=anchor, fillColor=black))

    def line(self, x: float, y: float, x2: float, y2: float, weight: float = 0.4,
             dash: Sequence[float] | None = None) -> None:  # fmt: skip
        self.on.add(Line(x, y, x2, y2, strokeColor=black, strokeWidth=weight, strokeDashArray=dash))

    def _head(self, top: float, *, limited: bool) -> float:
        """The scale of a group, over its first bar; returns the y of its foot."""
        self.limited, y = limited, top - _HEAD
        if limited:
            furthest = max(bar.share or 0 for bar in self.whole)
            marks = [mark for bar in self.whole for _, mark in bar.marks]
            self.end = min(FARTHEST, max(WHOLE, furthest, *marks) * 21 // 20)
            for share in (0, WHOLE // 2, WHOLE):
                x = self._x(share)
                self.text(x, y + 4, f"{share // 10} %", _SMALL, anchor="middle")
            self.text(0, y + 13, "Used of the limit", _TEXT, fonts.BOLD)
        else:
            self.longest = longest([bar for bar in self.whole if bar.share is None])
            self.text(0, y + 13, "Without a limit: the longest of each clock is drawn full", _TEXT,
                      fonts.BOLD, room=self.width)  # fmt: skip
        self.line(0, y, self.width, y, 0.7)
        return y

    def _x(self, share: int) -> float:
        return self.left + (self.right - self.left) * min(share, self.end) / self.end

    def _bar(self, bar: Bar, foot: float) -> None:
        low = foot + (17 if self.narrow else 7)
        self._shape(bar.state, 5, foot + self.row - 9 if self.narrow else low + _BAR / 2)
        if self.narrow:
            self.text(13, foot + self.row - 11, f"{bar.name}, {bar.counts}", _TEXT + 0.6, fonts.BOLD,
                      room=self.width - 14)  # fmt: skip
            self.text(13, foot + 4, f"{bar.words}; {bar.more}", _TEXT, room=self.width - 14,
                      least=_LEAST)  # fmt: skip
        else:
            room = self.left - self.names - 8
            self.text(self.names, low + 3.2, f"{bar.name} · {bar.item}", _TEXT, fonts.BOLD, room=room)
            self.text(self.names, low - 4.2, bar.counts, _SMALL, room=room)
            self.text(self.words, low + 3.2, bar.words, _TEXT, fonts.BOLD, room=self.width - self.words)
            self.text(self.words, low - 4.2, bar.more, _SMALL, room=self.width - self.words,
                      least=_LEAST)  # fmt: skip
        self._steel(bar, low)
        self.line(0, foot, self.width, foot, 0.2)

    def _steel(self, bar: Bar, low: float) -> None:
        """The bar itself: open at its end where earlier hours are not known, its limits across it."""
        if self.limited:
            true = max(bar.run, 0) * WHOLE // max(bar.limit, 1)
            ends = self._x(min(true, self.end))
        else:
            ends = self.left + (self.right - self.left) * _FULL * max(bar.run, 0) / self.longest[bar.clock]
            true = 0
        self.line(self.left, low - 2, self.left, low + _BAR + 2, 0.6)
        if ends > self.left:
            self.on.add(Rect(self.left, low, ends - self.left, _BAR, fillColor=black, strokeColor=black,
                             strokeWidth=0.3))  # fmt: skip
        if not bar.known:
            goes_on = min(ends + 16, self.right + 4)
            for y in (low, low + _BAR):
                self.line(ends, y, goes_on, y, 0.6, [1.5, 1.5])
        if self.limited and true > self.end:
            self._goes_on(low)
        for name, mark in bar.marks:
            if mark <= self.end:
                self._mark(name, self._x(mark), low)

    def _mark(self, name: str, x: float, low: float) -> None:
        weight, dash = {SOON: (0.8, [2, 1.2]), DUE: (0.9, None), OVERDUE: (2.0, None)}[name]
        # On a ground of its own, so that it is seen on the steel too.
        self.on.add(Rect(x - weight / 2 - 0.8, low - 3, weight + 1.6, _BAR + 6, fillColor=white,
                         strokeColor=None, strokeWidth=0))  # fmt: skip
        self.line(x, low - 3, x, low + _BAR + 3, weight, dash)

    def _goes_on(self, low: float) -> None:
        """A bar that is longer than the picture: its end is cut slantwise."""
        x = self.right - 9
        self.on.add(Polygon([x, low - 1, x + 3, low - 1, x + 6, low + _BAR + 1, x + 3, low + _BAR + 1],
                            fillColor=white, strokeColor=white, strokeWidth=0.2))  # fmt: skip

    def _shape(self, state: str, x: float, y: float) -> None:
        pen = {"fillColor": black, "strokeColor": black, "strokeWidth": 0.7}
        if state == FINE:
            self.on.add(Circle(x, y, 3.2, **pen))
        elif state == SOON:
            self.on.add(Circle(x, y, 3.2, fillColor=None, strokeColor=black, strokeWidth=0.7))
            half = [x, y - 3.2, x + 1.8, y - 2.6, x + 2.9, y - 1.3, x + 3.2, y, x + 2.9, y + 1.3, x + 1.8,
                    y + 2.6, x, y + 3.2]  # fmt: skip
            self.on.add(Polygon(half, **pen))
        elif state == DUE:
            self.on.add(Polygon([x - 3.6, y - 3, x + 3.6, y - 3, x, y + 3.4], **pen))
        elif state == OVERDUE:
            self.on.add(Rect(x - 3, y - 3, 6, 6, **pen))
        else:
            self.line(x - 3, y, x + 3, y, 0.9)
