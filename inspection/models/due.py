"""The lists of what is due, answered from an index each: three dates of the row against today."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

from django.db.models import Count, IntegerField, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce

from inspection.calc.ahead import HOUR_CLOCKS, Ahead
from rack.calc.states import AWAY, STATES
from rack.models import Clock, Component, Delivered, Member, Site

#: The lists in their order on the board: the word, and the column by which each is read.
LISTS: dict[str, tuple[str, str]] = {
    "overdue": ("Overdue", "over_on"),
    "due": ("Due", "due_on"),
    "before": ("Due before the section ends", "due_on"),
    "soon": ("Soon", "soon_on"),
    "fine": ("Fine", "soon_on"),
    "held": ("Held", "serial_key"),
}
#: Which pieces are asked for.
HERE, WELL, GONE, ALL = "here", "well", "gone", "all"
_LEFT = ("left_in_well", "lost_in_hole")


def of_state(pieces: QuerySet[Component], which: str, *, whole: bool = False) -> QuerySet[Component]:
    """Those at the site, in the hole or in the derrick; or left in a well; or gone; or all of them.

    `whole` says that all of them are to be counted, by their states and not by a date.
    """
    if which == WELL:
        return pieces.filter(state__in=_LEFT)
    if which == GONE:
        return pieces.filter(state__in=[state for state in AWAY if state not in _LEFT])
    if which == ALL:
        return pieces
    if whole:
        return pieces.filter(state__in=[state for state in STATES if state not in AWAY])
    # "None of these" and not "one of those": SQLite would walk an index of states for those.
    return pieces.exclude(state__in=AWAY)


def board(
    pieces: QuerySet[Component], today: date, ahead: Ahead | None = None
) -> dict[str, QuerySet[Component]]:
    """Each list of these pieces of a site; what comes due before a section ends is soon or fine as well."""
    not_due = pieces.filter(due_on__gt=today, over_on__gt=today)
    lists = {
        "overdue": pieces.filter(over_on__lte=today),
        "due": pieces.filter(due_on__lte=today, over_on__gt=today),
        "before": before(not_due, today, ahead) if ahead else None,
        "soon": not_due.filter(soon_on__lte=today),
        "fine": not_due.filter(soon_on__gt=today),
        "held": pieces.filter(holds_n__gt=0),
    }
    return {name: rows for name, rows in lists.items() if rows is not None}


def before(pieces: QuerySet[Component], today: date, ahead: Ahead) -> QuerySet[Component]:
    """Those of pieces that are not due yet that come due while a section is drilled."""
    run_out = Clock.objects.filter(clock__in=HOUR_CLOCKS, left__lte=ahead.seconds, left__gt=0)
    return pieces.filter(Q(due_on__lte=ahead.ends_on) | Q(pk__in=run_out.values("component")))


def counted(
    site: Site, lists: Mapping[str, QuerySet[Any]], whole: QuerySet[Component]
) -> dict[str, int]:
    """How many each of these lists of a site holds, in one statement.

    `whole` is all of their pieces: what is fine, the most of them, is what the others leave.
    """
    lists = {**{name: rows for name, rows in lists.items() if name != "fine"}, "whole": whole}
    counts = {
        name: Coalesce(
            Subquery(
                rows.order_by().values("site").annotate(n=Count("pk")).values("n"),
                output_field=IntegerField(),
            ),
            0,
        )
        for name, rows in lists.items()
    }
    names = {f"{name}_n": count for name, count in counts.items()}
    found = Site.objects.filter(pk=site.pk).annotate(**names).values(*names).get()
    plain = {name.removesuffix("_n"): int(n) for name, n in found.items()}
    fine = plain.pop("whole") - plain["overdue"] - plain["due"] - plain["soon"]
    return {**plain, "fine": fine}


def of_delivery(pieces: QuerySet[Component], delivery: int) -> QuerySet[Component]:
    rows = Delivered.objects.filter(delivery=delivery, component__isnull=False)
    return pieces.filter(pk__in=rows.values("component"))


def of_strings(pieces: QuerySet[Component], strings: Collection[int], *, now: bool) -> QuerySet[Component]:
    """Those that are in one of these strings; without `now` those that ever were."""
    rows = Member.objects.filter(string__in=strings)
    return pieces.filter(pk__in=(rows.now() if now else rows).values("component"))


def due_in_a_well(site: Site, today: date) -> QuerySet[Component]:
    """Pipe that was left in a well and has a limit that is out: casing that is drilled inside."""
    return Component.objects.at(site).filter(state="left_in_well", due_on__lte=today)
