"""One list of the due board as it is shown: the choices, the counts, and its rows in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone

from inspection.calc.reasons import why_shown
from inspection.forms.due import DueForm
from inspection.models.due import LISTS, board, counted
from inspection.models.facts import in_parts
from rack.calc.standing import DUE, EVER, FINE, NEVER, OVERDUE, state_on
from rack.desk import site_of
from rack.models import Clock, Component
from rack.models.clocks import as_calc, clocks_of, marked
from rack.models.lying import painted_numbers


@dataclass(frozen=True)
class Row:
    """A piece on a list: how it stands, since or until when, and why."""

    piece: Component
    painted: str
    shape: str
    word: str
    when: str
    why: str


class Board:
    """What a request asks of the board; `today` is the day at the site."""

    def __init__(self, request: HttpRequest) -> None:
        self.site = site_of(request)
        self.today = timezone.localdate(timezone=self.site.zone)
        self.form = DueForm(request.GET, site=self.site, today=self.today)
        self.ahead = self.form.ahead
        self.lists: dict[str, QuerySet[Component]] = board(self.form.narrow(), self.today, self.ahead)

    @cached_property
    def counts(self) -> dict[str, int]:
        """How many each list holds."""
        return counted(self.site, self.lists, self.form.narrow(whole=True))

    @cached_property
    def name(self) -> str:
        """The list that was asked for, else the worst that holds anything."""
        asked = self.form.said("list")
        if asked in self.lists:
            return str(asked)
        return next((name for name in ("overdue", "due", "before", "soon") if self.counts.get(name)), "fine")

    @property
    def word(self) -> str:
        return LISTS[self.name][0]

    @property
    def key(self) -> str:
        """The column by which the list is read."""
        return LISTS[self.name][1]

    @property
    def rows(self) -> QuerySet[Component]:
        """The list itself, not in any order yet."""
        return self.lists[self.name].select_related("spec", "place")

    def shown(self, pieces: Sequence[Component]) -> list[Row]:
        """These pieces in words, with what their clocks say: two questions for each five hundred."""
        rows: list[Row] = []
        by_pk = {piece.pk: piece for piece in pieces}
        clocks: dict[int, list[Clock]] = {}
        painted: dict[int, str] = {}
        for some in in_parts(by_pk):
            clocks |= clocks_of(some)
            painted |= painted_numbers(some)
        for piece in pieces:
            state = state_on(piece.soon_on, piece.due_on, piece.over_on, self.today)
            by_clock = {OVERDUE: piece.over_on, DUE: piece.due_on}.get(state, piece.soon_on) == EVER
            own = [as_calc(row) for row in clocks.get(piece.pk, ())]
            why = why_shown(
                piece.due_why, own, by_clock=by_clock, unit=self.site.length_unit, digits=self.site.digits
            )
            shape, word = marked(piece, self.today)
            text = word if shape != "held" or state == FINE else f"held, {state}"
            rows.append(Row(piece, painted.get(piece.pk, ""), shape, text, _when(piece, state), why))
        return rows


def _when(piece: Component, state: str) -> str:
    """Since when or until when, by the date that counts for how it stands."""
    day: date = piece.over_on if state == OVERDUE else piece.due_on
    if day == EVER:
        return "already"
    return "no date" if day == NEVER else day.isoformat()
