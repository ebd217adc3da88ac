"""Which pieces were in a run and when, read from the changes of its string; its lines as calc takes them."""

import json
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Case, F, Max, Q, Value, When

from rack.calc.hours import Leg, Membership, RunFacts, share
from rack.models.around import around, newest_around
from rack.models.pieces import Component
from rack.models.runs import Leg as LegRow
from rack.models.runs import Run
from rack.models.strings import Change, Member, String, What

_IN = (What.JOIN, What.RUN)


@dataclass(frozen=True)
class Stay:
    """One stay of a piece in the hole, from one change to another; `noted` marks are the hand's own."""

    piece: int
    kind: str
    rank: int
    joined: "Mark"
    left: "Mark | None" = None


@dataclass(frozen=True)
class Mark:
    """When and at which depth of the bit a change happened; `at` is the moment by which pieces are ordered.

    `noted` is the time that the hand wrote down, None where only the clock of the entry is known and the
    depth says more.
    """

    at: datetime
    noted: datetime | None
    nm: int | None


def newest_change(string: String) -> int:
    """The newest change of a string or of the casing around it, 0 for none.

    What a sharing takes into account is up to it.
    """
    own = Change.objects.filter(string=string).aggregate(newest=Max("id"))["newest"] or 0
    return max(own, newest_around(string))


def stays_in(string: String, *, upto: int | None = None, using: str = "default") -> list[Stay]:
    """Every stay of every piece in the hole of a string, as its changes up to `upto` gave them."""
    rows = Change.objects.using(using).entered().filter(string=string)
    if upto is None:
        rows = rows.filter(reversed_by=None)
    else:
        rows = rows.filter(Q(reversed_by=None) | Q(reversed_by__id__gt=upto), id__lte=upto)
    found: list[Stay] = []
    in_now: dict[int, int] = {}
    kinds = dict(Component.objects.using(using).filter(pk__in=rows.order_by().values("component"))
                 .values_list("pk", "spec__kind"))  # fmt: skip
    # Only where a depth was noted does it matter whether the time is the hand's own; the database compares.
    by_clock = Q(happened_at=F("journal__at")) | Q(happened_at=F("journal__made_at"))
    unnoted_at = Case(When(by_clock & Q(depth_nm__isnull=False), then=Value(1)), default=Value(0))
    for piece, what, at, nm, rank, unnoted in rows.order_by("id").values_list(
        "component", "what", "happened_at", "depth_nm", "rank", unnoted_at
    ):
        mark, kind = Mark(at, None if unnoted else at, nm), kinds[piece]
        place = in_now.pop(piece, None)
        if place is not None:
            found[place] = replace(found[place], left=mark)
        if what in _IN:
            in_now[piece] = len(found)
            found.append(Stay(piece, kind, rank, mark))
    return found


def memberships_of(run: Run, *, upto: int | None = None, using: str = "default") -> list[Membership]:
    """The pieces that turn in a run, from its string and the casing around it, as the sharing takes them."""
    inside = memberships_in(run, upto=upto, using=using)
    return inside + around(run, upto=upto, using=using)


def memberships_in(run: Run, *, upto: int | None = None, using: str = "default") -> list[Membership]:
    """The pieces of the string that were in the hole during a run."""
    stays = [stay for stay in stays_in(run.string, upto=upto, using=using) if _touches(run, stay)]
    motors = [stay.rank for stay in stays if stay.kind == "motor"]
    highest = max(motors, default=0)
    return [_membership(run, stay, below=bool(motors) and stay.rank < highest) for stay in stays]


def _touches(run: Run, stay: Stay) -> bool:
    """Whether a stay meets the run at all: it neither ended before it nor began after it."""
    joined, left = stay.joined, stay.left
    if run.in_at and left and left.at <= run.in_at:
        return False
    if run.out_at and joined.noted and joined.noted >= run.out_at:
        return False
    return not (
        joined.noted is None and run.out_nm is not None and joined.nm is not None and joined.nm >= run.out_nm
    )


def _membership(run: Run, stay: Stay, *, below: bool) -> Membership:
    at, nm = stay.joined.noted, stay.joined.nm
    if (at and run.in_at and at <= run.in_at) or (
        at is None and nm is not None and run.in_nm is not None and nm <= run.in_nm
    ):
        at = nm = None
    # A trip passes every depth again, so that the depth of leaving says nothing of when: a piece of which
    # only that is known was in until somebody wrote down that it had left.
    left = stay.left
    out, out_nm = (left.at, left.nm) if left else (None, None)
    if out and run.out_at and out >= run.out_at:
        out = out_nm = None
    return Membership(stay.piece, stay.kind, at, out, nm, out_nm, rank=stay.rank, below_motor=below)


def changed_late(run: Run, rows: Iterable[LegRow]) -> bool:
    """Whether these lines of a run would be shared otherwise by now than when it was done last.

    Most changes of a string come after its lines and take nothing from them.
    """
    if newest_change(run.string) <= run.shared_id:
        return False
    old, new = (memberships_of(run, upto=upto) for upto in (run.shared_id, None))
    changed, before, now = differing(old, new), _by_piece(old), _by_piece(new)
    lines, policy = as_legs(run, rows) if changed else [], policy_of(run)
    return any(_earn(line, before, changed, policy) != _earn(line, now, changed, policy) for line in lines)


def differing(old: Iterable[Membership], new: Iterable[Membership]) -> set[int]:
    """The pieces whose stays are others in `new` than in `old`: only they are shared otherwise."""
    before, now = _by_piece(old), _by_piece(new)
    return {int(piece) for piece in {*before, *now} if before.get(piece) != now.get(piece)}


def _by_piece(stays: Iterable[Membership]) -> dict[int | str, list[Membership]]:
    found: dict[int | str, list[Membership]] = {}
    for stay in stays:
        found.setdefault(stay.piece, []).append(stay)
    return found


def _earn(
    line: Leg, stays: dict[int | str, list[Membership]], pieces: Collection[int | str], policy: dict[str, str]
) -> dict[int | str, dict[str, int | None]]:
    some = [stay for piece in pieces for stay in stays.get(piece, ())]
    earned = {one.piece: {clock: n for clock, n in one.amounts.items() if n != 0}
              for one in share(line, some, policy)}  # fmt: skip
    return {piece: amounts for piece, amounts in earned.items() if amounts}


def legs_of(run: Run, *, using: str = "default") -> list[LegRow]:
    """The standing lines of a run, in the order of their entry."""
    return list(LegRow.objects.using(using).standing().filter(run=run).order_by("id"))


def as_leg(row: LegRow, zone: ZoneInfo, n: int) -> Leg:
    """A stored line as calc takes it, its times by the clock of the run."""
    return Leg(
        row.from_at and row.from_at.astimezone(zone), row.to_at and row.to_at.astimezone(zone),
        row.from_nm, row.to_nm, row.rotating_s, row.sliding_s, row.circulating_s, row.bottom_s,
        row.below_rotary_s, row.rpm, n=n,
    )  # fmt: skip


def as_legs(run: Run, rows: Iterable[LegRow]) -> list[Leg]:
    zone = ZoneInfo(run.tz)
    return [as_leg(row, zone, n) for n, row in enumerate(rows, 1)]


def facts_of_run(run: Run) -> RunFacts:
    zone = ZoneInfo(run.tz)
    return RunFacts(
        str(run), run.in_at and run.in_at.astimezone(zone), run.out_at and run.out_at.astimezone(zone)
    )


def policy_of(run: Run) -> dict[str, str]:
    """What the office chose over the table, kind -> policy."""
    return dict(json.loads(run.policy))


def in_the_hole_at(string: String, at: datetime) -> list[tuple[int, int | None]]:
    """The pieces in the hole at a moment, from the bit upward, each with its distance from the bit (nm).

    Counted from the bit, so that it does not change when the string grows; None as soon as a length below
    is not known, pieces that are in by count only among them.
    """
    there = {
        stay.piece: stay.rank
        for stay in stays_in(string)
        if stay.joined.at <= at and (stay.left is None or stay.left.at > at)
    }
    lengths = lengths_in(string, there)
    counted = [(rank, nm) for rank, nm in string.unlisted.standing().filter(happened_at__lte=at).values_list(
        "rank", "length_nm")]  # fmt: skip
    rows: list[tuple[int, int | None, int | None]] = [
        (rank, piece, lengths.get(piece)) for piece, rank in there.items()
    ]
    rows += [(rank, None, nm) for rank, nm in counted]
    found: list[tuple[int, int | None]] = []
    below: int | None = 0
    for _, piece, nm in sorted(rows, key=lambda row: (row[0], row[1] or 0)):
        if piece is not None:
            found.append((piece, below))
        below = None if below is None or nm is None else below + nm
    return found


def lengths_in(string: String, ids: Collection[int]) -> dict[int, int | None]:
    rows = Member.objects.filter(string=string, component__in=list(ids)).order_by("id")
    return dict(rows.values_list("component", "length_nm"))
