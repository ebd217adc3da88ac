"""What a rack may carry: asked before pieces are laid on it, answered with a reason that is stored."""

from collections.abc import Iterable, Sequence

from rack.calc.checks import Problem, Severity
from rack.calc.rackload import Lying, load_of, load_problems, weight_a_foot
from rack.calc.receiving import ReadRow
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
    return _questions(rack, [*there, *as_lying(pieces, place.layer)])


def delivery_questions(place: Place, rows: Iterable[ReadRow]) -> list[Problem]:
    """The same for the rows of a delivery list, which are no pieces yet."""
    rack = rack_of(place)
    if rack is None or rack.rated_kg is None:
        return []
    return _questions(rack, [*pressing_on(rack), *(_coming(row, place.layer) for row in rows)])


def _questions(rack: Place, lying: Sequence[Lying]) -> list[Problem]:
    return load_problems(str(rack), load_of(lying).whole, rack.rated_kg)


def _coming(row: ReadRow, layer: int) -> Lying:
    """A row of a list as it would lie on a layer; what it does not say is not in the sum and is named."""
    spec, nm = row.spec, row.length.nanometres if row.length else None
    weight = weight_a_foot(spec.kind, spec.weight_mlb_ft, spec.od_nm, spec.bore_nm) if spec else (0, "")
    return Lying(row.serial or row.painted or f"row {row.row}", layer, nm, *weight)


def accept_load(line: Journal, place: Place, pieces: Sequence[Component], reason: str) -> None:
    """Refuse pieces that overload the rack until a reason is given; then the yes is written down.

    The caller has locked the pieces and the place.
    """
    asking = asking_only(load_questions(place, pieces))
    if asking and not reason:
        raise Refused(asking)
    write_consents(line, asking, reason)


def asking_only(problems: Iterable[Problem]) -> list[Problem]:
    return [one for one in problems if one.severity is Severity.ASKS]


def write_consents(line: Journal, asking: Iterable[Problem], reason: str) -> None:
    """Write down the yes to what a rack asked, with its reason."""
    Consent.objects.bulk_create(
        Consent(journal=line, seq=seq, at=line.at, check_code=one.code, reason=reason)
        for seq, one in enumerate(asking)
    )


def _lies_on(piece: Component, rack: Place) -> bool:
    place = piece.place
    return place is not None and place.site_id == rack.site_id and place.rack == rack.rack
