"""Papers of inspection: the pick list of a job, the record sheet of an inspection and of a job."""

from collections import Counter
from collections.abc import Sequence

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspection.calc.verdict import Outcome
from inspection.models import Inspection
from inspection.models.booking import JobRow, rows_of
from inspection.models.judged import as_read, verdict_of
from inspection.paper import record_sheet
from inspection.views.jobs import job_here
from rack.desk import at_desk, found_or_404
from rack.downloads import PDF, download, paper_size
from rack.models import Site
from rack.paper import listsheet

PICKS = (
    listsheet.Column("No", 0.05, "right"), listsheet.Column("Lies on", 0.11),
    listsheet.Column("Painted", 0.08), listsheet.Column("Serial", 0.1), listsheet.Column("Tag", 0.09),
    listsheet.Column("Item", 0.18), listsheet.Column("Due because", 0.15), listsheet.Column("Seen", 0.06),
    listsheet.Column("Class", 0.07), listsheet.Column("Remarks", 0.11),
)  # fmt: skip
CAUTIONS = (
    "Joints are rolled, never lifted by hand; layers chocked; nobody between joints or under a lifted one.",
    "Take the tag off before a piece goes in the hole; never put it on a protector.",
)


@at_desk()
@require_GET
def job_picks(request: HttpRequest, number: int) -> HttpResponse:
    """The pieces of a job in the order in which the racks are walked, with fields to fill by pencil."""
    one = job_here(request, number)
    rows = [_pick(n, row) for n, row in enumerate(rows_of(one), 1)]
    said = [text for text in (one.company, one.where, one.note) if text]
    sheet = listsheet.ListSheet(
        what="Inspection pick list", site=f"{one.site.name} ({one.site.code})",
        title=f"{str(one).capitalize()}, {one.scope}, {one.on:%Y-%m-%d}", under=" · ".join(said),
        columns=PICKS, rows=rows, cautions=CAUTIONS,
        foot=f"Printed {timezone.localtime():%Y-%m-%d %H:%M}; the page of the job shows it as it is now.",
        signers=("Inspector", "Supervisor"),
    )  # fmt: skip
    made = listsheet.pdf(sheet, size=paper_size(request, one.site))
    return download(made, PDF, f"inspection-job-{one.number}-picks.pdf", inline=True)


def _pick(n: int, row: JobRow) -> tuple[str, ...]:
    piece = row.piece
    return (str(n), str(piece.place or "–"), row.painted, piece.serial or "not readable", piece.tag,
            str(piece.spec), piece.due_why, "", "", "")  # fmt: skip


@at_desk()
@require_GET
def job_record(request: HttpRequest, number: int) -> HttpResponse:
    """What came of a job, on one paper: every piece with its class, and what was not looked at and why."""
    one = job_here(request, number)
    rows = rows_of(one)
    inspections = [row.row.inspection for row in rows if row.row.inspection]
    classes = Counter(each.class_held or "no class" for each in inspections)
    facts = [
        ("Job", f"{one.number}, {one.scope}"), ("Day", f"{one.on:%Y-%m-%d}"), ("Company", one.company),
        ("Pieces", str(len(rows))), ("Inspected", str(len(inspections))),
        ("Classes", ", ".join(f"{count} {name}" for name, count in sorted(classes.items()))),
    ]  # fmt: skip
    part = record_sheet.Part(
        "Its pieces",
        [("Serial", 0.15, False), ("Tag", 0.1, False), ("Item", 0.27, False), ("Before", 0.1, False),
         ("Given", 0.1, False), ("Holds", 0.12, False), ("Day", 0.1, False), ("By", 0.06, False)],
        [_outcome(row) for row in rows],
    )  # fmt: skip
    differing = [f"{each.component}: {each.differs}" for each in inspections if each.differs]
    sheet = record_sheet.RecordSheet(
        _site(one.site), str(one).capitalize(), _reports(inspections), facts, [part],
        notes=differing, address=f"{settings.ADDRESS}/jobs/{one.number}/", foot=_printed(),
    )  # fmt: skip
    return _sheet(request, sheet, one.site, f"inspection-job-{one.number}")


def _outcome(row: JobRow) -> tuple[str, ...]:
    piece, one = row.piece, row.row.inspection
    head = (piece.serial or "not readable", piece.tag, str(piece.spec))
    if one is None:
        return (*head, "", "", row.words, "", "")
    who = "".join(word[0] for word in one.inspector.name.split()) if one.inspector else ""
    held = one.class_held or "no class"
    return (*head, one.class_before, one.class_given, held, f"{one.on:%Y-%m-%d}", who)


def _reports(inspections: Sequence[Inspection]) -> str:
    """The reports of the company that the rows came from, by number and digest."""
    files = {each.report_id: each for each in inspections if each.report_id}
    names = [f"{each.report.typed_name} (sha-256 {each.report.sha256[:12]}…)"
             for each in files.values() if each.report]  # fmt: skip
    return f"Report attached in the register: {', '.join(names)}" if names else "No report file is attached."


@at_desk()
@require_GET
def inspection_record(request: HttpRequest, pk: int) -> HttpResponse:
    """The record sheet of one inspection: readings, looks, checks with their limits, the class that holds."""
    rows = Inspection.objects.entered().for_user(request.user)
    related = ("component__spec", "component__site", "inspector", "job", "report", "journal__by")
    one = found_or_404(rows.select_related(*related), pk=pk)
    sheet = record_sheet.RecordSheet(
        _site(one.component.site), f"{str(one).capitalize()}", str(one.component.spec), _facts(one),
        [_results(one), _readings(one), _checks(one)], notes=_notes(one),
        address=f"{settings.ADDRESS}/inspections/{one.pk}/", foot=_printed(),
    )  # fmt: skip
    return _sheet(request, sheet, one.component.site, f"inspection-{one.pk}")


def _facts(one: Inspection) -> list[tuple[str, str]]:
    who = one.inspector
    level = f", {who.level}" if who and who.level else ""
    return [
        ("Piece", f"{one.component}, tag {one.component.tag}"), ("Day of the look", f"{one.on:%Y-%m-%d}"),
        ("Scope", one.scope), ("Judged by", one.scheme_said), ("Accepted to", one.acceptance or "not said"),
        ("Inspector", f"{who}{level}" if who else "not named"), ("Report", one.report_no or "not said"),
        ("Equipment", one.equipment_said or "not said"),
        ("Recorded", f"{timezone.localtime(one.at):%Y-%m-%d %H:%M} by "
                     f"{one.journal.by.get_full_name() or one.journal.by}" if one.journal.by else ""),
    ]  # fmt: skip


def _results(one: Inspection) -> record_sheet.Part:
    rows = [
        ("Class before", one.class_before or "not known"), ("Class given", one.class_given or "none"),
        ("Class computed", one.class_computed or "not computed"),
        ("Class that holds", one.class_held or "none"),
        ("Tube", one.tube_class or "not known"), ("Tool joints", one.joint_class or "not known"),
        ("Box as found, after repair", f"{one.box_found or 'not said'}, {one.box_after or 'not said'}"),
        ("Pin as found, after repair", f"{one.pin_found or 'not said'}, {one.pin_after or 'not said'}"),
    ]  # fmt: skip
    return record_sheet.Part("What it comes to", [("", 0.35, False), ("", 0.65, False)], rows)


def _readings(one: Inspection) -> record_sheet.Part:
    rows = as_read(one)
    rows += [(look.method, look.part, "look", look.result or "not done", "")
             for look in one.methods.order_by("seq")]  # fmt: skip
    rows += [(found.what, "", "finding", "photo kept" if found.photo_id else "", found.where)
             for found in one.findings.order_by("seq")]  # fmt: skip
    columns = [("What", 0.42, False), ("At", 0.1, False), ("Stage", 0.14, False), ("Read", 0.18, False),
               ("Where", 0.16, False)]  # fmt: skip
    return record_sheet.Part("Readings and looks", columns, rows)


def _checks(one: Inspection) -> record_sheet.Part:
    shown = [check for check in verdict_of(one).checks if check.outcome is not Outcome.NOTED]
    rows = [(check.words, check.allows, check.source, check.conf) for check in shown]
    columns = [("Check: measured, limit", 0.52, False), ("Allows", 0.13, False), ("Source", 0.28, False),
               ("Conf.", 0.07, False)]  # fmt: skip
    return record_sheet.Part("Checks", columns, rows, "No limit was computed: its class stands as given.")


def _notes(one: Inspection) -> list[str]:
    notes = [one.differs, one.remarks and f"Remarks: {one.remarks}"]
    if one.report:
        report = f"{one.report.typed_name}, sha-256 {one.report.sha256}"
        notes.append(f"Report attached in the register: {report}.")
    if Inspection.objects.filter(reverses=one).exists():
        notes.insert(0, "This inspection was taken back and counts no more.")
    return [text for text in notes if text]


def _sheet(request: HttpRequest, sheet: record_sheet.RecordSheet, site: Site, name: str) -> HttpResponse:
    made = record_sheet.pdf(sheet, size=paper_size(request, site))
    return download(made, PDF, f"{name}.pdf", inline=True)


def _site(site: Site) -> str:
    return f"{site.name} ({site.code})"


def _printed() -> str:
    return f"Printed {timezone.localtime():%Y-%m-%d %H:%M}; the page that its code opens shows what holds."
