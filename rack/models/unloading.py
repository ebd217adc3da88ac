"""What lies on the racks of a site as the choosing of joints sees it."""

from collections import defaultdict
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from rack.calc.choosing import Lying
from rack.calc.painted import in_counting_order
from rack.calc.states import ON_SITE
from rack.models.blindness import blind_again, shut
from rack.models.due_facts import due_of, hours_left
from rack.models.links import given_classes, holds_of, made_up
from rack.models.lying import painted_numbers
from rack.models.people import Site
from rack.models.pieces import Component, Spec
from rack.models.places import PlaceKind
from rack.models.plans import Plan, PlanLine
from rack.models.reference import catalogue

MOST = 20_000
#: Kinds that a string is reached with.
PIPE = ("drill_pipe", "heavy_weight", "collar", "tubing")


def specs_here(site: Site) -> QuerySet[Spec]:
    """The specifications of which there is a piece at a site."""
    ids = Component.objects.at(site).order_by().values("spec").distinct()
    return Spec.objects.filter(pk__in=ids).order_by("kind", "od_nm", "id")


def lots_on(site: Site) -> list[Spec]:
    """The specifications of pipe of which something lies on the racks of a site."""
    here = Component.objects.at(site).filter(state__in=ON_SITE, place__kind=PlaceKind.RACK)
    ids = here.filter(spec__kind__in=PIPE).order_by().values_list("spec", flat=True).distinct()
    rows = Spec.objects.filter(pk__in=list(ids)).order_by("-od_nm", "id")
    return sorted(rows, key=lambda one: PIPE.index(one.kind))


def lying_on_racks(site: Site, *, without: Plan | None = None) -> list[Lying]:
    """Every piece on the racks of a site, in a few questions; joints of the plan `without` are left away.

    A joint whose length nobody may see now (law 13) counts as one whose length is not known.
    """
    here = Component.objects.at(site).filter(
        state__in=ON_SITE, place__kind=PlaceKind.RACK, place__layer__gt=0
    )
    if without is not None:
        here = here.exclude(plan_lines__plan=without)
    columns = ("pk", "serial", "tag", "spec__key", "place", "place__rack", "place__layer", "length_nm",
               "length_kind", "state", "scheme", "pipe_class", "soon_on", "due_on", "over_on",
               "due_why")  # fmt: skip
    pieces = list(here.order_by("serial_key", "id").values_list(*columns, named=True)[:MOST])
    ids = [piece.pk for piece in pieces]
    painted, holds, left = painted_numbers(ids), holds_of(ids), hours_left(here)
    classes = given_classes([piece.pk for piece in pieces if not piece.scheme])
    today = timezone.now().astimezone(site.zone).date()
    again = blind_again(site)
    hidden = set(shut(here, again).values_list("pk", flat=True)) if again else set()
    elsewhere = PlanLine.objects.of_other_plans(site, without)
    tables = catalogue()
    along = _along(pieces, painted)
    return [
        Lying(
            piece.pk, piece.serial or f"no serial, tag {piece.tag}", piece.spec__key, piece.place__rack,
            piece.place__layer, along[piece.pk],
            None if piece.pk in hidden
            else made_up(piece.length_nm, piece.length_kind, piece.spec__key, tables)[0],
            classes.get(piece.pk, piece.pipe_class).lower(), holds.get(piece.pk, ()), left.get(piece.pk),
            elsewhere.get(piece.pk, ""), piece.state, piece.due_why,
            overdue=due_of(piece, today) == "over",
        )
        for piece in pieces
    ]  # fmt: skip


def _along(pieces: list[Any], painted: dict[int, str]) -> dict[int, int]:
    """The place of each piece in its layer, from the catwalk side: as painted, then by serial."""
    layers: dict[int, list[int]] = defaultdict(list)
    for piece in pieces:
        layers[piece.place].append(piece.pk)
    along: dict[int, int] = {}
    for row in layers.values():
        row.sort(key=lambda pk: (pk not in painted, in_counting_order(painted.get(pk, ""))))
        along |= {pk: n for n, pk in enumerate(row)}
    return along
