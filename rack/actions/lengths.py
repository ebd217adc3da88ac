"""What people do with the length of one piece alone: tape it, or write down that it holds no longer."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from django.db import transaction

from rack.actions.journal import Asked, open_line
from rack.actions.kept import keep_lengths
from rack.actions.locks import lock_pieces
from rack.calc.checks import Problem, Severity, stops
from rack.calc.kinds import STANDS
from rack.calc.lengths import Length
from rack.calc.straps import question
from rack.calc.telescopes import both_problems
from rack.errors import Refused
from rack.models import Component, Consent, Journal, Strap
from rack.models.blindness import blind_again, shut
from rack.models.lengths import open_line_of, standing_lengths
from rack.people import check_can

#: A reading alone is judged against this many lengths of pieces of the same specification.
BATCH = 300


@dataclass(frozen=True)
class Taped:
    """One length of a piece as it is typed: in which unit, how taken, and how a telescoping tool stood."""

    typed: str
    kind: str
    stands: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Taking:
    """Whose hands and tape; for a telescoping tool which of its two lengths will hold in the hole."""

    tape: str = ""
    hands: str = ""
    holds: str = ""


def strap_piece(
    asked: Asked, piece: Component, taped: Sequence[Taped], taking: Taking, *, sure: bool = False
) -> list[Strap]:
    """Store the length of one piece, read alone; it governs from now on. Returns the rows written.

    A tool that telescopes is given open, closed or both, and the one that holds is written last. What looks
    odd asks, and is taken when the hand is `sure`. A piece that stands on an open tally is read there.
    """
    check_can(asked.hand.user, "strap", piece.site)
    lengths = _lengths(piece, taped, taking)
    with transaction.atomic():
        body = {"component": piece.pk, "taped": [asdict(one) for one in taped], **asdict(taking)}
        line, again = open_line(asked, "strap piece", piece.site, f"Taped {piece} by itself", body)
        if again:
            return list(Strap.objects.filter(journal=line).order_by("seq"))
        now = lock_pieces([piece.pk])[piece.pk]
        _refuse_on_tally(now)
        known = standing_lengths([now.pk]).get(now.pk, {})
        _refuse_exchanged(now, taped, lengths, known)
        asking = _questions(now, taped, lengths)
        if asking and not sure:
            raise Refused(asking)
        rows = _rows(line, now, taped, lengths, taking, known)
        for row in rows:
            row.questions = json.dumps([_plain(one) for one in asking], ensure_ascii=False)
            row.questions_n = len(asking)
        made = Strap.objects.bulk_create(rows)
        if asking:
            Consent.objects.create(journal=line, at=line.at, check_code=asking[0].code, strap=made[0])
        keep_lengths([now.pk])
    return made


def end_length(asked: Asked, piece: Component, reason: str) -> Strap:
    """Write down that a recut, reface or repair ended a piece's length: it has none until taped again."""
    check_can(asked.hand.user, "recut", piece.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say what was done to it: pin recut, box refaced, repaired.", code="reason")])
    with transaction.atomic():
        sentence = f"The length of {piece} holds no longer: {reason}"
        body = {"component": piece.pk, "reason": reason}
        line, again = open_line(asked, "end length", piece.site, sentence, body)
        if again:
            return Strap.objects.get(journal=line)
        now = lock_pieces([piece.pk])[piece.pk]
        _refuse_on_tally(now)
        if now.length_nm is None:
            raise Refused([stops(f"{piece} has no length that could end.", code="ended")])
        kind = now.length_kind or now.spec.kind_entry.lengths[0]
        ended = Strap(journal=line, at=line.at, component=now, strap_n=0, what="ended", nm=None, kind=kind)
        Strap.objects.bulk_create([ended])
        keep_lengths([now.pk])
    return ended


def _lengths(piece: Component, taped: Sequence[Taped], taking: Taking) -> list[Length]:
    """The lengths that were typed, or every reason why they are none."""
    kind = piece.spec.kind_entry
    problems: list[Problem] = []
    lengths: list[Length] = []
    states = [one.stands for one in taped]
    if kind.telescopes:
        if any(state not in STANDS for state in states) or len(set(states)) < len(states):
            problems.append(stops(f"Say for each length of a {kind.name} whether it stood open or closed."))
        if taking.holds not in STANDS:
            problems.append(stops("Say which length will hold in the hole, open or closed.", code="stands"))
    elif any(states) or taking.holds or len(taped) > 1:
        problems.append(stops(f"A {kind.name} has one length, neither open nor closed.", code="stands"))
    if not taped and not (kind.telescopes and taking.holds):
        problems.append(stops("Type the length that was read.", code="length"))
    for one in taped:
        if one.kind not in kind.lengths:
            problems.append(stops(f"A {kind.name} is measured {' or '.join(kind.lengths)}.", code="kind"))
        try:
            length = Length.parse(one.typed, one.unit or piece.site.length_unit)
        except ValueError as wrong:
            problems.append(stops(str(wrong), code="length", measured=one.typed[:40]))
            continue
        if length.nanometres <= 0:
            problems.append(stops("A piece is longer than nothing; type its length.", code="length"))
        lengths.append(length)
    if problems:
        raise Refused(list(dict.fromkeys(problems)))
    return lengths


def _refuse_on_tally(piece: Component) -> None:
    """No length of a piece changes under an open tally: it would tell a blind hand what the first read."""
    there = open_line_of(piece)
    if there:
        raise Refused(
            [
                stops(
                    f"{piece} stands on {there.tally}, which is open, as {there}. "
                    "Read it there, or withdraw it from the tally first.",
                    code="open",
                )
            ]
        )


def _refuse_exchanged(
    piece: Component, taped: Sequence[Taped], lengths: list[Length], known: dict[str, Strap]
) -> None:
    """Open is longer than closed, also against the one of them that was taken before in the same way."""
    if not piece.spec.kind_entry.telescopes:
        return
    fresh = {one.stands: (length, one.kind) for one, length in zip(taped, lengths, strict=True)}
    before = {name: (Length(row.nm or 0), row.kind) for name, row in known.items()}
    both = [{**before, **fresh}.get(name) for name in STANDS]
    if both[0] and both[1] and both[0][1] == both[1][1]:
        site = piece.site
        problems = both_problems(both[0][0], both[1][0], unit=site.length_unit, digits=site.digits)
        if problems:
            raise Refused(problems)


def _questions(piece: Component, taped: Sequence[Taped], lengths: list[Length]) -> list[Problem]:
    """What looks odd: judged against its like, except for tools, of which no two are alike."""
    site, found = piece.site, []
    for one, length in zip(taped, lengths, strict=True):
        batch = [] if one.stands else _like(piece, one.kind)
        found += question(
            length, batch, kind=piece.spec.kind, unit=one.unit or site.length_unit, digits=site.digits
        )
    return [one for one in found if one.severity is Severity.ASKS]


def _like(piece: Component, kind: str) -> list[Length]:
    rows = Component.objects.at(piece.site).filter(spec=piece.spec_id, length_kind=kind)
    rows = rows.exclude(pk=piece.pk).exclude(length_nm=None)
    again = blind_again(piece.site)
    if again:
        rows = rows.exclude(pk__in=shut(rows, again).values("pk"))
    return [Length(nm) for nm in rows.order_by("-id").values_list("length_nm", flat=True)[:BATCH]]


def _rows(
    line: Journal,
    piece: Component,
    taped: Sequence[Taped],
    lengths: list[Length],
    taking: Taking,
    known: dict[str, Strap],
) -> list[Strap]:
    """The rows to write, the one that holds last: the newest governs."""
    rows = [
        Strap(
            journal=line, at=line.at, component=piece, strap_n=0, what="reading", nm=length.nanometres,
            kind=one.kind, stands=one.stands, typed=one.typed.strip()[:40],
            typed_unit=one.unit or piece.site.length_unit, tape=taking.tape[:40], hands=taking.hands[:160],
        )
        for one, length in zip(taped, lengths, strict=True)
    ]  # fmt: skip
    if taking.holds and all(row.stands != taking.holds for row in rows):
        rows.append(_again(line, piece, taking.holds, known))
    rows.sort(key=lambda row: row.stands == taking.holds)
    for seq, row in enumerate(rows):
        row.seq = seq
    return rows


def _again(line: Journal, piece: Component, holds: str, known: dict[str, Strap]) -> Strap:
    """The length that holds from now on was taken before: its reading is written once more, as it was."""
    was = known.get(holds)
    if was is None:
        raise Refused([stops(f"The length of {piece} {holds} is not known; type it too.", code="stands")])
    return Strap(
        journal=line, at=line.at, component=piece, strap_n=0, what="reading", nm=was.nm, kind=was.kind,
        stands=was.stands, typed=was.typed, typed_unit=was.typed_unit, tape=was.tape, hands=was.hands,
    )  # fmt: skip


def _plain(problem: Problem) -> dict[str, str]:
    return {"severity": problem.severity, "code": problem.code, "text": problem.text}
