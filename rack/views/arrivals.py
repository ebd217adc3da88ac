"""What is on its way here, the list of a load at the address on its paper, and its files."""

import json
from datetime import datetime
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions.arriving import Came, arrive
from rack.actions.unarriving import undo_arrival
from rack.calc.checks import Problem
from rack.calc.loadlist import LoadContent, LoadLine, condition
from rack.calc.tags import read_code
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.downloads import CSV, PDF, XLSX, download, paper_size
from rack.errors import Refused
from rack.exchange import loadout_table
from rack.forms.loads import CameForm, UndoForm
from rack.models import Arrival, Component, LoadOut, LoadSheet
from rack.models.blindness import is_shut
from rack.paper import loadout
from rack.views.sheets import NotNow


@at_desk("receive")
@require_http_methods(["GET", "POST"])
def load_coming(request: HttpRequest, pk: int) -> HttpResponse:
    """A load from another site of ours: receive all of it, or what came of it."""
    site = site_of(request)
    rows = LoadOut.objects.filter(to_site=site).exclude(state="open").select_related("site", "to_site")
    one = found_or_404(rows, pk=pk)
    sheet = LoadSheet.objects.standing().filter(loadout=one).first()
    undoing = request.method == "POST" and request.POST.get("what") == "undo"
    form = CameForm(None if undoing else request.POST or None, site=site, initial={"everything": False})
    undo, problems = undo_of(request, one) if undoing else (None, ())
    if undoing and not problems and undo is None:
        return redirect("load_coming", pk=one.pk)
    if not undoing and request.method == "POST" and form.is_valid():
        try:
            done = arrive(asked(request), one, came_of(request, form))
        except Refused as refused:
            problems = refused.problems
        else:
            words = f"{done.came_n} piece{'' if done.came_n == 1 else 's'} of {one} received."
            messages.success(request, words)
            return redirect("load_coming", pk=one.pk) if not done.complete else redirect(
                "load_sheet", code=done.sheet.code)  # fmt: skip
    content = LoadContent.from_text(sheet.content) if sheet else None
    arrivals = arrival_rows(one)
    context = {
        "load": one, "sheet": sheet, "content": content, "form": form, "problems": problems,
        "waiting": waiting_lines(one, sheet), "arrivals": arrivals,
        "undo_form": undo or undo_form(arrivals), "undoing": undoing,
        "ticked": set(request.POST.getlist("came")),
        "crumbs": [("Receive", reverse("receive"))],
    }  # fmt: skip
    bad = request.method == "POST"
    return render(request, "rack/load_coming.html", context, status=422 if bad else 200)


def undo_form(arrivals: list[dict[str, Any]]) -> UndoForm | None:
    """The form that takes the newest arrival back, None where nothing has arrived."""
    return UndoForm(initial={"arrival": arrivals[-1]["pk"]}, auto_id="undo_%s") if arrivals else None


def undo_of(request: HttpRequest, one: LoadOut) -> tuple[UndoForm | None, tuple[Problem, ...]]:
    """Take an arrival of this load back: (None, ()) when it is done, else the form and what is wrong."""
    form = UndoForm(request.POST, auto_id="undo_%s")
    if not form.is_valid():
        return form, ()
    arrival = found_or_404(one.arrivals.select_related("loadout__site", "loadout__to_site"),
                           pk=form.cleaned_data["arrival"], reverses=None)  # fmt: skip
    try:
        undo_arrival(asked(request), arrival, form.cleaned_data["undo_reason"])
    except Refused as refused:
        return form, refused.problems
    messages.success(request, f"The arrival of {one} is taken back; its pieces are in transit again.")
    return None, ()


def came_of(request: HttpRequest, form: CameForm) -> Came:
    """What was ticked and typed."""
    typed = form.cleaned_data
    names = typed["names"].replace(",", "\n").replace(";", "\n").splitlines()
    return Came(
        place=typed.get("place"), everything=typed["everything"], remark=typed["remark"],
        tags=tuple(tag[:7] for tag in request.POST.getlist("came")[:5000]), reason=typed.get("reason", ""),
        names=tuple(name.strip() for name in names if name.strip()),
    )  # fmt: skip


def waiting_lines(one: LoadOut, sheet: LoadSheet | None) -> tuple[LoadLine, ...]:
    """The lines of the list whose pieces have not arrived."""
    if sheet is None or one.state != "sent":
        return ()
    lines = LoadContent.from_text(LoadSheet.objects.get(pk=sheet.pk).content).lines
    on_way = set(
        Component.objects.filter(site=one.site, state="in_transit", loaded_rows__loadout=one)
        .values_list("tag", flat=True)
    )  # fmt: skip
    return tuple(line for line in lines if line.tag in on_way)


def arrival_rows(one: LoadOut) -> list[dict[str, Any]]:
    """Each arrival: when, by whom, how many, what was short then and what was over, by name."""
    rows = list(one.arrivals.standing().select_related("journal__by", "place", "sheet").order_by("id"))
    names = _names(rows)
    return [
        {"pk": row.pk, "at": row.at, "by": row.journal.by, "came": row.came_n, "place": row.place,
         "remark": row.remark,
         "short": [names.get((row.sheet_id, tag), tag) for tag in json.loads(row.short)],
         "over": json.loads(row.over)}
        for row in rows
    ]  # fmt: skip


def _names(rows: list[Arrival]) -> dict[tuple[int, str], str]:
    found = {}
    for sheet in {row.sheet_id: row.sheet for row in rows}.values():
        for line in LoadContent.from_text(sheet.content).lines:
            found[sheet.pk, line.tag] = line.name
    return found


@at_desk()
@require_GET
def load_sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The live page of a list; the first sentence says whether the paper is current and what arrived."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        return render(request, "rack/load_sheet.html", {"wrong": str(wrong), "code": code}, status=404)
    load = one.loadout
    content = _open_content(one)
    back = LoadSheet.objects.filter(reverses=one).first()
    newer = load.sheets.filter(code__isnull=False, revision__gt=one.revision).order_by("-revision").first()
    context = {
        "sheet": one, "load": load, "content": content, "back": back, "newer": newer,
        "here": load.site_id == site_of(request).pk, "arrivals": arrival_rows(load) if not back else [],
        "waiting": len(waiting_lines(load, one)) if not back else 0,
        "lifts": [
            {"called": lift.called, "words": loadout.sum_words(content, lift),
             "rows": [(line, loadout.length_of(content, line.nm),
                       loadout.PROTECTORS.get(line.protectors, "")) for line in lift.lines]}
            for lift in content.lifts
        ],
        "whole": loadout.sum_words(content, loadout.sum_of("", content.lines)),
        "notes": loadout.weight_words(content), "why": loadout.WHY.get(content.why, content.why),
        "conditions": [(line, condition(line, content.unit, content.digits)) for line in content.lines]
        if content.is_return else [],
        "sent": datetime.fromisoformat(content.sent_at),
    }  # fmt: skip
    return render(request, "rack/load_sheet.html", context)


@at_desk()
@require_GET
def load_pdf(request: HttpRequest, code: str) -> HttpResponse:
    content = _content(request, code)
    data = loadout.pdf(content, size=paper_size(request, site_of(request)),
                       address=f"{settings.ADDRESS}/L/{content.code}")  # fmt: skip
    return download(data, PDF, _name(content, "pdf"), inline=True)


@at_desk()
@require_GET
def load_csv(request: HttpRequest, code: str) -> HttpResponse:
    content = _content(request, code)
    data = loadout_table.write_csv(content).encode()
    return download(data, CSV, _name(content, "csv"))


@at_desk()
@require_GET
def load_xlsx(request: HttpRequest, code: str) -> HttpResponse:
    content = _content(request, code)
    data = loadout_table.write_xlsx(content, f"{settings.ADDRESS}/L/{content.code}")
    return download(data, XLSX, _name(content, "xlsx"))


def _sheet(request: HttpRequest, code: str) -> LoadSheet:
    """The list of this code, sent from or to a site of this person. ValueError for a wrong code."""
    rows = LoadSheet.objects.for_user(request.user).select_related("loadout__site", "loadout__to_site")
    return found_or_404(rows, code=read_code(code, "list"))  # type: ignore[no-any-return]


def _open_content(one: LoadSheet) -> LoadContent:
    """The list, unless a piece on it is strapped a second time now: its length is shut away (law 13)."""
    content = LoadContent.from_text(one.content)
    tags = [line.tag for line in content.lines]
    some = (tags[start : start + 500] for start in range(0, len(tags), 500))
    if any(Component.objects.filter(is_shut(), tag__in=part).exists() for part in some):
        raise NotNow("A piece of this list is being strapped a second time; until that is finished the list "
                     "is shown to nobody, because its length stands on it.")  # fmt: skip
    return content


def _content(request: HttpRequest, code: str) -> LoadContent:
    try:
        return _open_content(_sheet(request, code))
    except ValueError as wrong:
        raise Http404(str(wrong)) from None


def _name(content: LoadContent, ending: str) -> str:
    return f"{content.site_code}-load-{content.number}-revision-{content.revision}.{ending}"
