"""Which lengths are shut away while a tally that was closed before is strapped blind again (law 13)."""

from django.db.models import Exists, OuterRef, QuerySet

from rack.models.people import Site
from rack.models.pieces import Component
from rack.models.tallies import Line, Tally


def blind_again(site: Site) -> list[int]:
    """Tallies of the site that gave their pieces a length once and are strapped blind now; usually none."""
    return list(Tally.objects.at(site).blind().filter(revision__gt=0).values_list("pk", flat=True))


def shut(pieces: "QuerySet[Component]", tallies: list[int]) -> "QuerySet[Component]":
    """Those of the pieces whose length was settled by one of these tallies."""
    return pieces.filter(length_by__line__tally__in=tallies) if tallies else pieces.none()


def is_shut() -> Exists:
    """Whether a piece is one of those, by its own row: for who asks for one piece and not for a list."""
    again = Tally.objects.blind().filter(revision__gt=0)
    return Exists(Line.objects.filter(pk=OuterRef("length_by__line"), tally__in=again))
