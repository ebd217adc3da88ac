"""The lot that a report is of: a job, a delivery, a place or a specification, and what its rows may mean."""

from collections import Counter
from collections.abc import Iterable, Sequence

from django.db.models import QuerySet

from inspection.calc.report_names import is_unreadable
from inspection.calc.report_ties import Candidate
from inspection.calc.report_typed import TypedJoint
from inspection.models.booking import BOOKABLE
from inspection.models.facts import in_parts
from inspection.models.inspections import Inspection
from inspection.models.jobs import Job
from rack.calc.names import key_of
from rack.calc.tags import read_code
from rack.models import Component, Delivery, Mark, MarkKind, Place, Site, Spec
from rack.models.lying import painted_numbers

#: A lot of a report has no more pieces.
MOST = 3000
_OFFERED = 40


def lot_choices(site: Site) -> list[tuple[str, list[tuple[str, str]]]]:
    """What a report may be of, by kind of lot, the newest first."""
    jobs = Job.objects.at(site).order_by("-id")[:_OFFERED]
    deliveries = Delivery.objects.filter(site=site).select_related("file").order_by("-id")[:_OFFERED]
    here = Component.objects.at(site).filter(state__in=BOOKABLE).order_by()
    places = Place.objects.filter(pk__in=here.values("place").distinct()).order_by("path")
    specs = Spec.objects.filter(pk__in=here.values("spec").distinct()).order_by("kind", "od_nm", "id")
    return [
        ("Jobs", [(f"job:{one.pk}", f"{str(one).capitalize()}, {one.on:%Y-%m-%d}") for one in jobs]),
        ("Deliveries", [(f"delivery:{one.pk}", f"{one.file}, {one.at:%Y-%m-%d}") for one in deliveries]),
        ("Where it lies", [(f"place:{one.pk}", str(one)) for one in places[: 5 * _OFFERED]]),
        ("All of one item", [(f"spec:{one.pk}", str(one)) for one in specs[: 5 * _OFFERED]]),
    ]


def pieces_of(site: Site, lot: str) -> "QuerySet[Component]":
    """The pieces of a lot by its short name ("job:12"); none for a name that means nothing here."""
    what, _, number = lot.partition(":")
    rows = Component.objects.at(site)
    by = {"job": "jobs__job", "delivery": "delivered_rows__delivery", "place": "place", "spec": "spec"}
    if what not in by or not number.isdecimal() or len(number) > 15:
        return rows.none()
    return rows.filter(**{by[what]: int(number)}).distinct().order_by("serial_key", "id")


def job_of(site: Site, lot: str) -> Job | None:
    """The open job that a lot is, None for any other lot."""
    what, _, number = lot.partition(":")
    if what != "job" or not number.isdecimal() or len(number) > 15:
        return None
    return Job.objects.at(site).open().filter(pk=int(number)).first()


def candidates(site: Site, lot: str, rows: Sequence[TypedJoint]) -> list[Candidate]:
    """The pieces that the rows of a report may mean: those of the lot, and what else bears their names."""
    of_lot = list(pieces_of(site, lot)[:MOST])
    there = {piece.pk: piece for piece in (*_named(site, rows), *of_lot)}
    painted = painted_numbers(there)
    inside = {piece.pk for piece in of_lot}
    return [
        Candidate(pk, piece.tag, piece.serial, painted.get(pk, ""), of_lot=not lot or pk in inside)
        for pk, piece in there.items()
    ]


def _named(site: Site, rows: Sequence[TypedJoint]) -> list[Component]:
    serials = {key_of(row.serial) for row in rows if row.serial and not is_unreadable(row.serial)} - {""}
    numbers = {key_of(row.painted) for row in rows} - {""}
    tags = {code for row in rows for code in (_code(row.serial), _code(row.painted)) if code}
    found: list[Component] = []
    here = Component.objects.at(site)
    for some in _some(serials):
        found += here.filter(serial_key__in=some)
    for some in _some(tags):
        found += here.filter(tag__in=some)
    for some in _some(numbers):
        marks = Mark.objects.current().filter(
            text_key__in=some, what=MarkKind.PAINTED, component__site=site, component__state__in=BOOKABLE
        )
        found += [mark.component for mark in marks.select_related("component")[:MOST]]
    return found


def _code(text: str) -> str:
    try:
        return read_code(text)
    except ValueError:
        return ""


def _some(texts: Iterable[str]) -> list[list[str]]:
    listed = sorted(texts)
    return [listed[at : at + 400] for at in range(0, len(listed), 400)]


def likely_lot(site: Site, ids: Sequence[int], rows: int) -> str:
    """The lot that a report is of, most likely: the job, delivery or place that most of its pieces share.

    "" where fewer than half of the `rows` share one, or where it is so large that the report is no report
    of it.
    """
    pieces = Component.objects.filter(pk__in=list(ids)[:MOST])
    shared = {
        "job": pieces.filter(jobs__job__closed_by=None).values_list("jobs__job", flat=True),
        "delivery": pieces.values_list("delivered_rows__delivery", flat=True),
        "place": pieces.values_list("place", flat=True),
    }
    for what, found in shared.items():
        for pk, count in Counter(one for one in found.order_by() if one).most_common(1):
            if 2 * count >= rows and pieces_of(site, f"{what}:{pk}").count() <= 2 * rows + 10:
                return f"{what}:{pk}"
    return ""


def recorded_from(digest: str, ids: Iterable[int]) -> dict[int, Inspection]:
    """The inspection that stands of each of these pieces and came from the file with this digest."""
    found: dict[int, Inspection] = {}
    for some in in_parts(ids):
        rows = Inspection.objects.standing().filter(component__in=some, report__sha256=digest)
        found |= {row.component_id: row for row in rows.order_by("id")}
    return found
