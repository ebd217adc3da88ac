"""Accepting an inspection company's report: its rows are recorded in batches, each stored once."""

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.db import transaction

from inspection.actions.found import Found, Head
from inspection.actions.recording import record
from inspection.calc.report_mapping import ReportMapping
from inspection.calc.report_typed import Person
from inspection.models import AcceptedReport, Inspection, Inspector, RememberedReport
from inspection.models.lots import recorded_from
from rack.actions.files import file_row
from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces
from rack.calc.checks import Problem, Severity, stops
from rack.calc.names import key_of
from rack.errors import Refused
from rack.models import Consent, Journal, Site
from rack.people import check_can

#: So many rows are recorded in one transaction.
BATCH = 25


@dataclass(frozen=True)
class Row:
    """A row of the report: its line of the file, what it is called, what is recorded of it, None when it is
    left out, and why."""

    line: int
    name: str
    found: Found | None = None
    why: str = ""


@dataclass(frozen=True)
class Plan:
    """What is accepted: the head that every row bears, the rows, the people it names (the first signs), the
    columns and spellings to remember. `said` is all that a person chose, so that the same again is known."""

    head: Head
    rows: Sequence[Row]
    people: Sequence[Person]
    mapping: ReportMapping
    aliases: Mapping[str, str]
    said: Mapping[str, object]
    problems: Sequence[Problem] = ()


def accept(asked: Asked, site: Site, plan: Plan, reason: str = "") -> AcceptedReport:
    """Record every row of a report that is tied to a piece, and keep what became of the others.

    Batches of 25, each with a key of its own made from that of the form: the same again, a killed process
    or a second page record each piece once. What asks is answered by a `reason`, which is stored.
    """
    check_can(asked.hand.user, "inspect", site)
    reason = " ".join(reason.split())[:300]
    if not Journal.objects.filter(key=asked.key).exists():
        _check(plan, reason)
    with transaction.atomic():
        kept = _open(asked, site, plan, reason)
    head = replace(plan.head, inspector=_inspector_of(site, plan))
    recorded = [row for row in plan.rows if row.found is not None]
    for start in range(0, len(recorded), BATCH):
        _batch(asked, site, head, recorded[start : start + BATCH], reason)
    return kept


def _check(plan: Plan, reason: str) -> None:
    hard = [one for one in plan.problems if one.severity is Severity.STOPS]
    if not any(row.found for row in plan.rows):
        hard.append(stops("No row is tied to a piece: nothing can be recorded.", code="empty"))
    if hard:
        raise Refused(hard)
    if any(one.severity is Severity.ASKS for one in plan.problems) and not reason:
        words = "There are questions above: say in a few words why the report is taken as it stands."
        raise Refused([stops(words, code="reason", where="reason")])


def _open(asked: Asked, site: Site, plan: Plan, reason: str) -> AcceptedReport:
    """The line of the journal, the file, the questions answered, the people and columns remembered."""
    head, report = plan.head, plan.head.report
    assert report is not None
    count = sum(row.found is not None for row in plan.rows)
    name = f"report {head.report_no}" if head.report_no else f"the report {report.name}"
    sentence = f"Accepted {name}{f' of {head.company}' if head.company else ''}"
    body = {"report": report.digest, "said": plan.said, "reason": reason}
    line, again = open_line(asked, "accept report", site, sentence, body)
    if again:
        return AcceptedReport.objects.get(journal=line)
    file = file_row(line, 0, report.digest, report.name, report.media)
    codes = dict.fromkeys(one.code[:20] for one in plan.problems if one.severity is Severity.ASKS)
    Consent.objects.bulk_create(
        Consent(journal=line, seq=seq, at=line.at, check_code=code, reason=reason)
        for seq, code in enumerate(codes)
    )
    for person in plan.people:
        _know(line, site, head.company, person)
    _remember(site, plan)
    rows = [[row.line, row.name, row.found.piece.tag if row.found else "", row.why] for row in plan.rows]
    kept = AcceptedReport(
        journal=line, seq=0, at=line.at, site=site, file=file, company=head.company[:80],
        report_no=head.report_no[:60], on=head.on, mapping=plan.mapping.to_text(),
        rows=json.dumps(rows, ensure_ascii=False), recorded_n=count, left_out_n=len(rows) - count,
    )  # fmt: skip
    AcceptedReport.objects.bulk_create([kept])
    return AcceptedReport.objects.get(journal=line)


def _batch(asked: Asked, site: Site, head: Head, rows: Sequence[Row], reason: str) -> None:
    """Record some rows once: what this file has recorded already is left as it is."""
    key = uuid.uuid5(asked.key, ",".join(str(row.line) for row in rows))
    with transaction.atomic():
        if Journal.objects.filter(key=key).exists():
            return
        found = [row.found for row in rows if row.found is not None]
        lock_pieces(one.piece.pk for one in found)
        digest = head.report.digest if head.report else ""
        there = recorded_from(digest, [one.piece.pk for one in found])
        new = [one for one in found if one.piece.pk not in there]
        if new:
            record(Asked(key, asked.hand, asked.at), site, head, new, reason=reason)


def _inspector_of(site: Site, plan: Plan) -> Inspector | None:
    names = [" ".join(person.name.split())[:80] for person in plan.people[:1]]
    rows = Inspector.objects.at(site).filter(company=plan.head.company[:80])
    return next((row for row in rows.order_by("-id") if key_of(row.name) in map(key_of, names)), None)


def _know(line: Journal, site: Site, company: str, person: Person) -> None:
    """The row of an inspector, made where there is none; a level renewed is a new row."""
    name = " ".join(person.name.split())[:80]
    there = [row for row in Inspector.objects.at(site).filter(company=company[:80])
             if key_of(row.name) == key_of(name)]  # fmt: skip
    if not key_of(name):
        return
    if there:
        old = there[0]
        later = person.valid_to and (old.valid_to is None or person.valid_to > old.valid_to)
        if not later:
            return
        Inspector.objects.filter(pk=old.pk).update(ended_on=line.at.astimezone(site.zone).date())
        level, name = person.level or old.level, old.name
    else:
        level = person.level
    Inspector.objects.create(site=site, name=name, company=company[:80], level=level[:40],
                             valid_to=person.valid_to)  # fmt: skip


def _remember(site: Site, plan: Plan) -> None:
    """How the columns of this company were set and what its words of a class mean, for its next report."""
    key = key_of(plan.head.company)[:80]
    if key:
        settled = json.dumps(dict(plan.aliases), ensure_ascii=False, sort_keys=True)
        RememberedReport.objects.update_or_create(
            site=site, company_key=key, defaults={"mapping": plan.mapping.to_text(), "aliases": settled}
        )


def remembered(site: Site, company: str) -> RememberedReport | None:
    """How the columns of this company were set at this site before, None when nothing is remembered."""
    key = key_of(company)[:80]
    return RememberedReport.objects.filter(site=site, company_key=key).first() if key else None


def forget(asked: Asked, site: Site, company: str) -> None:
    """Forget how the columns of a company were set and what its words mean."""
    check_can(asked.hand.user, "inspect", site)
    with transaction.atomic():
        sentence = f"Forgot how the reports of {company[:80]} are read"
        _, again = open_line(asked, "forget report", site, sentence, {"forget": company})
        if not again:
            RememberedReport.objects.filter(site=site, company_key=key_of(company)[:80]).delete()


def recorded_of(kept: AcceptedReport) -> list[Inspection]:
    """The inspections of an accepted report that stand, in the order in which they were recorded."""
    rows = Inspection.objects.standing().filter(report=kept.file, component__site=kept.site)
    return list(rows.select_related("component__spec").order_by("id"))
