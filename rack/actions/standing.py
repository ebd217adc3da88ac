"""The class and the limits of pieces: written here by whoever inspects, and run against by the clocks.

Rack asks nobody for a verdict. `write` takes what was decided; `settle` turns it, and every hour that is
posted, into the three dates of a piece, by plain comparison in the database. `rack.calc.standing` is the
same rule in Python; tests and the audit hold the two together.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any, NamedTuple

from django.db.models import Case, Exists, F, Max, OuterRef, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from rack.actions.locks import lock_keys
from rack.calc.checks import stops
from rack.calc.hours import PIECE_CLOCKS
from rack.calc.standing import BASES, EVER, NEVER, NO_LIMIT
from rack.errors import Refused
from rack.models import Clock, Component, Hours, Journal

#: So many primary keys are bound in one question.
_AT_ONCE = 500


class Limits(NamedTuple):
    """One clock's mark of zero and its limits since it, in the clock's own unit; None = no such limit.

    `zero` is what the total showed at the mark, None where that is not known. `anew` says that somebody
    looked now: what ran an unknown time before no longer counts. Limits that only change keep the mark.
    `by` is whose limit it is: a default of ours stops nothing. `hard` is the amount past which another's
    limit stops the piece, and `hard_by` whose that is.
    """

    zero: int | None = None
    soon: int | None = None
    due: int | None = None
    over: int | None = None
    anew: bool = True
    by: str = ""
    hard: int | None = None
    hard_by: str = ""


@dataclass(frozen=True)
class Standing:
    """Everything that was decided of a piece: its class as given, its clocks, its dates, and why it is due.

    A clock that is not named here has no limit. `days` are soon_on, due_on and over_on by days alone; `hard`
    is the first day on which a limit by days that is none of ours is passed, and whose limit it is.
    """

    scheme: str = ""
    edition: str = ""
    pipe_class: str = ""
    tube_class: str = ""
    joint_class: str = ""
    class_on: date | None = None
    clocks: Mapping[tuple[str, str], Limits | tuple[int | None, ...]] = field(
        default_factory=lambda: MappingProxyType({})
    )
    days: tuple[date, date, date] = (NEVER, NEVER, NEVER)
    why: str = ""
    hard: tuple[date, str] = (NEVER, "")

    @property
    def limits(self) -> tuple[tuple[str, str, Limits], ...]:
        """The clocks in order, each with its limits; raises ValueError for an unknown clock or mark."""
        for clock, basis in self.clocks:
            if clock not in PIECE_CLOCKS or basis not in BASES:
                raise ValueError(f"{clock} since {basis}: there is no such clock")
        return tuple(sorted((clock, basis, Limits(*given)) for (clock, basis), given in self.clocks.items()))

    @property
    def columns(self) -> tuple[tuple[str, object], ...]:
        """What stands on the row of the piece."""
        soon, due, over = self.days
        return (
            ("scheme", self.scheme), ("edition", self.edition), ("pipe_class", self.pipe_class),
            ("tube_class", self.tube_class), ("joint_class", self.joint_class), ("class_on", self.class_on),
            ("day_soon_on", soon), ("day_due_on", due), ("day_over_on", over), ("due_why", self.why[:80]),
            ("day_hard_on", self.hard[0]), ("day_hard_by", self.hard[1]),
        )  # fmt: skip


def write(line: Journal, standings: Mapping[int, Standing]) -> None:
    """Write the class and the limits of these pieces, inside the caller's transaction and under its line.

    Locks the pieces. Alike standings are written together, so that a delivery costs a few statements.
    """
    there = lock_keys(standings)
    missing = [str(pk) for pk in standings if pk not in there]
    if missing or not line.pk:
        raise Refused([stops("A piece that is not in the register has no class.", code="standing")])
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for pk, one in standings.items():
        groups[(one.columns, one.limits)].append(pk)
    newest = Hours.objects.aggregate(newest=Max("id"))["newest"] or 0
    for ids in groups.values():
        one = standings[ids[0]]
        for some in _some(ids):
            Component.objects.filter(pk__in=some).update(version=F("version") + 1, **dict(one.columns))
            _limit(some, one, newest)
            settle(some)


def _limit(ids: Sequence[int], one: Standing, newest: int) -> None:
    rows = Clock.objects.filter(component__in=ids)
    named = Q(pk__in=[])
    make_clocks([(pk, clock, basis) for pk in ids for clock, basis, _ in one.limits])
    for clock, basis, given in one.limits:
        here = Q(clock=clock, basis=basis)
        named |= here
        rows.filter(here).update(
            soon=given.soon, due=given.due, over=given.over, by=given.by, hard=given.hard,
            hard_by=given.hard_by,
        )  # fmt: skip
        if given.anew:
            known = given.zero is not None
            rows.filter(here).update(zero=given.zero or 0, zero_known=known, known=known, after_id=newest)
    limited = rows.exclude(named).exclude(soon=None, due=None, over=None, hard=None)
    limited.update(soon=None, due=None, over=None, by="", hard=None, hard_by="")


def make_clocks(wanted: Collection[tuple[int, str, str]]) -> None:
    """Make the clocks that are not there yet, with what the ledger says they have run.

    Nothing says what a piece had run before: until somebody does, its first mark is not known.
    """
    ids = {pk for pk, _, _ in wanted}
    rows = Clock.objects.filter(component__in=ids).order_by()
    there = set(rows.filter(basis__in={one[2] for one in wanted}).values_list("component", "clock", "basis"))
    new = [one for one in dict.fromkeys(wanted) if one not in there]
    if not new:
        return
    ran = dict.fromkeys(((pk, clock) for pk, clock, _ in new), 0)
    entries = Hours.objects.filter(component__in={pk for pk, _, _ in new}).order_by()
    for pk, clock, total in (
        entries.values("component", "clock").annotate(n=Sum("amount")).values_list("component", "clock", "n")
    ):
        ran[pk, clock] = total or 0
    Clock.objects.bulk_create(
        Clock(component_id=pk, clock=clock, basis=basis, total=ran[pk, clock], zero_known=False, known=False)
        for pk, clock, basis in new
    )


def move_clocks(line: Journal) -> None:
    """Move the clocks of the locked pieces by what `line` wrote in the ledger of hours, and settle them."""
    of_line = Hours.objects.filter(journal=line).order_by()
    same = of_line.filter(component=OuterRef("component"), clock=OuterRef("clock"), at=line.at)
    moved = same.values("clock").annotate(n=Sum("amount")).values("n")
    touched = of_line.values("component")
    Clock.objects.filter(component__in=touched).update(total=F("total") + Coalesce(Subquery(moved), Value(0)))
    if of_line.filter(amount=None).exists():
        unknown = of_line.filter(amount=None).values("component")
        Clock.objects.filter(component__in=unknown).update(known=is_known())
    settle(touched)


def is_known() -> Case:
    """Whether all that a clock ran since its mark is known, by its row."""
    gap = Hours.objects.standing().filter(
        component=OuterRef("component"), clock=OuterRef("clock"), amount=None, id__gt=OuterRef("after_id")
    )
    return Case(When(Q(zero_known=True) & ~Exists(gap), then=Value(True)), default=Value(False))


def left_of() -> Case:
    """What is left of a clock until it is due, by its row."""
    return Case(
        When(due=None, then=Value(NO_LIMIT)),
        When(known=True, then=F("due") + F("zero") - F("total")),
        default=Value(0),
    )


def dates_of() -> dict[str, Case]:
    """The three dates of a piece, by its row: already, as soon as a clock is out, else the date by days."""
    rows = Clock.objects.filter(component=OuterRef("pk"))
    soon = rows.filter(soon__isnull=False).filter(Q(known=False) | Q(total__gte=F("zero") + F("soon")))
    over = rows.filter(over__isnull=False, total__gte=F("zero") + F("over"))
    out = {"soon_on": soon, "due_on": rows.filter(left__lte=0), "over_on": over}
    return {
        name: Case(When(Exists(clocks), then=Value(EVER)), default=F(f"day_{name}"))
        for name, clocks in out.items()
    }


def settle(ids: "Sequence[int] | QuerySet[Any, Any]") -> None:
    """Set what is left of each clock of these locked pieces, and their three dates, in two statements."""
    # Only what changes is written: most hours move no date, and each row has many indexes.
    Clock.objects.filter(component__in=ids).exclude(left=left_of()).update(left=left_of())
    should = dates_of()
    named = {f"should_{name}": date for name, date in should.items()}
    same = {name: F(f"should_{name}") for name in should}
    Component.objects.filter(pk__in=ids).alias(**named).exclude(**same).update(**should)


def _some(ids: Collection[int]) -> list[list[int]]:
    rows = list(ids)
    return [rows[at : at + _AT_ONCE] for at in range(0, len(rows), _AT_ONCE)]
