"""What a string or a piece went through, written down with the pieces that were there; taken back once.

The inspection side reads it; rack only keeps it, and counts the blows of a jar.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from rack.actions.accepting import accept_problems
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces, lock_run
from rack.actions.posting import (
    Earned,
    lock_string_and_pieces,
    standing_hours,
    tell,
    turned,
    write_hours,
)
from rack.calc.checks import Problem, asks, stops
from rack.calc.happenings import HAPPENINGS, HITS, Happening, happening_of
from rack.calc.hours import rule_for
from rack.calc.running import AHEAD_S
from rack.errors import Refused
from rack.models import Component, Dogleg, Event, EventPiece, Journal, Run, Site, String, Well
from rack.models.stays import in_the_hole_at
from rack.people import check_can

#: No amount of an event is larger: pounds of pull, turns.
MOST = 10**9
#: What a well bends at most, thousandths of a degree per 100 ft.
SHARPEST = 100_000


@dataclass(frozen=True)
class EventSaid:
    """What the hand says of an event. Depth of the bit in nanometres, `amount` in `unit`."""

    kind: str
    from_at: datetime
    to_at: datetime | None = None
    string: String | None = None
    run: Run | None = None
    depth_nm: int | None = None
    amount: int | None = None
    unit: str = ""
    note: str = ""


def record_event(
    asked: Asked, site: Site, said: EventSaid, pieces: Sequence[Component] = (), reason: str = ""
) -> Event:
    """Write down what happened, with every piece in the hole at that moment and its distance from the bit.

    `pieces` names those that it happened to, where it was not the whole string; then only these.
    """
    check_can(asked.hand.user, "hours", site)
    reason = " ".join(reason.split())
    if said.kind not in HAPPENINGS:
        raise Refused([stops("Choose what happened.", code="kind", where="kind")])
    kind = happening_of(said.kind)
    named = sorted({piece.pk for piece in pieces})
    with transaction.atomic():
        body = {
            "kind": said.kind, "from": said.from_at, "to": said.to_at, "pieces": named, "note": said.note,
            "string": said.string and said.string.pk, "run": said.run and said.run.pk,
            "depth_nm": said.depth_nm, "amount": said.amount, "unit": said.unit, "reason": reason,
        }  # fmt: skip
        of = said.string or ("1 piece" if len(named) == 1 else f"{len(named)} pieces")
        line, again = open_line(asked, "event", site, f"{kind.name.capitalize()}: {of}", body)
        if again:
            return Event.objects.get(journal=line)
        if said.string:
            lock_string_and_pieces(said.string)
        locked = lock_pieces(named)
        there = in_the_hole_at(said.string, said.from_at) if said.string else []
        if named:
            at = dict(there)
            there = [(pk, at.get(pk)) for pk in named]
        problems = _problems(site, said, kind, there, locked.values(), line.at)
        accept_problems(line, said.string, problems, reason)
        run = said.run or _run_at(said)
        event = Event(
            journal=line, at=line.at, site=site, string=said.string, run=run, kind=said.kind,
            from_at=said.from_at, to_at=said.to_at, depth_nm=said.depth_nm, amount=said.amount,
            unit=said.unit, note=" ".join(said.note.split())[:200],
        )  # fmt: skip
        Event.objects.bulk_create([event])
        EventPiece.objects.bulk_create(
            EventPiece(journal=line, seq=seq, at=line.at, component_id=piece, event=event, from_bit_nm=nm)
            for seq, (piece, nm) in enumerate(there)
        )
        if said.kind in HITS and said.amount:
            _count_hits(line, event, [piece for piece, _ in there], said.amount)
        tell(line, event, [piece for piece, _ in there])
    return event


def take_back_event(asked: Asked, event: Event, reason: str) -> Event:
    """Take an event back, with what it counted."""
    check_can(asked.hand.user, "hours", event.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why it is taken back.", code="reason")])
    with transaction.atomic():
        name = HAPPENINGS[event.kind].name
        body = {"event": event.pk, "reason": reason}
        line, again = open_line(asked, "take back event", event.site, f"Took back: {name}: {reason}", body)
        if again:
            return Event.objects.get(journal=line)
        ids = list(event.pieces.values_list("component", flat=True))
        lock_pieces(ids)
        if event.reverses_id or not Event.objects.standing().filter(pk=event.pk).exists():
            raise Refused([stops("This was taken back already.", code="take back")])
        same = ("site", "string", "run", "kind", "from_at", "to_at", "depth_nm", "amount", "unit", "note")
        back = Event(journal=line, at=line.at, reverses=event,
                     **{name: getattr(event, name) for name in same})  # fmt: skip
        Event.objects.bulk_create([back])
        EventPiece.objects.bulk_create(
            EventPiece(journal=line, seq=seq, at=line.at, component_id=row.component_id, event=back,
                       from_bit_nm=row.from_bit_nm, reverses=row)
            for seq, row in enumerate(event.pieces.order_by("id"))
        )  # fmt: skip
        rows = [turned(row) for row in standing_hours(event=event)]
        write_hours(line, rows)
        tell(line, back, ids)
    return back


def add_dogleg(
    asked: Asked, well: Well, from_nm: int, to_nm: int, severity_mdeg: int, note: str = ""
) -> Dogleg:
    """Write down a stretch of a well that bends sharply; depths in nanometres, degrees per 100 ft x 1000."""
    check_can(asked.hand.user, "hours", well.site)
    problems = []
    if not 0 <= from_nm < to_nm:
        problems.append(stops("A stretch goes down: its end is deeper than its beginning.", code="depth"))
    if not 0 < severity_mdeg <= SHARPEST:
        problems.append(stops("A dogleg has more than 0 and at most 100 degrees per 100 ft.", code="dogleg"))
    if problems:
        raise Refused(problems)
    with transaction.atomic():
        body = {"well": well.pk, "from": from_nm, "to": to_nm, "mdeg": severity_mdeg, "note": note}
        line, again = open_line(asked, "dogleg", well.site, f"Wrote down a dogleg of {well}", body)
        if again:
            return Dogleg.objects.get(journal=line)
        row = Dogleg(journal=line, at=line.at, well=well, from_nm=from_nm, to_nm=to_nm,
                     severity_mdeg=severity_mdeg, note=" ".join(note.split())[:120])  # fmt: skip
        Dogleg.objects.bulk_create([row])
    return row


def take_back_dogleg(asked: Asked, dogleg: Dogleg) -> Dogleg:
    """Take a stretch back that was written down wrongly."""
    well = dogleg.well
    check_can(asked.hand.user, "hours", well.site)
    with transaction.atomic():
        line, again = open_line(
            asked, "take back dogleg", well.site, f"Took back a dogleg of {well}", {"dogleg": dogleg.pk}
        )
        if again:
            return Dogleg.objects.get(journal=line)
        Well.objects.select_for_update(no_key=True, of=("self",)).get(pk=well.pk)
        if dogleg.reverses_id or not Dogleg.objects.standing().filter(pk=dogleg.pk).exists():
            raise Refused([stops("This was taken back already.", code="take back")])
        back = Dogleg(journal=line, at=line.at, well=well, from_nm=dogleg.from_nm, to_nm=dogleg.to_nm,
                      severity_mdeg=dogleg.severity_mdeg, note=dogleg.note, reverses=dogleg)  # fmt: skip
        Dogleg.objects.bulk_create([back])
    return back


def _run_at(said: EventSaid) -> Run | None:
    """The run of the string that was on at that moment."""
    if said.string is None:
        return None
    for run in Run.objects.filter(string=said.string).order_by("-number"):
        begun = run.in_at or run.begun_by.at
        if begun <= said.from_at and (run.out_at is None or said.from_at <= run.out_at):
            return lock_run(run.pk)
    return None


def _count_hits(line: Journal, event: Event, ids: Sequence[int], hits: int) -> None:
    kinds = dict(Component.objects.filter(pk__in=ids).values_list("pk", "spec__kind"))
    jars = [pk for pk in ids if "hits_n" in rule_for(kinds[pk]).clocks]
    write_hours(line, [Earned(pk, "hits_n", hits, run=event.run_id, event=event.pk) for pk in jars])


def _problems(
    site: Site, said: EventSaid, kind: Happening, there: Sequence[tuple[int, int | None]],
    named: Iterable[Component], now: datetime,
) -> list[Problem]:  # fmt: skip
    problems: list[Problem] = []
    if said.string and said.string.site_id != site.pk:
        problems.append(stops("This string is of another site.", code="string", where="string"))
    if said.run and (said.string is None or said.run.string_id != said.string.pk):
        problems.append(stops("This run is of another string.", code="run", where="run"))
    if any(piece.site_id != site.pk for piece in named):
        problems.append(stops("A piece of another site had nothing happen to it here.", code="pieces"))
    if said.from_at > now + timedelta(seconds=AHEAD_S):
        problems.append(stops("What is still to come has not happened.", code="time", where="from_at"))
    if said.to_at and said.to_at < said.from_at:
        problems.append(stops("It ended before it began.", code="time", where="to_at"))
    if said.amount is not None and not kind.units:
        problems.append(stops(f"{kind.name.capitalize()} has no amount.", code="amount", where="amount"))
    elif said.amount is not None and (said.unit not in kind.units or not 0 <= said.amount <= MOST):
        text = f"Write the {kind.counts} as a whole number in {' or '.join(kind.units)}."
        problems.append(stops(text, code="amount", where="amount"))
    if said.kind in HITS and not said.amount:
        problems.append(asks("How many hits is not known; count them, or say why not.", code="amount"))
    if not there:
        text = "No piece was in the hole at that moment, and none is named."
        problems.append(stops(text, code="pieces", where="pieces"))
    return problems
