"""Who was in a string at a moment of the past; and when one piece was in which string."""

from dataclasses import dataclass, replace
from datetime import datetime

from django.db.models import Q

from rack.calc.hours import Leg as LegFacts
from rack.calc.hours import drilled_at, had_joined, reached_at
from rack.models.blindness import blind_again, shut
from rack.models.pieces import Component
from rack.models.runs import Leg, Run
from rack.models.stays import Mark, Stay, as_legs, lengths_in, stays_in
from rack.models.strings import Change, String, What

#: The newest changes of a piece that are looked at for its stays: each stay has two.
MOST_CHANGES, MOST_STAYS = 80, 30


@dataclass(frozen=True)
class ThenRow:
    """One line of the string as it was, from the bit upward; `piece` None for `count` pieces in by count."""

    n: int
    piece: Component | None
    item: str
    length_nm: int | None
    from_bit_nm: int | None
    joined: Mark | None
    count: int = 1


@dataclass(frozen=True)
class Then:
    """The string at a moment: its rows, the run that was on, how deep its lines had come."""

    at: datetime
    rows: tuple[ThenRow, ...]
    run: Run | None
    drilled_nm: int | None
    before: datetime | None
    after: datetime | None


def run_at(string: String, at: datetime) -> Run | None:
    """The run of a string that was on at a moment, the newest of several."""
    rows = string.runs.filter(in_at__lte=at).filter(Q(out_at=None, ended_by=None) | Q(out_at__gte=at))
    return rows.order_by("-number").first()  # type: ignore[no-any-return]


def legs_of_string(string: String) -> list[LegFacts]:
    """Every standing line of every run of a string, as calc takes it."""
    found: list[LegFacts] = []
    by_run: dict[int, list[Leg]] = {}
    for row in Leg.objects.standing().filter(run__string=string).select_related("run").order_by("id"):
        by_run.setdefault(row.run_id, []).append(row)
    for rows in by_run.values():
        found += as_legs(rows[0].run, rows)
    return found


def first_reached(string: String, nm: int) -> tuple[LegFacts, datetime | None] | None:
    """The line that came to a depth first, and when."""
    return reached_at(legs_of_string(string), nm)


def string_then(string: String, at: datetime) -> Then:
    """The string as it hung in the hole at a moment; a fixed number of questions, however long it is."""
    run = run_at(string, at)
    legs = [leg for leg in legs_of_string(string) if run]
    drilled = drilled_at(legs, at) if legs else None
    stays = [stay for stay in stays_in(string) if _was_in(stay, at, run, drilled)]
    moments = string.changes.entered().filter(reversed_by=None).values_list("happened_at", flat=True)
    before = moments.filter(happened_at__lt=at).order_by("-happened_at").first()
    after = moments.filter(happened_at__gt=at).order_by("happened_at").first()
    return Then(at, tuple(_rows(string, stays, at)), run, drilled, before, after)


def _was_in(stay: Stay, at: datetime, run: Run | None, drilled: int | None) -> bool:
    joined, left = stay.joined, stay.left
    # What left comes out on a trip, at a depth that was passed before: only its time says when.
    if left is not None and (left.noted or left.at) <= at:
        return False
    in_nm = run.in_nm if run else None
    return had_joined(joined.at, joined.noted, joined.nm, at=at, in_nm=in_nm, drilled_nm=drilled)


def _rows(string: String, stays: list[Stay], at: datetime) -> list[ThenRow]:
    there = {stay.piece: stay for stay in stays}
    pieces = Component.objects.filter(pk__in=list(there)).select_related("spec").in_bulk()
    lengths = lengths_in(string, there)
    again = blind_again(string.site)
    hidden = set(shut(Component.objects.filter(pk__in=list(there)), again).values_list("pk", flat=True))
    listed = [
        (stay.rank, pk, pieces[pk], str(pieces[pk].spec), None if pk in hidden else lengths.get(pk),
         _without_depth(stay.joined) if pk in hidden else stay.joined, 1)
        for pk, stay in there.items()
    ]
    counted = [
        (row.rank, row.pk, None, f"{row.count_n} x {row.spec}, by count", row.length_nm, None,
         row.count_n)
        for row in string.unlisted.standing().filter(happened_at__lte=at).select_related("spec")
    ]
    found, below, known = [], 0, True
    for n, (_, _, piece, item, nm, joined, count) in enumerate(
        sorted([*listed, *counted], key=lambda row: (row[0], row[1])), 1
    ):
        known = known and nm is not None
        below += nm or 0
        found.append(ThenRow(n, piece, item, nm, below if known else None, joined, count))
    return found


def _without_depth(mark: Mark) -> Mark:
    """When a piece joined, without the depth of the bit, which would tell its length (law 13)."""
    return replace(mark, nm=None)


@dataclass(frozen=True)
class PieceStay:
    """One stay of a piece in the hole, with the change that began it and the one that ended it."""

    string: String
    here: bool
    began: Change
    ended: Change | None


def stays_of(piece: Component) -> list[PieceStay]:
    """When a piece was in the hole, the newest first; a string of another site is not named."""
    rows = piece.change_rows.entered().filter(reversed_by=None).select_related("string__well")
    newest = list(rows.order_by("-at", "-id")[:MOST_CHANGES])
    found: list[PieceStay] = []
    began: Change | None = None
    for row in reversed(newest):
        if began is not None:
            found.append(PieceStay(began.string, began.string.site_id == piece.site_id, began, row))
        began = row if row.what in (What.JOIN, What.RUN) else None
    if began is not None:
        found.append(PieceStay(began.string, began.string.site_id == piece.site_id, began, None))
    return found[::-1][:MOST_STAYS]
