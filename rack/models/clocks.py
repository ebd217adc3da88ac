"""Reading the clocks of pieces: as the pure rules take them, and which piece comes due first."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date

from rack.calc import standing
from rack.calc.hours import PIECE_CLOCKS
from rack.models.pieces import Component
from rack.models.runs import Clock


def as_calc(row: Clock) -> standing.Clock:
    """A kept clock as `rack.calc.standing` takes it."""
    return standing.Clock(
        row.clock, row.basis, row.total, row.zero, known=row.known, soon=row.soon, due=row.due, over=row.over
    )


def days_of(piece: Component) -> standing.Days:
    """The dates by days that were written for a piece."""
    return standing.Days(piece.day_soon_on, piece.day_due_on, piece.day_over_on)


def marked(piece: Component, today: date) -> tuple[str, str]:
    """The shape and the word that a piece is shown with today: comparisons with what its row keeps."""
    dates = (piece.soon_on, piece.due_on, piece.over_on)
    return standing.mark(piece.holds_n, piece.scheme, dates, today)


def clocks_of(ids: Collection[int], *, using: str = "default") -> dict[int, list[Clock]]:
    """The clocks of each of these pieces, in the order of the ledger's clocks, then by mark of zero."""
    found: dict[int, list[Clock]] = defaultdict(list)
    rows = Clock.objects.using(using).filter(component__in=list(ids))
    order = {clock: n for n, clock in enumerate(PIECE_CLOCKS)}
    bases = {basis: n for n, basis in enumerate(standing.BASES)}
    for row in sorted(rows, key=lambda row: (row.component_id, order[row.clock], bases[row.basis])):
        found[row.component_id].append(row)
    return found


def totals_of(ids: Collection[int], *, using: str = "default") -> dict[tuple[int, str], int]:
    """What each clock of these pieces shows in all: the figure that a new mark of zero is set at."""
    rows = Clock.objects.using(using).filter(component__in=list(ids)).order_by("pk")
    return {(piece, clock): total for piece, clock, total in rows.values_list("component", "clock", "total")}
