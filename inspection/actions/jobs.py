"""Inspection jobs: pieces booked for an inspector, why one was not looked at, and the job's end."""

from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import date

from django.db import transaction
from django.db.models import F, Max

from inspection.models import Job, JobPiece
from inspection.models.jobs import SCOPE_CHOICES
from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_pieces, lock_site
from rack.calc.checks import Problem, stops
from rack.calc.states import AWAY, STATES
from rack.errors import Refused
from rack.models import Component, Site
from rack.people import check_can

#: So many pieces go on one job.
MOST = 2000


@dataclass(frozen=True)
class JobHead:
    """What is said of a job: the day the inspector comes, to which scope, from where."""

    on: date
    scope: str
    company: str = ""
    where: str = ""
    note: str = ""


def open_job(asked: Asked, site: Site, head: JobHead, pieces: Collection[Component]) -> Job:
    """Book pieces for an inspector on a day."""
    check_can(asked.hand.user, "book", site)
    if head.scope not in dict(SCOPE_CHOICES):
        raise Refused([stops("Choose what is to be looked at.", code="scope", where="scope")])
    ids = sorted({piece.pk for piece in pieces})
    with transaction.atomic():
        sentence = f"Booked {_count(ids)} for a {head.scope} inspection on {head.on}"
        line, again = open_line(asked, "book", site, sentence, {**asdict(head), "pieces": ids})
        if again:
            return Job.objects.get(begun_by=line)
        locked = lock_pieces(ids)
        lock_site(site.pk)  # two jobs at once get two numbers
        _refuse(None, site, locked.values(), ids)
        number = (Job.objects.at(site).aggregate(most=Max("number"))["most"] or 0) + 1
        job = Job.objects.create(
            site=site, number=number, on=head.on, scope=head.scope, company=_plain(head.company, 80),
            where=_plain(head.where, 80), note=_plain(head.note, 200), begun_by=line,
        )  # fmt: skip
        JobPiece.objects.bulk_create(JobPiece(job=job, component_id=pk) for pk in ids)
    return job


def put_on_job(asked: Asked, job: Job, pieces: Collection[Component], *, seen: int | None = None) -> Job:
    """Book more pieces on an open job."""
    check_can(asked.hand.user, "book", job.site)
    ids = sorted({piece.pk for piece in pieces})
    with transaction.atomic():
        body = {"job": job.pk, "pieces": ids}
        line, again = open_line(asked, "book more", job.site, f"Booked {_count(ids)} on {job}", body)
        if again:
            return job
        locked = lock_pieces(ids)
        now = _lock(job, seen)
        _refuse(now, job.site, locked.values(), ids)
        JobPiece.objects.bulk_create(JobPiece(job=now, component_id=pk) for pk in ids)
        _touch(now)
    return now


def take_off_job(asked: Asked, job: Job, pieces: Collection[Component], *, seen: int | None = None) -> Job:
    """Take pieces off an open job again; one that was inspected on it stays."""
    check_can(asked.hand.user, "book", job.site)
    ids = sorted({piece.pk for piece in pieces})
    with transaction.atomic():
        body = {"job": job.pk, "pieces": ids}
        line, again = open_line(asked, "take off job", job.site, f"Took {_count(ids)} off {job}", body)
        if again:
            return job
        lock_pieces(ids)
        now = _lock(job, seen)
        rows = JobPiece.objects.filter(job=now, component__in=ids)
        done = rows.exclude(inspection=None).select_related("component").order_by("pk")
        problems = [
            stops(f"{name} was inspected on {job} and stays on it.", code="done", where=name)
            for name in map(str, (row.component for row in done))
        ]
        if problems:
            raise Refused(problems)
        rows.delete()
        _touch(now)
    return now


def say_why_not(
    asked: Asked, job: Job, pieces: Collection[Component], reason: str, *, seen: int | None = None
) -> Job:
    """Write down why pieces of a job were not looked at."""
    check_can(asked.hand.user, "book", job.site)
    reason = _plain(reason, 200)
    if not reason:
        raise Refused([stops("Say in a few words why it was not looked at.", code="reason", where="reason")])
    ids = sorted({piece.pk for piece in pieces})
    with transaction.atomic():
        body = {"job": job.pk, "pieces": ids, "reason": reason}
        sentence = f"{_count(ids)} of {job} not looked at: {reason}"
        line, again = open_line(asked, "not looked at", job.site, sentence, body)
        if again:
            return job
        lock_pieces(ids)
        now = _lock(job, seen)
        JobPiece.objects.filter(job=now, component__in=ids, inspection=None).update(reason=reason)
        _touch(now)
    return now


def close_job(asked: Asked, job: Job, *, seen: int | None = None) -> Job:
    """Close a job: each of its pieces has an inspection or a reason why it has none."""
    check_can(asked.hand.user, "book", job.site)
    with transaction.atomic():
        line, again = open_line(asked, "close job", job.site, f"Closed {job}", {"job": job.pk})
        if again:
            return job
        now = _lock(job, seen)
        rows = JobPiece.objects.filter(job=now).select_related("component").order_by("pk")
        open_ones = [row for row in rows if not row.is_done]
        if not rows:
            raise Refused([stops(f"Nothing is on {job}.", code="empty")])
        if open_ones:
            raise Refused([
                stops(f"{row.component} has neither an inspection nor a reason.", code="open",
                      where=str(row.component))
                for row in open_ones
            ])  # fmt: skip
        Job.objects.filter(pk=now.pk).update(closed_by=line, version=F("version") + 1)
    return now


def _lock(job: Job, seen: int | None) -> Job:
    now = Job.objects.select_for_update(of=("self",)).select_related("site").get(pk=job.pk)
    check_version(now, seen)
    if now.closed_by_id:
        raise Refused([stops(f"{now} is closed.".capitalize(), code="closed")])
    return now


def _touch(job: Job) -> None:
    Job.objects.filter(pk=job.pk).update(version=F("version") + 1)


def _refuse(job: Job | None, site: Site, pieces: Collection[Component], ids: Collection[int]) -> None:
    problems: list[Problem] = []
    if not ids:
        problems.append(stops("No piece was named.", code="empty", where="pieces"))
    if len(ids) > MOST:
        problems.append(stops(f"At most {MOST} pieces go on one job.", code="many", where="pieces"))
    for piece in pieces:
        if piece.site_id != site.pk:
            problems.append(stops(f"{piece} is of another site.", code="site", where=str(piece)))
        elif piece.state in AWAY:
            words = STATES[piece.state].name
            problems.append(stops(f"{piece} is {words}: nothing to look at.", code="state", where=str(piece)))
    # One that went to another site meanwhile waits on no job here.
    waiting = JobPiece.objects.waiting().filter(component__in=ids, job__site=site)
    for row in waiting.select_related("component", "job").order_by("pk"):
        name, here = str(row.component), "this job" if job and row.job_id == job.pk else str(row.job)
        problems.append(stops(f"{name} is on {here} already.", code="twice", where=name))
    if not waiting and job:
        again = JobPiece.objects.filter(component__in=ids, job=job).select_related("component")
        problems += [
            stops(f"{row.component} is on this job already.", code="twice", where=str(row.component))
            for row in again.order_by("pk")
        ]
    if problems:
        raise Refused(problems)


def _count(ids: Collection[int]) -> str:
    return "1 piece" if len(ids) == 1 else f"{len(ids)} pieces"


def _plain(text: str, most: int) -> str:
    return " ".join(text.split())[:most]
