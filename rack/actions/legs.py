"""The time lines of a run: written down and shared out, taken back, shared anew after late changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F

from rack.actions.accepting import accept_problems
from rack.actions.journal import Asked
from rack.actions.posting import (
    Sharing,
    changed_since,
    count_the_run,
    open_sharing,
    share_anew,
    share_new,
    standing_hours,
    tell,
    write_hours,
)
from rack.calc import hours
from rack.calc.checks import Problem, stops
from rack.calc.hours import Tour, leg_problems, tours_between
from rack.errors import Refused
from rack.models import Hours, Leg, Run
from rack.models.stays import as_legs, facts_of_run, legs_of

#: So many lines are taken at once: a run of months by quarter hours.
MOST = 2_000
COLUMNS = (
    "from_at", "to_at", "from_nm", "to_nm", "rotating_s", "sliding_s", "circulating_s", "bottom_s",
    "below_rotary_s", "rpm",
)  # fmt: skip


@dataclass(frozen=True)
class Origin:
    """What time lines come from, where that is no tour sheet.

    `problems` are what it asks besides the lines themselves, `facts` what the journal says of it; the lines
    keep the numbers that they bear there.
    """

    problems: Sequence[Problem] = ()
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))


def post_legs(
    asked: Asked, run: Run, legs: Sequence[hours.Leg], reason: str = "", *, seen: int | None = None,
    origin: Origin | None = None,
) -> list[Leg]:  # fmt: skip
    """Write time lines of a run down and share them out to the pieces that turned, in one transaction.

    `reason` answers what the checks ask. Pieces whose stays changed since the last posting are put right.
    """
    reason = " ".join(reason.split())
    if not legs or len(legs) > MOST:
        text = f"{len(legs):,} lines are too many at once; {MOST:,} are the most."
        raise Refused([stops(text if legs else "There is no line to write down.", code="lines")])
    with transaction.atomic():
        body = {"lines": [[str(getattr(leg, name)) for name in COLUMNS] for leg in legs], "reason": reason,
                **(origin.facts if origin else {})}  # fmt: skip
        sentence = f"Wrote {_lines(len(legs))} of {run}, {run.string}"
        sharing = open_sharing(asked, "post hours", run, sentence, seen, **body)
        if sharing is None:
            return list(Leg.objects.entered().filter(journal__key=asked.key).order_by("seq"))
        problems = new_problems(sharing.run, legs, numbered=origin is not None)
        problems += origin.problems if origin else []
        accept_problems(sharing.line, sharing.run.string, problems, reason)
        memberships = sharing.memberships()
        late = changed_since(sharing)
        if late is None or late:
            share_anew(sharing, memberships, late)
        made = Leg.objects.bulk_create(
            Leg(journal=sharing.line, seq=seq, at=sharing.line.at, run=sharing.run,
                **{name: getattr(leg, name) for name in COLUMNS})
            for seq, leg in enumerate(legs)
        )  # fmt: skip
        share_new(sharing, made, memberships)
        finish(sharing)
    return made


def take_back_leg(asked: Asked, leg: Leg, reason: str, *, seen: int | None = None) -> Leg:
    """Take a time line back, with all that it gave to the pieces: the same rows, turned."""
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why this line is taken back.", code="reason")])
    with transaction.atomic():
        sentence = f"Took back a line of {leg.run}, {leg.run.string}: {reason}"
        sharing = open_sharing(asked, "take back hours", leg.run, sentence, seen, leg=leg.pk, reason=reason)
        if sharing is None:
            return Leg.objects.get(journal__key=asked.key)
        if leg.reverses_id or not Leg.objects.standing().filter(pk=leg.pk).exists():
            raise Refused([stops("This line was taken back already.", code="take back")])
        back = Leg(journal=sharing.line, at=sharing.line.at, run=sharing.run, reverses=leg,
                   **{name: getattr(leg, name) for name in COLUMNS})  # fmt: skip
        Leg.objects.bulk_create([back])
        for row in standing_hours(leg=leg):
            sharing.turn(row)
        finish(sharing, shared=False)
    return back


def share_again(asked: Asked, run: Run, *, seen: int | None = None) -> int:
    """Share the lines of a run anew, by the changes of the string as they stand; how many rows that wrote."""
    with transaction.atomic():
        sentence = f"Shared the hours of {run}, {run.string}, anew"
        sharing = open_sharing(asked, "share again", run, sentence, seen)
        if sharing is None:
            return Hours.objects.filter(journal__key=asked.key).count()
        memberships = sharing.memberships()
        share_anew(sharing, memberships)
        if sharing.run.ended_by_id:
            count_the_run(sharing, memberships)
        finish(sharing)
        return len(sharing.rows)


def finish(sharing: Sharing, *, shared: bool = True, **columns: object) -> None:
    """Write the hours, move the clocks, keep what the run was shared by, tell the neighbours."""
    if shared:
        columns["shared_id"] = sharing.upto
    touched = write_hours(sharing.line, sharing.rows)
    Run.objects.filter(pk=sharing.run.pk).update(version=F("version") + 1, **columns)
    tell(sharing.line, sharing.run, touched)


def new_problems(run: Run, legs: Sequence[hours.Leg], *, numbered: bool = False) -> list[Problem]:
    """What the new lines bring up: what the run's own lines said before was answered then.

    Lines that are `numbered` keep their numbers, those of rows in a file; else they are counted on.
    """
    there = as_legs(run, legs_of(run))
    unit = run.string.site.length_unit
    facts = facts_of_run(run)
    before = {one.text for one in leg_problems(there, (), facts, unit=unit)}
    new = [
        hours.Leg(**{name: getattr(leg, name) for name in COLUMNS}, n=leg.n if numbered else len(there) + n)
        for n, leg in enumerate(legs, 1)
    ]
    found = leg_problems([*there, *new], tours_of(run, legs), facts, unit=unit)
    return [one for one in found if one.text not in before]


def tours_of(run: Run, legs: Sequence[hours.Leg]) -> tuple[Tour, ...]:
    """The tours that these lines must close: those that are over when the last of them ends."""
    begins = [leg.from_at for leg in legs if leg.from_at]
    ends = [leg.to_at for leg in legs if leg.to_at]
    if not begins or not ends or max(ends) <= min(begins):
        return ()
    site = run.string.site
    found = tours_between(
        min(begins), max(ends), site.tour_hours, ZoneInfo(run.tz), starts_s=site.report_day_s
    )
    return tuple(tour for tour in found if tour.to_at <= max(ends))


def _lines(count: int) -> str:
    return "1 time line" if count == 1 else f"{count} time lines"
