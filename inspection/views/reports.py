"""The inspection company's own report: chosen, shown as it was read, put right, accepted."""

import json
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from inspection.actions import reports as actions
from inspection.calc.report_mapping import ReportMapping
from inspection.calc.report_ties import ties
from inspection.forms.reports import ReportForm
from inspection.models import AcceptedReport
from inspection.models.fallen import fallen
from inspection.models.lots import candidates, likely_lot
from inspection.views.report_changes import CHANGES, changed
from inspection.views.report_incoming import Incoming
from inspection.views.report_reading import plan_of, preview_of
from inspection.views.report_shown import shown
from rack.actions.files import keep_bytes
from rack.calc.checks import Problem
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused, TierbookError, UnreadableFile
from rack.models import Site

CRUMBS = [("Due", "/due/")]
#: What a file is, by what its bytes begin with.
_MEDIA = (
    (b"PK", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    (b"\xd0\xcf\x11\xe0", "application/vnd.ms-excel"),
)


@at_desk("inspect")
@require_http_methods(["GET", "POST"])
def inspect_report(request: HttpRequest) -> HttpResponse:
    """Choose a file; what is no report is refused in one sentence, and nothing is stored."""
    site = site_of(request)
    form = ReportForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        data = file.read()
        try:
            incoming = _incoming(data, file.name, site)
        except UnreadableFile as refused:
            form.add_error("file", str(refused))
        else:
            incoming.keep(request)
            return redirect("inspect_report_preview", digest=incoming.digest)
    rows = AcceptedReport.objects.at(site).standing().select_related("file", "journal__by").order_by("-id")
    context = {"form": form, "reports": rows[:20], "crumbs": CRUMBS}
    return render(request, "inspection/inspect_report.html", context, status=422 if form.errors else 200)


def _incoming(data: bytes, name: str, site: Site) -> Incoming:
    """The file, read with the columns of its company's last report when the headings are the same."""
    media = next((media for start, media in _MEDIA if data.startswith(start)), "text/plain")
    digest = keep_bytes(data)
    made = Incoming(digest, name[:200], media)
    read = made.read()
    before = actions.remembered(site, read.report.head.company)
    made = changed(made, **known_for(before, read.mapping))
    rows = made.read().report.rows
    tied = ties(rows, candidates(site, "", rows))
    ids = [tie.piece.pk for tie in tied.values() if tie.piece]
    return changed(made, lot=likely_lot(site, ids, len(rows)))


def known_for(before: Any, mapping: ReportMapping) -> dict[str, Any]:
    """What is remembered of a company, as it fits these columns."""
    if before is None:
        return {}
    like = mapping.like(ReportMapping.from_text(before.mapping))
    return {"mapping": like.to_text() if like else "", "aliases": json.loads(before.aliases),
            "remembered": bool(like) or before.aliases != "{}"}  # fmt: skip


@at_desk("inspect")
@require_http_methods(["GET", "POST"])
def inspect_report_preview(request: HttpRequest, digest: str) -> HttpResponse:
    """Every row with the piece it means, every fault, and what would come of it."""
    site, incoming = site_of(request), Incoming.of(request, digest)
    refused: tuple[Problem, ...] = ()
    forms: dict[str, Any] = {}
    if request.method == "POST":
        what = "tie" if request.POST.get("guess") else request.POST.get("what", "")
        try:
            if what == "accept":
                return _accept(request, incoming, site)
            forms = _change(what)(request, incoming, site) or {}
        except Refused as error:
            refused = error.problems
        if not refused and not forms:
            return redirect(reverse("inspect_report_preview", args=[digest]) + _query(request))
    context = shown(request, incoming, site, forms) | {"refused": refused, "crumbs": _crumbs()}
    status = 422 if refused or forms else 200
    return render(request, "inspection/inspect_report_preview.html", context, status=status)


def _change(what: str) -> Callable[..., Any]:
    if what not in CHANGES:
        raise TierbookError("The page came back otherwise than it was sent. Load it again.")
    return CHANGES[what]


def _accept(request: HttpRequest, incoming: Incoming, site: Site) -> HttpResponse:
    plan = plan_of(incoming, preview_of(incoming, site), request.POST.get("signing", ""))
    done = actions.accept(asked(request), site, plan, request.POST.get("reason", ""))
    messages.success(request, f"{done.journal.sentence}.")
    return redirect("inspect_report_stored", digest=incoming.digest, pk=done.pk)


@at_desk()
@require_GET
def inspect_report_stored(request: HttpRequest, digest: str, pk: int) -> HttpResponse:
    """What was stored of an accepted report, what fell by it, which tags are to be printed again."""
    rows = AcceptedReport.objects.at(site_of(request)).select_related("file", "journal__by", "site")
    one = found_or_404(rows, pk=pk, file__sha256=digest)
    stored = actions.recorded_of(one)
    wanted = set(one.tags)
    stored = [row for row in stored if row.component.tag in wanted]
    ids = {row.pk for row in stored}
    fell = [fall for fall in fallen(one.site, one.on) if fall.inspection.pk in ids]
    new_tags = [row for row in stored if row.component.pipe_class != row.class_before]
    context = {
        "report": one, "stored": stored, "fell": fell, "new_tags": new_tags,
        "held": [row for row in stored if row.component.holds_n],
        "cut": [row for row in stored if row.component.length_nm is None],
        "open_n": len(wanted) - len({row.component.tag for row in stored}), "crumbs": _crumbs(),
    }  # fmt: skip
    return render(request, "inspection/inspect_report_stored.html", context)


def _crumbs() -> list[tuple[str, str]]:
    return [*CRUMBS, ("Reports", reverse("inspect_report"))]


def _query(request: HttpRequest) -> str:
    query = request.GET.urlencode()
    return f"?{query}" if query else ""
