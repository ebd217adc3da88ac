"""What pieces that go back to their owner ran while they were here, and what happened to them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, Q, Sum
from django.db.models.functions import Coalesce

from rack.calc.hours import policy_for, rule_for
from rack.calc.return_note import LineClock, event_words
from rack.models.clocks import clocks_of
from rack.models.deliveries import Delivered
from rack.models.pieces import Component
from rack.models.runs import Clock, EventPiece, Hours, Run
from rack.models.stays import policy_of

_AT_ONCE = 500
#: (least, whether that is all) by piece and clock.
_Sums = dict[tuple[int, str], tuple[int, bool]]


@dataclass(frozen=True)
class Hire:
    """What one piece ran and what happened to it: for the return note."""

    clocks: tuple[LineClock, ...] = ()
    credited: tuple[str, ...] = ()
    events: tuple[str, ...] = ()


def hires_of(pieces: Sequence[Component], zone: ZoneInfo) -> dict[int, Hire]:
    """The hire of each of these pieces; days of events by the clock of `zone`."""
    found: dict[int, Hire] = {}
    for start in range(0, len(pieces), _AT_ONCE):
        some = pieces[start : start + _AT_ONCE]
        ids = [piece.pk for piece in some]
        came = _came(ids)
        ran, all_ran = _sums(ids, came), _sums(ids, {})
        clocks, credited, events = clocks_of(ids), _credited(some), _events(ids, came, zone)
        for piece in some:
            kept = {(row.clock, row.basis): row for row in clocks.get(piece.pk, ())}
            rows = tuple(
                _clock(piece.pk, clock, kept, ran, all_ran) for clock in rule_for(piece.spec.kind).clocks
            )
            found[piece.pk] = Hire(rows, credited.get(piece.pk, ()), tuple(events.get(piece.pk, ())))
    return found


def _clock(
    piece: int, clock: str, kept: dict[tuple[str, str], Clock], ran: _Sums, all_ran: _Sums
) -> LineClock:
    """One clock: by its marks of zero where there are any, else by what the ledger has of the piece."""
    hire, life = kept.get((clock, "rental")), kept.get((clock, "new"))
    run, known = ran.get((piece, clock), (0, True))
    if hire and hire.zero_known:  # a mark that nobody knows says less than the ledger does
        run, known = hire.total - hire.zero, hire.known
    if life:
        return LineClock(clock, run, known, life.total - life.zero, life.known)
    # Nobody said what it had run before it came: what is in the ledger is the least.
    least, _ = all_ran.get((piece, clock), (0, True))
    return LineClock(clock, run, known, max(least, run), False)


def _came(ids: Sequence[int]) -> dict[int, datetime]:
    """When each piece came by its newest list; a piece that came by none is hired since ever."""
    rows = Delivered.objects.filter(component__in=ids, fate="accepted").order_by()
    return dict(rows.values("component").annotate(came=Max("at")).values_list("component", "came"))


def _sums(ids: Sequence[int], since: dict[int, datetime]) -> _Sums:
    """What the ledger has of each piece by clock, since it came; a row that is not known makes it a least."""
    rows = Hours.objects.standing().filter(component__in=ids).order_by()
    if since:
        later = Q(pk__in=[])
        by_moment: dict[datetime, list[int]] = defaultdict(list)
        for piece, at in since.items():
            by_moment[at].append(piece)
        for at, some in by_moment.items():
            later |= Q(component__in=some, at__gte=at)
        rows = rows.filter(later | ~Q(component__in=list(since)))
    added = rows.values("component", "clock").annotate(
        least=Coalesce(Sum("amount"), 0), gaps=Count("pk", filter=Q(amount=None))
    )
    return {(row["component"], row["clock"]): (row["least"], not row["gaps"]) for row in added}


def _credited(pieces: Sequence[Component]) -> dict[int, tuple[str, ...]]:
    """By which policies the hours of each piece were credited, over all its runs."""
    kinds = {piece.pk: piece.spec.kind for piece in pieces}
    rows = Hours.objects.standing().filter(component__in=list(kinds), leg__isnull=False).order_by()
    pairs = set(rows.values_list("component", "run").distinct())
    runs = Run.objects.in_bulk({run for _, run in pairs})
    found: dict[int, set[str]] = defaultdict(set)
    for piece, run in pairs:
        found[piece].add(policy_for(kinds[piece], policy_of(runs[run])))
    return {piece: tuple(sorted(policies)) for piece, policies in found.items()}


def _events(ids: Sequence[int], came: dict[int, datetime], zone: ZoneInfo) -> dict[int, list[str]]:
    rows = EventPiece.objects.standing().filter(component__in=ids)
    found: dict[int, list[str]] = defaultdict(list)
    for row in rows.select_related("event__run").order_by("event__from_at", "id"):
        event = row.event
        if row.component_id in came and event.at < came[row.component_id]:
            continue  # of an earlier hire
        day = event.from_at.astimezone(zone).date().isoformat()
        run = str(event.run) if event.run else ""
        found[row.component_id].append(
            event_words(day, event.kind, event.amount, event.unit, run=run, note=event.note)
        )
    return found
