"""Pieces that are in a string by count only: "15 heavy-weight, list to follow"; and naming them later."""

from collections.abc import Sequence

from django.db import transaction
from django.db.models import F

from rack.actions.doing import Said, check_times, open_doing, settle, tidy, write
from rack.actions.entering import joining
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_string
from rack.actions.places import hole_of
from rack.calc.checks import stops
from rack.errors import Refused
from rack.models import Change, Component, Journal, Spec, String, Unlisted, What
from rack.models.running import ranks_of
from rack.people import check_can

MOST = 1000


def put_in_by_count(
    asked: Asked, string: String, spec: Spec, count: int, *, length_nm: int | None = None, note: str = ""
) -> Unlisted:
    """Put pieces in by their count on top of the hole; their length is not known until they are named."""
    check_can(asked.hand.user, "run", string.site)
    note = " ".join(note.split())[:120]
    if not 1 <= count <= MOST:
        raise Refused([stops(f"Put in 1 to {MOST} pieces by count; {count} was typed.", code="count")])
    if length_nm is not None and length_nm <= 0:
        raise Refused([stops("A length is more than nothing; leave it blank when it is not known.")])
    with transaction.atomic():
        body = {"string": string.pk, "spec": spec.pk, "count": count, "length_nm": length_nm, "note": note}
        sentence = f"Put {count} x {spec} in {string}, list to follow"
        line, again = open_line(asked, "put in by count", string.site, sentence, body)
        if again:
            return Unlisted.objects.get(journal=line, reverses=None)
        now = lock_string(string.pk)
        if now.ended_at:
            raise Refused([stops(f"{now} has come to its end.", code="string")])
        rank = ranks_of(now, 1)[0]
        made = Unlisted.objects.bulk_create([Unlisted(
            journal=line, at=line.at, string=now, spec=spec, count_n=count,
            happened_at=line.made_at or line.at, rank=rank, length_nm=length_nm, note=note,
        )])[0]  # fmt: skip
        String.objects.filter(pk=now.pk).update(version=F("version") + 1)
    return made


def name_them(
    asked: Asked, string: String, counted: Unlisted, pieces: Sequence[Component], said: Said | None = None
) -> list[Change]:
    """Name the pieces that were in by count only, lowest first: as many as were counted."""
    said = tidy(said)
    ids = [piece.pk for piece in pieces]
    with transaction.atomic():
        sentence = f"Named {len(ids)} pieces of {string}"
        doing = open_doing(asked, "name counted", string, ids, said, sentence, counted=counted.pk)
        if doing is None:
            return list(Change.objects.filter(journal__key=asked.key, reverses=None).order_by("seq"))
        _still_counted(doing.string, counted, len(ids))
        entering = joining(doing.string, [doing.pieces[pk] for pk in ids])
        doing.problems += entering.problems
        check_times(doing)
        settle(doing)
        hole = hole_of(string.site)
        for n, row in enumerate(entering.rows):
            doing.change(
                row.piece, What.JOIN, counted.rank - len(ids) + 1 + n, hole, "in_string", **row.length
            )
        _reverse(doing.line, counted)
        return write(doing)


def take_out_by_count(asked: Asked, string: String, counted: Unlisted) -> None:
    """Take back pieces that were put in by their count."""
    check_can(asked.hand.user, "run", string.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "take out by count",
            string.site,
            f"Took {counted} out of {string}",
            {"counted": counted.pk},
        )
        if again:
            return
        _still_counted(lock_string(string.pk), counted, counted.count_n)
        _reverse(line, counted)
        String.objects.filter(pk=string.pk).update(version=F("version") + 1)


def _still_counted(string: String, counted: Unlisted, count: int) -> None:
    if not string.unlisted.standing().filter(pk=counted.pk).exists():
        raise Refused([stops("These pieces were named or taken out already.", code="unlisted")])
    if count != counted.count_n:
        raise Refused([stops(
            f"{counted.count_n} pieces are in by count and {count} were named; name as many as were counted.",
            code="count", measured=str(count), limit=str(counted.count_n),
        )])  # fmt: skip


def _reverse(line: Journal, counted: Unlisted) -> None:
    Unlisted.objects.bulk_create([Unlisted(
        journal=line, at=line.at, string_id=counted.string_id, spec_id=counted.spec_id,
        count_n=counted.count_n, happened_at=counted.happened_at, rank=counted.rank,
        length_nm=counted.length_nm, note=counted.note, reverses=counted,
    )])  # fmt: skip
