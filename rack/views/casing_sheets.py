"""A printed casing plan at the address on its paper: the page, running list, casing detail, CSV and XLSX."""

from datetime import datetime
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.casing_content import CasingContent
from rack.calc.tags import read_code
from rack.desk import at_desk, found_or_404
from rack.downloads import CSV, PDF, XLSX, download, paper_size
from rack.exchange import casing_files
from rack.models import CasingSheet
from rack.paper import casing_detail, running_list
from rack.views.casing_facts import changed_since
from rack.views.sheets import NotNow

SHUT = (
    "The tally under this plan is open again and its second strap is not finished; until then no length of "
    "it is shown to anybody, and lengths stand on this plan."
)


@at_desk()
@require_GET
def casing_sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The live page of one printed plan; its first sentence says whether the paper is current."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        return render(request, "rack/casing_sheet.html", {"wrong": str(wrong), "code": code}, status=404)
    plan, tally = one.plan, one.plan.tally
    newest = plan.sheets.order_by("-revision").defer("content")[0]
    at = reverse("casing", args=[tally.number])
    context: dict[str, Any] = {
        "sheet": one, "plan": plan, "tally": tally, "newest": newest, "current": newest.pk == one.pk,
        "newest_at": timezone.localtime(newest.at, tally.site.zone),
        "crumbs": [("Tallies", reverse("tally_list")), (f"Casing plan of tally {tally.number}", at)],
    }
    if tally.is_blind:
        return render(request, "rack/casing_sheet.html", {**context, "shut": SHUT})
    content = CasingContent.from_text(one.content)
    layout = content.layout()
    context |= {
        "content": content, "changed": context["current"] and changed_since(plan),
        "printed": datetime.fromisoformat(content.printed_at),
        "groups": [
            {"group": group, "length": content.shown(group.length), "top": content.shown(group.top),
             "bottom": content.shown(group.bottom)}
            for group in casing_detail.groups(content)
        ],
        "figures": [
            ("Below the shoulder", f"{content.shown(layout.total)} {content.unit}"),
            (f"Shoe below {content.datum}", f"{content.shown(layout.shoe)} {content.unit}"),
            ("Stick-up", f"{content.shown(layout.stick_up)} {content.unit}"),
        ],
        "counts": [("Received", content.received), ("To run", content.to_run), ("Spare", content.spare),
                   ("Left out", content.left_out), ("Must lie on the rack", len(content.on_rack))],
        "on_rack": ", ".join(content.on_rack),
        "left": [row for row in content.rows if row.role == "out"],
    }
    return render(request, "rack/casing_sheet.html", context)


@at_desk()
@require_GET
def casing_file(request: HttpRequest, code: str, what: str, form: str) -> HttpResponse:
    """Running list or casing detail as PDF or CSV, both as XLSX; drawn from the sheet's text alone."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        raise Http404(str(wrong)) from None
    if one.plan.tally.is_blind:
        raise NotNow(SHUT)
    content = CasingContent.from_text(one.content)
    name = f"{content.site_code}-tally-{content.tally_no}-{what}-revision-{content.revision}.{form}"
    size, address = paper_size(request, one.plan.tally.site), f"{settings.ADDRESS}/C/{one.code}"
    if (what, form) == ("running-list", "pdf"):
        return download(running_list.pdf(content, size=size, address=address), PDF, name, inline=True)
    if (what, form) == ("casing-detail", "pdf"):
        return download(casing_detail.pdf(content, size=size, address=address), PDF, name, inline=True)
    if (what, form) == ("running-list", "csv"):
        text = casing_files.csv_text(content, casing_files.running_rows(content))
        return download(text.encode(), CSV, name)
    if (what, form) == ("casing-detail", "csv"):
        text = casing_files.csv_text(content, casing_files.detail_rows(content))
        return download(text.encode(), CSV, name)
    if (what, form) == ("casing", "xlsx"):
        return download(casing_files.xlsx(content, address), XLSX, name)
    raise Http404("A casing plan is printed as running-list, casing-detail or casing.xlsx.")


def _sheet(request: HttpRequest, code: str) -> CasingSheet:
    rows = CasingSheet.objects.for_user(request.user).select_related("plan__tally__site", "journal__by")
    return found_or_404(rows, code=read_code(code, "sheet"))  # type: ignore[no-any-return]
