"""Tallies: the list, opening one, its page, its two straps held against each other, closing it."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import tallies as actions
from rack.calc.purposes import PURPOSES
from rack.desk import asked, at_desk, site_of
from rack.errors import Refused
from rack.forms.tallies import TallyForm
from rack.models import Tally
from rack.models.progress import progress_of
from rack.tables.tallies import TallyTable
from rack.views.choosing import lines_chosen, rack_choice

PAGE = 50


@dataclass(frozen=True)
class TallyPage:
    rows: list[Tally]
    back: str
    next: str


@at_desk()
@require_GET
def tally_list(request: HttpRequest) -> HttpResponse:
    page = page_of_tallies(request, Tally.objects.at(site_of(request)))
    table = TallyTable(page.rows, progress_of(page.rows))
    return render(request, "rack/tally_list.html", {"table": table, "page": page})


def page_of_tallies(request: HttpRequest, rows: "QuerySet[Tally]") -> TallyPage:
    """One page of tallies, open ones first and then by number from the newest; a cursor is "o17" or "c17"."""
    before, after = _cursor(request.GET.get("before", "")), _cursor(request.GET.get("after", ""))
    if before:
        is_open, number = before
        newer = Q(open=is_open, number__gt=number) | (Q() if is_open else Q(open=True))
        found = list(rows.filter(newer).order_by("open", "number")[: PAGE + 1])
        shown, back, further = found[:PAGE][::-1], len(found) > PAGE, True
    else:
        if after:
            is_open, number = after
            rows = rows.filter(Q(open=is_open, number__lt=number) | (Q(open=False) if is_open else Q()))
        found = list(rows.order_by("-open", "-number")[: PAGE + 1])
        shown, back, further = found[:PAGE], bool(after), len(found) > PAGE
    return TallyPage(
        shown,
        f"?before={_mark(shown[0])}" if shown and back else "",
        f"?after={_mark(shown[-1])}" if shown and further else "",
    )


def _mark(tally: Tally) -> str:
    return f"{'o' if tally.open else 'c'}{tally.number}"


def _cursor(text: str) -> tuple[bool, int] | None:
    """Open or closed, and the number; None for anything else, which shows the first page."""
    if text[:1] not in ("o", "c") or not text[1:].isascii() or not text[1:].isdecimal() or len(text) > 10:
        return None
    return text[0] == "o", int(text[1:])


@at_desk("tally")
@require_http_methods(["GET", "POST"])
def tally_new(request: HttpRequest) -> HttpResponse:
    """The head, asked once, and what the lines are made from."""
    site = site_of(request)
    query, words = rack_choice(request)
    form = TallyForm(request.POST or None, site=site, initial=_initial(request, query), shown=words)
    problems: tuple[Any, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            made = _open(request, form.cleaned_data)
        except Refused as refused:
            problems = refused.problems
        else:
            messages.success(request, f"{made} is open.")
            return redirect("tally", number=made.number)
    wrong = bool(problems or (request.method == "POST" and form.errors))
    context = {"form": form, "problems": problems, "crumbs": [("Tallies", reverse("tally_list"))]}
    return render(request, "rack/tally_new.html", context, status=422 if wrong else 200)


def _initial(request: HttpRequest, query: str) -> dict[str, Any]:
    """What another page has chosen: ?layer=7, ?delivery=3, or ?from=rack and the choices of the rack list."""
    begin = request.GET.get("from", "")
    if not begin:
        begin = next((name for name in ("delivery", "layer") if request.GET.get(name)), "")
    initial: dict[str, Any] = {"rack_query": query}
    if begin in ("layer", "delivery", "rack", "empty", "numbers", "tally"):
        initial["lines_from"] = begin
    for name in ("layer", "delivery", "like"):
        if begin == {"like": "tally"}.get(name, name) and request.GET.get(name, "").isdecimal():
            initial[name] = request.GET[name][:18]
    if request.GET.get("purpose", "") in PURPOSES:
        initial["purpose"] = request.GET["purpose"]
    elif begin == "delivery":
        initial["purpose"] = "delivery"
    return initial


def _open(request: HttpRequest, typed: dict[str, Any]) -> Tally:
    head = actions.TallyHead(
        **{name: typed[name] for name in
           ("purpose", "kind", "title", "straps_wanted", "tape", "reader", "writer")},
        column=int(typed["column"]),
    )
    lines = lines_chosen(request, typed)
    return actions.open_tally(asked(request), site_of(request), head, spec=typed["spec"], lines=lines)
