"""Tags for the rack: sheets or rolls of labels, one piece a label, and a page to try the labels with."""

import io
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from rack.calc.checks import Severity
from rack.calc.labels import Grid, grid_problems, grids
from rack.paper import fonts, qr
from rack.paper.tag_label import Frame, TagLabel, draw, points

__all__ = ["COMMON", "TagLabel", "code_modules", "pdf", "trial"]

#: The grid that is taken where none is named: two label makers' pages agree on it.
COMMON = grids()["A4 3 x 7"]
_RULER = 100


def pdf(
    labels: Sequence[TagLabel], *, start: int = 1, copies: int = 1, outlines: bool = False,
    grid: Grid = COMMON,
) -> bytes:  # fmt: skip
    """Return the PDF of these tags, the first one on label `start` (from 1, row by row) of the first page.

    `copies` is how many of each, side by side; `outlines` draws the label edges, for a trial on plain
    paper; `grid` where the labels lie. Raises ValueError when there is nothing to print, `start` is no
    label of the page, or the labels or their codes do not fit the grid.
    """
    if not 1 <= start <= grid.a_page:
        raise ValueError(f"a sheet has labels 1 to {grid.a_page}; there is no label {start}")
    if copies < 1 or not labels:
        raise ValueError("there is no tag to print")
    _refuse_unfit(grid, max(code_modules(address) for address in _longest(labels)))
    sink, canvas = _canvas(grid, "Tags")
    frame, corners = Frame.of(grid), _corners(grid)
    place = start - 1
    for label in labels:
        made = qr.code(qr.upper(label.address))
        for _ in range(copies):
            if place == grid.a_page:
                canvas.showPage()
                place = 0
            draw(canvas, label, made, grid, frame, *corners[place])
            if outlines:
                canvas.setLineWidth(0.3)
                canvas.rect(corners[place][0], corners[place][1] - frame.high, frame.wide, frame.high)
            place += 1
    canvas.showPage()
    canvas.save()
    return sink.getvalue()


def code_modules(address: str) -> int:
    """Return how many modules a side the code of an address has, without its quiet zone."""
    return qr.code(qr.upper(address)).modules


def trial(grid: Grid, modules: int) -> bytes:
    """Return one page with every label's outline, its number, the square of its code, and rulers of 100 mm.

    Printed on plain paper and held against the labels. `modules` is the side of the code. Where the page
    is shorter than 100 mm the ruler is as long as goes on it in whole centimetres, and says so. Raises
    ValueError where the labels do not fit the page.
    """
    _refuse_unfit(grid, modules)
    sink, canvas = _canvas(grid, "Test page for tags")
    frame, side = Frame.of(grid), points(grid.code_room.nanometres)
    for n, (x, top) in enumerate(_corners(grid), start=1):
        canvas.setLineWidth(0.4)
        canvas.setDash()
        canvas.rect(x, top - frame.high, frame.wide, frame.high)
        canvas.setLineWidth(0.3)
        canvas.setDash(1, 2)
        canvas.rect(x + 1.2 * mm, top - 0.8 * mm - side, side, side)
        canvas.setDash()
        canvas.setFont(fonts.BOLD, 7)
        canvas.drawRightString(x + frame.wide - 1.5 * mm, top - 3.5 * mm, str(n))
    _rulers(canvas, grid, frame)
    canvas.showPage()
    canvas.save()
    return sink.getvalue()


def _longest(labels: Sequence[TagLabel]) -> list[str]:
    """The addresses that may have the largest code: of each kind of spelling the longest in bytes."""
    coded = [qr.upper(label.address) for label in labels]
    capitals = [text for text in coded if text == text.upper()]
    mixed = [text for text in coded if text != text.upper()]
    return [max(some, key=lambda text: len(text.encode())) for some in (capitals, mixed) if some]


def _refuse_unfit(grid: Grid, modules: int) -> None:
    wrong = [one.text for one in grid_problems(grid, modules) if one.severity is Severity.STOPS]
    if wrong:
        raise ValueError(" ".join(wrong))


def _canvas(grid: Grid, title: str) -> tuple[io.BytesIO, Canvas]:
    fonts.register()
    sink = io.BytesIO()
    size = points(grid.page_w.nanometres), points(grid.page_h.nanometres)
    canvas = Canvas(sink, pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setSubject(grid.name)
    canvas.setCreator("Tierbook")
    return sink, canvas


def _corners(grid: Grid) -> list[tuple[float, float]]:
    """The upper left corner of every label of a page, in points from the page's lower left corner."""
    high = grid.page_h.nanometres
    found = (grid.corner(place) for place in range(grid.a_page))
    return [(points(across.nanometres), points(high - down.nanometres)) for across, down in found]


def _rulers(canvas: Canvas, grid: Grid, frame: Frame) -> None:
    """One ruler across and one upward, so that a printer that fits one side only is seen."""
    wide, high = (points(one.nanometres) / mm for one in (grid.page_w, grid.page_h))
    across, up = (min(_RULER, int((side - 8) // 10) * 10) for side in (wide, high))
    x, y = (wide - across) / 2, _height_of_middle_row(grid, frame)
    _ruler(canvas, x * mm, y * mm, across, turned=False)
    if up >= 10:
        _ruler(canvas, (x - 2) * mm if x > 8 else 4 * mm, (high - up) / 2 * mm, up, turned=True)
    text = f"{grid.name}: print at 100 %; the rulers are {across} and {up} mm long."
    room = min(wide - 8, across) * mm
    size = fonts.size_to_fit(text, fonts.TEXT, 7, room, 3)
    foot = y * mm - 1.6 * mm - size
    canvas.setFillGray(1)  # the outlines of labels would cross the words
    canvas.rect(x * mm, foot - 0.3 * size, fonts.width(text, fonts.TEXT, size), 1.3 * size, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setFont(fonts.TEXT, size)
    canvas.drawString(x * mm, foot, text)


def _height_of_middle_row(grid: Grid, frame: Frame) -> float:
    """The middle of the labels nearest the page's middle, in mm from its foot: no label's number is there."""
    middle = points(grid.page_h.nanometres) / 2
    rows = (top - frame.high / 2 for _, top in _corners(grid))
    return float(min(rows, key=lambda one: abs(one - middle))) / mm


def _ruler(canvas: Canvas, x: float, y: float, length: int, *, turned: bool) -> None:
    canvas.saveState()
    canvas.translate(x, y)
    if turned:
        canvas.rotate(90)
    canvas.setLineWidth(0.5)
    canvas.line(0, 0, length * mm, 0)
    canvas.setFont(fonts.FIGURES, 5)
    for n in range(0, length + 1, 5):
        canvas.line(n * mm, 0, n * mm, (2.5 if n % 10 == 0 else 1.5) * mm)
        if n % 20 == 0:
            canvas.drawCentredString(n * mm, 3 * mm, str(n))
    canvas.restoreState()
