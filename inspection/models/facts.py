"""What is known of pieces, read in a few questions whatever their number, as the pure rules take it."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import DateTimeField, F, Max, Min, Q
from django.db.models.functions import Coalesce

from inspection.calc.criteria import scheme, schemes_for
from inspection.calc.decide import Looked, PieceFacts, Terms
from inspection.calc.rules import default_rules
from inspection.models.inspections import Inspection
from inspection.models.policies import Follows, IntervalRule, Policy, as_rule
from rack.calc.happenings import HAPPENINGS
from rack.calc.specs import SpecFacts, spec_from_key
from rack.models import Component, Delivered, EventPiece, Hours, Site
from rack.models.links import given_classes

#: So many primary keys are bound in one question.
AT_ONCE = 500


def terms_of(site: Site, on: date, *, using: str = "default") -> Terms:
    """What a site goes by on a day: the shipped intervals and its own, the service, the margin."""
    policies = Policy.objects.using(using).standing().filter(site=site, from_on__lte=on)
    policy = policies.order_by("-from_on", "-id").first()
    rules = IntervalRule.objects.using(using).standing().filter(site=site).order_by("id")
    own = [as_rule(row) for row in rules]
    if policy is None:
        return Terms((*default_rules(), *own), on)
    return Terms((*default_rules(), *own), on, policy.service, Fraction(policy.margin_pm, 1000))


def followed(site: Site, on: date, *, using: str = "default") -> dict[str, str]:
    """The scheme that a site follows on a day, for each kind of piece that it was said for."""
    return _in_force(_follows(site, using), on)


def _follows(site: Site, using: str) -> list[tuple[date, str]]:
    rows = Follows.objects.using(using).standing().filter(site=site)
    return list(rows.order_by("from_on", "id").values_list("from_on", "scheme"))


def _in_force(follows: Iterable[tuple[date, str]], on: date) -> dict[str, str]:
    found: dict[str, str] = {}
    for from_on, code in follows:
        if from_on <= on:
            found |= dict.fromkeys(scheme(code).kinds, code)
    return found


def scheme_for(site: Site, kind: str, on: date) -> str:
    """The scheme by which a kind of piece is judged at a site on a day."""
    return followed(site, on).get(kind) or schemes_for(kind)[0].code


def piece_facts(pieces: Collection[Component], *, using: str = "default") -> dict[int, PieceFacts]:
    """What is known of each of these pieces, by primary key."""
    ids = [piece.pk for piece in pieces]
    looks, events = looks_of(ids, using=using), _events_of(ids, using)
    run, given, came = have_run(ids, using), given_classes(ids, using=using), _came(ids, using)
    follows: dict[int, list[tuple[date, str]]] = {}
    schemes: dict[tuple[int, date], dict[str, str]] = {}
    specs: dict[str, SpecFacts] = {}
    found = {}
    for piece in pieces:
        kind, key = piece.spec.kind, piece.spec.key
        when = piece.site_id, piece.received_on
        if when not in schemes:  # a sender's word counts by the edition of the day on which it came
            if piece.site_id not in follows:
                follows[piece.site_id] = _follows(piece.site, using)
            schemes[when] = _in_force(follows[piece.site_id], piece.received_on)
        if key not in specs:
            specs[key] = spec_from_key(key)
        code = schemes[when].get(kind) or schemes_for(kind)[0].code
        found[piece.pk] = PieceFacts(
            specs[key], piece.received_on, code, given.get(piece.pk, ""),
            tuple(looks.get(piece.pk, ())), tuple(events.get(piece.pk, ())), piece.pk in run,
            drilled_inside=kind == "casing" and piece.state == "left_in_well",
            **_days_of(came.get(piece.pk, ()), piece.site),
        )  # fmt: skip
    return found


def _came(ids: Collection[int], using: str) -> dict[int, tuple[datetime, datetime]]:
    """When each of these pieces came by a delivery, first and last."""
    found: dict[int, tuple[datetime, datetime]] = {}
    for some in in_parts(ids):
        rows = Delivered.objects.using(using).standing().filter(component__in=some).order_by()
        ends = rows.values("component").annotate(first=Min("at"), last=Max("at"))
        found |= {pk: (first, last) for pk, first, last in ends.values_list("component", "first", "last")}
    return found


def _days_of(came: Sequence[datetime], site: Site) -> dict[str, Any]:
    """The day of the first delivery, and day and moment of this hire; a first hire counts from the first."""
    if not came:
        return {}
    first, last = (moment.astimezone(site.zone).date() for moment in came)
    return {"came_on": first, "hired_on": last, "hired_at": came[1] if came[1] > came[0] else None}


def turned_on(ids: Collection[int], day: date, site: Site) -> set[int]:
    """Those of these pieces that turned on a day at a site, or went through something."""
    begins = since_of(day, None, site)
    ends = begins + timedelta(days=1)
    found: set[int] = set()
    for some in in_parts(ids):
        hours = Hours.objects.standing().filter(component__in=some, leg__from_at__lt=ends)
        hours = hours.filter(Q(leg__to_at__gt=begins) | Q(leg__to_at=None, leg__from_at__gte=begins))
        events = EventPiece.objects.standing().filter(component__in=some, event__from_at__gte=begins)
        for rows in (hours, events.filter(event__from_at__lt=ends)):
            found |= set(rows.order_by().values_list("component", flat=True).distinct())
    return found


def looks_of(ids: Collection[int], *, using: str = "default") -> dict[int, list[Looked]]:
    """The inspections of each of these pieces that stand, the oldest first."""
    found: dict[int, list[Looked]] = defaultdict(list)
    for some in in_parts(ids):
        rows = Inspection.objects.using(using).standing().filter(component__in=some).order_by("on", "id")
        for row in rows:
            found[row.component_id].append(as_looked(row))
    return found


def as_looked(row: Inspection) -> Looked:
    """An inspection as it counts."""
    return Looked(
        row.on, row.scheme, row.class_held, row.tube_class, row.joint_class,
        frozenset(row.resets.split()), frozenset(row.mended.split()), row.since,
    )  # fmt: skip


def _events_of(ids: Collection[int], using: str) -> dict[int, list[tuple[str, date, datetime]]]:
    found: dict[int, list[tuple[str, date, datetime]]] = defaultdict(list)
    for some in in_parts(ids):
        rows = EventPiece.objects.using(using).standing().filter(component__in=some)
        named = rows.order_by("id").values_list(
            "component", "event__kind", "event__from_at", "event__site__tz"
        )
        for piece, kind, at, zone in named:
            if kind in HAPPENINGS:
                found[piece].append((HAPPENINGS[kind].cause, at.astimezone(ZoneInfo(zone)).date(), at))
    return found


def have_run(ids: Collection[int], using: str = "default") -> set[int]:
    """Pieces that were counted in a run that stands, or turned in one."""
    found: set[int] = set()
    for some in in_parts(ids):
        rows = Hours.objects.using(using).standing()
        rows = rows.filter(component__in=some, clock__in=("runs_n", "rotating_s"))
        found |= set(rows.order_by().values_list("component", flat=True).distinct())
    return found


def ran_at() -> Coalesce:
    """When the hours of a row of their ledger ran, and not when it was written down."""
    return Coalesce("leg__from_at", "event__from_at", "run__out_at", F("at"), output_field=DateTimeField())


def ran_after(
    ids: Collection[int], after: datetime, *, using: str = "default"
) -> dict[tuple[int, str], list[tuple[datetime, int | None]]]:
    """What each clock of these pieces ran after a moment, by when it ran and not when it was written down;
    None where it ran an unknown time."""
    found: dict[tuple[int, str], list[tuple[datetime, int | None]]] = defaultdict(list)
    for some in in_parts(ids):
        rows = Hours.objects.using(using).standing().filter(component__in=some).annotate(moment=ran_at())
        later = rows.filter(moment__gte=after).order_by("id")
        for piece, clock, when, amount in later.values_list("component", "clock", "moment", "amount"):
            found[piece, clock].append((when, amount))
    return found


def since_of(on: date, hour: time | None, site: Site) -> datetime:
    """The moment from which hours count as run since a look.

    Without its hour it is the beginning of its day: what ran on that day may have run after it, and counts,
    which is the safe side.
    """
    return datetime.combine(on, hour or time.min, tzinfo=site.zone)


def in_parts(ids: Iterable[int]) -> list[list[int]]:
    rows = sorted(set(ids))
    return [rows[at : at + AT_ONCE] for at in range(0, len(rows), AT_ONCE)]
