"""What the strap page reads: the lines of one strap in order, its sums, its last readings.

Everything here speaks of one strap alone; nothing of the other one passes (law 13).
"""

import json
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q, Sum

from rack.calc.lengths import Length
from rack.calc.names import key_of
from rack.calc.painted import number_after
from rack.models.tallies import Line, LineQuerySet, Strap, StrapHead, Tally

#: The last readings that stay in sight, and how many of the coming lines a page carries: enough for a
#: long stretch without a connection that begins with the page.
LAST, COMING = 10, 200
#: At most so many questions are shown at once; answering one brings up the next.
MOST_QUESTIONS = 20


@dataclass(frozen=True)
class Sums:
    """One strap so far: how many lines are read, their total, how many lines are not."""

    count: int
    total: Length
    unread: int


@dataclass(frozen=True)
class LastReading:
    """A reading as the page lists it. `state` is "", "asks", "confirmed", "taken back" or "read again"."""

    key: str
    line: int
    painted: str
    shown: str
    state: str
    questions: tuple[dict[str, str], ...]


@dataclass(frozen=True)
class StrapFacts:
    """One strap at a glance. `follows` is the painted number for one more joint at the end."""

    head: StrapHead | None
    sums: Sums
    last: list[LastReading]
    grows: bool
    follows: str


def facts_of(tally: Tally, strap_n: int) -> StrapFacts:
    """One strap at a glance, as it stands now."""
    head = tally.heads.filter(strap_n=strap_n).first()
    return StrapFacts(
        head, sums_of(tally, strap_n), last_readings(tally, strap_n), grows(tally), number_that_follows(tally)
    )


def column_of(strap_n: int) -> str:
    """The kept column of a line that holds the reading of this strap."""
    return "first_nm" if strap_n == 1 else "second_nm"


def sums_of(tally: Tally, strap_n: int) -> Sums:
    """Count and total of one strap, and what is left."""
    column = column_of(strap_n)
    found = tally.lines.standing().aggregate(all=Count("pk"), read=Count(column), total=Sum(column))
    return Sums(found["read"], Length(found["total"] or 0), found["all"] - found["read"])


def unread_lines(
    tally: Tally, strap_n: int, after: Line | None = None, most: int = COMING, but: Collection[int] = ()
) -> list[Line]:
    """The unread lines in order, from the first or from behind `after`."""
    rows = tally.lines.unread(strap_n).in_order().exclude(pk__in=but).select_related("component")
    if after is not None:
        rows = rows.filter(Q(rank__gt=after.rank) | Q(rank=after.rank, pk__gt=after.pk))
    return list(rows[:most])


def find_line(tally: Tally, text: str) -> Line | None:
    """The standing line that somebody means: by painted number, else by serial."""
    text = text.strip()
    if not text:
        return None
    rows: LineQuerySet = tally.lines.standing().in_order().select_related("component")
    return (
        rows.filter(painted=text).first()
        or rows.filter(painted__iexact=text).first()
        or rows.filter(serial_typed__iexact=text).first()
        or (rows.filter(component__serial_key=key).first() if (key := key_of(text)) else None)
    )


def number_that_follows(tally: Tally) -> str:
    """The painted number for one more joint at the end."""
    last = tally.lines.standing().in_order().last()
    return number_after(last.painted if last else "")


def grows(tally: Tally) -> bool:
    """Whether the list is made while it is strapped: no line is a piece that was known before."""
    return not tally.lines.exclude(component=None).exists()


def last_read_line(tally: Tally, strap_n: int) -> Line | None:
    """The line of the latest reading that stands."""
    rows = Strap.objects.standing().filter(line__tally=tally, strap_n=strap_n, line__withdrawn=False)
    latest = rows.select_related("line").order_by("-id").first()
    return latest.line if latest else None


def last_readings(tally: Tally, strap_n: int, most: int = LAST) -> list[LastReading]:
    """The latest readings of one strap, newest first, with those that were taken back."""
    rows = Strap.objects.entered().filter(line__tally=tally, strap_n=strap_n)
    return [_row(strap) for strap in _with_names(rows)[:most]]


def asking(tally: Tally, strap_n: int, most: int = MOST_QUESTIONS) -> list[LastReading]:
    """The readings of one strap whose question nobody has answered, newest first."""
    rows = Strap.objects.standing().filter(
        line__tally=tally, line__withdrawn=False, strap_n=strap_n, questions_n__gt=0, consents=None
    )
    return [_row(strap) for strap in _with_names(rows)[:most]]


def _with_names(rows: Any) -> Any:
    rows = rows.select_related("journal", "line", "line__tally", "line__component", "reversed_by")
    return rows.annotate(consents_n=Count("consents")).order_by("-id")


def _row(strap: Any) -> LastReading:
    tally = strap.line.tally
    return LastReading(
        key=str(strap.journal.key),
        line=strap.line_id,
        painted=strap.line.painted,
        shown=Length(strap.nm).shown(tally.unit, tally.digits),
        state=_state(strap),
        questions=tuple(json.loads(strap.questions)),
    )


def _state(strap: Any) -> str:
    back = getattr(strap, "reversed_by", None)
    if back is not None:
        # A later reading of the same line takes the earlier one back as its second row.
        return "read again" if back.seq else "taken back"
    if not strap.questions_n:
        return ""
    return "confirmed" if strap.consents_n else "asks"
