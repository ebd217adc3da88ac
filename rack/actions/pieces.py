"""What people do with a piece: hold it, release it, move it, write down a name it carries."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import F

from rack.actions.files import file_row, keep_bytes
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_open_place, lock_pieces
from rack.actions.pencil import media_of
from rack.actions.places import away_from
from rack.actions.racks import accept_load
from rack.calc.checks import stops
from rack.calc.names import key_of, last_first
from rack.calc.states import ON_SITE, STATES, hand_problems
from rack.errors import Refused
from rack.models import Component, Hold, Mark, Move, Place
from rack.neighbours import tell_stayed
from rack.people import check_can


def put_hold(asked: Asked, piece: Component, reason: str, *, photo: bytes = b"", name: str = "") -> Hold:
    """Put a hold on a piece. Anybody but a viewer may; the reason is required, a `photo` may come with it."""
    check_can(asked.hand.user, "hold", piece.site)
    reason = _text(reason, "Say in a few words why the piece is held.", 200)
    body = {"component": piece.pk, "reason": reason}
    if photo:
        media = media_of(photo)
        body["photo"] = digest = keep_bytes(photo)
    with transaction.atomic():
        line, again = open_line(asked, "hold", piece.site, f"Held {piece}: {reason}", body)
        if again:
            return Hold.objects.get(journal=line)
        lock_pieces([piece.pk])
        file = file_row(line, 0, digest, name or "photo", media) if photo else None
        hold = Hold.objects.create(journal=line, at=line.at, component=piece, what="put", reason=reason,
                                   photo=file)  # fmt: skip
        Component.objects.filter(pk=piece.pk).update(holds_n=F("holds_n") + 1, version=F("version") + 1)
    return hold


def release_hold(asked: Asked, hold: Hold, reason: str) -> Hold:
    """Release one hold, with the reason. A hold is released once."""
    piece = hold.component
    check_can(asked.hand.user, "release", piece.site)
    reason = _text(reason, "Say in a few words why the hold is released.", 200)
    with transaction.atomic():
        line, again = open_line(
            asked, "release", piece.site, f"Released {piece}: {reason}", {"hold": hold.pk, "reason": reason}
        )
        if again:
            return Hold.objects.get(journal=line)
        lock_pieces([piece.pk])
        if hold.what != "put" or Hold.objects.filter(of=hold).exists():
            raise Refused([stops(f"This hold on {piece} was released already.", code="hold")])
        release = Hold.objects.create(
            journal=line, at=line.at, component=piece, what="release", of=hold, reason=reason
        )
        Component.objects.filter(pk=piece.pk).update(holds_n=F("holds_n") - 1, version=F("version") + 1)
    return release


def move_pieces(
    asked: Asked, pieces: Sequence[Component], place: Place, *, reason: str = ""
) -> list[Move]:
    """Move pieces to another place of the same site; all of them or none.

    A rack that would carry more than its own rating asks; it goes on with a reason, which is stored.
    """
    site = place.site
    reason = " ".join(reason.split())[:300]
    check_can(asked.hand.user, "move", site)
    ids = sorted(piece.pk for piece in pieces)
    with transaction.atomic():
        sentence = f"Moved {_count(len(ids))} to {place}"
        body = {"components": ids, "place": place.pk, "reason": reason}
        line, again = open_line(asked, "move", site, sentence, body)
        if again:
            return list(Move.objects.filter(journal=line).order_by("seq"))
        locked = lock_pieces(ids)
        _refuse_what_is_elsewhere(list(locked.values()), place)
        lock_open_place(place.pk)
        accept_load(line, place, list(locked.values()), reason)
        moves = Move.objects.bulk_create(
            Move(
                journal=line,
                seq=seq,
                at=line.at,
                component=piece,
                from_place_id=piece.place_id,
                to_place=place,
                from_state=piece.state,
                to_state=piece.state,
            )
            for seq, piece in enumerate(locked.values())
        )
        Component.objects.filter(pk__in=ids).update(place=place, version=F("version") + 1)
    return moves


def change_state(asked: Asked, piece: Component, state: str) -> Move:
    """Take a piece from one state to the next that the table of states allows."""
    check_can(asked.hand.user, "move", piece.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "state",
            piece.site,
            f"{piece} is now {STATES[state].name}",
            {"component": piece.pk, "state": state},
        )
        if again:
            return Move.objects.get(journal=line)
        now = lock_pieces([piece.pk])[piece.pk]
        problems = hand_problems(str(now), now.state, state)
        if problems:
            raise Refused(problems)
        # What is returned lies on no rack any more; everything else stays where it lies.
        to_place = away_from(now.site).pk if state == "returned" else now.place_id
        move = Move.objects.create(
            journal=line,
            at=line.at,
            component=now,
            from_place_id=now.place_id,
            to_place_id=to_place,
            from_state=now.state,
            to_state=state,
        )
        Component.objects.filter(pk=now.pk).update(state=state, place=to_place, version=F("version") + 1)
        tell_stayed(line, [move])
    return move


def write_mark(asked: Asked, piece: Component, what: str, text: str) -> Mark:
    """Write down a name that the piece carries; an earlier one of the same sort ends today."""
    check_can(asked.hand.user, "name", piece.site)
    text = _text(text, "Type the number or name that stands on the piece.", 60)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "mark",
            piece.site,
            f"{piece} bears {what} {text}",
            {"component": piece.pk, "what": what, "text": text},
        )
        current = Mark.objects.current().filter(component=piece, what=what)
        if again:
            first: Mark = current.get()
            return first
        lock_pieces([piece.pk])
        today = line.at.astimezone(piece.site.zone).date()
        current.update(ended=today)
        return Mark.objects.create(
            component=piece,
            what=what,
            text=text,
            text_key=key_of(text),
            text_yek=last_first(text),
            since=today,
        )


def _refuse_what_is_elsewhere(pieces: list[Component], place: Place) -> None:
    problems = [
        stops(
            f"{piece} belongs to another site and cannot be moved to {place}.", code="site", where=str(piece)
        )
        for piece in pieces
        if piece.site_id != place.site_id
    ]
    problems += [
        stops(
            f"{piece} is {STATES[piece.state].name}; only a piece that is on site can be moved.",
            code="state",
            where=str(piece),
        )
        for piece in pieces
        if piece.site_id == place.site_id and piece.state not in ON_SITE
    ]
    if problems:
        raise Refused(problems)


def _count(number: int) -> str:
    return "1 piece" if number == 1 else f"{number} pieces"


def _text(text: str, ask: str, longest: int) -> str:
    text = " ".join(text.split())
    if not text:
        raise Refused([stops(ask)])
    if len(text) > longest:
        raise Refused([stops(f"Keep it under {longest} letters; this has {len(text)}.")])
    return text
