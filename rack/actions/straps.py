"""What people do with the tape: read a joint, take it back, confirm it, begin and finish a strap."""

import json

from django.db import transaction

from rack.actions.journal import Asked, open_line
from rack.actions.kept import keep_lines
from rack.actions.locks import lock_line, lock_tally
from rack.actions.reading import Reading as Reading
from rack.actions.reading import check_stands, length_typed, stands_problems
from rack.actions.tallies import append_line, changed, open_only
from rack.calc.checks import Problem, Severity, asks, note, stops
from rack.calc.closing import settles
from rack.calc.lengths import Length
from rack.calc.straps import GATE, question
from rack.errors import Refused
from rack.models import Consent, Journal, Line, Strap, StrapHead, Tally
from rack.models.lengths import listed_length
from rack.models.strap_hands import TAPE_AGAIN
from rack.people import check_can

#: A reading is judged against this many others of its strap.
BATCH = 300


def read(asked: Asked, reading: Reading) -> Strap:
    """Store one reading. One that looks wrong is stored too and asks; an earlier one is taken back.

    A reading names its line; where it names only a painted number, the line with that number is
    read, or a new one is put at the end.
    """
    tally = reading.tally
    check_can(asked.hand.user, "strap", tally.site)
    if tally.words.by_stand:
        raise Refused([stops(f"{tally} is read by the stand, not by the joint.", code="purpose")])
    length = length_typed(reading)
    with transaction.atomic():
        body = {
            "tally": tally.pk,
            "strap": reading.strap_n,
            "typed": reading.typed,
            "unit": reading.unit,
            "line": reading.line and reading.line.pk,
            "painted": reading.painted,
        }
        if reading.tape or reading.hands:
            body |= {"tape": reading.tape, "hands": reading.hands}
        name = reading.line or f"joint {reading.painted}"
        verb = TAPE_AGAIN if reading.settling else "read"
        line, again = open_line(asked, verb, tally.site, f"Read {name} of {tally}", body)
        if again:
            return Strap.objects.entered().get(journal=line)
        row = _lock_line_of(reading)
        check_stands(row, reading.stands)
        head = _head(row.tally, reading.strap_n)
        return _store(line, row, head, reading, length)


def take_back(asked: Asked, strap: Strap) -> Strap:
    """Take back one reading by an entry that reverses it. A reading is taken back once."""
    row = strap.line
    if row is None or strap.strap_n == 0:
        raise Refused([stops("Only a reading of an open tally can be taken back here.", code="take back")])
    check_can(asked.hand.user, "strap", row.tally.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "take back",
            row.tally.site,
            f"Took back the reading of {row} of {row.tally}",
            {"strap": strap.pk},
        )
        if again:
            return Strap.objects.get(journal=line)
        open_only(lock_line(row).tally)
        if strap.reverses_id or Strap.objects.filter(reverses=strap).exists():
            raise Refused([stops(f"This reading of {row} was taken back already.", code="take back")])
        back = _reversal(line, 0, strap)
        Strap.objects.bulk_create([back])
        keep_lines([row.pk])
    return back


def confirm(asked: Asked, strap: Strap) -> Consent:
    """Say yes to what a reading asks: it reads so."""
    row = strap.line
    if row is None:
        raise Refused([stops("This reading belongs to no line.", code="confirm")])
    check_can(asked.hand.user, "strap", row.tally.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "confirm",
            row.tally.site,
            f"Confirmed the reading of {row} of {row.tally}",
            {"strap": strap.pk},
        )
        if again:
            return Consent.objects.get(journal=line)
        open_only(lock_line(row).tally)
        found = [one["code"] for one in json.loads(strap.questions) if one["severity"] == Severity.ASKS]
        code = found[0] if found else ""
        consent = Consent.objects.create(journal=line, at=line.at, check_code=code, strap=strap)
        keep_lines([row.pk])
    return consent


def tape_again(asked: Asked, row: Line, typed: str) -> Strap:
    """Store a third reading of a joint on which two straps differ; it replaces the one it contradicts."""
    if row.first_nm is None or row.second_nm is None:
        raise Refused([stops(f"{row} was not read by two straps; read it on the strap page.", code="again")])
    length = length_typed(Reading(tally=row.tally, typed=typed))
    strap_n = settles(Length(row.first_nm), Length(row.second_nm), length, GATE)
    if row.tally.is_blind:
        raise Refused([stops("The second strap is open; finish it before a joint is taped again.")])
    return read(asked, Reading(tally=row.tally, typed=typed, strap_n=strap_n, line=row, settling=True))


def begin_strap(asked: Asked, tally: Tally, strap_n: int, tape: str, reader: str, writer: str) -> StrapHead:
    """Begin a strap with its own hands. Beginning the second one finishes the first."""
    check_can(asked.hand.user, "strap", tally.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "begin strap",
            tally.site,
            f"Began strap {strap_n} of {tally}",
            {"tally": tally.pk, "strap": strap_n, "tape": tape, "reader": reader, "writer": writer},
        )
        now = lock_tally(tally.pk)
        begun = now.heads.filter(strap_n=strap_n).first()
        if begun is not None:
            same = (begun.tape, begun.reader, begun.writer) == (tape[:40], reader[:60], writer[:60])
            if not (again or same):
                # Hands that somebody typed are on the sheet or are refused, never put away quietly.
                by = f" by {begun.hands}" if begun.hands else ""
                raise Refused([stops(f"Strap {strap_n} of {now} is begun already{by}; go on with it.",
                                     code="twice")])
            return begun
        open_only(now)
        if strap_n == 2 and not now.lines.standing().exclude(first_nm=None).exists():
            raise Refused([stops("Take the first strap before the second.", code="order")])
        now.heads.filter(strap_n=1, finished_at=None).update(finished_at=line.at)
        changed(now)
        return StrapHead.objects.create(
            tally=now,
            strap_n=strap_n,
            tape=tape[:40],
            reader=reader[:60],
            writer=writer[:60],
            begun_at=line.at,
            begun_by=line,
        )


def finish_strap(asked: Asked, tally: Tally, strap_n: int) -> StrapHead:
    """Finish a strap. With the second one finished, both are shown and compared."""
    check_can(asked.hand.user, "strap", tally.site)
    with transaction.atomic():
        line, again = open_line(
            asked,
            "finish strap",
            tally.site,
            f"Finished strap {strap_n} of {tally}",
            {"tally": tally.pk, "strap": strap_n},
        )
        now = lock_tally(tally.pk)
        head = now.heads.filter(strap_n=strap_n).first()
        if head is None:
            raise Refused([stops(f"Strap {strap_n} of {tally} was not begun.", code="order")])
        if again or head.finished_at:
            return head
        open_only(now)
        if strap_n == 2 and not now.lines.standing().exclude(second_nm=None).exists():
            raise Refused([stops("The second strap has no reading yet; take it before it is finished.")])
        now.heads.filter(pk=head.pk).update(finished_at=line.at)
        changed(now)
        head.finished_at = line.at
    return head


def _lock_line_of(reading: Reading) -> Line:
    """The line that is read, locked; made at the end when the painted number is new."""
    if reading.line:
        return _standing(lock_line(reading.line))
    if not reading.painted.strip():
        raise Refused([stops("Say which joint was read: its painted number.", code="painted")])
    known = reading.tally.lines.standing().filter(painted=reading.painted.strip()).first()
    if known:
        return _standing(lock_line(known))
    tally = open_only(lock_tally(reading.tally.pk))
    # Somebody may have put the same number there while this hand waited for the lock.
    return tally.lines.standing().filter(painted=reading.painted.strip()).first() or append_line(
        tally, reading.painted.strip()
    )


def _store(line: Journal, row: Line, head: StrapHead, reading: Reading, length: Length) -> Strap:
    standing = Strap.objects.standing().filter(line=row, strap_n=reading.strap_n)
    earlier = standing.select_related("journal").order_by("-id").first()
    found = _questions(row, reading, length) + _read_before(row, reading, length, earlier, line)
    found += stands_problems(row, length, reading.stands)
    asking = [one for one in found if one.severity is Severity.ASKS]
    rows = [_reversal(line, 1, earlier)] if earlier else []
    strap = Strap(
        journal=line,
        seq=0,
        at=line.at,
        line=row,
        component_id=row.component_id,
        strap_n=reading.strap_n,
        what="reading",
        nm=length.nanometres,
        kind=row.tally.kind,
        typed=reading.typed.strip()[:40],
        typed_unit=reading.unit or row.tally.unit,
        stands=reading.stands,
        tape=(reading.tape or head.tape)[:40],
        hands=(reading.hands or head.hands)[:160],
        questions_n=len(asking),
        questions=json.dumps(
            [{"severity": one.severity, "code": one.code, "text": one.text} for one in found],
            ensure_ascii=False,
        ),
    )
    Strap.objects.bulk_create([strap, *rows])
    keep_lines([row.pk])
    return strap


def _questions(row: Line, reading: Reading, length: Length) -> list[Problem]:
    """What looks wrong with a reading, judged by its own strap alone: the other one stays unseen.

    What the sender's list has for this very joint, too, is not asked about.
    """
    tally = row.tally
    others = Strap.objects.standing().filter(line__tally=tally, strap_n=reading.strap_n).exclude(line=row)
    newest = others.order_by("-id").values_list("nm", flat=True)[:BATCH]
    batch = [Length(nm) for nm in newest if nm is not None]
    spec = row.component.spec if row.component else tally.spec
    kind_of_piece = spec.kind if spec else ""
    found = question(length, batch, kind=kind_of_piece, unit=tally.unit, digits=tally.digits)
    known = listed_length(row.component, tally.kind) if found and row.component else None
    if known is None:
        return found
    return question(length, batch, kind=kind_of_piece, unit=tally.unit, digits=tally.digits, known=known)


def _read_before(
    row: Line, reading: Reading, length: Length, earlier: Strap | None, line: Journal
) -> list[Problem]:
    """What to say of a joint that this strap has read already. Another hand's reading is asked about:
    two people may be reading the same tally at once."""
    if earlier is None or earlier.nm == length.nanometres:
        return []
    tally = row.tally
    was = Length(earlier.nm or 0).shown(tally.unit, tally.digits)
    text = f"{row} was read before as {was} {tally.unit}. The later reading holds."
    mine = reading.settling or earlier.journal.by_id == line.by_id
    text = text[0].upper() + text[1:]
    return [(note if mine else asks)(text, code="again", where=str(row))]


def _reversal(line: Journal, seq: int, strap: Strap) -> Strap:
    return Strap(
        journal=line,
        seq=seq,
        at=line.at,
        line_id=strap.line_id,
        component_id=strap.component_id,
        strap_n=strap.strap_n,
        what=strap.what,
        nm=strap.nm,
        kind=strap.kind,
        typed=strap.typed,
        typed_unit=strap.typed_unit,
        stands=strap.stands,
        tape=strap.tape,
        hands=strap.hands,
        reverses=strap,
    )


def _head(tally: Tally, strap_n: int) -> StrapHead:
    head = tally.heads.filter(strap_n=strap_n).first()
    if head is None:
        raise Refused([stops(f"Strap {strap_n} of {tally} was not begun; say first whose hands take it.")])
    return head


def _standing(row: Line) -> Line:
    open_only(row.tally)
    if row.withdrawn:
        raise Refused([stops(f"{row} was withdrawn: {row.reason}.", code="withdrawn")])
    return row
