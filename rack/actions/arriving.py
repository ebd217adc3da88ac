"""A load arrives: at another site of ours, where its pieces are laid on a rack, or at a place outside."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_load, lock_open_place, lock_pieces
from rack.actions.places import away_from
from rack.actions.racks import accept_load
from rack.calc.checks import stops
from rack.calc.loadlist import ARRIVES_AS, LoadContent, LoadLine, short_and_over
from rack.errors import Refused
from rack.models import Arrival, Component, Journal, LoadOut, LoadSheet, Move, Place
from rack.neighbours import tell_received
from rack.people import check_can


@dataclass(frozen=True)
class Came:
    """What was counted at the other end: everything, or what was ticked and what was typed.

    `names` are serials, tags or painted numbers as typed; a name that is not on the list is over.
    """

    place: Place | None = None
    everything: bool = False
    tags: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    remark: str = ""
    reason: str = ""


def arrive(asked: Asked, load: LoadOut, came: Came) -> Arrival:
    """Write down what arrived. What is short stays in transit; what is over is named and not moved."""
    here = load.to_site or load.site
    check_can(asked.hand.user, "receive" if load.to_site else "send", here)
    with transaction.atomic():
        line, again = open_line(
            asked, "arrive", here, f"{load} from {load.site} arrived at {load.destination}", _body(load, came)
        )
        if again:
            return Arrival.objects.get(journal=line)
        sheet = LoadSheet.objects.standing().filter(loadout=load).first()
        if sheet is None:
            raise Refused([stops(f"{load} has not been sent, or was taken back.", code="state")])
        content = LoadContent.from_text(sheet.content)
        locked = lock_pieces(Move.objects.filter(journal=sheet.journal).values_list("component", flat=True))
        now = _on_its_way(lock_load(load.pk), sheet)
        waiting = [piece for piece in locked.values() if _waits(piece, now)]
        tags = {piece.tag for piece in waiting}
        expected = [each for each in content.lines if each.tag in tags]
        short, over, twice = _counted(expected, came)
        _refuse_names(twice, expected, short, over)
        gone = {each.tag for each in short}
        pieces = [piece for piece in waiting if piece.tag not in gone]
        place = _place(now, came)
        _lay_down(line, now, pieces, place, came.reason)
        LoadOut.objects.filter(pk=now.pk).update(
            state="sent" if short else "arrived", version=F("version") + 1
        )
        arrival = Arrival.objects.create(
            journal=line, at=line.at, loadout=now, sheet=sheet, place=place, came_n=len(pieces),
            complete=not short, remark=" ".join(came.remark.split())[:300],
            short=json.dumps([each.tag for each in short]), over=json.dumps(list(over), ensure_ascii=False),
        )  # fmt: skip
        if now.to_site:
            tell_received(line, [piece.pk for piece in pieces])
        return arrival


def _body(load: LoadOut, came: Came) -> dict[str, object]:
    return {
        "load": load.pk, "place": came.place and came.place.pk, "everything": came.everything,
        "tags": list(came.tags), "names": list(came.names), "remark": came.remark, "reason": came.reason,
    }  # fmt: skip


def _on_its_way(load: LoadOut, sheet: LoadSheet) -> LoadOut:
    if load.state != "sent" or LoadSheet.objects.filter(reverses=sheet).exists():
        words = "has arrived already" if load.state == "arrived" else "was taken back"
        raise Refused([stops(f"{load} {words}; nothing is stored twice.", code="state")])
    return load


def _waits(piece: Component, load: LoadOut) -> bool:
    return piece.state == "in_transit" and piece.site_id == load.site_id


def _counted(
    expected: Sequence[LoadLine], came: Came
) -> tuple[tuple[LoadLine, ...], tuple[str, ...], tuple[str, ...]]:
    """Short, over and twice; when everything came, the names that were typed can only be over."""
    ticked = [line.tag for line in expected] if came.everything else [tag.upper() for tag in came.tags]
    short, over, twice = short_and_over(expected, came.names, ticked)
    return short, over, () if came.everything else twice


def _refuse_names(
    twice: Sequence[str], expected: Sequence[LoadLine], short: Sequence[LoadLine], over: Sequence[str]
) -> None:
    problems = [stops(f"{name} is named twice.", code="twice", where=name) for name in twice]
    if len(short) == len(expected) and not over:
        problems.append(stops("Nothing is ticked and nothing is typed; say what came.", code="empty"))
    if any(len(name) > 60 for name in over):
        problems.append(stops("A name has at most 60 letters; type one piece a line.", code="name"))
    if problems:
        raise Refused(problems)


def _place(load: LoadOut, came: Came) -> Place | None:
    """Where the pieces are laid: a layer of the site they came to; nothing of ours outside."""
    if load.to_site is None:
        return None
    place = came.place
    if place is None or place.site_id != load.to_site_id or place.kind == "away":
        raise Refused([stops("Say on which layer the pieces are laid.", code="place")])
    return lock_open_place(place.pk)


def _lay_down(
    line: Journal, load: LoadOut, pieces: Sequence[Component], place: Place | None, reason: str
) -> None:
    to_state = ARRIVES_AS[load.why]
    if place is not None:
        accept_load(line, place, pieces, " ".join(reason.split())[:300])
    to_place = place or away_from(load.site)
    Move.objects.bulk_create(
        (
            Move(journal=line, seq=seq, at=line.at, component=piece, from_place_id=piece.place_id,
                 to_place=to_place, from_state=piece.state, to_state=to_state)
            for seq, piece in enumerate(pieces)
        ),
        batch_size=500,
    )  # fmt: skip
    kept: dict[str, object] = {"state": to_state, "place": to_place, "version": F("version") + 1}
    if load.to_site:
        kept |= {"site": load.to_site, "received_on": line.at.astimezone(load.to_site.zone).date()}
    for ids in _some(piece.pk for piece in pieces):
        Component.objects.filter(pk__in=ids).update(**kept)


def _some(ids: Iterable[int]) -> list[list[int]]:
    listed = list(ids)
    return [listed[start : start + 500] for start in range(0, len(listed), 500)]
