"""What the limits of pieces say to whoever makes up a string: fine, soon, due or over, and by whose word."""

from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

from django.db.models import Min, Q
from django.utils import timezone

from rack.calc.hours import CLOCK_NAMES
from rack.calc.rules import Clock as HoursLimit
from rack.calc.standing import OVERDUE, state_on
from rack.models.clocks import as_calc
from rack.models.pieces import Component
from rack.models.runs import Clock

#: So many primary keys are bound in one question.
_AT_ONCE = 500
#: Clocks that run in hours; planned hours are held against each of them, which is the safe side.
HOUR_CLOCKS = tuple(name for name in CLOCK_NAMES if name.endswith("_s"))
_OURS = ("", "default")


def due_of(piece: Component, today: date) -> str:
    """ "fine", "soon", "due" or "over" on a day of the piece's site; "" where nobody ever judged it."""
    if not piece.scheme:
        return ""
    found = state_on(piece.soon_on, piece.due_on, piece.over_on, today)
    return "over" if found == OVERDUE else found


def due_and_whose(pieces: Iterable[Component]) -> dict[int, tuple[str, str]]:
    """What each of these pieces is today at its site, and whose limit that is; one question for the clocks.

    The pieces come with their sites. A limit of ours is "default"; where one of law, maker, contract or
    company is passed as well, that one is named.
    """
    now = timezone.now()
    rows = list(pieces)
    days = {piece.site_id: now.astimezone(piece.site.zone).date() for piece in rows}
    found = {piece.pk: due_of(piece, days[piece.site_id]) for piece in rows}
    hard = _hard_clocks([pk for pk, due in found.items() if due in ("due", "over")])
    whose = {}
    for piece in rows:
        due = found[piece.pk]
        by = hard.get((piece.pk, due), "default") if due else ""
        if due == "over" and piece.day_hard_on <= days[piece.site_id]:
            by = piece.day_hard_by
        whose[piece.pk] = due, by
    return whose


def _hard_clocks(ids: Collection[int]) -> dict[tuple[int, str], str]:
    """Whose clock is out, by piece and by whether it is due or over; those of ours are left away."""
    found: dict[tuple[int, str], str] = {}
    for some in _some(ids):
        rows = Clock.objects.filter(component__in=some, left__lte=0).exclude(due=None)
        for row in rows.filter(~Q(by__in=_OURS) | ~Q(hard=None)).order_by("pk"):
            if row.by not in _OURS:
                found.setdefault((row.component_id, "due"), row.by)
            if row.hard is not None and row.total - row.zero >= row.hard:
                found.setdefault((row.component_id, "over"), row.hard_by)
    return found


def hour_limits(ids: Collection[int]) -> dict[int, tuple[HoursLimit, ...]] | None:
    """The clocks in hours that have a limit, by piece, as the rules take them; None while nobody sets any."""
    found: dict[int, tuple[HoursLimit, ...]] = {}
    for some in _some(ids):
        rows = Clock.objects.filter(component__in=some, clock__in=HOUR_CLOCKS).exclude(due=None)
        for row in rows.order_by("component", "clock", "basis"):
            one = as_calc(row)
            used = one.run / 3600 if one.known else None
            limit = HoursLimit(CLOCK_NAMES[row.clock], used, (row.due or 0) / 3600, row.by or "default")
            found[row.component_id] = (*found.get(row.component_id, ()), limit)
    return found or None


def hours_left(pieces: Any) -> dict[int, int]:
    """The whole hours until the first clock in hours of each of these pieces is due, in one question.

    `pieces` is a QuerySet; a piece without such a limit is left away. Unknown history has nothing left.
    """
    rows = Clock.objects.filter(component__in=pieces.order_by().values("pk"), clock__in=HOUR_CLOCKS)
    least = rows.exclude(due=None).order_by().values("component").annotate(least=Min("left"))
    return {pk: left // 3600 for pk, left in least.values_list("component", "least")}


def _some(ids: Collection[int]) -> list[list[int]]:
    rows = sorted(ids)
    return [rows[at : at + _AT_ONCE] for at in range(0, len(rows), _AT_ONCE)]
