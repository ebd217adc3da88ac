"""The class and the limits of pieces, worked out from all that is known of them and written by rack's action.

`settle` is called inside the transaction of whatever changed the facts, after its rows: an inspection, an
event, a first run, a delivery, a rule.
"""

from collections.abc import Collection, Mapping
from datetime import date, datetime

from django.db.models import Min

from inspection.calc.decide import Decided, PieceFacts, decide
from inspection.models import Inspection
from inspection.models.facts import have_run, in_parts, piece_facts, ran_after, ran_at, terms_of
from rack.actions.locks import lock_site
from rack.actions.standing import Limits, Standing, write
from rack.models import Clock, Component, Event, Hours, Journal, Run, Site, Spec
from rack.models.clocks import totals_of

#: Piece, clock, mark of zero.
Key = tuple[int, str, str]


def set_first(line: Journal, ids: Collection[int]) -> None:
    """Follower of "received": the first class, as the sender gave it, and the first limits.

    The site is held: an interval that is being set there is seen, or waits and sees these pieces.
    """
    for some in in_parts(ids):
        sites = Component.objects.filter(pk__in=some).order_by("site").values_list("site", flat=True)
        for pk in sites.distinct():
            lock_site(pk)
    settle(line, ids, anew=True)


def after_event(line: Journal, what: Run | Event | None, ids: Collection[int]) -> None:
    """Follower of "happened": what an event makes due; the best class becomes premium by its first run;
    casing that stays in the well (None) is looked at by days while drilling goes on."""
    late = _ran_before_a_look(line, ids)
    settle(line, late, anew=True)
    settle(line, set(_first_run(ids) if isinstance(what, Run) else ids) - late)


def _ran_before_a_look(line: Journal, ids: Collection[int]) -> set[int]:
    """The pieces with an inspection on or after the day of the earliest hours that a line wrote or took back:
    what their clocks showed at the mark is another figure now."""
    first = Hours.objects.filter(journal=line).aggregate(first=Min(ran_at()))["first"]
    if first is None:
        return set()
    rows = Inspection.objects.standing().filter(component__in=list(ids), since__gte=first)
    return set(rows.order_by().values_list("component", flat=True))


def _first_run(ids: Collection[int]) -> list[int]:
    """Of the pieces of a run the new drill pipe that had its first run now, or has none any more.

    It is asked for every line that is posted: whoever ran before is left out by the database.
    """
    found: list[int] = []
    for some in in_parts(ids):
        rows = Component.objects.filter(pk__in=some, spec__kind="drill_pipe")
        new = rows.filter(pipe_class="Class 1").values_list("pk", flat=True)
        given = list(rows.filter(pipe_class="Premium").values_list("pk", flat=True))
        found += sorted([*new, *{*given} - have_run(given)])
    return found


def settle(line: Journal, ids: Collection[int], *, anew: bool = False) -> dict[int, Decided]:
    """Work out and write what holds for these locked pieces. `anew` sets the marks of zero as well.

    Without it the marks stay where they are, and only limits, class and dates change.
    """
    found: dict[int, Decided] = {}
    specs: dict[int, Spec] = {}
    sites: dict[int, Site] = {}
    for some in in_parts(ids):
        by_site: dict[int, list[Component]] = {}
        for piece in Component.objects.filter(pk__in=some).order_by("pk"):
            by_site.setdefault(piece.site_id, []).append(piece)
        for pk, pieces in by_site.items():
            # Read once and not with every row: a rule is about every piece of a site.
            specs |= Spec.objects.in_bulk({piece.spec_id for piece in pieces} - specs.keys())
            site = sites.setdefault(pk, sites.get(pk) or Site.objects.get(pk=pk))
            for piece in pieces:
                piece.spec, piece.site = specs[piece.spec_id], site
            found |= _settle_site(line, site, pieces, anew=anew)
    return found


def decided_of(
    site: Site, pieces: Collection[Component], on: date, *, using: str = "default"
) -> dict[int, Decided]:
    """What holds for each of these pieces of a site on a day; writes nothing."""
    terms, facts = terms_of(site, on, using=using), piece_facts(pieces, using=using)
    known: dict[PieceFacts, Decided] = {}
    for one in facts.values():
        if one not in known:
            known[one] = decide(one, terms)
    return {pk: known[one] for pk, one in facts.items()}


def _settle_site(
    line: Journal, site: Site, pieces: Collection[Component], *, anew: bool
) -> dict[int, Decided]:
    decided = decided_of(site, pieces, line.at.astimezone(site.zone).date())
    limits = {} if anew else _limits_of(decided)
    there = {
        (pk, *key) for pk, of_piece in limits.items() for key, has in of_piece.items() if has[1] is not None
    }  # a clock that had no limit has no mark that anybody kept up
    other = decided if anew else {
        piece.pk: decided[piece.pk] for piece in pieces
        if not _holds_already(piece, decided[piece.pk], limits.get(piece.pk, {}))
    }  # fmt: skip
    if other:
        zeros = zeros_at(other, there)
        write(line, {pk: _standing(pk, one, zeros, there) for pk, one in other.items()})
    return decided


def _limits_of(ids: Collection[int]) -> dict[int, dict[tuple[str, str], tuple[object, ...]]]:
    """The clocks of each piece, with the limits that they have."""
    found: dict[int, dict[tuple[str, str], tuple[object, ...]]] = {}
    rows = Clock.objects.filter(component__in=list(ids)).order_by()
    for pk, clock, basis, *limits in rows.values_list(
        "component", "clock", "basis", "soon", "due", "over", "by", "hard", "hard_by"
    ):
        found.setdefault(pk, {})[clock, basis] = tuple(limits)
    return found


_NO_LIMIT = (None, None, None, "", None, "")


def _holds_already(
    piece: Component, one: Decided, limits: Mapping[tuple[str, str], tuple[object, ...]]
) -> bool:
    """Whether all that was decided stands on the piece and its clocks already: mostly it does."""
    columns = _standing(piece.pk, one, {}, ()).columns
    wanted = {
        (each.clock, each.basis): (
            each.soon, each.due, each.over, each.authority, each.hard, each.hard_by
        )
        for each in one.due.clocks
    }  # fmt: skip
    return all(getattr(piece, name) == value for name, value in columns) and (
        wanted.keys() <= limits.keys()
        and all(wanted.get(key, _NO_LIMIT) == has for key, has in limits.items())
    )


def _standing(
    pk: int, one: Decided, zeros: Mapping[Key, int | None], there: Collection[Key]
) -> Standing:
    clocks = {}
    for limit in one.due.clocks:
        key = (pk, limit.clock, limit.basis)
        clocks[limit.clock, limit.basis] = Limits(
            zeros.get(key), limit.soon, limit.due, limit.over, anew=key not in there, by=limit.authority,
            hard=limit.hard, hard_by=limit.hard_by,
        )
    return Standing(
        one.scheme, one.edition, one.pipe_class, one.tube_class, one.joint_class, one.class_on, clocks,
        one.days, one.due.why, one.hard,
    )  # fmt: skip


def zeros_at(
    decided: Mapping[int, Decided], there: Collection[Key] = (), *, using: str = "default"
) -> dict[Key, int | None]:
    """What each clock with a limit showed at the moment of its mark, but for those that are `there`; None
    where it is not known, or where it ran an unknown time since."""
    marks: dict[Key, datetime | None] = {}
    for pk, one in decided.items():
        for limit in one.due.clocks:
            if limit.known and (pk, limit.clock, limit.basis) not in there:
                marks[pk, limit.clock, limit.basis] = one.since[limit.basis]
    moments = [since for since in marks.values() if since]
    later = ran_after(decided, min(moments), using=using) if moments else {}
    totals = totals_of(decided, using=using) if moments else {}
    found: dict[Key, int | None] = {}
    for (pk, clock, basis), since in marks.items():
        if since is None:  # from the first: what the ledger has is what it ran
            found[pk, clock, basis] = 0
            continue
        ran = [amount for when, amount in later.get((pk, clock), ()) if when >= since]
        known = [amount for amount in ran if amount is not None]
        total = totals.get((pk, clock), sum(known))
        found[pk, clock, basis] = total - sum(known) if len(known) == len(ran) else None
    return found
