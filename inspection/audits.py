"""What the audit asks of inspection: the class and the limits as they stand against all that is known."""

from collections.abc import Iterator
from datetime import date
from itertools import islice

from django.db.models import F
from django.utils import timezone

from inspection.actions.limits import decided_of, zeros_at
from inspection.calc.decide import Decided
from inspection.models import JobPiece
from rack.auditing.difference import Difference
from rack.models import Clock, Component, Site

AT_ONCE = 500


def standings(using: str) -> Iterator[Difference]:
    """Class, dates by days and limits of each piece that was ever decided upon, worked out anew."""
    for site in Site.objects.using(using).order_by("pk"):
        today = timezone.now().astimezone(site.zone).date()
        rows = Component.objects.using(using).filter(site=site).exclude(scheme="")
        pieces = rows.select_related("spec", "site").order_by("pk").iterator(AT_ONCE)
        while some := list(islice(pieces, AT_ONCE)):
            yield from _compared(site, some, today, using)


def _compared(site: Site, pieces: list[Component], today: date, using: str) -> Iterator[Difference]:
    decided = decided_of(site, pieces, today, using=using)
    limits = _limits([piece.pk for piece in pieces], using)
    zeros = zeros_at(decided, using=using)
    for piece in pieces:
        one = decided[piece.pk]
        for name, should in _should(one).items():
            if getattr(piece, name) != should:
                yield Difference(f"the piece with tag {piece.tag}", name, getattr(piece, name), should)
        wanted = {
            (each.clock, each.basis): (
                each.soon, each.due, each.over, each.authority, each.hard, each.hard_by,
                zeros.get((piece.pk, each.clock, each.basis))
            )
            for each in one.due.clocks
        }  # fmt: skip
        stands = limits.get(piece.pk, {})
        if stands != wanted:
            figure = "limits and marks of its clocks"
            yield Difference(f"the piece with tag {piece.tag}", figure, stands, wanted)


def _should(one: Decided) -> dict[str, object]:
    soon, due, over = one.days
    return {
        "scheme": one.scheme, "edition": one.edition, "pipe_class": one.pipe_class,
        "tube_class": one.tube_class, "joint_class": one.joint_class, "class_on": one.class_on,
        "day_soon_on": soon, "day_due_on": due, "day_over_on": over,
        "day_hard_on": one.hard[0], "day_hard_by": one.hard[1],
    }  # fmt: skip


def _limits(ids: list[int], using: str) -> dict[int, dict[tuple[str, str], tuple[object, ...]]]:
    found: dict[int, dict[tuple[str, str], tuple[object, ...]]] = {}
    rows = Clock.objects.using(using).filter(component__in=ids).exclude(due=None)
    for row in rows.order_by("pk"):
        found.setdefault(row.component_id, {})[row.clock, row.basis] = (
            row.soon, row.due, row.over, row.by, row.hard, row.hard_by,
            row.zero if row.zero_known else None
        )  # fmt: skip
    return found


def inspections(using: str) -> Iterator[Difference]:
    """The pieces of a job that are done with bear an inspection of their own that stands."""
    rows = JobPiece.objects.using(using).exclude(inspection=None).select_related("component", "inspection")
    for row in rows.exclude(inspection__component=F("component")).order_by("pk").iterator():
        yield Difference(
            f"{row.component} on a job", "inspection", str(row.inspection), "one of the piece itself"
        )
    for row in rows.exclude(inspection__reversed_by=None).order_by("pk").iterator():
        yield Difference(f"{row.component} on a job", "inspection", "one that was taken back", "none")
    open_ones = JobPiece.objects.using(using).exclude(job__closed_by=None).filter(inspection=None, reason="")
    for row in open_ones.select_related("component", "job").order_by("pk").iterator():
        of = f"{row.component} on the closed {row.job}"
        yield Difference(of, "outcome", "none", "an inspection or a reason")
