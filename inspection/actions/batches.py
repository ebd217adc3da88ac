"""A batch of a grid: what is good is recorded in one go, what is refused stays with its sentences."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

from django.utils import timezone

from inspection.actions.found import Found, Head
from inspection.actions.judging import judge
from inspection.actions.recording import record
from inspection.models import Inspection
from rack.actions.journal import Asked
from rack.calc.checks import Problem, Severity, stops
from rack.errors import Refused
from rack.models import Site
from rack.people import check_can


@dataclass
class Recorded:
    """What became of a batch: the inspections by piece, and what is said of each piece. A piece with
    problems and no inspection was refused; with both they are notes."""

    rows: dict[int, Inspection] = field(default_factory=dict)
    problems: dict[int, list[Problem]] = field(default_factory=dict)


def record_rows(
    asked: Asked, site: Site, head: Head, found: Sequence[Found], *, reason: str = ""
) -> Recorded:
    """Record those pieces of a batch that may be recorded, in one transaction, and refuse the others.

    The same key again gives the first answer: what was stored under it is stored once, whatever has
    happened to the pieces meanwhile.
    """
    check_can(asked.hand.user, "inspect", site)
    before = set(Inspection.objects.filter(journal__key=asked.key).values_list("component", flat=True))
    done = Recorded()
    again = [one for one in found if one.piece.pk in before]
    rest = [one for one in found if one.piece.pk not in before]
    today = timezone.localdate(timezone=site.zone)
    problems = _problems(site, head, rest, today)
    good = [one for one in rest if not _refuses(problems[one.piece.pk], reason)]
    done.problems = problems
    stored = again if before else good
    if before:  # this key has had its answer; another row needs a key of its own
        late = stops("This row came after the batch was stored. Send it again.", code="late")
        done.problems |= {one.piece.pk: [*problems[one.piece.pk], late] for one in good}
    if not stored:
        return done
    try:
        rows = record(asked, site, head, stored, reason=reason)
    except Refused as refused:
        done.problems |= {one.piece.pk: list(refused.problems) for one in stored}
        return done
    done.rows = {row.component_id: row for row in rows}
    return done


def _problems(site: Site, head: Head, found: Sequence[Found], today: date) -> dict[int, list[Problem]]:
    """What is wrong with each piece. One that cannot be judged at all does not keep the others from it."""
    if not found:
        return {}
    pieces = {one.piece.pk: one.piece for one in found}
    try:
        judged = judge(site, head, found, pieces, today)
    except Refused as refused:
        if len(found) == 1:
            return {found[0].piece.pk: list(refused.problems)}
        each = (_problems(site, head, [one], today) for one in found)
        return {pk: problems for one in each for pk, problems in one.items()}
    return {one.found.piece.pk: list(one.problems) for one in judged}


def _refuses(problems: Sequence[Problem], reason: str) -> bool:
    hard = {one.severity for one in problems}
    return Severity.STOPS in hard or (Severity.ASKS in hard and not reason)
