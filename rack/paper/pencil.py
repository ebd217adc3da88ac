"""The pencil sheet: a page of empty boxes for strapping by hand, in the order in which it is typed in.

It is blind by construction: nothing that it is given holds a reading.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.kinds import LENGTH_KINDS
from rack.calc.sheets import CAUTIONS_ALWAYS, CAUTIONS_STRAPPING
from rack.calc.tally import page_of
from rack.calc.units import UNIT_NAMES
from rack.paper import fonts
from rack.paper.surface import HAIR, HEAVY, MARGIN, RULE, Surface

#: From so many lines a column on, number and boxes stand side by side: fewer and wider columns.
_LONG = 20
#: Figures before the point that a joint can have in each unit.
_WHOLE = {"ft": 2, "m": 2, "in": 3, "cm": 4, "mm": 5}
_ROW_HEAD = 4.6
_BOX_HIGH = 7.0


@dataclass(frozen=True)
class PencilHead:
    """What is known before anybody measures. `strap_n` 0 leaves open which strap it will be.

    `address` is what the code opens ("" for none), `printed` says when the sheet was printed,
    `list_n` which list it is: the number is typed in with the sheet (0 for none). `column` is how many
    lines a column has, `mind` what the hands must think of, `name` what the paper is called.
    """

    site_code: str
    site_name: str
    tally_no: int
    title: str
    item: str
    purpose: str
    unit: str
    digits: int
    length_kind: str
    straps_wanted: int = 1
    strap_n: int = 0
    address: str = ""
    printed: str = ""
    revision: int = 0
    list_n: int = 0
    column: int = 10
    mind: str = ""
    name: str = "Pencil sheet"


@dataclass(frozen=True)
class PencilLine:
    """One line to be read: its place on the sheet, its painted number and serial where they are known."""

    n: int
    painted: str = ""
    serial: str = ""


def numbered(first: int, last: int) -> tuple[PencilLine, ...]:
    """Return empty lines `first` to `last` for a tally that starts with nothing.

    Raises ValueError when there is no line between them.
    """
    if first < 1 or last < first:
        raise ValueError(f"there is no line from {first} to {last}")
    return tuple(PencilLine(n) for n in range(first, last + 1))


def pdf(head: PencilHead, lines: Sequence[PencilLine], *, size: str = "A4") -> bytes:
    """Return the PDF of blank pencil sheets on "A4" or "Letter", in columns and pages as the tally has them.

    The same head and lines give the same bytes. Raises ValueError for another paper or no line.
    """
    if not lines:
        raise ValueError("there is no line to print; say from which number to which")
    a_page = page_of(head.column)
    title = f"Tally {head.tally_no}" + (f": {head.title}" if head.title else "")
    on = Surface(size, f"{head.name}, {title}", head.site_name)
    pages = [lines[start : start + a_page] for start in range(0, len(lines), a_page)]
    for number, page in enumerate(pages, start=1):
        if number > 1:
            on.next_page()
        y = _head(on, head, title)
        y = _fields(on, head, y)
        y = _grid(on, head, page, y)
        _cautions(on, y)
        _foot(on, head, number, len(pages))
    return on.finish()


def _head(on: Surface, head: PencilHead, title: str) -> float:
    room = on.room
    if head.address:
        side = on.code(on.right - 20, MARGIN - 3, head.address, 0.55, 22)
        room -= side
    on.named(head.name, f"{head.site_name} ({head.site_code})", room - 1)
    on.fitted(MARGIN, MARGIN + 10.4, title, room - 2, 12, fonts.BOLD, least=6)
    kind = f"{head.length_kind}: {LENGTH_KINDS.get(head.length_kind, '')}".rstrip(": ")
    what = f"{head.item} · {head.purpose}" if head.item else head.purpose
    on.fitted(MARGIN, MARGIN + 14.6, what, room - 2, 8)
    on.fitted(MARGIN, MARGIN + 18.2, kind, room - 2, 8)
    return MARGIN + 20


def _fields(on: Surface, head: PencilHead, y: float) -> float:
    """What the hands fill in before the first joint."""
    on.rule(MARGIN, y, on.right, y, HEAVY)
    unit = UNIT_NAMES[head.unit][1] if head.unit in UNIT_NAMES else head.unit
    which = f"Which strap ({head.straps_wanted} wanted)"
    rows = (
        (("Date", 0.2), ("Tape no.", 0.2), ("Weather, temperature", 0.3), ("Start, end", 0.3)),
        (("Tape end", 0.24), ("Reader", 0.24), ("Writer", 0.24), (which, 0.28)),
    )
    high = 9.5
    for row in rows:
        x = MARGIN
        for label, share in row:
            wide = on.room * share
            on.box(x, y, wide, high, RULE)
            on.text(x + 1.2, y + 2.8, label, 6.5)
            if label == which:
                _which(on, head, x, y)
            x += wide
        y += high
    on.text(
        MARGIN, y + 3.6, f"All in {unit}. Reader calls, writer repeats, writes and ticks. "
        "One figure in a box; strike out, never write over.", 7, fonts.BOLD,
    )
    y += 5.4
    second = "Change hands, start from the other end, and do not look at the first strap."
    for text in (second if head.strap_n == 2 else "", head.mind):
        if text:
            on.fitted(MARGIN, y + 1.5, text, on.room, 7, fonts.BOLD)
            y += 2.8 if text == second else 3.4
    return y


def _which(on: Surface, head: PencilHead, x: float, y: float) -> None:
    """A box each for the first and the second strap; the one that is asked for is ticked already."""
    for n, word, at in ((1, "first", 2.0), (2, "second", 20.0)):
        on.box(x + at, y + 4, 4, 4, RULE)
        if head.strap_n == n:
            on.rule(x + at + 0.7, y + 4.7, x + at + 3.3, y + 7.3, HEAVY)
            on.rule(x + at + 3.3, y + 4.7, x + at + 0.7, y + 7.3, HEAVY)
        on.text(x + at + 5.4, y + 7.2, word, 8)


def _grid(on: Surface, head: PencilHead, lines: Sequence[PencilLine], y: float) -> float:
    column = head.column
    wide = on.room / (page_of(column) // column)
    shown = min(column, len(lines))
    room = on.bottom - y - 50
    line_of, most = (_long_line, 8.6) if column >= _LONG else (_line, 16.0)
    high = min(most, room / shown)
    for place in range(-(-len(lines) // column)):
        x = MARGIN + place * wide
        for row, line in enumerate(lines[place * column : (place + 1) * column]):
            line_of(on, head, line, x, y + row * high, wide, high)
        foot = y + shown * high
        on.rule(x + 1, foot, x + wide - 1, foot, HEAVY)
        on.text(x + 1.2, foot + 3.2, "Sum of the column", 6.5)
        _figures(on, head, x + wide - 1.4, foot + 4.2, wide - 3, sums=True)
        if place:
            on.rule(x, y, x, foot + 12, RULE)
    return y + shown * high + 13.5


def _long_line(
    on: Surface, head: PencilHead, line: PencilLine, x: float, y: float, wide: float, high: float
) -> None:
    """One joint of a long column: number, serial, tick and figures side by side."""
    foot = y + high / 2 + 1.3
    on.fitted(x + 1.2, foot, line.painted or str(line.n), wide * 0.15, 9, fonts.BOLD, least=4)
    on.fitted(x + wide * 0.19, foot, line.serial, wide * 0.28, 7)
    box = high - 1.2
    on.box(x + wide * 0.5, y + 0.6 + (box - 4) / 2, 4, 4, HAIR)
    _figures(on, head, x + wide - 1.4, y + 0.6, wide * 0.42, box)
    on.rule(x + 1, y + high, x + wide - 1, y + high, HAIR)


def _line(
    on: Surface, head: PencilHead, line: PencilLine, x: float, y: float, wide: float, high: float
) -> None:
    """One joint: its number and serial over a box for the tick and a box for each figure."""
    box = min(_BOX_HIGH + 1, high - _ROW_HEAD - 1.2)
    name = line.painted or str(line.n)
    on.fitted(x + 1.2, y + 3.7, name, wide * 0.36, 9, fonts.BOLD, least=4)
    on.fitted(x + wide - 1.4, y + 3.5, line.serial, wide * 0.56, 7, align="right")
    on.box(x + 1.4, y + _ROW_HEAD + (box - 4) / 2, 4, 4, HAIR)
    _figures(on, head, x + wide - 1.4, y + _ROW_HEAD, wide - 8, box)
    on.rule(x + 1, y + high, x + wide - 1, y + high, HAIR)


def _figures(
    on: Surface, head: PencilHead, right: float, y: float, room: float, high: float = _BOX_HIGH,
    *, sums: bool = False,
) -> None:
    """Boxes for the figures, ending at `right`, with the point drawn between them."""
    whole = _WHOLE.get(head.unit, 4) + (1 if sums else 0)
    boxes = whole + head.digits
    gap = 1.8 if head.digits else 0.0
    each = min(6.0, (room - gap) / boxes)
    x = right - boxes * each - gap
    for place in range(boxes):
        if place == whole:
            on.text(x + gap / 2, y + high - 0.6, ".", 14, fonts.BOLD, "centre")
            x += gap
        on.box(x, y, each, high, RULE)
        x += each


def _cautions(on: Surface, y: float) -> None:
    """Page total, then what can hurt, in two columns."""
    on.box(MARGIN, y, on.room * 0.5, 8)
    on.text(MARGIN + 1.2, y + 2.8, "Joints on this page", 6.5)
    on.box(MARGIN + on.room * 0.5, y, on.room * 0.5, 8)
    on.text(MARGIN + on.room * 0.5 + 1.2, y + 2.8, "Page total", 6.5)
    half = on.room / 2
    columns = (CAUTIONS_STRAPPING, CAUTIONS_ALWAYS)
    for place, texts in enumerate(columns):
        at = y + 9
        for text in texts:
            on.text(MARGIN + place * half, at + 2.7, "–", 6.5)
            for line in on.lines(text, half - 6, 6.5):
                at += 2.7
                on.text(MARGIN + place * half + 2.5, at, line, 6.5)


def _foot(on: Surface, head: PencilHead, page: int, pages: int) -> None:
    y = on.bottom - 6.5
    on.rule(MARGIN, y, on.right, y, HAIR)
    on.fitted(MARGIN, y + 3, f"Typed in at {head.address}" if head.address else "", on.room, 7)
    after = f"after revision {head.revision}" if head.revision else "before the first revision"
    printed = f" · printed {head.printed}" if head.printed else ""
    listed = f" · list {head.list_n}" if head.list_n else ""
    left = f"{head.site_code} · tally {head.tally_no}{listed} · {after}{printed}"
    on.fitted(MARGIN, y + 6.5, left, on.room * 0.8, 7, fonts.BOLD)
    on.text(on.right, y + 6.5, f"page {page} of {pages}", 7, fonts.BOLD, "right")
