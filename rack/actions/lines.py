"""What people do with a tally's lines: insert, swap, withdraw, tie to a piece, adopt as new pieces."""

from django.db import transaction
from django.db.models import F, Max

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_line, lock_open_place, lock_pieces, lock_tally
from rack.actions.making import NewPiece, make_pieces
from rack.actions.tallies import changed, open_only, refuse_painted, refuse_pieces
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import RANK_STEP, Component, Line, Place, Spec, Tally
from rack.neighbours import tell_received
from rack.people import check_can


def insert_line(asked: Asked, before: Line, painted: str, *, seen: int | None = None) -> Line:
    """Put a line in front of another: the joint that was found between two painted numbers."""
    tally = before.tally
    check_can(asked.hand.user, "tally", tally.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "insert line",
            tally.site,
            f"Put joint {painted} in front of {before} on {tally}",
            {"before": before.pk, "painted": painted},
        )
        now = lock_tally(tally.pk)
        if again:
            return Line.objects.filter(tally=tally, painted=painted).latest("id")
        check_version(open_only(now), seen)
        refuse_painted(now, [painted])
        new = Line.objects.create(tally=now, painted=painted.strip(), rank=_rank_before(now, before))
        changed(now, order=True)
    return new


def swap_lines(asked: Asked, one: Line, other: Line, *, seen: int | None = None) -> None:
    """Let two lines change places: the joints lie the other way round."""
    tally = one.tally
    check_can(asked.hand.user, "tally", tally.site)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "swap lines",
            tally.site,
            f"Swapped {one} and {other} on {tally}",
            {"one": one.pk, "other": other.pk},
        )
        if again:
            return
        now = open_only(lock_tally(tally.pk))
        check_version(now, seen)
        ranks = dict(Line.objects.filter(pk__in=[one.pk, other.pk], tally=now).values_list("pk", "rank"))
        if len(ranks) != 2:
            raise Refused([stops("Choose two lines of the same tally to swap.")])
        Line.objects.filter(pk=one.pk).update(rank=ranks[other.pk])
        Line.objects.filter(pk=other.pk).update(rank=ranks[one.pk])
        changed(now, order=True)


def withdraw_line(asked: Asked, line: Line, reason: str, *, seen: int | None = None) -> None:
    """Take a line out of the sums, with the reason; it stays in the book."""
    check_can(asked.hand.user, "tally", line.tally.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops(f"Say in a few words why {line} is withdrawn.")])
    with transaction.atomic():
        _, again = open_line(
            asked,
            "withdraw line",
            line.tally.site,
            f"Withdrew {line} from {line.tally}: {reason}",
            {"line": line.pk, "reason": reason},
        )
        if again:
            return
        now = lock_line(line)
        check_version(open_only(now.tally), seen)
        Line.objects.filter(pk=line.pk).update(withdrawn=True, reason=reason)
        changed(now.tally, order=True)


def tie_line(asked: Asked, line: Line, piece: Component) -> None:
    """Say which piece a line is."""
    tally = line.tally
    check_can(asked.hand.user, "tally", tally.site)
    with transaction.atomic():
        _, again = open_line(
            asked,
            "tie line",
            tally.site,
            f"{line} of {tally} is {piece}",
            {"line": line.pk, "component": piece.pk},
        )
        if again:
            return
        locked = lock_pieces([piece.pk, line.component_id] if line.component_id else [piece.pk])
        now = open_only(lock_tally(tally.pk))
        refuse_pieces([locked[piece.pk]], tally.site, tally.purpose)
        twin = now.lines.standing().filter(component=piece).exclude(pk=line.pk).first()
        if twin:
            raise Refused(
                [stops(f"{piece} is on {tally} already, as {twin}.", code="twice", where=str(twin))]
            )
        Line.objects.filter(pk=line.pk).update(component=piece)
        changed(now)


def adopt_lines(asked: Asked, tally: Tally, spec: Spec, place: Place) -> int:
    """Make a new piece of each line that has none, to one specification. Returns how many."""
    site = tally.site
    check_can(asked.hand.user, "receive", site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "adopt",
            site,
            f"Took the untied lines of {tally} into the register",
            {"tally": tally.pk, "spec": spec.pk, "place": place.pk},
        )
        if again:
            return Component.objects.filter(move_rows__journal=line).count()
        now = open_only(lock_tally(tally.pk))
        place = lock_open_place(place.pk)
        lines = list(now.lines.standing().filter(component=None).in_order())
        new = [NewPiece(spec=spec, serial=row.serial_typed, painted=row.painted) for row in lines]
        pieces = make_pieces(line, site, place, new)
        for row, piece in zip(lines, pieces, strict=True):
            Line.objects.filter(pk=row.pk).update(component=piece)
        changed(now)
        tell_received(line, [piece.pk for piece in pieces])
    return len(pieces)


def _rank_before(tally: Tally, before: Line) -> int:
    """A rank between `before` and the line in front of it; makes room when there is none left."""
    here = Line.objects.get(pk=before.pk, tally=tally).rank
    front = tally.lines.filter(rank__lt=here).aggregate(top=Max("rank"))["top"] or here - 2 * RANK_STEP
    if here - front >= 2:
        return (front + here) // 2
    tally.lines.filter(rank__gte=here).update(rank=F("rank") + RANK_STEP)
    return here + RANK_STEP // 2
