"""What a job is proposed of, and how its pieces stand: read in the order in which the racks are walked."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from inspection.models.jobs import Job, JobPiece
from rack.calc.painted import in_counting_order
from rack.models import Component, Place, PlanLine, Site
from rack.models.lying import painted_numbers

#: States in which a piece can be looked at where it is.
BOOKABLE = ("received", "accepted", "at_inspection", "in_repair", "in_derrick")
#: So many are proposed at once.
MOST = 400


@dataclass(frozen=True)
class JobRow:
    """A piece of a job, its painted number, and what became of it: "waiting", "done", "not done"."""

    row: JobPiece
    painted: str
    stands: str
    words: str

    @property
    def piece(self) -> Component:
        return self.row.component


def proposed(
    site: Site, until: date, *, kind: str = "", place: Place | None = None
) -> "QuerySet[Component]":
    """The pieces of a site that are due by a day and wait on no open job, in the order of their due day."""
    rows = Component.objects.at(site).filter(due_on__lte=until, state__in=BOOKABLE)
    rows = rows.exclude(pk__in=JobPiece.objects.waiting().values("component"))
    if kind:
        rows = rows.filter(spec__kind=kind)
    if place:
        rows = rows.filter(place=place)
    return rows.select_related("spec", "place").order_by("due_on", "id")


def rows_of(job: Job) -> list[JobRow]:
    """The pieces of a job by rack, layer, painted number: the order in which they are walked to."""
    rows = list(job.pieces.select_related("component__spec", "component__place", "inspection").order_by("pk"))
    painted = painted_numbers([row.component_id for row in rows])

    def walk(row: JobPiece) -> tuple[object, ...]:
        place, mark = row.component.place, painted.get(row.component_id, "")
        top_first = -(place.layer or 0) if place else 0
        return (place.rack if place else "~", top_first, not mark, in_counting_order(mark),
                row.component.serial_key, row.pk)  # fmt: skip

    rows.sort(key=walk)
    return [JobRow(row, painted.get(row.component_id, ""), *_stands(row)) for row in rows]


def _stands(row: JobPiece) -> tuple[str, str]:
    if row.inspection:
        held = row.inspection.class_held or "no class"
        return "done", f"{held}, {row.inspection.on:%Y-%m-%d}"
    if row.reason:
        return "not done", row.reason
    return "waiting", "waits for the inspector"


def places_of(site: Site) -> "QuerySet[Place]":
    """The places of a site where something lies that may be looked at."""
    ids = Component.objects.at(site).filter(state__in=BOOKABLE).order_by().values("place").distinct()
    return Place.objects.filter(pk__in=ids, ended_on=None).order_by("path")


def planned_in(ids: list[int]) -> dict[int, list[PlanLine]]:
    """The lines of open plans that name each of these pieces."""
    found: dict[int, list[PlanLine]] = {}
    rows = PlanLine.objects.filter(Q(plan__ended_on=None), component__in=ids).select_related("plan")
    for line in rows.order_by("plan__number", "id"):
        found.setdefault(line.component_id or 0, []).append(line)
    return found
