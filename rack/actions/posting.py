"""What every posting of hours shares: the locks, the rows of the ledger, the clocks, who is told of it.

`open_sharing` is steps 1 and 2 of an action on a run, `Sharing` gathers what is written, `write` is steps
4 and 5. Hours are never changed: what a line gave before is reversed, and what it gives now is added.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from django.db import connection
from django.db.models import Q

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_run, lock_string
from rack.actions.standing import make_clocks, move_clocks
from rack.calc.checks import Problem
from rack.calc.hours import Membership, connections_made, rule_for, share
from rack.models import Change, Component, Event, Hours, Journal, Leg, Run, String
from rack.models.around import changed_around, pieces_around
from rack.models.stays import as_legs, legs_of, memberships_of, newest_change, policy_of
from rack.neighbours import neighbours
from rack.people import check_can

#: Line (its primary key), piece, clock -> what it earned; None where that is not known.
Amounts = dict[tuple[int, int, str], int | None]


class Earned(NamedTuple):
    """One row of the ledger of hours that is to be written; `reverses` is the row that it takes back."""

    piece: int
    clock: str
    amount: int | None
    run: int | None = None
    leg: int | None = None
    event: int | None = None
    reverses: int | None = None


class Posted(NamedTuple):
    """One row of the ledger of hours that stands: what is needed to take it back."""

    pk: int
    piece: int
    clock: str
    amount: int | None
    run: int | None
    leg: int | None
    event: int | None


@dataclass
class Sharing:
    """One action on a run at work: its line, the run as it is locked, and what it writes."""

    line: Journal
    run: Run
    upto: int
    rows: list[Earned] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def memberships(self) -> list[Membership]:
        return memberships_of(self.run, upto=self.upto)

    def add(self, piece: int, clock: str, amount: int | None, leg: Leg | None = None) -> None:
        """Write down what a piece earned; nothing is written where it earned nothing."""
        if amount != 0:
            self.rows.append(Earned(piece, clock, amount, self.run.pk, leg.pk if leg else None))

    def turn(self, row: Posted) -> None:
        """Take back what stands."""
        self.rows.append(turned(row))


def standing_hours(**which: object) -> list[Posted]:
    """The rows that stand, in their order: plain, because a tour of a long string has thousands."""
    rows = Hours.objects.standing().filter(**which).order_by("id")
    return [Posted(*row) for row in rows.values_list(
        "pk", "component", "clock", "amount", "run", "leg", "event")]  # fmt: skip


def turned(row: Posted) -> Earned:
    """The row that takes another back: the same, with the amount turned."""
    back = None if row.amount is None else -row.amount
    return Earned(row.piece, row.clock, back, row.run, row.leg, row.event, row.pk)


def open_sharing(
    asked: Asked, verb: str, run: Run, sentence: str, seen: int | None, **body: object
) -> Sharing | None:
    """Steps 1 and 2: the line of the journal, then pieces, string and run; None where it was done before.

    Changes of the string that are written between the question and the lock are left to the next sharing.
    """
    string = run.string
    check_can(asked.hand.user, "hours", string.site)
    line, again = open_line(asked, verb, string.site, sentence, {"run": run.pk, **body})
    if again:
        return None
    upto = lock_string_and_pieces(string)
    now = lock_run(run.pk)
    check_version(now, seen)
    return Sharing(line, now, upto)


def lock_string_and_pieces(string: String) -> int:
    """Lock what ever was in a string and the casing around it, by primary key, then the string.

    Returns the newest change of either: what is changed meanwhile is left to the next sharing.
    """
    upto = newest_change(string)
    if connection.features.has_select_for_update:  # elsewhere the transaction has the write lock already
        there = Change.objects.filter(string=string, id__lte=upto).order_by().values("component")
        mine = Q(pk__in=there) | Q(pk__in=pieces_around(string, upto=upto))
        rows = Component.objects.select_for_update().filter(mine).order_by("pk")
        list(rows.values_list("pk", flat=True))  # locked is enough: nothing of them is needed here
    lock_string(string.pk)
    return upto


def share_new(sharing: Sharing, legs: Sequence[Leg], memberships: Sequence[Membership]) -> None:
    """Share lines that nothing was shared of yet."""
    policy = policy_of(sharing.run)
    for leg, pure in zip(legs, as_legs(sharing.run, legs), strict=True):
        for one in share(pure, memberships, policy):
            for clock, amount in one.amounts.items():
                sharing.add(int(one.piece), clock, amount, leg)


def share_anew(
    sharing: Sharing, memberships: Sequence[Membership], only: Collection[int] | None = None
) -> None:
    """Hold what the standing lines gave to what they give now, piece by piece, and put the difference right.

    `only` names the pieces whose stays have changed; None is all of them.
    """
    legs = legs_of(sharing.run) if only is None or only else []
    wanted = shares(sharing.run, legs, memberships, only)
    narrowed = {} if only is None else {"component__in": only}
    by_pk = {leg.pk: leg for leg in legs}
    for row in standing_hours(leg__in=list(by_pk), **narrowed) if legs else ():
        key = (row.leg or 0, row.piece, row.clock)
        if key in wanted and wanted[key] == row.amount:
            del wanted[key]
        else:
            sharing.turn(row)
    for (leg, piece, clock), amount in wanted.items():
        sharing.add(piece, clock, amount, by_pk[leg])


def shares(
    run: Run, legs: Sequence[Leg], memberships: Sequence[Membership], only: Collection[int] | None = None
) -> Amounts:
    """What each piece earns from each of these lines, clock by clock; what it does not earn is left out."""
    found: Amounts = {}
    policy = policy_of(run)
    some = [stay for stay in memberships if only is None or stay.piece in only]
    for leg, pure in zip(legs, as_legs(run, legs), strict=True):
        for one in share(pure, some, policy):
            found |= {(leg.pk, int(one.piece), clock): n for clock, n in one.amounts.items() if n != 0}
    return found


def count_the_run(
    sharing: Sharing, memberships: Sequence[Membership], connections: int | None = None
) -> None:
    """Count what is counted once: one run for each piece, the connections for the subs that wear by them.

    What was counted before and stands is left alone. `connections` is what somebody counted; None takes
    what stands, or the joints that came one by one.
    """
    rows = standing_hours(run=sharing.run, leg=None, event=None)
    there = {(row.piece, row.clock): row for row in rows}
    counted = [row.amount for row in there.values() if row.clock == "connections_n"]
    made = connections if connections is not None else connections_made(memberships)
    amounts = {"runs_n": 1, "connections_n": counted[0] if counted and connections is None else made}
    for piece, kind in {int(stay.piece): stay.kind for stay in memberships}.items():
        for clock, amount in amounts.items():
            if clock in rule_for(kind).clocks and there.pop((piece, clock), None) is None:
                sharing.add(piece, clock, amount)
    for row in there.values():
        sharing.turn(row)


def changed_since(sharing: Sharing) -> set[int] | None:
    """The pieces whose stays changed since the last sharing of this run; None where all must be looked at."""
    rows = Change.objects.filter(
        string=sharing.run.string, id__gt=sharing.run.shared_id, id__lte=sharing.upto
    ).order_by()
    found = dict(rows.values_list("component", "component__spec__kind"))
    around = changed_around(sharing.run.string, since=sharing.run.shared_id, upto=sharing.upto)
    # A motor that came or went moves every piece below it.
    return None if "motor" in found.values() else set(found) | around


def write_hours(line: Journal, rows: Sequence[Earned]) -> list[int]:
    """Steps 4 and 5: the rows of the ledger, then the clocks and the dates of their pieces, which it returns.

    The caller has locked the pieces.
    """
    if not rows:
        return []
    make_clocks({(row.piece, row.clock, "new") for row in rows})  # before: they count what is there
    _insert(line, rows)
    move_clocks(line)
    return sorted({row.piece for row in rows})


_COLUMNS = (
    "journal_id", "seq", "at", "component_id", "clock", "amount", "run_id", "leg_id", "event_id",
    "reverses_id",
)  # fmt: skip


def _insert(line: Journal, rows: Sequence[Earned]) -> None:
    """Write the rows in bulk, past the ORM: a line of 600 joints is thousands of them."""
    at = connection.ops.adapt_datetimefield_value(line.at)
    named = ", ".join(connection.ops.quote_name(name) for name in _COLUMNS)
    table = connection.ops.quote_name(Hours._meta.db_table)
    marks = ", ".join(["%s"] * len(_COLUMNS))
    values = [(line.pk, seq, at, *row) for seq, row in enumerate(rows)]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.executemany(f"INSERT INTO {table} ({named}) VALUES ({marks})", values)
            return
        with cursor.copy(f"COPY {table} ({named}) FROM STDIN") as copy:
            for row in values:
                copy.write_row(row)


def tell(line: Journal, what: Run | Event, ids: Iterable[int]) -> None:
    """Tell the neighbours what happened, inside the same transaction, after the rows of the rack.

    Each is `f(line, what, ids)`; what it may count on stands in DEVELOPERS.md under "Followers".
    """
    touched = list(ids)
    for follow in neighbours("happened"):
        follow(line, what, touched)
