"""Taking back what was written of a string: entries that reverse, once, the newest first."""

from django.db import transaction

from rack.actions.doing import settle_kept
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces, lock_string
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Change, Journal, Move, String
from rack.neighbours import tell_stayed
from rack.people import check_can


def take_back(asked: Asked, string: String, done: Journal) -> list[Change]:
    """Take back everything that one line of the journal wrote of this string's pieces.

    Only while nothing later stands of the same pieces, in this string or another.
    """
    check_can(asked.hand.user, "run", string.site)
    rows = list(Change.objects.standing().filter(journal=done, string=string).order_by("-id"))
    with transaction.atomic():
        body = {"string": string.pk, "line": done.pk}
        line, again = open_line(asked, "take back change", string.site, f"Took back: {done.sentence}", body)
        if again:
            return list(Change.objects.filter(journal=line).order_by("seq"))
        ids = {row.component_id for row in rows}
        pieces = lock_pieces(ids)
        now = lock_string(string.pk)
        rows = list(Change.objects.standing().filter(journal=done, string=now).order_by("-id"))
        if not rows:
            raise Refused([stops("This was taken back already.", code="take back")])
        _nothing_later(rows, done)
        moves = Move.objects.standing().filter(journal=done, component__in=ids).order_by("-seq")
        back = [
            Move(journal=line, seq=seq, at=line.at, component_id=move.component_id,
                 from_place_id=pieces[move.component_id].place_id, to_place_id=move.from_place_id,
                 from_state=move.to_state, to_state=move.from_state, reverses=move)
            for seq, move in enumerate(moves)
        ]  # fmt: skip
        changes = Change.objects.bulk_create(
            Change(journal=line, seq=seq, at=line.at, component_id=row.component_id, string=now,
                   what=row.what, happened_at=row.happened_at, depth_nm=row.depth_nm, rank=row.rank,
                   length_nm=row.length_nm, length_how=row.length_how, reason=row.reason, reverses=row)
            for seq, row in enumerate(rows)
        )  # fmt: skip
        Move.objects.bulk_create(back)
        settle_kept(now, back)
        tell_stayed(line, back)
    return changes


def _nothing_later(rows: list[Change], done: Journal) -> None:
    """Refuse while anything that stands was written of these pieces after this line."""
    ids = [row.component_id for row in rows]
    changed = Change.objects.standing().filter(component__in=ids, journal__gt=done.pk)
    moved = Move.objects.standing().filter(component__in=ids, journal__gt=done.pk)
    for later in (
        changed.select_related("component", "journal"),
        moved.select_related("component", "journal"),
    ):
        first = later.order_by("-id").first()
        if first:
            raise Refused([stops(
                f"{first.component} was changed after that: {first.journal.sentence}. Take that back first.",
                code="take back",
            )])  # fmt: skip
