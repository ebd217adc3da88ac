"""What the register holds of pieces that a report is held against: lengths, numbers, the last readings."""

from collections.abc import Iterable

from inspection.calc.report_register import Registered
from inspection.models.facts import in_parts
from inspection.models.inspections import Inspection, Reading
from rack.models import Component
from rack.models.blindness import is_shut
from rack.models.lying import open_length, painted_numbers

#: Reading -> field of `Registered`.
_KEPT = {("wall", "tube"): "wall_nm", ("od", "box"): "box_od_nm"}


def registered(pieces: Iterable[Component]) -> dict[int, Registered]:
    """Each piece by primary key; a length that a second strap must not see is left out."""
    ids = [piece.pk for piece in pieces]
    painted, last = painted_numbers(ids), _last(ids)
    read = _readings(last)
    found = {}
    for some in in_parts(ids):
        for piece in Component.objects.filter(pk__in=some).annotate(shut=is_shut()).select_related("spec"):
            one = last.get(piece.pk)
            found[piece.pk] = Registered(
                str(piece), piece.spec.as_facts, painted.get(piece.pk, ""), open_length(piece),
                looked=f"{one.on:%Y-%m-%d}" if one else "", **read.get(piece.pk, {}),
            )  # fmt: skip
    return found


def _last(ids: list[int]) -> dict[int, Inspection]:
    found: dict[int, Inspection] = {}
    for some in in_parts(ids):
        rows = Inspection.objects.standing().filter(component__in=some).order_by("on", "id")
        found |= {row.component_id: row for row in rows}
    return found


def _readings(last: dict[int, Inspection]) -> dict[int, dict[str, int]]:
    """The least wall and box OD of each piece's last inspection."""
    found: dict[int, dict[str, int]] = {}
    of = {one.pk: piece for piece, one in last.items()}
    for some in in_parts(of):
        rows = Reading.objects.filter(inspection__in=some, what__in=("wall", "od")).exclude(nm=None)
        for row in rows.order_by("id"):
            name = _KEPT.get((row.what, row.part))
            if name and row.nm is not None:
                there = found.setdefault(of[row.inspection_id], {})
                there[name] = min(row.nm, there.get(name, row.nm))
    return found
