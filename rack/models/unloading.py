"""What lies on the racks of a site as the choosing of joints sees it."""

from collections import defaultdict

from django.db.models import QuerySet

from rack.calc.choosing import Lying
from rack.calc.painted import in_counting_order
from rack.calc.states import ON_SITE
from rack.models.blindness import blind_again, shut
from rack.models.links import given_classes, holds_of, made_up_length
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
    return list(Spec.objects.filter(pk__in=list(ids)).order_by("kind", "-od_nm", "id"))


def lying_on_racks(site: Site, *, without: Plan | None = None) -> list[Lying]:
    """Every piece on the racks of a site, in a few questions; joints of the plan `without` are left away.

    A joint whose length nobody may see now (law 13) counts as one whose length is not known.
    """
    here = Component.objects.at(site).filter(
        state__in=ON_SITE, place__kind=PlaceKind.RACK, place__layer__gt=0
    )
    if without is not None:
        here = here.exclude(plan_lines__plan=without)
    pieces = list(here.select_related("spec", "place").order_by("serial_key", "id")[:MOST])
    ids = [piece.pk for piece in pieces]
    painted, holds, classes = painted_numbers(ids), holds_of(ids), given_classes(ids)
    again = blind_again(site)
    hidden = set(shut(here, again).values_list("pk", flat=True)) if again else set()
    elsewhere = _plans(site, without)
    tables = catalogue()
    along = _along(pieces, painted)
    rows = []
    for piece in pieces:
        place = piece.place
        assert place is not None
        length = None if piece.pk in hidden else made_up_length(piece, tables)[0]
        rows.append(Lying(
            piece.pk, str(piece), piece.spec.key, place.rack, place.layer, along[piece.pk], length,
            classes.get(piece.pk, "").lower(), holds.get(piece.pk, ()), None, elsewhere.get(piece.pk, ""),
            piece.state,
        ))  # fmt: skip
    return rows


def _along(pieces: list[Component], painted: dict[int, str]) -> dict[int, int]:
    """The place of each piece in its layer, from the catwalk side: as painted, then by serial."""
    layers: dict[int, list[Component]] = defaultdict(list)
    for piece in pieces:
        layers[piece.place_id or 0].append(piece)
    along: dict[int, int] = {}
    for row in layers.values():
        row.sort(key=lambda one: (one.pk not in painted, in_counting_order(painted.get(one.pk, ""))))
        along |= {piece.pk: n for n, piece in enumerate(row)}
    return along


def _plans(site: Site, own: Plan | None) -> dict[int, str]:
    """The other open plans that have a piece, by the piece."""
    rows = PlanLine.objects.filter(plan__site=site, plan__ended_on=None).exclude(component=None)
    if own is not None:
        rows = rows.exclude(plan=own)
    return {row.component_id or 0: str(row.plan) for row in rows.select_related("plan")}
