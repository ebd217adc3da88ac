"""Sheets and rolls of labels: where each label lies, and why a grid cannot be printed on."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from rack.calc.checks import Problem, note, stops
from rack.calc.lengths import ZERO, Length
from rack.calc.lookup import Row, caution, number, rows

#: The smallest module that is printed: the smallest in the table of code sizes (computed with a public QR
#: program); one source asks 0.4 mm of a phone held in the hand. Confidence: seen once.
LEAST_MODULE = Length.parse("0.5", "mm")
#: A module that is still read under dirt and scratches. Our own judgement, so it is only a note.
GOOD_MODULE = Length.parse("0.75", "mm")
#: Blank modules on both sides of a code together.
QUIET = 8
#: A label at least so near to the common one is laid out like it, larger or smaller.
FULL_SCALE = Fraction(9, 10)
_FULL = (Length.parse("63.5", "mm"), Length.parse("38.1", "mm"))
_FULL_ROOM = Length.parse("30.2", "mm")
_MOST_SCALE = Fraction(2)
_LOW_EDGE = Length.parse("0.8", "mm")
#: How much of the width of a low label the code may take.
_LOW_SHARE = Fraction(11, 20)
#: No sheet or roll is wider; a larger figure is a slip of the fingers.
_MOST = Length.parse("2", "m")
ROLL = "Roll"
MOST_ON_A_PAGE = 500


@dataclass(frozen=True)
class Grid:
    """One sheet of labels, or one label of a roll; all lengths exact, margins to the first label's corner."""

    name: str
    page: str
    page_w: Length
    page_h: Length
    columns: int
    rows: int
    label_w: Length
    label_h: Length
    left: Length
    top: Length
    pitch_x: Length
    pitch_y: Length
    source: str = ""
    conf: str = ""
    caution: str = ""

    @property
    def a_page(self) -> int:
        """How many labels one page has."""
        return self.columns * self.rows

    @property
    def on_roll(self) -> bool:
        """Whether each label is a page of its own."""
        return self.page == ROLL

    @property
    def scale(self) -> Fraction:
        """How large its layout is beside the common label's, 63.5 x 38.1 mm: 1 is as large, at most 2."""
        sides = ((self.label_w, _FULL[0]), (self.label_h, _FULL[1]))
        return min(_MOST_SCALE, *(Fraction(has.nanometres, full.nanometres) for has, full in sides))

    @property
    def is_low(self) -> bool:
        """Whether there is no room under the code, so that all words stand beside it."""
        return self.scale < FULL_SCALE

    @property
    def code_room(self) -> Length:
        """The side of the square that the code may fill, its quiet zone included."""
        if not self.is_low:
            return Length(int(_FULL_ROOM.nanometres * self.scale))
        high = self.label_h.nanometres - 2 * _LOW_EDGE.nanometres
        return Length(max(0, min(high, int(self.label_w.nanometres * _LOW_SHARE))))

    def corner(self, place: int) -> tuple[Length, Length]:
        """Return how far the upper left corner of label `place` lies from the paper's: across, down.

        `place` counts from 0 along the rows. Raises ValueError for a label that the page has not.
        Source: the grid's own row.
        """
        if not 0 <= place < self.a_page:
            raise ValueError(f"a page has labels 1 to {self.a_page}; there is no label {place + 1}")
        row, column = divmod(place, self.columns)
        return self.left + self.pitch_x * column, self.top + self.pitch_y * row


def module_of(grid: Grid, modules: int) -> Length:
    """Return the side of one module of a code of `modules` a side (without its quiet zone) on this grid.

    At most 0.75 mm times the layout's scale: a larger one is read no better. A Length. Raises nothing for
    a positive number. Source: QR, ISO/IEC 18004: four blank modules on each side.
    `grid` is the layout of the page.
    """
    most = int(GOOD_MODULE.nanometres * max(Fraction(1), grid.scale))
    return Length(min(most, grid.code_room.nanometres // (modules + QUIET)))


def grid_of(row: Row) -> Grid:
    """Return the grid that a row of table label_grids describes, its figures in mm.

    Raises ValueError naming what is no figure, negative or missing. Source: the row's own.
    `row` is one of the table, text by column.
    """
    sizes = ("page_w_mm", "page_h_mm", "label_w_mm", "label_h_mm", "left_margin_mm", "top_margin_mm",
             "pitch_x_mm", "pitch_y_mm")  # fmt: skip
    page_w, page_h, label_w, label_h, left, top, pitch_x, pitch_y = (_length(row, one) for one in sizes)
    columns, down = _whole(row, "cols"), _whole(row, "rows")
    if columns * down > MOST_ON_A_PAGE:
        raise ValueError(f"a page of {columns * down} labels is none; {MOST_ON_A_PAGE} are the most")
    return Grid(
        row["grid"], row["page"], page_w, page_h, columns, down, label_w, label_h, left, top,
        pitch_x, pitch_y, row["source"], row["conf"], caution(row),
    )  # fmt: skip


def grids(table: Iterable[Row] | None = None) -> dict[str, Grid]:
    """Return every grid by its name, in the order of the rows; a row that is no grid is left out.

    `table` are rows of table label_grids (figures in mm), None = the shipped ones. Raises nothing: a row of
    the office that has no page or no label cannot be chosen. Source: each row's own.
    """
    found: dict[str, Grid] = {}
    for row in rows("label_grids") if table is None else table:
        try:
            found[row["grid"]] = grid_of(row)
        except ValueError:
            continue
    return found


def adjusted(
    grid: Grid, *, left: Length | None = None, top: Length | None = None,
    pitch_x: Length | None = None, pitch_y: Length | None = None,
) -> Grid:  # fmt: skip
    """Return the grid with other margins and pitches (a Length each), None = as it is. Raises nothing.

    Source: house style.
    `grid` is the layout as the table has it; `left` and `top` are the margins, `pitch_x` and `pitch_y`
    the pitches.
    """
    return replace(
        grid,
        left=grid.left if left is None else left,
        top=grid.top if top is None else top,
        pitch_x=grid.pitch_x if pitch_x is None else pitch_x,
        pitch_y=grid.pitch_y if pitch_y is None else pitch_y,
    )


def grid_problems(grid: Grid, modules: int) -> list[Problem]:
    """Return why nothing can be printed on this grid (STOPS), and what to mind (NOTE), [] when all is well.

    `modules` is the side of the code without its quiet zone. Labels must lie on the paper, not on each
    other, and the code must keep modules of 0.5 mm; under 0.75 mm is noted. Raises nothing. Source:
    geometry; for the module the table of code sizes, seen once; 0.75 mm our judgement.
    `grid` is the layout of the page.
    """
    return [*_leaving(grid), *_overlapping(grid), *_too_small(grid, modules)]


def _leaving(grid: Grid) -> list[Problem]:
    right = grid.left + grid.pitch_x * (grid.columns - 1) + grid.label_w
    foot = grid.top + grid.pitch_y * (grid.rows - 1) + grid.label_h
    sides = (
        ("left", "On the left", ZERO - grid.left), ("top", "At the top", ZERO - grid.top),
        ("pitch_x", "On the right", right - grid.page_w), ("pitch_y", "At the foot", foot - grid.page_h),
    )  # fmt: skip
    what = "The label" if grid.a_page == 1 else "A label"
    return [
        stops(f"{side} {what.lower()} would leave the paper by {mm(over)} mm. Make the margin or the pitch "
              "smaller.", code="off the paper", where=field, measured=mm(over), unit="mm")
        for field, side, over in sides if over > ZERO
    ]  # fmt: skip


def _overlapping(grid: Grid) -> list[Problem]:
    pairs = (("pitch_x", grid.columns, grid.pitch_x, grid.label_w, "across", "wide"),
             ("pitch_y", grid.rows, grid.pitch_y, grid.label_h, "down", "high"))  # fmt: skip
    return [
        stops(f"The pitch {way} is {mm(pitch)} mm and a label is {mm(size)} mm {word}: the labels would lie "
              "on each other.", code="overlap", where=field, measured=mm(pitch), limit=mm(size), unit="mm")
        for field, count, pitch, size, way, word in pairs if count > 1 and pitch < size
    ]  # fmt: skip


def _too_small(grid: Grid, modules: int) -> list[Problem]:
    module = module_of(grid, modules)
    if module < LEAST_MODULE:
        return [stops(
            f"On labels of {mm(grid.label_w)} x {mm(grid.label_h)} mm a module of this code would be "
            f"{mm(module)} mm; under {mm(LEAST_MODULE)} mm a phone does not read it surely. Take a larger "
            "label, or give the program a shorter address.",
            code="module", where="grid", measured=mm(module), limit=mm(LEAST_MODULE), unit="mm",
        )]  # fmt: skip
    if module < GOOD_MODULE:
        return [note(
            f"A module of the code is {mm(module)} mm on this label; from {mm(GOOD_MODULE)} mm on it is read "
            "under dirt too (our judgement).",
            code="module", where="grid", measured=mm(module), limit=mm(GOOD_MODULE), unit="mm",
        )]  # fmt: skip
    return []


def mm(length: Length) -> str:
    """Return a Length in mm to the hundredth, without needless zeros: "63.5". Raises nothing.

    Source: house style.
    `length` is any Length.
    """
    text = length.shown("mm", 2)
    return text.rstrip("0").rstrip(".")


def _length(row: Row, column: str) -> Length:
    value = number(row[column])
    if value is None or not 0 <= value * 1_000_000 <= _MOST.nanometres:
        raise ValueError(f"{column}: {row[column]!r} is no length in mm on a sheet of labels")
    nanometres = value * 1_000_000
    if nanometres.denominator != 1:
        raise ValueError(f"{column}: {row[column]!r} is no whole number of nanometres")
    return Length(nanometres.numerator)


def _whole(row: Row, column: str) -> int:
    value = number(row[column])
    if value is None or value.denominator != 1 or value < 1:
        raise ValueError(f"{column}: {row[column]!r} is no number of labels")
    return value.numerator
