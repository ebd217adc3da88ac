"""Strap out of the hole: one reading a stand, what the differences look like, the correction accepted."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from rack.actions import stands as actions
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused, TierbookError
from rack.models import Stand, Tally
from rack.models.comparing import lines_of
from rack.models.standing import StandRow, stands_of
from rack.people import check_can
from rack.views.tally import base, tally_of


@at_desk()
@require_http_methods(["GET", "POST"])
def stands(request: HttpRequest, number: int) -> HttpResponse:
    """The stands of one tally, the lowest first; a post reads one, takes one back or accepts."""
    one = tally_of(request, number)
    if not one.words.by_stand:
        raise Http404("This tally is read by the joint.")
    if request.method == "GET":
        return _page(request, one)
    act = POSTS.get(request.POST.get("do", "read"))
    if act is None:
        raise TierbookError("This page does not know what to do with that. Load it again and repeat.")
    try:
        said = act(request, one)
    except Refused as refused:
        kept = {name: request.POST.get(name, "")[:200] for name in ("group", "typed", "reason")}
        return _page(request, one, status=refused.status, problems=refused.problems, kept=kept)
    messages.success(request, said)
    return redirect("stands", number=number)


def _read(request: HttpRequest, one: Tally) -> str:
    group, typed = (request.POST.get(name, "").replace("\0", "")[:40] for name in ("group", "typed"))
    stand = actions.read_stand(asked(request), one, group, typed)
    return f"Stand {group.strip()} is read: {Length(stand.nm).shown(one.unit, one.digits)} {one.unit}."


def _take_back(request: HttpRequest, one: Tally) -> str:
    check_can(request.user, "strap", one.site)
    text = request.POST.get("stand", "")
    rows = Stand.objects.entered().filter(tally=one).select_related("tally__site", "first", "last")
    stand = found_or_404(rows, pk=int(text) if text.isdecimal() and len(text) < 19 else 0)
    actions.take_back_stand(asked(request), stand)
    return "The reading of the stand is taken back."


def _accept(request: HttpRequest, one: Tally) -> str:
    text = request.POST.get("seen_nm", "")
    if not text.removeprefix("-").isdecimal() or len(text) > 18:
        raise Refused([stops("The correction that was seen is missing. Load the page again.")])
    made = actions.accept_correction(
        asked(request), one, request.POST.get("reason", "").replace("\0", ""), seen_nm=int(text)
    )
    return f"Accepted: {_signed(one, made.nm)} {one.unit} to the depth. No joint changes."


POSTS: dict[str, Callable[[HttpRequest, Tally], str]] = {
    "read": _read, "take back": _take_back, "accept": _accept,
}  # fmt: skip


def _page(
    request: HttpRequest, one: Tally, *, status: int = 200, problems: tuple[Problem, ...] = (), **more: Any
) -> HttpResponse:
    lines = lines_of(one)
    found = stands_of(one, lines)
    named = {n: each for each in found.judgement.findings for n in each.lines}
    known = [row for row in found.rows if row.known]
    marks = {id(row): named[place] for place, row in enumerate(known) if place in named}
    next_up = lines[found.left[0]].painted if found.left else ""
    context = {
        **base(one), "problems": problems, "found": found, "next_up": next_up,
        "rows": [_row(one, row, marks.get(id(row))) for row in found.rows],
        "left": [lines[place].painted for place in found.left][:40], "left_n": len(found.left),
        "left_more": max(len(found.left) - 40, 0),
        "apart": _signed(one, found.judgement.apart.nanometres), "seen_nm": found.judgement.apart.nanometres,
        "accepted": found.correction and _signed(one, found.correction.nm), **more,
    }  # fmt: skip
    return render(request, "rack/stands.html", context, status=status)


def _row(one: Tally, row: StandRow, found: Any) -> dict[str, Any]:
    summed = row.read.summed.shown(one.unit, one.digits) if row.known else "not known"
    return {
        "pk": row.entry.pk, "number": row.number, "name": row.read.name.partition("(")[2].rstrip(")"),
        "summed": summed, "read": Length(row.entry.nm).shown(one.unit, one.digits),
        "apart": _signed(one, row.read.apart) if row.known else "–", "found": found,
        "by": row.entry.journal.by,
    }  # fmt: skip


def _signed(one: Tally, nm: int) -> str:
    return f"{'+' if nm > 0 else '−' if nm < 0 else ''}{Length(abs(nm)).shown(one.unit, one.digits)}"
