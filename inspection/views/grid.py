"""The grid: two hundred joints by keyboard. Pieces and head first, then a table that is saved in batches."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspection.actions.found import Kept
from inspection.actions.judging import head_problems
from inspection.calc.cautions import CAUTIONS_INSPECTING
from inspection.forms.grid import ChooseForm, GridHeadForm
from inspection.models import Inspection, Job
from inspection.views import sheets
from inspection.views.recording import REMEMBERED, beginning, report_of, said_of
from inspection.views.sheets import Sheet
from rack.calc.checks import Problem, Severity, asks
from rack.desk import at_desk, site_of
from rack.models import Component, Site
from rack.models.lying import painted_numbers

CRUMBS = [("Due", "/due/"), ("Jobs", "/jobs/")]
CHOICES = tuple(ChooseForm.base_fields)


@at_desk("inspect")
@require_http_methods(["GET", "POST"])
def inspect_grid(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    if request.method == "POST" and "token" in request.POST:  # a browser brings back a sheet it kept
        sheet = sheets.sheet_of(request, request.POST["token"], site)
        sheets.keep(request, sheet)
        return redirect(_address(sheet))
    if request.method == "GET" and "sheet" in request.GET:
        return _grid(request, site, sheets.kept(request, request.GET["sheet"], site))
    sent = request.POST if request.method == "POST" else _asked_for(request, site)
    form = ChooseForm(sent, site=site)
    if sent is None or not form.is_valid():
        return _choose(request, form, status=422 if request.method == "POST" else 200)
    pieces, problems = form.pieces()
    if problems:
        return _choose(request, form, problems=problems, status=422 if request.method == "POST" else 200)
    if request.method == "GET":
        begin = {**beginning(request, pieces[0]), **_job(form, timezone.localdate(timezone=site.zone))}
        head = GridHeadForm(site=site, spec=pieces[0].spec.as_facts, initial=begin)
        return _choose(request, form, head=head, pieces=pieces)
    return _begin(request, site, form, pieces)


def _asked_for(request: HttpRequest, site: Site) -> Mapping[str, str] | None:
    """The choice of an address; a job leads here by its number alone. None for no choice."""
    number = request.GET.get("job", "")
    if "way" in request.GET:
        return request.GET
    if not (number.isascii() and number.isdecimal() and len(number) < 9):
        return None
    job = Job.objects.at(site).filter(number=number).first()
    return {"way": "job", "of_job": str(job.pk)} if job else None


def _begin(request: HttpRequest, site: Site, form: ChooseForm, pieces: list[Component]) -> HttpResponse:
    """The head is said: begin the sheet, or ask about the head."""
    head = GridHeadForm(request.POST, request.FILES, site=site, spec=pieces[0].spec.as_facts)
    report, problems = report_of(head)
    if head.is_valid():
        found = head_problems(head.head(report), timezone.localdate(timezone=site.zone), site)
        if not head.cleaned_data["methods"]:
            found.append(asks("No method is named: then only what is typed was looked at.", code="methods",
                              source="a method without result is not looked at, trade guide 12"))  # fmt: skip
        if any(one.severity is Severity.STOPS for one in found) or not head.cleaned_data["reason"]:
            problems += found
    if problems or not head.is_valid():
        return _choose(request, form, head=head, pieces=pieces, problems=problems, status=422)
    request.session[REMEMBERED] = head.remembered(report)
    sheet = _sheet(request, site, head, report, pieces)
    sheets.keep(request, sheet)
    return redirect(_address(sheet))


def _sheet(
    request: HttpRequest, site: Site, head: GridHeadForm, report: Kept | None, pieces: list[Component]
) -> Sheet:
    typed = head.cleaned_data
    count = f"{len(pieces)} piece{'' if len(pieces) == 1 else 's'}"
    return Sheet(
        sheets.new_ident(), request.user.pk or 0, site.pk, typed["on"].isoformat(), typed["scope"],
        typed["scheme"], typed["acceptance"], typed["inspector"] and typed["inspector"].pk, typed["company"],
        typed["report_no"], [list(each) for each in typed["equipment"]],
        typed["job"].pk if typed.get("job") else None,
        [report.digest, report.name, report.media] if report else [], typed["methods"], typed["unit"],
        typed["reason"], f"{count}, {pieces[0].spec.kind_entry.name}, {typed['scope']}, {typed['on']}",
        [piece.pk for piece in pieces], typed["hour"].isoformat() if typed["hour"] else "",
    )  # fmt: skip


def _job(form: ChooseForm, today: date) -> dict[str, str]:
    """What the job says of the head; a day that is still to come is none on which anything was looked at."""
    job = form.cleaned_data.get("of_job")
    if form.cleaned_data["way"] != "job" or job is None:
        return {}
    on = min(job.on, today).isoformat()
    return {"job": str(job.pk), "scope": job.scope, "on": on, "company": job.company}


def _choose(
    request: HttpRequest, form: ChooseForm, *, head: GridHeadForm | None = None,
    pieces: list[Component] | None = None, problems: list[Problem] | None = None,
    status: int = 200,
) -> HttpResponse:  # fmt: skip
    context = {
        "form": form, "head": head, "pieces": pieces or [], "problems": problems or [],
        "count": len(pieces or []),
        "chosen": [(name, form.data.get(name, "")) for name in CHOICES] if pieces else [],
        "user_key": str(request.user.pk), "cautions": " ".join(CAUTIONS_INSPECTING),
        "crumbs": CRUMBS,
    }  # fmt: skip
    return render(request, "inspection/inspect_grid.html", context, status=status)


def _grid(request: HttpRequest, site: Site, sheet: Sheet) -> HttpResponse:
    rows = Component.objects.at(site).select_related("spec", "site").in_bulk(sheet.pieces)
    pieces = [rows[pk] for pk in sheet.pieces if pk in rows]
    painted, stored = painted_numbers(piece.pk for piece in pieces), _stored(sheet)
    columns = sheet.columns(site, pieces[0]) if pieces else ()
    by = sheet.scheme_of(site, pieces[0]) if pieces else None
    context: dict[str, Any] = {
        "sheet": sheet, "columns": columns, "by": by,
        "inspector": sheet.head(site).inspector,
        "job": Job.objects.at(site).filter(pk=sheet.job or 0).first(),
        "rows": [{"piece": piece, "painted": painted.get(piece.pk, ""), "stored": stored.get(piece.pk)}
                 for piece in pieces],
        "data": {
            "sheet": sheet.ident, "token": sheet.token(), "title": sheet.title, "user": str(request.user.pk),
            "save": reverse("inspect_grid_save"),
        },
        "cautions": " ".join(CAUTIONS_INSPECTING),
        "crumbs": [*CRUMBS, ("Grid", reverse("inspect_grid"))],
    }  # fmt: skip
    return render(request, "inspection/grid.html", context)


def _stored(sheet: Sheet) -> dict[int, tuple[Inspection, str]]:
    """What was stored of a sheet already, whichever browser sent it."""
    rows = Inspection.objects.standing().filter(
        component__in=sheet.pieces, on=sheet.on, scope=sheet.scope, at__gte=sheet.begun_at
    )
    return {row.component_id: (row, said_of(row)) for row in rows.order_by("id")}


def _address(sheet: Sheet) -> str:
    return f"{reverse('inspect_grid')}?sheet={sheet.ident}"
