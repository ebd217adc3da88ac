"""The strap page: one joint after the other, by keyboard or with gloves, also without a script."""

import uuid
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.text import capfirst
from django.views.decorators.cache import never_cache

from rack.actions import straps as actions
from rack.api.strap import SHUT, line_of, row_of, state_of
from rack.calc.checks import stops
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused, TierbookError
from rack.forms.strapping import HeadForm
from rack.models import Line, Strap, Tally
from rack.models.strap_hands import hands_problems
from rack.models.strapping import (
    LastReading,
    asking,
    facts_of,
    find_line,
    grows,
    last_read_line,
    number_that_follows,
    sums_of,
    unread_lines,
)
from rack.views.strap_sheet import sheet_of

#: So many unread joints are named before a strap is finished; the rest is a number.
NAMED = 12


# Never cached: going back in the browser must not show the first strap while the second is open (law 13).
@never_cache
@at_desk("strap")
def strap(request: HttpRequest, number: int, strap_n: int) -> HttpResponse:
    """Strap page of one tally. A post without a script reads, takes back, confirms, begins or finishes."""
    tally = found_or_404(Tally.objects.at(site_of(request)).select_related("site", "spec"), number=number)
    if strap_n not in (1, 2):
        raise Http404("A tally has a first and a second strap.")
    shut = _shut(tally, strap_n)
    if shut:
        return _page(request, tally, strap_n, {"shut": shut}, status=200 if request.method == "GET" else 409)
    if request.method == "POST":
        act = POSTS.get(request.POST.get("do", "read"))
        if act is None:
            raise TierbookError("This page does not know what to do with that. Load it again and repeat.")
        return act(request, tally, strap_n)
    if "sheet" in request.GET:
        line = _line_named(request, tally, request.GET["sheet"])
        list_now = sheet_of(tally, strap_n, line, _asked(asking(tally, strap_n)))
        context = {"tally": tally, "sums": sums_of(tally, strap_n), **list_now}
        return render(request, "rack/_strap_sheet.html", context)
    if not tally.heads.filter(strap_n=strap_n).exists():
        return _head_page(request, tally, strap_n, HeadForm())
    return _strap_page(request, tally, strap_n)


def _shut(tally: Tally, strap_n: int) -> str:
    """Why nothing can be strapped here now, or nothing."""
    if not tally.open:
        return f"{tally} is closed. Make a new revision to change it."
    return SHUT if strap_n == 1 and tally.is_blind else ""


def _read(request: HttpRequest, tally: Tally, strap_n: int) -> HttpResponse:
    line = _line_named(request, tally, request.POST.get("line", ""))
    typed, painted = request.POST.get("typed", ""), request.POST.get("painted", "")
    try:
        if len(painted) > 20:
            raise Refused([stops("A painted number has at most 20 signs.", code="painted")])
        read = actions.read(asked(request), actions.Reading(tally, typed, strap_n, line, painted))
    except Refused as refused:
        kept = {"typed": typed, "problems": refused.problems}
        return _strap_page(request, tally, strap_n, line=line, painted=painted, **kept)
    if not read.questions_n:
        # A message may be read later, when the second strap is open: no length stands in it (law 13).
        messages.success(request, f"{capfirst(str(read.line))} is read.")
    return redirect(f"{_here(tally, strap_n)}?after={read.line_id}")


def _take_back(request: HttpRequest, tally: Tally, strap_n: int) -> HttpResponse:
    read = _reading(request, tally, strap_n)
    return _tried(
        request, tally, strap_n, lambda: actions.take_back(asked(request), read),
        f"{capfirst(str(read.line))}: the reading is taken back.", f"?line={read.line_id}",
    )


def _confirm(request: HttpRequest, tally: Tally, strap_n: int) -> HttpResponse:
    read = _reading(request, tally, strap_n)
    return _tried(
        request, tally, strap_n, lambda: actions.confirm(asked(request), read),
        f"{capfirst(str(read.line))} reads as it was typed.", f"?after={read.line_id}",
    )


def _finish(request: HttpRequest, tally: Tally, strap_n: int) -> HttpResponse:
    try:
        actions.finish_strap(asked(request), tally, strap_n)
    except Refused as refused:
        return _strap_page(request, tally, strap_n, problems=refused.problems)
    messages.success(request, f"Strap {strap_n} of {tally} is finished.")
    return redirect("compare" if strap_n == 2 else "tally", number=tally.number)


def _begin(request: HttpRequest, tally: Tally, strap_n: int) -> HttpResponse:
    form = HeadForm(request.POST)
    if not form.is_valid():
        return _head_page(request, tally, strap_n, form, status=422)
    try:
        actions.begin_strap(asked(request), tally, strap_n, **form.cleaned_data)
    except Refused as refused:
        return _head_page(request, tally, strap_n, form, problems=refused.problems, status=422)
    for problem in hands_problems(tally):
        messages.warning(request, problem.text)
    return redirect(_here(tally, strap_n))


POSTS: dict[str, Callable[[HttpRequest, Tally, int], HttpResponse]] = {
    "read": _read, "take back": _take_back, "confirm": _confirm, "finish": _finish, "begin": _begin,
}


def _tried(
    request: HttpRequest, tally: Tally, strap_n: int, act: Callable[[], Any], said: str, then: str
) -> HttpResponse:
    try:
        act()
    except Refused as refused:
        return _strap_page(request, tally, strap_n, problems=refused.problems)
    messages.success(request, said)
    return redirect(_here(tally, strap_n) + then)


def _strap_page(
    request: HttpRequest, tally: Tally, strap_n: int, *,
    line: Line | None = None, painted: str = "", **more: Any,
) -> HttpResponse:
    """The page at one joint; `more` carries what was typed and why it was refused."""
    asked_for = request.GET.get("joint", "").strip()[:20]
    if not more:
        line, painted = _where(request, tally, strap_n, asked_for)
    behind = line or _line_named(request, tally, request.GET.get("after", ""))
    facts = facts_of(tally, strap_n)
    unread = unread_lines(tally, strap_n, most=NAMED)
    coming = unread_lines(tally, strap_n, behind, but=[line.pk] if line else [])
    state = state_of(tally, strap_n, coming, facts)
    questions = asking(tally, strap_n)
    context = {
        "head": facts.head, "sums": facts.sums, "unread": unread,
        "unnamed": facts.sums.unread - len(unread), "line": line, "painted": painted, "coming": coming,
        "is_new": line is None and bool(painted), "asked_for": asked_for,
        "was": line and line_of(tally, strap_n, line)["shown"], "last": facts.last,
        "asking": questions, "more_asking": max(len(questions) - 3, 0),
        "data": _data(request, tally, line, painted, state, questions),
        **sheet_of(tally, strap_n, line, _asked(questions)), **more,
    }
    return _page(request, tally, strap_n, context, status=422 if more.get("problems") else 200)


def _where(request: HttpRequest, tally: Tally, strap_n: int, joint: str) -> tuple[Line | None, str]:
    """The line to read now; a number without a line is a new one."""
    if joint:
        found = find_line(tally, joint)
        return found, "" if found else joint
    named = _line_named(request, tally, request.GET.get("line", ""))
    if named:
        return named, ""
    after = _line_named(request, tally, request.GET.get("after", "")) or last_read_line(tally, strap_n)
    found = next(iter(unread_lines(tally, strap_n, after, 1) or unread_lines(tally, strap_n, None, 1)), None)
    if found is None and grows(tally):
        return None, number_that_follows(tally)
    return found, ""


def _data(
    request: HttpRequest, tally: Tally, line: Line | None, painted: str, state: dict[str, Any],
    questions: list[LastReading],
) -> dict[str, Any]:
    """What the script of the page begins with."""
    strap_n = state["strap_n"]
    new = {"line": None, "painted": painted, "serial": "", "shown": ""}
    now = line_of(tally, strap_n, line) if line else new
    return {
        **state,
        "user": request.user.pk,
        "who": request.user.get_full_name() or request.user.get_username(),  # type: ignore[union-attr]
        "now": now if line or painted else None,
        "asking": [row_of(row) for row in questions],
        "readings": reverse("api:post_readings"),
        "state": reverse("api:get_strap", args=[tally.pk, strap_n]),
        "find": reverse("api:get_line", args=[tally.pk, strap_n]),
        "sign_in": f"{reverse('login')}?next={_here(tally, strap_n)}",
    }


def _asked(questions: list[LastReading]) -> set[int]:
    return {row.line for row in questions}


def _head_page(
    request: HttpRequest, tally: Tally, strap_n: int, form: HeadForm, status: int = 200, **more: Any
) -> HttpResponse:
    return _page(request, tally, strap_n, {"head_form": form, **more}, status=status)


def _page(
    request: HttpRequest, tally: Tally, strap_n: int, context: dict[str, Any], status: int = 200
) -> HttpResponse:
    crumbs = [("Tallies", reverse("tally_list")), (str(tally), reverse("tally", args=[tally.number]))]
    base = {"tally": tally, "strap_n": strap_n, "crumbs": crumbs, "here": _here(tally, strap_n)}
    return render(request, "rack/strap.html", {**base, **context}, status=status)


def _line_named(request: HttpRequest, tally: Tally, text: str) -> Line | None:
    if not text.isdecimal() or len(text) > 18:
        return None
    rows = tally.lines.select_related("tally", "component__spec")
    return rows.filter(pk=int(text)).first()  # type: ignore[no-any-return]


def _reading(request: HttpRequest, tally: Tally, strap_n: int) -> Strap:
    """The reading that a button belongs to; one of the other strap does not exist here."""
    try:
        key = uuid.UUID(request.POST.get("reading", ""))
    except ValueError:
        raise Http404("There is no such reading here.") from None
    rows = Strap.objects.entered().filter(line__tally=tally, strap_n=strap_n)
    return found_or_404(rows.select_related("line__tally__site"), journal__key=key)  # type: ignore[no-any-return]


def _here(tally: Tally, strap_n: int) -> str:
    return reverse("strap", args=[tally.number, strap_n])
