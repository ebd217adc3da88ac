"""The casing in which a string turns: what stays in the same well earns the hours turned inside it.

Source of what counts: table hours_basis, row "casing (wear)". Which joints the tool joints passed is not
told apart: the bit may hang above a joint, and a liner covers only a part; both are left on the safe side.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, Max, OuterRef, Q

from rack.calc.hours import Membership, worn_kinds
from rack.models.pieces import Move
from rack.models.runs import Run
from rack.models.strings import Change, String, What

#: A string that hangs from one of these begins in the casing above and covers only its lower part.
_LINER = "liner_hanger"


@dataclass(frozen=True)
class Left:
    """A piece of casing that stays in the well, since when; `covered` is when a later string covered it."""

    piece: int
    kind: str
    at: datetime
    covered: datetime | None


def newest_around(string: String) -> int:
    """The newest change of casing of other strings of the well, 0 for none."""
    return int(_changes(string).aggregate(newest=Max("id"))["newest"] or 0)


def around(run: Run, *, upto: int | None = None, using: str = "default") -> list[Membership]:
    """The casing in which a run turned, as the sharing takes it, by the changes up to `upto`.

    What was left there before the run began is around it from the start. Whatever came back to the rack
    before the run began was not around it.
    """
    begins = run.in_at or run.begun_by.at
    left_there = list(_left(run.string, upto=upto, using=using))
    back = _came_back(left_there, begins, using)
    found = []
    for left in left_there:
        over = left.covered is not None and left.covered <= begins
        if over or (run.out_at and left.at >= run.out_at) or back.get(left.piece, left.at) > left.at:
            continue
        joined = left.at if left.at > begins else None
        found.append(Membership(left.piece, left.kind, joined, left.covered, around=True))
    return found


def pieces_around(string: String, *, upto: int) -> set[int]:
    """Every piece of casing that a run of the string may ever have turned in: locked before it is posted."""
    return set(_changes(string).filter(what=What.LEAVE, id__lte=upto).values_list("component", flat=True))


def changed_around(string: String, *, since: int, upto: int) -> set[int]:
    """The casing around a string where any of it changed after `since`: a new string covers the others."""
    changed = _changes(string).filter(id__gt=since, id__lte=upto).exists()
    return pieces_around(string, upto=upto) if changed else set()


def _changes(string: String) -> Any:
    """The changes of casing of the other strings of a well."""
    rows = Change.objects.filter(string__well=string.well_id, component__spec__kind__in=worn_kinds())
    return rows.exclude(string=string).order_by()


def _left(string: String, *, upto: int | None, using: str) -> Iterator[Left]:
    rows = _changes(string).using(using).entered().filter(what=What.LEAVE)
    if upto is None:
        rows = rows.filter(reversed_by=None)
    else:
        rows = rows.filter(Q(reversed_by=None) | Q(reversed_by__id__gt=upto), id__lte=upto)
    stays = Move.objects.using(using).filter(
        journal=OuterRef("journal"), component=OuterRef("component"), to_state="left_in_well"
    )
    names = ("string", "component", "component__spec__kind", "happened_at")
    left = list(rows.filter(Exists(stays)).order_by("id").values_list(*names))
    liners = {of for of, _, kind, _ in left if kind == _LINER}
    whole: dict[int, datetime] = {}
    for of, _, _, at in left:
        if of not in liners:
            whole[of] = max(at, whole.get(of, at))
    for of, piece, kind, at in left:
        later = [when for other, when in whole.items() if other != of and when > at]
        yield Left(piece, kind, at, min(later, default=None))


def _came_back(left: Sequence[Left], begins: datetime, using: str) -> dict[int, datetime]:
    """When a piece was last taken out of the well again before the run began."""
    back = (
        Move.objects.using(using)
        .entered()
        .filter(component__in=[one.piece for one in left], from_state="left_in_well", at__lte=begins)
    )
    return dict(back.exclude(to_state="left_in_well").order_by("id").values_list("component", "at"))
