"""A joint is made ready in the mousehole: it stands beside the rotary and goes in next."""

from django.db import transaction
from django.db.models import F

from rack.actions.entering import hold_questions
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_open_place, lock_pieces
from rack.actions.places import mousehole_of
from rack.actions.racks import asking_only, write_consents
from rack.calc.checks import Problem, asks, stops
from rack.calc.states import ON_SITE, STATES
from rack.errors import Refused
from rack.models import Component, Move, Site
from rack.people import check_can

#: A stand of four is the most that is made up ahead.
MOST = 4


def make_ready(asked: Asked, site: Site, piece: Component, *, reason: str = "") -> Move:
    """Move a piece from where it lies to the mousehole; a held one only with the reason."""
    check_can(asked.hand.user, "run", site)
    reason = " ".join(reason.split())[:300]
    with transaction.atomic():
        body = {"component": piece.pk, "reason": reason}
        line, again = open_line(asked, "make ready", site, f"Made {piece} ready in the mousehole", body)
        if again:
            return Move.objects.get(journal=line)
        locked = lock_pieces([piece.pk])[piece.pk]
        place = mousehole_of(site)
        lock_open_place(place.pk)
        problems = _problems(site, locked, place.pk)
        if any(one not in asking_only(problems) for one in problems) or (problems and not reason):
            raise Refused(problems)
        write_consents(line, problems, reason)
        move = Move.objects.create(
            journal=line, at=line.at, component=locked, from_place_id=locked.place_id, to_place=place,
            from_state=locked.state, to_state=locked.state,
        )  # fmt: skip
        Component.objects.filter(pk=locked.pk).update(place=place, version=F("version") + 1)
    return move


def _problems(site: Site, piece: Component, mousehole: int) -> list[Problem]:
    found = [
        asks(f"{words} Say why it is made ready all the same.", code="R16", where=str(piece),
             source="common practice")
        for _, words in hold_questions([piece])
    ]  # fmt: skip
    if piece.site_id != site.pk:
        found.append(stops(f"{piece} belongs to another site.", code="site", where=str(piece)))
    elif piece.state not in ON_SITE:
        text = f"{piece} is {STATES[piece.state].name}; only a piece that lies here is made ready."
        found.append(stops(text, code="state", where=str(piece)))
    elif piece.place_id == mousehole:
        found.append(stops(f"{piece} stands in the mousehole already.", code="state", where=str(piece)))
    there = Component.objects.filter(place=mousehole, state__in=ON_SITE).count()
    if there >= MOST:
        text = f"{there} joints stand in the mousehole; run one of them or lay it back first."
        found.append(stops(text, code="mousehole"))
    return found
