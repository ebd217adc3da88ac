"""What is done on the page of a run: time lines, its end, events; each taken back as well."""

import re
from collections.abc import Callable, Sequence
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from rack.actions import happenings, legs
from rack.actions import runs as actions
from rack.calc.checks import Problem, Severity, stops
from rack.calc.hours import read_time_lines
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms import runs as forms
from rack.models import Component, Event, Leg, Run
from rack.models.naming import named
from rack.people import check_can
from rack.views.runs import run_here, show

_BETWEEN = re.compile(r"[,;\n\r\t]+")


@at_desk()
@require_POST
def run_change(request: HttpRequest, ident: int, what: str) -> HttpResponse:
    """One thing done to a run, and its page again."""
    one = run_here(request, ident)
    check_can(request.user, "hours", one.string.site)
    if what not in CHANGES:
        raise Http404
    return CHANGES[what](request, one)


def _lines(request: HttpRequest, one: Run) -> HttpResponse:
    form = forms.LinesForm(request.POST, request.FILES, run=one, day=timezone.localdate())
    if not form.is_valid():
        return show(request, one, lines_form=form)
    try:
        read = read_time_lines(
            form.text(), ZoneInfo(one.tz), day=form.cleaned_data["day"], unit=one.string.site.length_unit
        )
    except ValueError as wrong:
        return show(request, one, lines_form=form, problems=[stops(str(wrong), code="lines")])
    problems = [problem for line in read for problem in line.problems]
    if any(problem.severity is Severity.STOPS for problem in problems):
        return show(request, one, lines_form=form, problems=problems)
    found = [line.leg for line in read if line.leg]
    typed = form.cleaned_data
    return _done(
        request, one,
        lambda: legs.post_legs(asked(request), one, found, typed["reason"], seen=typed["seen"]),
        f"{len(found)} time line{'' if len(found) == 1 else 's'} written down and shared out",
        lines_form=form,
    )  # fmt: skip


def _end(request: HttpRequest, one: Run) -> HttpResponse:
    form = forms.EndForm(request.POST, run=one, pulled=actions.reasons_pulled())
    if not form.is_valid():
        return show(request, one, end_form=form)
    typed = form.cleaned_data
    depth = typed["out_depth"]
    end = actions.RunEnd(
        typed["out_at"], depth.nanometres if depth else None, typed["reason_pulled"], typed["dull"],
        typed["bit_type"], typed["connections"],
    )  # fmt: skip
    return _done(
        request, one,
        lambda: actions.end_run(asked(request), one, end, typed["reason"], seen=typed["seen"]),
        "The run is ended", end_form=form,
    )  # fmt: skip


def _event(request: HttpRequest, one: Run) -> HttpResponse:
    site = one.string.site
    form = forms.EventForm(request.POST, site=site)
    if not form.is_valid():
        return show(request, one, event_form=form)
    typed = form.cleaned_data
    pieces, problems = _named(one, typed["names"])
    if problems:
        return show(request, one, event_form=form, problems=problems)
    depth = typed["depth"]
    said = happenings.EventSaid(
        typed["kind"], typed["from_at"] or timezone.now(), typed["to_at"], one.string, one,
        depth.nanometres if depth else None, typed["amount"], typed["unit"], typed["note"],
    )  # fmt: skip
    return _done(
        request, one,
        lambda: happenings.record_event(asked(request), site, said, pieces, typed["reason"]),
        "The event is written down", event_form=form,
    )  # fmt: skip


def _named(one: Run, text: str) -> tuple[list[Component], Sequence[Problem]]:
    here = Component.objects.at(one.string.site).select_related("spec", "place", "site")
    return named(here, [name.strip() for name in _BETWEEN.split(text) if name.strip()])


def _back_line(request: HttpRequest, one: Run) -> HttpResponse:
    ident, reason = _back(request)
    line = found_or_404(Leg.objects.filter(run=one).select_related("run__string__site"), pk=ident)
    return _done(request, one, lambda: legs.take_back_leg(asked(request), line, reason),
                 "The line is taken back, with what it gave")  # fmt: skip


def _back_event(request: HttpRequest, one: Run) -> HttpResponse:
    ident, reason = _back(request)
    event = found_or_404(Event.objects.filter(run=one).select_related("site"), pk=ident)
    return _done(request, one, lambda: happenings.take_back_event(asked(request), event, reason),
                 "The event is taken back")  # fmt: skip


def _up(request: HttpRequest, one: Run) -> HttpResponse:
    _, reason = _back(request)
    return _done(request, one, lambda: actions.take_up_run(asked(request), one, reason),
                 "The end of the run is taken back")  # fmt: skip


def _again(request: HttpRequest, one: Run) -> HttpResponse:
    return _done(request, one, lambda: legs.share_again(asked(request), one), "The hours are shared anew")


def _back(request: HttpRequest) -> tuple[int, str]:
    form = forms.BackForm(request.POST)
    return (form.cleaned_data["row"] or 0, form.cleaned_data["reason"]) if form.is_valid() else (0, "")


def _done(request: HttpRequest, one: Run, act: Callable[[], object], words: str, **more: Any) -> HttpResponse:
    try:
        act()
    except Refused as refused:
        return show(request, one, problems=refused.problems, **more)
    messages.success(request, f"{words}.")
    return redirect("run_page", ident=one.pk)


CHANGES: dict[str, Callable[[HttpRequest, Run], HttpResponse]] = {
    "lines": _lines, "end": _end, "event": _event, "line-back": _back_line, "event-back": _back_event,
    "end-back": _up, "again": _again,
}  # fmt: skip
