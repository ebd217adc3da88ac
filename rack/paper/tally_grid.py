"""The tally book itself: columns and pages, with every total under what it adds up."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent, SheetLine
from rack.calc.tally import Column, Page, pages, shown_lines_add_up
from rack.paper import fonts
from rack.paper.flow import Flow
from rack.paper.surface import HAIR, HEAVY, MARGIN, RULE, Surface

#: Stands beside a total to which the lines as shown do not add up.
DAGGER = "†"
DAGGERED = f"{DAGGER} Not what the figures above it add up to as shown: rounded once, from the exact length."
_HEAD, _FOOT, _STRIP = 5.5, 9.5, 12.5
_NOTE = 3.0
#: From so many columns on a joint takes several lines, one below the other.
_ACROSS_HIGH = 4
#: The height of a joint on one line, and what it cannot do with.
_ONE_LINE, _LEAST_LINE = 8.4, 5.4
#: The height of a joint on two lines and, read twice, on three: usually, and where that spares a page.
_TWO_LINES, _THREE_LINES = (9.4, 8.0), (12.4, 11.3)


@dataclass(frozen=True)
class Book:
    """A closed tally cut into its pages, and how its figures are shown."""

    content: SheetContent
    pages: tuple[Page, ...]

    @property
    def across(self) -> int:
        """How many columns stand beside each other on a page."""
        return self.content.page_length // self.content.column_length

    @property
    def wide(self) -> bool:
        """Whether columns are so wide that a joint stands on one line: longer columns, fewer of them."""
        return self.across < _ACROSS_HIGH

    @property
    def two(self) -> bool:
        """Whether any joint was read twice, so that both readings are shown."""
        return any(line.second_nm is not None for line in self.content.lines)

    def shown(self, nm: int | None) -> str:
        return "" if nm is None else Length(nm).shown(self.content.unit, self.content.digits)

    def adds_up(self, parts: Sequence[Length], total: Length) -> bool:
        """Whether the parts as shown add up to the total as shown (law 1)."""
        unit, digits = self.content.unit, self.content.digits
        return sum(part.in_shown_units(unit, digits) for part in parts) == total.in_shown_units(unit, digits)

    def column_adds_up(self, column: Column) -> bool:
        return shown_lines_add_up(column.entries, self.content.unit, self.content.digits)

    def page_adds_up(self, page: Page) -> bool:
        return self.adds_up([column.total for column in page.columns], page.total)

    def running_adds_up(self, page: Page) -> bool:
        return self.adds_up([page.carried, page.total], page.running)

    def all_of_page_adds_up(self, page: Page) -> bool:
        columns = all(self.column_adds_up(column) for column in page.columns)
        return columns and self.page_adds_up(page) and self.running_adds_up(page)

    @property
    def lines_add_up(self) -> bool:
        """Whether all lines as shown add up to the tally's total as shown."""
        lines = [Length(line.nm) for line in self.content.lines]
        return shown_lines_add_up(lines, self.content.unit, self.content.digits)


def book(content: SheetContent) -> Book:
    """Return the content cut into pages. Raises ValueError when a page is no whole number of columns."""
    cut = pages(
        [Length(line.nm) for line in content.lines], column=content.column_length, page=content.page_length
    )
    return Book(content, tuple(cut))


def draw(flow: Flow, made: Book) -> None:
    """Draw every page of the book, each in one piece."""
    for page in made.pages:
        rows = _rows(made, page)
        high = _high(made, tight=flow.tight)
        room = flow.floor - flow.y - _HEAD - _FOOT - _STRIP - _NOTE - 2
        if page.number > 1 or rows * high > room:
            if page.number > 1 or (made.wide and rows * _LEAST_LINE > room):
                flow.new_page()
            room = flow.floor - flow.y - _HEAD - _FOOT - _STRIP - _NOTE - 2
            high = min(high, room / rows)
        _page(flow, made, page, rows, high)


def _high(made: Book, *, tight: bool) -> float:
    """How high a joint stands when nothing presses."""
    if made.wide:
        return 6.4 if tight else _ONE_LINE
    return (_THREE_LINES if made.two else _TWO_LINES)[tight]


def _rows(made: Book, page: Page) -> int:
    """How many rows the page shows: a page of one column is no longer than what stands in it."""
    longest = len(page.columns[0].entries)
    return longest if len(page.columns) == 1 else made.content.column_length


def _page(flow: Flow, made: Book, page: Page, rows: int, high: float) -> None:
    on = flow.on
    wide = on.room / made.across
    top = flow.y
    foot = top + _HEAD + rows * high
    for place, column in enumerate(page.columns):
        x = MARGIN + place * wide
        _column(on, made, column, x, top, wide, high, rows)
    for place in range(1, len(page.columns)):
        on.rule(MARGIN + place * wide, top, MARGIN + place * wide, foot + _FOOT, RULE)
    flow.y = foot + _FOOT + 1.5
    _strip(flow, made, page)


def _column(
    on: Surface, made: Book, column: Column, x: float, top: float, wide: float, high: float, rows: int
) -> None:
    left, right = x + 1.4, x + wide - 1.6
    last = column.first + len(column.entries) - 1
    span = f"{column.first} to {last}" if last > column.first else str(last)
    on.text(left, top + 3.6, span, 7, fonts.BOLD)
    on.text(right, top + 3.6, made.content.unit, 6.5, align="right")
    on.rule(left, top + _HEAD - 0.6, right, top + _HEAD - 0.6, RULE)
    for row in range(rows):
        y = top + _HEAD + row * high
        if row < len(column.entries):
            draw = _joint_on_one_line if made.wide else _joint
            draw(on, made, made.content.lines[column.first - 1 + row], left, right, y, high)
        on.rule(left, y + high, right, y + high, HAIR if row + 1 < rows else HEAVY)
    y = top + _HEAD + rows * high
    on.text(left, y + 4.1, str(column.count), 8, fonts.BOLD)
    _total(on, right, y + 4.1, made.shown(column.total.nanometres), 9.5, right=made.column_adds_up(column))
    on.text(left, y + 7.9, "running", 6)
    on.text(right, y + 7.9, made.shown(column.running.nanometres), 7, fonts.FIGURES, "right")


def _joint_on_one_line(
    on: Surface, made: Book, line: SheetLine, left: float, right: float, y: float, high: float
) -> None:
    """One joint of a wide column: number, serial, both readings where there are two, and its length."""
    room, foot = right - left, y + high / 2 + 1.5
    name = line.name + ("*" if has_note(made.content, line) else "")
    on.fitted(left, foot, name, room * 0.16, 8, fonts.BOLD)
    serial = room * (0.25 if made.two else 0.54)
    on.fitted(left + room * 0.18, foot, line.serial or "no serial", serial, 7)
    if made.two:
        on.fitted(left + room * 0.74, foot, _both(made, line), room * 0.29, 6.5, fonts.FIGURES, "right")
    on.fitted(right, foot, made.shown(line.nm), room * 0.24, 10.5, fonts.BOLD_FIGURES, "right")


def _both(made: Book, line: SheetLine) -> str:
    read_twice = line.first_nm is not None and line.second_nm is not None
    apart = abs((line.second_nm or 0) - (line.first_nm or 0)) if read_twice else 0
    differ = " ≠" if apart > made.content.gate_nm else ""
    return f"{made.shown(line.first_nm) or '–'} | {made.shown(line.second_nm) or '–'}{differ}"


def _joint(
    on: Surface, made: Book, line: SheetLine, left: float, right: float, y: float, high: float
) -> None:
    """One joint: its number and length, its serial, and below them both readings where there are two."""
    room = right - left
    name = line.name + ("*" if has_note(made.content, line) else "")
    on.fitted(left, y + 4, name, room * 0.46, 8, fonts.BOLD)
    on.fitted(right, y + 4.2, made.shown(line.nm), room * 0.52, 10.5, fonts.BOLD_FIGURES, "right")
    on.fitted(left, y + min(7.4, high - 0.9), line.serial or "no serial", room, 6.5)
    if made.two:
        on.fitted(right, y + 10.7, _both(made, line), room, 6.5, fonts.FIGURES, "right")


def has_note(content: SheetContent, line: SheetLine) -> bool:
    """Whether something stands about this joint in the list of notes."""
    return bool(line.note) or line.item != content.item


def _total(on: Surface, x: float, y: float, shown: str, size: float, *, right: bool) -> None:
    """A total, set right, with the dagger before it when the lines as shown do not give it."""
    on.text(x, y, shown if right else f"{DAGGER}{shown}", size, fonts.BOLD_FIGURES, "right")


def _strip(flow: Flow, made: Book, page: Page) -> None:
    """Joints and total of this page, what was carried here and what goes on."""
    on, unit = flow.on, made.content.unit
    wide = on.room / 4
    figures = (
        ("Joints on this page", str(page.count), True),
        (f"Carried forward, {unit}", made.shown(page.carried.nanometres), True),
        (f"This page, {unit}", made.shown(page.total.nanometres), made.page_adds_up(page)),
        (f"Running total, {unit}", made.shown(page.running.nanometres), made.running_adds_up(page)),
    )
    on.box(MARGIN, flow.y, on.room, 10.5)
    for place, (label, shown, right) in enumerate(figures):
        x = MARGIN + place * wide
        on.text(x + 2, flow.y + 3.4, label, 6.5)
        on.text(x + 2, flow.y + 8.6, shown if right else f"{DAGGER}{shown}", 11, fonts.BOLD_FIGURES)
    flow.y += _STRIP
    if not made.all_of_page_adds_up(page):
        on.text(MARGIN, flow.y + 1.6, DAGGERED, 6.5)
        flow.y += _NOTE
