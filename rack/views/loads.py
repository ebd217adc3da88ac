"""Loads: their list, opening one, putting pieces on, sending it, taking it back."""

from collections import Counter
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rack.actions import arriving
from rack.actions import loads as actions
from rack.actions.leaving import leaving_problems, shut_problems
from rack.calc.checks import Problem, note
from rack.calc.lengths import Length
from rack.calc.loadlist import PROTECTORS, LiftSum, LoadLine, lifts_of, sum_of
from rack.calc.rackload import shown
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.forms.loads import BackForm, CameForm, LoadForm, PutForm
from rack.models import Component, Line, Loaded, LoadOut, LoadSheet, Site
from rack.models.listing import lines_of
from rack.paging import page_by_key
from rack.people import check_can
from rack.views.arrivals import arrival_rows, came_of, undo_form, undo_of, waiting_lines
from rack.views.moving import held_notes


@at_desk()
@require_GET
def load_list(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    rows = LoadOut.objects.at(site).select_related("to_site")
    context = {
        "page": page_by_key(request, rows, "number"),
        "coming": LoadOut.objects.coming_to(site).select_related("site").order_by("id")[:100],
    }
    return render(request, "rack/load_list.html", context)


@at_desk("load")
@require_http_methods(["GET", "POST"])
def load_new(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = LoadForm(request.POST or None, site=site)
    problems: tuple[Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            load = actions.open_load(asked(request), site, actions.LoadHead(**form.cleaned_data))
        except Refused as refused:
            problems = refused.problems
        else:
            return redirect("load", number=load.number)
    context = {"form": form, "problems": problems, "crumbs": [("Sending", reverse("load_list"))]}
    bad = request.method == "POST"
    return render(request, "rack/load_new.html", context, status=422 if bad else 200)


@at_desk()
@require_GET
def load(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, _load(request, number))


def show(request: HttpRequest, one: LoadOut, **more: Any) -> HttpResponse:
    """The page of a load; `more` carries a form that was refused and its problems."""
    rows = list(Loaded.objects.on(one))
    lines = lines_of(one, rows)
    sheet = LoadSheet.objects.standing().filter(loadout=one).defer("content").first()
    pieces = list(Component.objects.filter(pk__in=[row.component_id for row in rows]).select_related("spec"))
    entries = {row.component_id: row.pk for row in rows}
    is_open = one.state == "open"
    arrivals = arrival_rows(one)
    context: dict[str, Any] = {
        "load": one, "whole": _figures(lines, one.site), "sheet": sheet,
        "lifts": lifts_shown(lines, entries, pieces, one.site), "arrivals": arrivals,
        "notes": _notes(one, pieces) if is_open else [], "crumbs": [("Sending", reverse("load_list"))],
        "waiting": waiting_lines(one, sheet) if one.state == "sent" and not one.to_site else (),
        "put_form": PutForm(site=one.site, initial={"lift": _next_lift(lines)}), "back_form": BackForm(),
        "undo_form": None if one.to_site else undo_form(arrivals),
        "came_form": CameForm(site=None, initial={"everything": True}, auto_id="came_%s"), **more,
    }  # fmt: skip
    return render(request, "rack/load.html", context, status=422 if more else 200)


@at_desk()
@require_POST
def load_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """One thing done to a load, and its page again."""
    one = _load(request, number)
    if what not in CHANGES:
        raise Http404
    verb, act = CHANGES[what]
    check_can(request.user, verb, one.site)
    return act(request, one)


def _put(request: HttpRequest, one: LoadOut) -> HttpResponse:
    form = PutForm(request.POST, site=one.site)
    if not form.is_valid():
        return show(request, one, put_form=form)
    pieces, problems = form.pieces()
    if problems:
        return show(request, one, put_form=form, problems=problems)
    typed = form.cleaned_data
    put = actions.Put(typed["lift"], typed["protectors"], typed["damage"])
    try:
        done = actions.put_in(asked(request), one, pieces, put)
    except Refused as refused:
        return show(request, one, put_form=form, problems=refused.problems)
    messages.success(request, f"{done[0].journal.sentence}.")
    return redirect("load", number=one.number)


def _take_off(request: HttpRequest, one: LoadOut) -> HttpResponse:
    ids = [int(text) for text in request.POST.getlist("row") if text.isdecimal() and len(text) < 19]
    rows = Loaded.objects.on(one).filter(pk__in=ids)
    return _done(request, one, lambda: actions.take_off(asked(request), one, list(rows)), "Taken off.")


def _send(request: HttpRequest, one: LoadOut) -> HttpResponse:
    seen = request.POST.get("seen", "")
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None
    return _done(request, one, lambda: actions.send(asked(request), one, seen=version),
                 f"{one} is on its way to {one.destination}.")  # fmt: skip


def _back(request: HttpRequest, one: LoadOut) -> HttpResponse:
    form = BackForm(request.POST)
    if not form.is_valid():
        return show(request, one, back_form=form)
    return _done(request, one, lambda: actions.take_back(asked(request), one, **form.cleaned_data),
                 f"{one} is taken back and open again.")  # fmt: skip


def _arrive(request: HttpRequest, one: LoadOut) -> HttpResponse:
    """It arrived outside; at another site of ours that is written down there."""
    if one.to_site:
        raise Http404
    form = CameForm(request.POST, site=None, auto_id="came_%s")
    if not form.is_valid():
        return show(request, one, came_form=form)
    came = came_of(request, form)
    return _done(request, one, lambda: arriving.arrive(asked(request), one, came),
                 f"Written down what of {one} arrived.", came_form=form)  # fmt: skip


def _unarrive(request: HttpRequest, one: LoadOut) -> HttpResponse:
    """An arrival outside was written down by mistake; that at a site of ours is taken back there."""
    if one.to_site:
        raise Http404
    form, problems = undo_of(request, one)
    if form is not None:
        return show(request, one, problems=problems, undo_form=form)
    return redirect("load", number=one.number)


def _done(
    request: HttpRequest, one: LoadOut, act: Callable[[], Any], words: str, **more: Any
) -> HttpResponse:
    try:
        act()
    except Refused as refused:
        return show(request, one, problems=refused.problems, **more)
    messages.success(request, words)
    return redirect("load", number=one.number)


CHANGES: dict[str, tuple[str, Callable[[HttpRequest, LoadOut], HttpResponse]]] = {
    "put": ("load", _put), "off": ("load", _take_off), "send": ("send", _send), "back": ("send", _back),
    "arrive": ("send", _arrive), "unarrive": ("send", _unarrive),
}  # fmt: skip


def lifts_shown(
    lines: tuple[LoadLine, ...], rows: dict[int, int], pieces: list[Component], site: Site
) -> list[dict[str, Any]]:
    """The lifts of a load as the page shows them; each line with the entry that can be taken off."""
    entry = {piece.tag: rows.get(piece.pk) for piece in pieces}
    found = []
    for lift in lifts_of(lines):
        cells = [{"line": line, "row": entry.get(line.tag), "lb": "–" if line.lb is None else shown(line.lb),
                  "length": _shown(line.nm, site),
                  "protectors": PROTECTORS[line.protectors]} for line in lift.lines]  # fmt: skip
        found.append({"called": lift.called, "cells": cells, "figures": _lift_figures(lift, site)})
    return found


def _figures(lines: tuple[LoadLine, ...], site: Site) -> list[tuple[str, str]]:
    return _lift_figures(sum_of("", lines), site)


def _lift_figures(lift: LiftSum, site: Site) -> list[tuple[str, str]]:
    figures = [
        ("Pieces", f"{lift.count:,}"), ("Length", f"{_shown(lift.nm, site)} {site.length_unit}"),
        ("lb, by label weight", shown(lift.lb)), ("kg", shown(lift.kg)),
    ]  # fmt: skip
    figures += [("Without a length", str(lift.no_length))] if lift.no_length else []
    return figures + ([("Not in the weight", str(lift.not_weighed))] if lift.not_weighed else [])


def _shown(nm: int | None, site: Site) -> str:
    return "–" if nm is None else Length(nm).shown(site.length_unit, site.digits)


def _notes(one: LoadOut, pieces: list[Component]) -> list[Problem]:
    """What whoever sends it should know: what would be refused, what is held, what a tally still wants."""
    notes = leaving_problems(one, pieces) + held_notes(pieces)
    notes += shut_problems([piece.pk for piece in pieces])
    wanted = Line.objects.filter(component__in=pieces, withdrawn=False, tally__open=True)
    counted = Counter(line.tally for line in wanted.select_related("tally").order_by("tally__number"))
    return notes + [note(f"{n} of them {'is' if n == 1 else 'are'} on {tally}, which is open.", code="tally")
                    for tally, n in counted.items()]  # fmt: skip


def _next_lift(lines: tuple[LoadLine, ...]) -> str:
    """The number after the last lift, where lifts are numbered; pieces usually go on the next one."""
    last = lines[-1].lift if lines else "0"
    return str(int(last) + 1) if last.isdecimal() else last


def _load(request: HttpRequest, number: int) -> LoadOut:
    rows = LoadOut.objects.at(site_of(request)).select_related("site", "to_site")
    return found_or_404(rows, number=number)  # type: ignore[no-any-return]
