"""Blocks one under another, on as many pages as they need: headings, paragraphs, ruled tables."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rack.paper import fonts
from rack.paper.surface import HAIR, HEAVY, MARGIN, RULE, Align, Surface

_PT = 0.3528  # a point in mm


@dataclass(frozen=True)
class Col:
    """A column of a table: its head, its width in mm, where its text stands and in which letters."""

    head: str
    wide: float
    align: Align = "left"
    font: str = fonts.TEXT


class Flow:
    """Writes downward from `y` and begins a page when there is no room left.

    `begin_page(page number)` draws what every page carries and returns the y under its head;
    `floor` is the lowest y that a block may reach. `tight` asks each block to stand as close as it can be
    read, where that spares a page.
    """

    def __init__(
        self, surface: Surface, begin_page: Callable[[int], float], floor: float, *, tight: bool = False
    ) -> None:
        self.tight = tight
        self.on = surface
        self._begin_page = begin_page
        self.floor = floor
        self.page = 1
        self.y = begin_page(1)

    def new_page(self) -> None:
        self.on.next_page()
        self.page += 1
        self.y = self._begin_page(self.page)

    def need(self, high: float) -> None:
        """Begin a page unless `high` mm are left on this one."""
        if self.y + high > self.floor:
            self.new_page()

    def gap(self, high: float = 3) -> None:
        self.y += high

    def heading(self, text: str, keep: float = 14) -> None:
        """Write a heading, on the next page when not even `keep` mm of its block fit under it."""
        self.need(keep)
        self.y += 5.5 if self.tight else 7
        self.on.text(MARGIN, self.y, text, 9.5, fonts.BOLD)
        self.y += 1.6
        self.on.rule(MARGIN, self.y, self.on.right, self.y, HEAVY)
        self.y += 1

    def paragraph(
        self, text: str, size: float = 8, font: str = fonts.TEXT, *, inset: float = 0, sign: str = ""
    ) -> None:
        """Write a text over the whole width; `sign` stands before its first line."""
        step = size * 1.32 * _PT
        for place, line in enumerate(self.on.lines(text, self.on.room - inset, size, font)):
            self.need(step + 1)
            self.y += step
            if sign and place == 0:
                self.on.text(MARGIN + inset - 3, self.y, sign, size, font)
            self.on.text(MARGIN + inset, self.y, line, size, font)

    def points(self, texts: Iterable[str], size: float = 7.5) -> None:
        if self.tight:
            self._points_in_two(list(texts), size)
            return
        for text in texts:
            self.paragraph(text, size, inset=3.5, sign="–")

    def _points_in_two(self, texts: Sequence[str], size: float) -> None:
        """Write points in two columns, read down the left one first, kept in one piece."""
        step, wide = size * 1.32 * _PT, self.on.room / 2
        cells = [self.on.lines(text, wide - 3.5 - 3, size) for text in texts]
        half = -(-len(cells) // 2)
        columns = (cells[:half], cells[half:])
        high = max(sum(len(lines) for lines in column) for column in columns) * step
        self.need(high + 1)
        for place, column in enumerate(columns):
            x, y = MARGIN + place * wide, self.y
            for lines in column:
                self.on.text(x + 0.5, y + step, "–", size)
                for line in lines:
                    y += step
                    self.on.text(x + 3.5, y, line, size)
        self.y += high

    def warning(self, text: str) -> None:
        """Write a sentence in a heavy box, kept in one piece."""
        lines = self.on.lines(text, self.on.room - 8, 9, fonts.BOLD)
        high = len(lines) * 4.3 + 3.4
        self.need(high + 3)
        self.y += 1.5
        self.on.box(MARGIN, self.y, self.on.room, high, HEAVY)
        for place, line in enumerate(lines):
            self.on.text(MARGIN + 4, self.y + 4.6 + place * 4.3, line, 9, fonts.BOLD)
        self.y += high + 1

    def table(self, columns: Sequence[Col], rows: Iterable[Sequence[str]], size: float = 7.5) -> None:
        """Write a ruled table; its head is written again where it goes on over a page."""
        self._table_head(columns)
        step = size * 1.25 * _PT
        for row in rows:
            cells = [self.on.lines(text, col.wide - 3, size, col.font)
                     for text, col in zip(row, columns, strict=True)]
            high = max(len(cell) for cell in cells) * step + 1.3
            if self.y + high > self.floor:
                self.new_page()
                self._table_head(columns)
            x = MARGIN
            for cell, col in zip(cells, columns, strict=True):
                for place, line in enumerate(cell):
                    self._cell(col, x, self.y + (place + 1) * step, line, size, col.font)
                x += col.wide
            self.y += high
            self.on.rule(MARGIN, self.y, MARGIN + sum(col.wide for col in columns), self.y, HAIR)

    def _table_head(self, columns: Sequence[Col]) -> None:
        heads = [self.on.lines(col.head, col.wide - 3, 6.5, fonts.BOLD) for col in columns]
        tall = max(len(head) for head in heads)
        self.need(tall * 2.9 + 8)
        x = MARGIN
        for head, col in zip(heads, columns, strict=True):
            for place, line in enumerate(head):
                self._cell(col, x, self.y + (place + 1 + tall - len(head)) * 2.9, line, 6.5, fonts.BOLD)
            x += col.wide
        self.y += tall * 2.9 + 1.2
        self.on.rule(MARGIN, self.y, x, self.y, RULE)

    def _cell(self, col: Col, x: float, y: float, line: str, size: float, font: str) -> None:
        at = x + col.wide - 3 if col.align == "right" else x
        self.on.text(at, y, line, size, font, "right" if col.align == "right" else "left")
