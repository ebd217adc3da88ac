"""An arrival that was written down by mistake is taken back: its entries are reversed, once."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import F, Max

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_load, lock_pieces
from rack.calc.checks import Problem, stops
from rack.errors import Refused
from rack.models import Arrival, Component, Journal, Line, Loaded, LoadOut, Move, Place
from rack.neighbours import tell_received
from rack.people import check_can

_AT_ONCE = 500


def undo_arrival(asked: Asked, arrival: Arrival, reason: str) -> Arrival:
    """Take the newest arrival of a load back: its pieces are in transit again, and can be received anew.

    Refused, with every piece that is in the way, once something was done with one of them. Returns the
    entry that reverses the arrival.
    """
    load = arrival.loadout
    here = load.to_site or load.site
    check_can(asked.hand.user, "receive" if load.to_site else "send", here)
    reason = " ".join(reason.split())[:300]
    if not reason:
        raise Refused([stops("Say in a few words why the arrival is taken back; it stays in the book.",
                             code="reason")])  # fmt: skip
    with transaction.atomic():
        line, again = open_line(
            asked, "undo arrival", here, f"Took the arrival of {load} back: {reason}",
            {"arrival": arrival.pk, "reason": reason},
        )  # fmt: skip
        if again:
            return Arrival.objects.get(journal=line)
        moves = list(Move.objects.filter(journal=arrival.journal).order_by("seq"))
        locked = lock_pieces(move.component_id for move in moves)
        now = lock_load(load.pk)
        _refuse_older(now, arrival)
        problems = _in_the_way(moves, locked)
        if problems:
            raise Refused(problems)
        _turn_back(line, now, moves)
        tell_received(line, [move.component_id for move in moves])
        LoadOut.objects.filter(pk=now.pk).update(state="sent", version=F("version") + 1)
        return Arrival.objects.create(
            journal=line, at=line.at, loadout=now, sheet_id=arrival.sheet_id, place_id=arrival.place_id,
            came_n=arrival.came_n, complete=arrival.complete, short=arrival.short, over=arrival.over,
            remark=reason, reverses=arrival,
        )  # fmt: skip


def _refuse_older(load: LoadOut, arrival: Arrival) -> None:
    newest = Arrival.objects.standing().filter(loadout=load).order_by("-id").first()
    if newest is None or not Arrival.objects.standing().filter(pk=arrival.pk).exists():
        raise Refused([stops(f"This arrival of {load} was taken back already; nothing is stored twice.",
                             code="state")])  # fmt: skip
    if newest.pk != arrival.pk:
        raise Refused([stops(f"More of {load} has arrived since; take the newest arrival back first.",
                             code="state")])  # fmt: skip


def _in_the_way(moves: Sequence[Move], pieces: dict[int, Component]) -> list[Problem]:
    """What was done with the pieces since they arrived, each piece by name."""
    ids = list(pieces)
    newest: dict[int, int] = {}
    tallies: dict[int, str] = {}
    loads: dict[int, str] = {}
    for start in range(0, len(ids), _AT_ONCE):
        some = ids[start : start + _AT_ONCE]
        rows = Move.objects.filter(component__in=some).order_by().values("component")
        newest |= dict(rows.annotate(top=Max("id")).values_list("component", "top"))
        lines = Line.objects.standing().filter(component__in=some, tally__open=True)
        tallies |= {row.component_id or 0: str(row.tally) for row in lines.select_related("tally")}
        on = Loaded.objects.standing().filter(component__in=some, loadout__state="open")
        loads |= {row.component_id: str(row.loadout) for row in on.select_related("loadout")}
    problems = []
    for move in moves:
        piece = pieces[move.component_id]
        what = "was moved since it arrived" if newest[piece.pk] != move.pk else ""
        what = what or (f"stands on {tallies[piece.pk]}, which is open" if piece.pk in tallies else "")
        what = what or (f"is on {loads[piece.pk]}" if piece.pk in loads else "")
        if what:
            problems.append(stops(f"{piece} {what}; the arrival cannot be taken back.", code="since",
                                  where=str(piece)))  # fmt: skip
    return problems


def _turn_back(line: Journal, load: LoadOut, moves: Sequence[Move]) -> None:
    Move.objects.bulk_create(
        (
            Move(journal=line, seq=seq, at=line.at, component_id=move.component_id,
                 from_place_id=move.to_place_id, to_place_id=move.from_place_id, from_state=move.to_state,
                 to_state=move.from_state, reverses=move)
            for seq, move in enumerate(moves)
        ),
        batch_size=_AT_ONCE,
    )  # fmt: skip
    for start in range(0, len(moves), _AT_ONCE):
        some = moves[start : start + _AT_ONCE]
        for place in {move.from_place_id for move in some}:
            ids = [move.component_id for move in some if move.from_place_id == place]
            Component.objects.filter(pk__in=ids).update(
                site=load.site, place=place, state="in_transit", version=F("version") + 1
            )
    if load.to_site:
        _received_again(load, [move.component_id for move in moves])


def _received_again(load: LoadOut, ids: Sequence[int]) -> None:
    """Each piece was received at the sender's site on the day on which a move last brought it there."""
    places = list(Place.objects.filter(site=load.site).values_list("pk", flat=True))
    days: dict[int, object] = {}
    for start in range(0, len(ids), _AT_ONCE):
        some = ids[start : start + _AT_ONCE]
        rows = Move.objects.standing().filter(component__in=some, to_place__in=places)
        came = rows.exclude(from_place__in=places).order_by("id").values_list("component", "at")
        days |= {pk: at.astimezone(load.site.zone).date() for pk, at in came}
    by_day: dict[object, list[int]] = {}
    for pk, day in days.items():
        by_day.setdefault(day, []).append(pk)
    for day, found in by_day.items():
        for start in range(0, len(found), _AT_ONCE):
            Component.objects.filter(pk__in=found[start : start + _AT_ONCE]).update(received_on=day)
