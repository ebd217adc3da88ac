"""The BHA sheet of a plan or a string: as it stands, its diagram, printing it, and reading a typed one."""

from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions.string_printing import print_bha
from rack.calc.bha import BhaContent
from rack.calc.tags import read_code
from rack.errors import Refused, UnreadableFile
from rack.exchange import bha_sheet as typed_sheets
from rack.exchange import bha_table
from rack.forms.casing import TypedSheetForm
from rack.models import Plan, String, StringSheet
from rack.models.bha import content_now
from rack.paper import bha_sheet as paper
from rack.paper import fishing_diagram
from rack.people import check_can
from rack.views.desk import asked, at_desk, found_or_404
from rack.views.plans import plan_here
from rack.views.sheets import XLSX, paper_size
from rack.views.strings import string_here

MOST_BYTES = 20 * 2**20


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
        check_can(request.user, "plan", of.site)
        try:
            return redirect("bha_sheet", code=print_bha(asked(request), of).code)
        except Refused as refused:
            problems = refused.problems
    content = content_now(of, timezone.localtime())
    context = {
        "of": of, "what": what, "content": content, "problems": problems, **_shown(content),
        "drawing": reverse(f"{what}_diagram", args=[of.number]),
        "printed": StringSheet.objects.printed_of(of)[:20],
        "crumbs": [("Strings", reverse("string_list")), (str(of), reverse(what, args=[of.number]))],
    }  # fmt: skip
    return render(request, "rack/bha.html", context, status=422 if problems else 200)


def _shown(content: BhaContent) -> dict[str, Any]:
    rows = [
        {"line": line, "words": paper.piece_words(content, line), "od": paper.size(line.od_nm),
         "bore": paper.bore_words(line), "neck": paper.size(line.neck_od_nm),
         "neck_length": paper.shown(content, line.neck_nm or None), "ends": paper.ends_words(line),
         "length": paper.shown(content, line.nm), "cum": paper.shown(content, line.cum_nm),
         "lb": paper.pounds(line.mlb)}
        for line in content.lines
    ]  # fmt: skip
    return {"rows": rows, "head": paper.head_pairs(content), "figures": paper.sum_pairs(content),
            "lacking": paper.lacking(content)}  # fmt: skip


@at_desk()
@require_GET
def plan_diagram(request: HttpRequest, number: int) -> HttpResponse:
    return _svg(content_now(plan_here(request, number), timezone.localtime()))


@at_desk()
@require_GET
def string_diagram(request: HttpRequest, number: int) -> HttpResponse:
    return _svg(content_now(string_here(request, number), timezone.localtime()))


def _svg(content: BhaContent) -> HttpResponse:
    pictures = fishing_diagram.pictures(content)
    if not pictures:
        raise Http404("Nothing is in the string yet.")
    return HttpResponse(pictures[0], content_type="image/svg+xml")


@at_desk()
@require_GET
def bha_sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The live page of one printed sheet; its first sentence says whether the paper is current."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        return render(request, "rack/bha_sheet.html", {"wrong": str(wrong)}, status=404)
    of = one.of
    what = "plan" if isinstance(of, Plan) else "string"
    newest = StringSheet.objects.printed_of(of).defer("content")[0]
    content = BhaContent.from_text(one.content)
    same = content_now(of, timezone.localtime()).lines == content.lines
    context = {
        "sheet": one, "of": of, "what": what, "newest": newest, "current": newest.pk == one.pk, "same": same,
        "content": content, **_shown(content), "drawing": reverse("bha_file", args=[one.code, "svg"]),
        "crumbs": [("Strings", reverse("string_list")), (str(of), reverse(what, args=[of.number]))],
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
    content = BhaContent.from_text(one.content)
    if form == "svg":
        return _svg(content)
    if form == "pdf":
        address = f"{settings.ADDRESS}/B/{one.code}"
        data, media = (
            paper.pdf(content, size=paper_size(request, one.of.site), address=address),
            "application/pdf",
        )
    elif form == "csv":
        data, media = bha_table.write_csv(content).encode("utf-8-sig"), "text/csv; charset=utf-8"
    elif form == "xlsx":
        data, media = bha_table.write_xlsx(content), XLSX
    else:
        raise Http404("A BHA sheet is written as pdf, csv or xlsx.")
    where = "inline" if form == "pdf" else "attachment"
    name = f"{content.head.site_code}-bha-{one.code}-revision-{one.revision}.{form}"
    return HttpResponse(
        data, content_type=media, headers={"Content-Disposition": f'{where}; filename="{name}"'}
    )


def _sheet(request: HttpRequest, code: str) -> StringSheet:
    rows = StringSheet.objects.for_user(request.user).select_related(
        "plan__site", "string__site", "journal__by"
    )
    return found_or_404(rows, code=read_code(code, "sheet"))  # type: ignore[no-any-return]


@at_desk()
@require_http_methods(["GET", "POST"])
def bha_typed(request: HttpRequest) -> HttpResponse:
    """A sheet as somebody typed it: every fault that it betrays is named, and nothing is stored."""
    form = TypedSheetForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form, "crumbs": [("Strings", reverse("string_list"))]}
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            file = form.cleaned_data["file"]
            try:
                read = typed_sheets.read_sheet(file.read(), file.name, today=timezone.localdate())
            except UnreadableFile as refused:
                context["sentence"] = str(refused)
            else:
                status = 200
                context |= {
                    "read": {"figures": [("Pieces", str(len(read.links)))]},
                    "problems": read.problems,
                }
    return render(request, "rack/bha_typed.html", context, status=status)
