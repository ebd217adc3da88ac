"""A daily report that was accepted for a run: its rows as they were taken, and the file as it came."""

from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET

from rack.actions.files import bytes_of
from rack.calc.daily import Choices, Taken, take
from rack.calc.hours import Leg as LegFacts
from rack.desk import at_desk, found_or_404
from rack.errors import NotAtHand
from rack.exchange.daily_report import read_daily
from rack.models import DailyReport, Leg, Run
from rack.models.stays import as_legs, facts_of_run
from rack.views.daily_shown import rows_shown
from rack.views.runs import run_here


@at_desk()
@require_GET
def report_kept(request: HttpRequest, ident: int, pk: int) -> HttpResponse:
    """Every row with what it was taken as, read again from the kept file with the choices of that day."""
    run = run_here(request, ident)
    report = _of(run, pk)
    taken = _read(run, report)
    context: dict[str, Any] = {
        "report": report, **rows_shown(request, run, taken),
        "crumbs": [("Runs", reverse("run_list")),
                   (str(run).capitalize(), reverse("run_page", args=[run.pk]))],
    }  # fmt: skip
    return render(request, "rack/report_kept.html", context)


@at_desk()
@require_GET
def report_file(request: HttpRequest, ident: int, pk: int) -> HttpResponse:
    """The file of a report, to be saved: what somebody sent in is never opened inside a page."""
    report = _of(run_here(request, ident), pk)
    headers = {
        "Content-Disposition": content_disposition_header(True, report.file.typed_name) or "attachment",
        "Content-Security-Policy": "sandbox; default-src 'none'", "X-Content-Type-Options": "nosniff",
    }
    media = report.file.media or "application/octet-stream"
    return HttpResponse(_bytes(report), content_type=media, headers=headers)


def _of(run: Run, pk: int) -> DailyReport:
    rows = DailyReport.objects.entered().filter(run=run).select_related("file", "journal__by")
    return found_or_404(rows, pk=pk)  # type: ignore[no-any-return]


def _bytes(report: DailyReport) -> bytes:
    try:
        return bytes_of(report.file.sha256)
    except FileNotFoundError:
        raise NotAtHand(f"{report.file.typed_name} is not in the data folder; look in the backup.") from None


def _read(run: Run, report: DailyReport) -> Taken:
    file = read_daily(_bytes(report), report.file.typed_name)
    return take(
        file.rows, ZoneInfo(run.tz), Choices.from_text(report.choices), file_unit=file.unit,
        site_unit=run.string.site.length_unit, run=facts_of_run(run), there=_before(run, report),
    )  # fmt: skip


def _before(run: Run, report: DailyReport) -> list[LegFacts]:
    """The lines that the run had when the report was accepted: what was left out for them is so again."""
    rows = Leg.objects.entered().filter(run=run, journal__lt=report.journal_id)
    stood = Q(reversed_by=None) | Q(reversed_by__journal__gt=report.journal_id)
    return as_legs(run, rows.filter(stood).order_by("id"))
