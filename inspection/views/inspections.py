"""One recorded inspection: whose word, what was found, every check of it opened, what followed."""

import json
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_POST

from inspection.actions.recording import take_back
from inspection.calc.criteria import scheme
from inspection.calc.entering import STATES_SAID
from inspection.calc.lookup import CONFIDENCE
from inspection.calc.methods import method
from inspection.calc.readings import WHATS
from inspection.calc.verdict import Check, Outcome, inches
from inspection.models import Finding, Inspection, Reading
from inspection.models.judged import verdict_of
from rack.actions.files import bytes_of
from rack.calc.sheets import CAUTIONS_ALWAYS
from rack.desk import asked, at_desk, found_or_404
from rack.errors import NotAtHand, Refused
from rack.models import Consent, File, Hold, Strap

#: How an outcome is drawn: the icon of the house beside its word.
_ICONS = {
    Outcome.PASSES: "done", Outcome.LOWERS: "due", Outcome.REPAIR: "asks", Outcome.REJECTS: "stops",
    Outcome.UNKNOWN: "asks", Outcome.NOTED: "note",
}  # fmt: skip


@at_desk()
@require_GET
def inspection(request: HttpRequest, pk: int) -> HttpResponse:
    return _page(request, _found(request, pk))


@at_desk("inspect")
@require_POST
def inspection_back(request: HttpRequest, pk: int) -> HttpResponse:
    row, reason = _found(request, pk), request.POST.get("reason", "").replace("\0", "")[:300]
    try:
        take_back(asked(request), row, reason)
    except Refused as refused:
        return _page(request, row, problems=refused.problems, reason=reason)
    messages.success(request, "Taken back; what held before holds again. A hold stays until it is released.")
    return redirect("inspection", pk=row.pk)


@at_desk()
@require_GET
def inspection_report(request: HttpRequest, pk: int) -> HttpResponse:
    """The report of the inspection company, to be saved."""
    row = _found(request, pk)
    return handed_over(row.report)


@at_desk()
@require_GET
def inspection_photo(request: HttpRequest, pk: int, finding: int) -> HttpResponse:
    """The photo of a finding, to be saved."""
    one: Finding = found_or_404(_found(request, pk).findings.select_related("photo"), pk=finding)
    return handed_over(one.photo)


def handed_over(file: File | None) -> HttpResponse:
    """A file that somebody sent in, as an attachment: it is never opened inside a page, and never run."""
    if file is None:
        raise Http404("No file was handed in with it.")
    try:
        data = bytes_of(file.sha256)
    except FileNotFoundError:
        raise NotAtHand(f"{file.typed_name} is not in the data folder; look in the backup.") from None
    headers = {
        "Content-Disposition": content_disposition_header(True, file.typed_name) or "attachment",
        "Content-Security-Policy": "sandbox; default-src 'none'", "X-Content-Type-Options": "nosniff",
    }
    return HttpResponse(data, content_type=file.media, headers=headers)


def _found(request: HttpRequest, pk: int) -> Inspection:
    rows = Inspection.objects.for_user(request.user).entered()
    rows = rows.select_related("component__spec", "component__site", "inspector", "report", "job",
                               "journal__by", "reversed_by__journal__by")  # fmt: skip
    return found_or_404(rows, pk=pk)  # type: ignore[no-any-return]


def _page(request: HttpRequest, row: Inspection, **more: Any) -> HttpResponse:
    looks, readings = list(row.methods.order_by("seq")), list(row.readings.order_by("seq"))
    verdict = verdict_of(row)
    back = getattr(row, "reversed_by", None)
    context = {
        "row": row, "piece": row.component, "scheme": scheme(row.scheme), "back": back,
        "step": next((one for one in scheme(row.scheme).steps if one.name == row.class_held), None),
        "resets": ", ".join(row.resets.split()), "equipment": json.loads(row.equipment or "[]"),
        "checks": [_opened(check) for check in verdict.checks], "missing": verdict.missing,
        "again": verdict.class_computed if verdict.class_computed != row.class_computed else "",
        "looks": [(method(one.method), one) for one in looks],
        "readings": [_read(one) for one in readings], "ends": _ends(row),
        "findings": row.findings.select_related("photo").order_by("seq"),
        "holds": Hold.objects.filter(journal=row.journal, component=row.component, what="put"),
        "ended": Strap.objects.filter(journal=row.journal, component=row.component, what="ended").exists(),
        "consents": Consent.objects.filter(journal=row.journal).order_by("seq"),
        "cautions": " ".join(CAUTIONS_ALWAYS),
        "crumbs": [("Rack", "/rack/"), (str(row.component), f"/piece/{row.component.tag}/")], **more,
    }  # fmt: skip
    status = 422 if more.get("problems") else 200
    return render(request, "inspection/inspection.html", context, status=status)


def _opened(check: Check) -> dict[str, Any]:
    sure = f"{check.conf}: {CONFIDENCE[check.conf]}" if check.conf in CONFIDENCE else check.conf
    return {"check": check, "icon": _ICONS[check.outcome], "sure": sure}


def _read(row: Reading) -> dict[str, Any]:
    what = WHATS[row.what]
    if row.nm is not None:
        value, unit = inches(row.nm, 5), "in"
    elif row.ppm is not None:
        value, unit = f"{row.ppm / 10_000:g}", "%"
    elif what.sort == "flag":
        value, unit = ("found" if row.count_n else "none found"), ""
    else:
        value, unit = row.word, ""
    return {"label": what.label, "row": row, "value": value, "unit": unit}


def _ends(row: Inspection) -> list[tuple[str, str, str]]:
    both = (("Box", row.box_found, row.box_after), ("Pin", row.pin_found, row.pin_after))
    return [(end, STATES_SAID.get(found, ""), STATES_SAID.get(after, "")) for end, found, after in both
            if found or after]  # fmt: skip
