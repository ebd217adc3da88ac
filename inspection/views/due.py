"""The due board: what is overdue, due, soon and fine, and why."""

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspection.actions.limits import decided_of
from inspection.calc.criteria import scheme
from inspection.calc.reasons import reasons
from inspection.models.due import HERE, LISTS, board, counted, due_in_a_well, of_state
from inspection.models.planned import of_plan, of_string, taken_out
from inspection.views.board import Board
from rack.desk import at_desk, found_or_404, sites_of
from rack.models import Component
from rack.models.clocks import as_calc, clocks_of, marked
from rack.paging import page_by_key

SHAPES = {"overdue": "over", "due": "due", "before": "due", "soon": "soon", "fine": "fine", "held": "held"}
#: So many sites are told side by side.
MOST_SITES = 60


@at_desk()
@require_GET
def due_list(request: HttpRequest) -> HttpResponse:
    shown = Board(request)
    page = page_by_key(request, shown.rows, shown.key)
    context = {
        "board": shown, "filter": shown.form, "page": page, "rows": shown.shown(page.rows),
        "tabs": _tabs(request, shown), "taken": _taken(shown), "today": shown.today,
        "clear": reverse("due_list") if shown.form.narrowed else "",
        "query": _query(request, list=shown.name),
        "in_wells": due_in_a_well(shown.site, shown.today).count(),
    }  # fmt: skip
    return render(request, "inspection/due_list.html", context)


def _tabs(request: HttpRequest, shown: Board) -> list[dict[str, Any]]:
    """The lists with their counts, each with its address."""
    return [
        {"word": LISTS[name][0], "shape": SHAPES[name], "count": shown.counts[name],
         "at": "?" + _query(request, list=name), "current": name == shown.name}
        for name in LISTS if name in shown.lists
    ]  # fmt: skip


def _query(request: HttpRequest, **more: str) -> str:
    """The choices of the address without the page that is shown of its list."""
    left_out = ("before", "after", *more)
    kept = [(name, value) for name, values in request.GET.lists() for value in values
            if value and name not in left_out]  # fmt: skip
    return urlencode([*kept, *more.items()])


def _taken(shown: Board) -> dict[str, Any] | None:
    """What the limits take out of the planned string, or of the string that was chosen."""
    plan, string = shown.form.plan, shown.form.string
    if shown.form.said("plan") and plan:
        name, positions, at = str(plan), of_plan(plan), reverse("plan", args=[plan.number])
    elif string:
        name, positions, at = str(string), of_string(string), reverse("string", args=[string.number])
    else:
        return None
    rows = taken_out(positions, shown.today, shown.ahead)
    return {"name": name, "at": at, "rows": rows, "of": len(positions)}


@at_desk()
@require_GET
def due_piece(request: HttpRequest, tag: str) -> HttpResponse:
    """Why one piece is due: every limit of it; a part of a page where a page asks for it."""
    rows = Component.objects.for_user(request.user).select_related("spec", "site", "place")
    piece: Component = found_or_404(rows, tag=tag.upper())
    site = piece.site
    today = timezone.localdate(timezone=site.zone)
    decided = decided_of(site, [piece], today)[piece.pk]
    clocks = {(row.clock, row.basis): as_calc(row) for row in clocks_of([piece.pk]).get(piece.pk, ())}
    shape, word = marked(piece, today)
    context = {
        "piece": piece, "today": today, "shape": shape, "word": word,
        "scheme": scheme(piece.scheme) if piece.scheme else None,
        "reasons": reasons(decided.due, clocks, today, unit=site.length_unit, digits=site.digits),
        "crumbs": [("Due", reverse("due_list"))],
    }  # fmt: skip
    part = bool(request.headers.get("HX-Request"))
    return render(request, "inspection/_reasons.html" if part else "inspection/due_piece.html", context)


@at_desk()
@require_GET
def due_sites(request: HttpRequest) -> HttpResponse:
    """The counts of each site where this person holds a post, one question a site."""
    rows = []
    for site in sites_of(request)[:MOST_SITES]:
        today = timezone.localdate(timezone=site.zone)
        pieces = Component.objects.at(site)
        counts = counted(site, board(of_state(pieces, HERE), today), of_state(pieces, HERE, whole=True))
        rows.append({"site": site, "today": today, "counts": counts})
    context = {"rows": rows, "most": MOST_SITES, "crumbs": [("Due", reverse("due_list"))]}
    return render(request, "inspection/due_sites.html", context)
