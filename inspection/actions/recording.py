"""Recording what an inspector found: a piece or a batch in one transaction, with all that follows from it."""

import json
from collections.abc import Mapping, Sequence

from django.db import transaction
from django.db.models import F, OuterRef, Subquery

from inspection.actions.found import Found, Head, Judged, Kept
from inspection.actions.judging import head_problems, judge
from inspection.actions.limits import settle
from inspection.calc.criteria import scheme
from inspection.models import Finding, Inspection, Job, JobPiece, Method, Reading
from inspection.models.facts import since_of
from rack.actions.files import file_row
from rack.actions.journal import Asked, open_line
from rack.actions.kept import keep_lengths
from rack.actions.locks import lock_pieces
from rack.calc.checks import Problem, Severity, stops
from rack.errors import Refused
from rack.models import Component, Consent, File, Hold, Journal, Site, Strap
from rack.people import check_can

#: So many pieces are recorded in one transaction.
MOST = 200


def record(
    asked: Asked, site: Site, head: Head, found: Sequence[Found], *, reason: str = ""
) -> list[Inspection]:
    """Record a batch of inspections, all or none; what asks is answered by a `reason`, which is stored.

    Class, limits and dates follow at once; what is rejected or to be repaired is held; an end that was cut
    ends the length; the job's pieces are ticked off.
    """
    check_can(asked.hand.user, "inspect", site)
    reason = " ".join(reason.split())[:300]
    with transaction.atomic():
        names = "1 piece" if len(found) == 1 else f"{len(found)} pieces"
        sentence = f"Recorded the {head.scope} inspection of {found[0].piece if len(found) == 1 else names}"
        line, again = open_line(asked, "inspect", site, sentence, _body(head, found, reason))
        if again:
            return list(Inspection.objects.filter(journal=line).order_by("seq"))
        locked = lock_pieces(one.piece.pk for one in found)
        today = line.at.astimezone(site.zone).date()
        job = _open_job(head.job)
        judged = judge(site, head, found, locked, today)
        problems = [*head_problems(head, today, site), *(each for one in judged for each in one.problems)]
        _accept(line, problems, reason)
        rows = _write(line, site, head, judged)
        _hold(line, judged)
        _end_lengths(line, judged, locked)
        if job:
            _tick_off(job, line)
        settle(line, locked, anew=True)
    return rows


def take_back(asked: Asked, inspection: Inspection, reason: str) -> Inspection:
    """Take an inspection back that was recorded wrongly; the class and the dates before it come back.

    The holds that it put stay until they are released, and a length that it ended stays ended.
    """
    piece = inspection.component
    check_can(asked.hand.user, "inspect", piece.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why it is taken back.", code="reason", where="reason")])
    with transaction.atomic():
        body = {"inspection": inspection.pk, "reason": reason}
        sentence = f"Took back the {inspection}: {reason}"
        line, again = open_line(asked, "take back inspection", piece.site, sentence, body)
        if again:
            return Inspection.objects.get(journal=line)
        lock_pieces([piece.pk])
        standing = Inspection.objects.standing().filter(pk=inspection.pk)
        if not standing.exists():
            raise Refused([stops("This inspection was taken back already.", code="take back")])
        names = [field.attname for field in Inspection._meta.concrete_fields]
        same = {name: getattr(inspection, name) for name in names}
        same |= {"id": None, "journal_id": line.pk, "seq": 0, "at": line.at, "reverses_id": inspection.pk}
        back = Inspection(**same)
        Inspection.objects.bulk_create([back])
        _tick_on(inspection)
        settle(line, [piece.pk], anew=True)
    return back


def _open_job(job: Job | None) -> Job | None:
    """The job of a batch, locked after its pieces. What is closed takes no more results."""
    if job is None:
        return None
    now = Job.objects.select_for_update(of=("self",)).get(pk=job.pk)
    if now.closed_by_id:
        raise Refused([stops(f"The {now} is closed and takes no more results.", code="closed", where="job")])
    return now


def _tick_on(inspection: Inspection) -> None:
    """The places of an inspection that was taken back: another one of the same job counts, else none."""
    for row in JobPiece.objects.filter(inspection=inspection).select_related("job").order_by("pk"):
        rows = Inspection.objects.standing().filter(job=row.job_id, component=row.component_id)
        other = rows.order_by("-on", "-id").first()
        reason = "" if other or not row.job.closed_by_id else "taken back after the job was closed"
        JobPiece.objects.filter(pk=row.pk).update(inspection=other, reason=reason)


def _tick_off(job: Job, line: Journal) -> None:
    """The pieces of the job have their outcome: all of a batch in one statement."""
    of_line = Inspection.objects.filter(journal=line, component=OuterRef("component"))
    pieces = JobPiece.objects.filter(job=job, component__inspection_rows__journal=line)
    pieces.update(inspection=Subquery(of_line.values("pk")[:1]), reason="")
    Job.objects.filter(pk=job.pk).update(version=F("version") + 1)


def _accept(line: Journal, problems: Sequence[Problem], reason: str) -> None:
    asking = [one for one in problems if one.severity is Severity.ASKS]
    if any(one.severity is Severity.STOPS for one in problems) or (asking and not reason):
        raise Refused(list(problems))
    codes = dict.fromkeys(one.code[:20] for one in asking)
    Consent.objects.bulk_create(
        Consent(journal=line, seq=seq, at=line.at, check_code=code, reason=reason)
        for seq, code in enumerate(codes)
    )


def _write(line: Journal, site: Site, head: Head, judged: Sequence[Judged]) -> list[Inspection]:
    files = _Files(line)
    report = files.row(head.report) if head.report else None
    equipment = json.dumps([[name, due and due.isoformat()] for name, due in head.equipment])
    rows = Inspection.objects.bulk_create(
        Inspection(
            journal=line, seq=seq, at=line.at, component=one.found.piece, on=head.on, scope=head.scope,
            since=since_of(head.on, head.hour, site),
            scheme=one.scheme, edition=scheme(one.scheme).edition, acceptance=head.acceptance[:40],
            class_before=one.before, class_given=one.found.given, class_computed=one.effect.computed,
            class_held=one.effect.held,
            tube_class=one.effect.tube, joint_class=one.effect.joint, differs=one.effect.differs,
            unused=one.unused, mended=" ".join(sorted(one.mended)), resets=" ".join(sorted(one.resets)),
            box_found=one.found.ends.box_found, box_after=one.found.ends.box_after,
            pin_found=one.found.ends.pin_found, pin_after=one.found.ends.pin_after,
            paint_seen=one.found.paint[:40], remarks=" ".join(one.found.remarks.split())[:300],
            inspector=head.inspector, company=head.company[:80], report_no=head.report_no[:60],
            equipment=equipment, job=head.job, report=report,
        )
        for seq, one in enumerate(judged)
    )  # fmt: skip
    both = list(zip(rows, judged, strict=True))
    looks = [(row, look) for row, one in both for look in one.found.looks]
    reads = [(row, read) for row, one in both for read in one.found.readings]
    seen = [(row, each) for row, one in both for each in one.found.seen]
    Method.objects.bulk_create(
        Method(journal=line, seq=seq, at=line.at, inspection=row, method=look.method, result=look.result,
               part=look.part)
        for seq, (row, look) in enumerate(looks)
    )  # fmt: skip
    Reading.objects.bulk_create(
        Reading(
            journal=line, seq=seq, at=line.at, inspection=row, what=read.reading.what, part=read.reading.part,
            stage=read.stage, nm=read.reading.nm, ppm=read.reading.ppm, count_n=read.reading.count,
            word=read.reading.word[:80], typed=read.typed[:40], where=read.reading.where[:60],
        )
        for seq, (row, read) in enumerate(reads)
    )  # fmt: skip
    Finding.objects.bulk_create(
        Finding(journal=line, seq=seq, at=line.at, inspection=row, what=each.what[:200],
                where=each.where[:60], photo=files.row(each.photo) if each.photo else None)
        for seq, (row, each) in enumerate(seen)
    )  # fmt: skip
    return rows


class _Files:
    """The rows of the files that come under one line of the journal, each once."""

    def __init__(self, line: Journal) -> None:
        self.line, self.seq = line, 0

    def row(self, kept: Kept) -> File:
        row = file_row(self.line, self.seq, kept.digest, kept.name, kept.media)
        self.seq += row.journal_id == self.line.pk
        return row


def _hold(line: Journal, judged: Sequence[Judged]) -> None:
    """Hold what is rejected or still to be repaired, for that reason."""
    held = [(one.found.piece.pk, one.effect.hold) for one in judged if one.effect.hold]
    Hold.objects.bulk_create(
        Hold(journal=line, seq=seq, at=line.at, component_id=pk, what="put", reason=reason)
        for seq, (pk, reason) in enumerate(held)
    )
    Component.objects.filter(pk__in=[pk for pk, _ in held]).update(holds_n=F("holds_n") + 1)


def _end_lengths(line: Journal, judged: Sequence[Judged], pieces: Mapping[int, Component]) -> None:
    """A reface or recut ends the length: there is none until the piece is taped again."""
    cut = [pieces[one.found.piece.pk] for one in judged if one.found.ends.cut]
    ending = [piece for piece in cut if piece.length_nm is not None]
    Strap.objects.bulk_create(
        Strap(journal=line, seq=seq, at=line.at, component=piece, strap_n=0, what="ended", nm=None,
              kind=piece.length_kind or piece.spec.kind_entry.lengths[0])
        for seq, piece in enumerate(ending)
    )  # fmt: skip
    keep_lengths([piece.pk for piece in ending])


def _body(head: Head, found: Sequence[Found], reason: str) -> dict[str, object]:
    """What was asked, as the journal keeps it."""
    if not found:
        raise Refused([stops("No piece was named.", code="empty")])
    if len(found) > MOST:
        raise Refused([stops(f"At most {MOST} pieces are recorded at once.", code="many")])
    return {
        "on": head.on, "scope": head.scope, "scheme": head.scheme, "acceptance": head.acceptance,
        "inspector": head.inspector and head.inspector.pk, "company": head.company,
        "report_no": head.report_no, "equipment": [list(each) for each in head.equipment],
        "job": head.job and head.job.pk, "hour": head.hour, "reason": reason,
        "report": head.report and head.report.digest,
        "pieces": [
            {
                "piece": one.piece.pk, "given": one.given, "ends": str(one.ends), "repaired": one.repaired,
                "paint": one.paint, "remarks": one.remarks, "looks": [str(look) for look in one.looks],
                "readings": [f"{read.reading} {read.stage} {read.typed}" for read in one.readings],
                "seen": [str(each) for each in one.seen],
            }
            for one in found
        ],
    }  # fmt: skip
