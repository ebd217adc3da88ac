"""The BHA sheet of a plan or a string: as it stands, its diagram, printing it, and the printed revisions."""

from datetime import datetime
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions.string_printing import print_bha
from rack.calc.bha import BhaContent
from rack.calc.bha_words import weight_worked
from rack.calc.tags import read_code
from rack.desk import asked, at_desk, found_or_404
from rack.downloads import CSV, PDF, XLSX, download, paper_size
from rack.errors import Refused
from rack.exchange import bha_table
from rack.models import Plan, String, StringSheet
from rack.models.bha import content_now, is_shut_away, still_says
from rack.paper import bha_sheet as paper
from rack.paper import bha_sums as sums
from rack.paper import fishing_diagram
from rack.paper.drawing_svg import DAY, NIGHT
from rack.people import check_can
from rack.views.plans import plan_here
from rack.views.sheets import NotNow
from rack.views.strings import string_here

#: So many printed revisions are listed, the newest first.
MOST = 20
SHUT = (
    "A piece of this sheet is being strapped a second time; until that is finished the sheet is shown to "
    "nobody, because its length stands on it."
)


@at_desk()
@require_http_methods(["GET", "POST"])
def plan_bha(request: HttpRequest, number: int) -> HttpResponse:
    return _live(request, plan_here(request, number), "plan")


@at_desk()
@require_http_methods(["GET", "POST"])
def string_bha(request: HttpRequest, number: int) -> HttpResponse:
    return _live(request, string_here(request, number), "string")


def _live(request: HttpRequest, of: Plan | String, what: str) -> HttpResponse:
    """The sheet as it stands; sent, it is printed as the next revision."""
    problems: Any = ()
    if request.method == "POST":
        check_can(request.user, "bha", of.site)
        try:
            return redirect("bha_sheet", code=print_bha(asked(request), of).code)
        except Refused as refused:
            problems = refused.problems
    content = content_now(of, _now(of))
    printed = list(StringSheet.objects.printed_of(of).defer("content").select_related("journal__by")[:MOST])
    context = {
        "of": of, "what": what, "problems": problems, **_shown(content),
        "drawing": reverse(f"{what}_diagram", args=[of.number]),
        "printed": printed, "next": printed[0].revision + 1 if printed else 1, "crumbs": _crumbs(of, what),
    }  # fmt: skip
    return render(request, "rack/bha.html", context, status=422 if problems else 200)


def _now(of: Plan | String) -> datetime:
    return timezone.localtime(timezone.now(), of.site.zone)


def _crumbs(of: Plan | String, what: str) -> list[tuple[str, str]]:
    crumbs = [("Strings", reverse("string_list"))]
    crumbs += [("Plans", reverse("plan_list"))] if what == "plan" else []
    return [*crumbs, (str(of), reverse(what, args=[of.number]))]


def _shown(content: BhaContent) -> dict[str, Any]:
    rows = [
        {"line": line, "item": paper.item_words(line), "serial": paper.serial_words(line),
         "more": paper.more_words(content, line), "od": sums.size(line.od_nm),
         "bore": sums.size(line.bore_nm),
         "joint_bore": sums.size(line.least_bore_nm) if line.least_bore_nm != line.bore_nm else "",
         "gauge": sums.size(line.gauge_nm) if line.gauge_nm else "", "neck": sums.size(line.neck_od_nm),
         "neck_length": sums.shown(content, line.neck_nm or None), "ends": paper.ends_words(line),
         "length": sums.shown(content, line.nm), "cum": sums.shown(content, line.cum_nm),
         "lb": sums.pounds(line.mlb)}
        for line in content.lines
    ]  # fmt: skip
    return {"content": content, "rows": rows, "head": paper.head_pairs(content),
            "figures": sums.sum_pairs(content), "lacking": sums.lacking(content),
            "weighed": weight_worked(content.lines)}  # fmt: skip


@at_desk()
@require_GET
def plan_diagram(request: HttpRequest, number: int) -> HttpResponse:
    of = plan_here(request, number)
    return _svg(request, content_now(of, _now(of)))


@at_desk()
@require_GET
def string_diagram(request: HttpRequest, number: int) -> HttpResponse:
    of = string_here(request, number)
    return _svg(request, content_now(of, _now(of)))


def _svg(request: HttpRequest, content: BhaContent) -> HttpResponse:
    """The fishing diagram by itself, for an <img>; ?night=1 on dark ground, ?narrow=1 for a phone."""
    tint = NIGHT if request.GET.get("night") else DAY
    made = fishing_diagram.pictures(content, narrow=bool(request.GET.get("narrow")), tint=tint)
    if not made:
        raise Http404("Nothing is in the string yet.")
    return HttpResponse(made[0], content_type="image/svg+xml", headers={"Cache-Control": "no-store"})


@at_desk()
@require_GET
def bha_sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The live page of one printed sheet; its first sentence says whether the paper is current."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        return render(request, "rack/bha_sheet.html", {"wrong": str(wrong), "code": code}, status=404)
    of = one.of
    what = "plan" if isinstance(of, Plan) else "string"
    newest = StringSheet.objects.printed_of(of).defer("content")[0]
    content = _content(one)
    context = {
        "sheet": one, "of": of, "what": what, "newest": newest, "current": newest.pk == one.pk,
        "newest_at": timezone.localtime(newest.at, of.site.zone),
        "printed_at": datetime.fromisoformat(content.made_at),
        "same": newest.pk == one.pk and still_says(content, content_now(of, _now(of))),
        **_shown(content), "drawing": reverse("bha_file", args=[one.code, "svg"]),
        "other_size": "Letter" if paper_size(request, of.site) == "A4" else "A4",
        "crumbs": _crumbs(of, what),
    }  # fmt: skip
    return render(request, "rack/bha_sheet.html", context)


@at_desk()
@require_GET
def bha_file(request: HttpRequest, code: str, form: str) -> HttpResponse:
    """A printed sheet as PDF, CSV, XLSX, or its diagram; drawn from its text alone."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        raise Http404(str(wrong)) from None
    content, address = _content(one), f"{settings.ADDRESS}/B/{one.code}"
    name = f"{content.head.site_code}-{_what(one)}-bha-revision-{one.revision}.{form}"
    if form == "svg":
        return _svg(request, content)
    if form == "pdf":
        data = paper.pdf(content, size=paper_size(request, one.of.site), address=address)
        return download(data, PDF, name, inline=True)
    if form == "csv":
        return download(bha_table.write_csv(content).encode(), CSV, name)
    if form == "xlsx":
        return download(bha_table.write_xlsx(content, address), XLSX, name)
    raise Http404("A BHA sheet is written as pdf, csv or xlsx, its diagram as svg.")


def _what(one: StringSheet) -> str:
    return f"plan-{one.of.number}" if isinstance(one.of, Plan) else f"string-{one.of.number}"


def _content(one: StringSheet) -> BhaContent:
    """What the sheet says, unless a piece of it is strapped a second time now (law 13)."""
    content = BhaContent.from_text(one.content)
    if is_shut_away(content):
        raise NotNow(SHUT)
    return content


def _sheet(request: HttpRequest, code: str) -> StringSheet:
    rows = StringSheet.objects.for_user(request.user).select_related(
        *(f"{of}__{name}" for of in ("plan", "string") for name in ("site", "section", "well__site")),
        "string__plan", "journal__by",
    )  # fmt: skip
    return found_or_404(rows, code=read_code(code, "sheet"))  # type: ignore[no-any-return]
