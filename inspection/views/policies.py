"""Intervals, severity of service and editions of a site: what holds today, and how it came to hold."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from inspection.actions import policies as actions
from inspection.calc.criteria import Scheme, schemes, schemes_for
from inspection.calc.showing import intervals_shown
from inspection.forms.policies import BackForm, EditionForm, IntervalForm, ServiceForm
from inspection.models import Follows, IntervalRule, Policy
from inspection.models.facts import terms_of
from rack.calc.checks import Problem
from rack.calc.kinds import KINDS
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.models import Site

#: So much of the past stands on the page.
MOST = 100


@at_desk()
@require_GET
def interval_list(request: HttpRequest) -> HttpResponse:
    return _show(request)


@at_desk("interval")
@require_POST
def interval_new(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = IntervalForm(request.POST, site=site, today=timezone.localdate())
    if not form.is_valid():
        return _show(request, interval_form=form)
    try:
        row = actions.set_interval(asked(request), site, form.rule())
    except Refused as refused:
        return _show(request, interval_form=form, problems=_beside(form, refused))
    messages.success(request, f"It holds: {row}.")
    return redirect("interval_list")


@at_desk("interval")
@require_POST
def interval_back(request: HttpRequest, pk: int) -> HttpResponse:
    rows = IntervalRule.objects.entered().select_related("site")
    row = found_or_404(rows, site=site_of(request), pk=pk)
    form = BackForm(request.POST)
    if not form.is_valid():
        return _show(request, back=(pk, form))
    try:
        actions.take_back_interval(asked(request), row, form.cleaned_data["reason"])
    except Refused as refused:
        return _show(request, back=(pk, form), problems=_beside(form, refused))
    messages.success(request, f"Taken back: {row}. What held before holds again.")
    return redirect("interval_list")


@at_desk("interval")
@require_POST
def interval_service(request: HttpRequest) -> HttpResponse:
    form = ServiceForm(request.POST, today=timezone.localdate())
    if not form.is_valid():
        return _show(request, service_form=form)
    typed = form.cleaned_data
    try:
        actions.set_policy(
            asked(request), site_of(request), typed["service"], form.margin_pm(), typed["from_on"]
        )
    except Refused as refused:
        return _show(request, service_form=form, problems=_beside(form, refused))
    messages.success(request, f"The service is {typed['service']}; every limit follows.")
    return redirect("interval_list")


@at_desk("interval")
@require_POST
def interval_edition(request: HttpRequest) -> HttpResponse:
    form = EditionForm(request.POST, today=timezone.localdate())
    if not form.is_valid():
        return _show(request, edition_form=form)
    typed = form.cleaned_data
    try:
        actions.follow_edition(asked(request), site_of(request), typed["scheme"], typed["from_on"])
    except Refused as refused:
        return _show(request, edition_form=form, problems=_beside(form, refused))
    messages.success(request, "The edition is followed from its day; what was judged before keeps its own.")
    return redirect("interval_list")


def _show(request: HttpRequest, **more: Any) -> HttpResponse:
    """The page; `more` carries a form that was refused and its problems."""
    site, today = site_of(request), timezone.localdate()
    terms = terms_of(site, today)
    margin = f"{float(100 * terms.margin):g}"
    now = {"service": terms.service, "margin": margin}
    context = {
        "today": today,
        "intervals": intervals_shown(terms.rules, terms.service, today, terms.margin),
        "service": terms.service,
        "margin": margin,
        "history": _history(site, more.pop("back", None)),
        "services": _policies(site)[:MOST],
        "editions": _editions(site),
        "interval_form": IntervalForm(site=site, today=today),
        "service_form": ServiceForm(today=today, now=now),
        "edition_form": EditionForm(today=today),
        "most": MOST,
        "crumbs": [("Due", reverse("due_list"))],
        **more,
    }
    return render(request, "inspection/interval_list.html", context, status=422 if request.POST else 200)


def _history(site: Site, refused: tuple[int, BackForm] | None) -> list[dict[str, Any]]:
    """The intervals of the site, the newest first, each with the form that takes it back."""
    rows = IntervalRule.objects.entered().filter(site=site).order_by("-id")
    rows = rows.select_related("journal__by", "reversed_by__journal__by")[:MOST]
    kept = dict([refused]) if refused else {}
    return [
        {"row": row, "back": getattr(row, "reversed_by", None), "open": row.pk in kept,
         "form": kept.get(row.pk) or BackForm(auto_id=f"back_{row.pk}_%s")}
        for row in rows
    ]  # fmt: skip


def _policies(site: Site) -> QuerySet[Policy]:
    return Policy.objects.standing().filter(site=site).order_by("-id").select_related("journal__by")


def _editions(site: Site) -> list[dict[str, Any]]:
    """Every edition that the program knows, with the days from which the site follows it."""
    rows = Follows.objects.standing().filter(site=site).order_by("from_on", "id")
    days: dict[str, list[Any]] = {}
    for row in rows:
        days.setdefault(row.scheme, []).append(row.from_on)
    named = {one.code: one for one in schemes()}
    return [
        {"scheme": one, "days": days.get(one.code, []), "by": _said(named.get(one.superseded_by)),
         "usual": any(schemes_for(kind)[0] is one for kind in KINDS)}
        for one in schemes()
    ]


def _said(one: Scheme | None) -> str:
    return one.said if one else ""


def _beside(form: forms.Form, refused: Refused) -> tuple[Problem, ...]:
    """Put each problem beside the field it is about, and return those about none."""
    for problem in refused.problems:
        if problem.where in form.fields:
            form.add_error(problem.where, problem.text)
    return tuple(problem for problem in refused.problems if problem.where not in form.fields)
