"""A tally in blocks of columns side by side, put below each other as it is meant to be read.

Page by page and block by block; the sum of a column stays below its column, the sum of a page comes
after the last block of the page. Every cell remembers the column of the file that it stood in.
"""

import re
from dataclasses import dataclass, field, replace

from rack.exchange.headings import folded, read_heading, score
from rack.exchange.sums import sum_label
from rack.exchange.table import Sheet, trimmed
from rack.exchange.tens import numbered
from rack.exchange.workbook import HEADING_WITHIN

#: What every block has of its own: a name or number, and a length.
_NAMES, _LENGTHS = {"number", "serial", "painted", "owner_no"}, {"length", "length_ft"}
#: Sums of these levels stand for more than the block below which they are written.
_OF_THE_PAGE = ("page", "grand", "carried")


@dataclass(frozen=True)
class Layout:
    """The columns of each block, from 0; columns that all blocks share come first in every block."""

    blocks: tuple[tuple[int, ...], ...]

    def cells(self, row: list[str], block: int) -> list[str]:
        return [row[index] if index < len(row) else "" for index in self.blocks[block]]


def layout_of(row: list[str]) -> Layout | None:
    """Return how a row of headings repeats side by side, None where it does not."""
    forms = [folded(cell) for cell in row]
    starts = _starts(forms)
    if len(starts) < 2:
        return None
    spans = [tuple(range(start, end)) for start, end in zip(starts, [*starts[1:], len(forms)], strict=True)]
    width = len(trimmed([forms[at] for at in spans[0]]))
    spans = [span[:width] for span in spans[:-1]] + [spans[-1]]
    beyond = spans[-1][width:]
    spans[-1] = spans[-1][:width]
    wanted = [forms[at] for at in spans[0]]
    own = {read_heading(form).role for form in wanted}
    if any([forms[at] for at in span] != wanted for span in spans) or not own & _LENGTHS or not own & _NAMES:
        return None
    shared = tuple(at for at in (*range(starts[0]), *beyond) if forms[at])
    layout = Layout(tuple((*shared, *span) for span in spans))
    return layout if score(tuple(layout.cells(row, 0))) else None


def _starts(forms: list[str]) -> list[int]:
    """Return where the blocks begin: the places of the first heading that stands there most often."""
    known = [form for form in forms if form and read_heading(form).known]
    most = max((known.count(form) for form in known), default=0)
    first = next((form for form in known if most > 1 and known.count(form) == most), None)
    return [at for at, form in enumerate(forms) if form == first] if first else []


def unfolded(sheet: Sheet, name: str = "the file") -> Sheet:
    """Return a tally in blocks as one list; any other sheet as it is.

    Raises UnreadableFile for columns that only seem to share one number column; `name` is the file's.
    """
    shared = numbered(sheet, HEADING_WITHIN, name)
    if shared:
        made, blocks, at = shared
        return _Unfolding(made, at, Layout(blocks)).done()
    for at, row in enumerate(sheet.rows[:HEADING_WITHIN]):
        layout = layout_of(row)
        if layout:
            return _Unfolding(sheet, at, layout).done()
    return sheet


@dataclass
class _Unfolding:
    """The rows that were taken so far; `page` holds those of the page that is being read."""

    sheet: Sheet
    heading_at: int
    layout: Layout
    taken: list[tuple[int, int, tuple[int, ...]]] = field(default_factory=list)
    page: list[int] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def done(self) -> Sheet:
        everything = tuple(range(max(map(len, self.sheet.rows), default=0)))
        self.taken += [(at, 0, everything) for at in range(self.heading_at)]
        heading = self._forms(self.heading_at)
        for at in range(self.heading_at, len(self.sheet.rows)):
            if self._forms(at) == heading:
                self._turn()
                self.taken.append((at, 0, self.layout.blocks[0]))
                continue
            if self._is_units(at):
                if at == self.heading_at + 1:
                    self.taken.append((at, 0, self.layout.blocks[0]))
                continue
            if self._is_new_page(at):
                self._turn()
            self.page.append(at)
        self._turn()
        self._leave_unused()
        return self._sheet()

    def _leave_unused(self) -> None:
        """Leave out the lines at the end whose number is printed and that nobody filled in."""
        unused = []
        while (at := self._last_line()) is not None and self._has_only_number(self.taken[at]):
            place, _, columns = self.taken.pop(at)
            row = self.sheet.rows[place]
            unused += [row[column].strip() for column in columns if column < len(row) and row[column].strip()]
        if unused:
            which = f"{unused[-1]} to {unused[0]}" if len(unused) > 1 else unused[0]
            self.notes.append(f"Lines {which} bear a number and nothing else: taken for unused lines.")

    def _last_line(self) -> int | None:
        places = range(len(self.taken) - 1, -1, -1)
        return next((at for at in places if self.taken[at][1] and not self._is_sums(self.taken[at][0])), None)

    def _has_only_number(self, taken: tuple[int, int, tuple[int, ...]]) -> bool:
        row = self.sheet.rows[taken[0]]
        filled = [column for column in taken[2] if column < len(row) and row[column].strip()]
        heads = [self.sheet.rows[self.heading_at][column] for column in filled]
        return len(filled) == 1 and read_heading(heads[0]).role == "number"

    def _forms(self, at: int) -> list[str]:
        return [folded(cell) for cell in self.layout.cells(self.sheet.rows[at], 0)]

    def _is_units(self, at: int) -> bool:
        filled = [cell for cell in self.sheet.rows[at] if cell.strip()]
        return bool(filled) and all(read_heading(cell.strip(" ()[]")).only_unit for cell in filled)

    def _is_new_page(self, at: int) -> bool:
        """Say whether a row begins a page: after sums, or where the first number does not follow."""
        rows = self.sheet.rows
        last = next((each for each in reversed(self.page) if any(map(str.strip, rows[each]))), None)
        if last is None or self._is_sums(at) or not any(map(str.strip, rows[at])):
            return False
        if self._is_sums(last):
            return True
        before, now = self._number(last), self._number(at)
        return before is not None and now is not None and now != before + 1

    def _number(self, at: int) -> int | None:
        cells = self.layout.cells(self.sheet.rows[at], 0)
        for index, column in enumerate(self.layout.blocks[0]):
            heading = self.sheet.rows[self.heading_at][column]
            if read_heading(heading).role == "number" and cells[index].strip().isdecimal():
                return int(cells[index][:9])
        return None

    def _is_sums(self, at: int) -> bool:
        labels = [label for cell in self.sheet.rows[at] if (label := sum_label(cell))]
        parts = [
            [cell for cell in self.layout.cells(self.sheet.rows[at], block) if cell.strip()]
            for block in range(len(self.layout.blocks))
        ]
        filled = [part for part in parts if part]
        alone = len(filled) > 1 and all(len(part) == 1 for part in filled)
        return bool(labels) or (alone and all(re.fullmatch(r"[\d.,]+", part[0].strip()) for part in filled))

    def _turn(self) -> None:
        """End a page: its blocks one after the other, then what stands for the whole page."""
        of_page: list[tuple[int, int, tuple[int, ...]]] = []
        whole = {at for at in self.page if self._is_of_page(at)}
        for block, columns in enumerate(self.layout.blocks, start=1):
            for at in self.page:
                cells = self.layout.cells(self.sheet.rows[at], block - 1)
                if at in whole or not any(cell.strip() for cell in cells):
                    continue
                levels = [label[0] for cell in cells if (label := sum_label(cell))]
                if set(levels) & set(_OF_THE_PAGE):
                    of_page.append((at, 0, columns))
                else:
                    self.taken.append((at, block, columns))
        of_page += [(at, 0, self._gathered(at)) for at in whole]
        blank = [at for at in self.page if not any(cell.strip() for cell in self.sheet.rows[at])]
        of_page += [(at, 0, self.layout.blocks[0]) for at in blank]
        self.taken += sorted(of_page)
        self.page = []

    def _is_of_page(self, at: int) -> bool:
        """Say whether a row is one sum of the page with its word and its figure in different blocks."""
        row = self.sheet.rows[at]
        labels = [label[0] for cell in row if (label := sum_label(cell))]
        parts = [
            cells for block in range(len(self.layout.blocks)) if any(cells := self.layout.cells(row, block))
        ]
        filled = sum(1 for cell in row if cell.strip())
        return filled == 2 and len(labels) == 1 and labels[0] in _OF_THE_PAGE and len(parts) == 2

    def _gathered(self, at: int) -> tuple[int, ...]:
        """Return columns that bring the word and the figure of such a sum into one block."""
        word, figure = [index for index, cell in enumerate(self.sheet.rows[at]) if cell.strip()]
        first = self.layout.blocks[0]
        heads = [read_heading(self.sheet.rows[self.heading_at][column]).role for column in first]
        length = heads.index("length") if "length" in heads else len(first) - 1
        spare = len(self.sheet.rows[at])  # a column beyond the row: nothing stands there
        places = [spare] * len(first)
        places[0 if length else len(first) - 1] = word
        places[length] = figure
        return tuple(places)

    def _sheet(self) -> Sheet:
        rows, numbers, dates = [], set(), set()
        for place, (at, _, columns) in enumerate(self.taken):
            row = self.sheet.rows[at]
            rows.append(trimmed([row[index] if index < len(row) else "" for index in columns]))
            for index, column in enumerate(columns):
                if (at, column) in self.sheet.numbers:
                    numbers.add((place, index))
                if (at, column) in self.sheet.dates:
                    dates.add((place, index))
        return replace(
            self.sheet,
            rows=rows,
            lines=[self.sheet.lines[at] for at, _, _ in self.taken],
            numbers=frozenset(numbers),
            dates=frozenset(dates),
            notes=(*self.sheet.notes, *self.notes),
            blocks=tuple((block, columns) for _, block, columns in self.taken),
        )
