"""The wells of a site: the list, one well, and the measurements of its datum."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rack.actions import wells as actions
from rack.calc.checks import Problem
from rack.calc.datums import OVER, datum_problems
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.forms.bends import BendForm
from rack.forms.sections import SectionForm
from rack.forms.wells import DatumForm, WellForm
from rack.models import DatumReading, Site, Well
from rack.models.bends import bends_of
from rack.people import check_can

MOST = 500


@at_desk()
@require_http_methods(["GET", "POST"])
def well_list(request: HttpRequest) -> HttpResponse:
    """Every well of the site with its datum; the office and the supervisor add one."""
    site = site_of(request)
    form = WellForm(request.POST or None)
    problems: tuple[Problem, ...] = ()
    if request.method == "POST":
        check_can(request.user, "well", site)
        if form.is_valid():
            try:
                made = actions.add_well(asked(request), site, _facts(form))
            except Refused as refused:
                problems = _beside(form, refused.problems)
            else:
                messages.success(request, f"{made} is in the book. Measure its datum next.")
                return redirect("well", pk=made.pk)
    rows = _with_datums(Well.objects.at(site).with_datum().order_by("-rig_from", "name")[:MOST], site)
    context = {"wells": rows, "form": form, "problems": problems, "most": MOST}
    wrong = request.method == "POST"
    return render(request, "rack/well_list.html", context, status=422 if wrong else 200)


@at_desk()
@require_GET
def well(request: HttpRequest, pk: int) -> HttpResponse:
    return show_well(request, well_here(request, pk))


@at_desk("well")
@require_POST
def well_change(request: HttpRequest, pk: int) -> HttpResponse:
    one = well_here(request, pk)
    form = WellForm(request.POST, well=one)
    if not form.is_valid():
        return show_well(request, one, well_form=form)
    try:
        now = actions.change_well(asked(request), one, _facts(form), seen=form.cleaned_data["seen"])
    except Refused as refused:
        return show_well(request, one, well_form=form, problems=_beside(form, refused.problems))
    messages.success(request, f"{now} is written anew.")
    return redirect("well", pk=now.pk)


@at_desk("well")
@require_POST
def well_datum(request: HttpRequest, pk: int) -> HttpResponse:
    one = well_here(request, pk)
    form = DatumForm(request.POST, site=one.site, today=timezone.localdate())
    if not form.is_valid():
        return show_well(request, one, datum_form=form)
    try:
        actions.measure_datum(asked(request), one, actions.Measured(**form.cleaned_data))
    except Refused as refused:
        return show_well(request, one, datum_form=form, problems=_beside(form, refused.problems))
    messages.success(request, f"The datum of {one} is written down; it holds from now on.")
    return redirect("well", pk=one.pk)


def show_well(request: HttpRequest, one: Well, **more: Any) -> HttpResponse:
    """The page of a well; `more` carries a form that was refused and its problems."""
    readings = list(one.datums.standing().select_related("journal__by").order_by("-id")[:50])
    newest = readings[0] if readings else None
    today = timezone.localdate()
    wrong = bool(more)
    context = {
        "well": one,
        "site_of_well": one.site,
        "datum": newest,
        "over": OVER[newest.over] if newest else "",
        "to_bottom": newest.as_datum.to_bottom if newest else None,
        "doubts": datum_problems(newest.as_datum if newest else None, one.rig_from, today),
        "readings": readings,
        "well_form": WellForm(well=one),
        "datum_form": DatumForm(site=one.site, today=today),
        "well_sections": _sections(one, more.pop("changing", None)),
        "section_form": SectionForm(site=one.site),
        "bends": bends_of(one),
        "bend_form": BendForm(site=one.site),
        "crumbs": [("Wells", "/wells/")],
        **more,
    }
    return render(request, "rack/well.html", context, status=422 if wrong else 200)


def _sections(one: Well, changing: tuple[int, SectionForm] | None) -> list[dict[str, Any]]:
    """The sections of a well from the surface down, each with the form that writes it anew."""
    rows = one.sections.in_order().select_related("well__site")
    refused = dict([changing]) if changing else {}
    return [
        {"row": row, "open": row.pk in refused,
         "form": refused.get(row.pk) or SectionForm(site=one.site, section=row)}
        for row in rows
    ]  # fmt: skip


def well_here(request: HttpRequest, pk: int) -> Well:
    rows = Well.objects.for_user(request.user).select_related("site")
    return found_or_404(rows, pk=pk)  # type: ignore[no-any-return]


def _facts(form: WellForm) -> actions.WellFacts:
    names = ("name", "slot", "rig_from", "rig_to")
    return actions.WellFacts(**{name: form.cleaned_data[name] for name in names})


def _with_datums(wells: Any, site: Site) -> list[dict[str, Any]]:
    """Each well with the measurement that governs and what is to be said of it, in two queries."""
    rows = list(wells)
    found = DatumReading.objects.in_bulk([row.datum_id for row in rows if row.datum_id])
    today = timezone.localdate()
    shown = []
    for row in rows:
        reading = found.get(row.datum_id)
        doubts = datum_problems(reading.as_datum if reading else None, row.rig_from, today)
        asking = [one for one in doubts if one.severity == "ASKS"]
        shown.append({"well": row, "datum": reading, "over": OVER[reading.over] if reading else "",
                      "asking": asking})  # fmt: skip
    return shown


def _beside(form: forms.Form, problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    """Put each problem beside the field it is about, and return those about none."""
    for problem in problems:
        if problem.where in form.fields:
            form.add_error(problem.where, problem.text)
    return tuple(problem for problem in problems if problem.where not in form.fields)
