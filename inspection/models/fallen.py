"""What fell: inspections after which a piece holds a worse class than before, why, and what planned it."""

from dataclasses import dataclass
from datetime import date

from django.db.models import prefetch_related_objects

from inspection.calc.criteria import scheme
from inspection.models.booking import planned_in
from inspection.models.inspections import Inspection
from inspection.models.judged import verdict_of
from rack.models import Component, PlanLine, Site

#: So many inspections are looked through at once, the newest.
MOST = 2000


@dataclass(frozen=True)
class Fall:
    """A piece that fell, from class to class, why, and the open plans that name it."""

    inspection: Inspection
    now: str
    why: str
    plans: tuple[PlanLine, ...]

    @property
    def piece(self) -> Component:
        return self.inspection.component

    @property
    def lost_to(self) -> str:
        """The planned strings that have lost it, in words."""
        return ", ".join(dict.fromkeys(str(line.plan) for line in self.plans))


def fallen(site: Site, since: date, job: int | None = None) -> list[Fall]:
    """What fell at a site since a day, the newest first; of one job where its primary key is given."""
    rows = Inspection.objects.standing().filter(component__site=site, on__gte=since)
    if job is not None:
        rows = rows.filter(job=job)
    related = ("component__spec", "component__place", "job", "inspector")
    found = [row for row in rows.select_related(*related).newest_first()[:MOST] if fell(row)]
    prefetch_related_objects(found, "readings", "methods")
    plans = planned_in([row.component_id for row in found])
    return [
        Fall(row, row.class_held or row.tube_class or row.joint_class, _why(row),
             tuple(plans.get(row.component_id, ())))
        for row in found
    ]  # fmt: skip


def fell(row: Inspection) -> bool:
    """Whether a piece came out of an inspection with a worse class than it went in with, or unfit for use."""
    one = scheme(row.scheme)
    now = one.worst((row.class_held, row.tube_class, row.joint_class))
    if not now:
        return False
    if row.class_before in one.names:
        return one.is_worse(now, row.class_before) and not _is_first_use(row.class_before, now)
    return not one.step(now).use


def _is_first_use(before: str, now: str) -> bool:
    """New pipe that comes back as premium has not fallen: it was used."""
    return before == "Class 1" and now == "Premium"


def _why(row: Inspection) -> str:
    """The check that made the class, else the inspector's word."""
    deciding = verdict_of(row).deciding
    if deciding and (row.class_computed or row.differs):
        return deciding.words
    return f"given {row.class_given}" if row.class_given else row.remarks
