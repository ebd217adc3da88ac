"""What a rack may carry: asked before pieces are laid on it, answered with a reason that is stored."""

from collections.abc import Sequence

from rack.calc.checks import Problem, Severity
from rack.calc.rackload import load_of, load_problems
from rack.errors import Refused
from rack.models import Component, Consent, Journal, Place
from rack.models.lying import as_lying, pressing_on, rack_of


def load_questions(place: Place, pieces: Sequence[Component]) -> list[Problem]:
    """What the rack of `place` says when these pieces are laid there too; () off the racks and unrated.

    A layer to layer move on one rack changes nothing of its load and is never asked about.
    """
    rack = rack_of(place)
    if rack is None or rack.rated_kg is None or all(_lies_on(piece, rack) for piece in pieces):
        return []
    there = pressing_on(rack, without=[piece.pk for piece in pieces])
    whole = load_of([*there, *as_lying(pieces, place.layer)]).whole
    return load_problems(str(rack), whole, rack.rated_kg)


def accept_load(line: Journal, place: Place, pieces: Sequence[Component], reason: str) -> None:
    """Refuse pieces that overload the rack until a reason is given; then the yes is written down.

    The caller has locked the pieces and the place.
    """
    asking = [one for one in load_questions(place, pieces) if one.severity is Severity.ASKS]
    if asking and not reason:
        raise Refused(asking)
    Consent.objects.bulk_create(
        Consent(journal=line, seq=seq, at=line.at, check_code=one.code, reason=reason)
        for seq, one in enumerate(asking)
    )


def _lies_on(piece: Component, rack: Place) -> bool:
    place = piece.place
    return place is not None and place.site_id == rack.site_id and place.rack == rack.rack
