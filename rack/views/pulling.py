"""Pulling pipe for a plan: what comes off the rack in order, what is put aside and why."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from rack.actions import plans as actions
from rack.calc.chain import Link
from rack.calc.choosing import Choice, Lying, Want, alternatives, choose
from rack.calc.connections import canonical
from rack.calc.lengths import Length
from rack.calc.specs import describe, spec_from_key
from rack.desk import asked, at_desk
from rack.errors import Refused
from rack.forms.pulling import PullForm
from rack.models import Component, Plan, Spec
from rack.models.judging import judge_plan, wishes_of
from rack.models.unloading import lots_on, lying_on_racks
from rack.views.plans import plan_here

MOST_SHOWN = 400


@at_desk("plan")
@require_http_methods(["GET", "POST"])
def plan_pull(request: HttpRequest, number: int) -> HttpResponse:
    """Choose by the address; what is shown is taken into the plan by a form of its own."""
    one = plan_here(request, number)
    typed = request.POST if request.method == "POST" else request.GET
    form = PullForm(typed if "lot" in typed else None, plan=one, initial=_usual(one))
    context: dict[str, Any] = {
        "plan": one, "form": form, "here": one.site, "most": MOST_SHOWN,
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("plan", args=[one.number]))],
    }  # fmt: skip
    status = 200
    if form.is_bound and form.is_valid():
        lying = _lying(one, form)
        choice = choose(lying, _want(form))
        if request.method == "POST":
            try:
                _take(request, one, choice)
            except Refused as refused:
                context["problems"], status = refused.problems, 422
            else:
                messages.success(request, f"{len(choice.taken)} joints are in {one}.")
                return redirect("plan", number=one.number)
        context |= {"choice": choice, "others": _others(lying, form), "lot": _words(choice)}
    elif form.is_bound:
        status = 422
    return render(request, "rack/plan_pull.html", context, status=status)


def _usual(one: Plan) -> dict[str, Any]:
    """What the plan asks for, as the form begins: what is missing to the depth, its class and hours."""
    wishes = wishes_of(one)
    _, judged = judge_plan(one, timezone.localdate())
    known = sum((link.length for link in judged.links if link.length is not None), Length(0))
    lots = fitting(lots_on(one.site), judged.links)
    initial: dict[str, Any] = {"lot": lots[0].pk} if lots else {}
    initial |= {"class_wanted": wishes.class_wanted, "hours": wishes.hours}
    if wishes.depth_nm is not None:
        missing = Length(max(wishes.depth_nm + wishes.reserve_nm - known.nanometres, 0))
        initial["length"] = missing.shown(one.site.length_unit, one.site.digits).replace(",", "")
    return initial


def fitting(lots: Sequence[Spec], links: Sequence[Link]) -> list[Spec]:
    """The lots of pipe that make up with the top of a string, as far as the names of the threads say."""
    top = _thread(links[-1].spec.up_conn) if links else ""
    return [lot for lot in lots if top and _thread(lot.down_conn) == top]


def _thread(name: str) -> str:
    """The one name of a thread; as it is written where no table knows it."""
    try:
        return canonical(name)
    except ValueError:
        return name


def _lying(one: Plan, form: PullForm) -> list[Lying]:
    rows = lying_on_racks(one.site, without=one)
    return [replace(row, elsewhere="") for row in rows] if form.cleaned_data["shared"] else rows


def _want(form: PullForm) -> Want:
    typed = form.cleaned_data
    lot = next(one for one in form.lots if str(one.pk) == typed["lot"])
    return Want(lot.key, typed["length"], typed["count"], typed["class_wanted"], typed["hours"])


def _words(choice: Choice) -> str:
    return describe(spec_from_key(choice.want.lot))


def _others(lying: list[Lying], form: PullForm) -> list[dict[str, Any]]:
    """What else could make it, the fewest put aside first: the address, its figures."""
    want, lots = _want(form), {one.key: one.pk for one in form.lots}
    rows = []
    for one in alternatives(lying, want)[:8]:
        if one.want.lot != want.lot and one.want.lot in lots:
            query = urlencode({**form.data.dict(), "lot": str(lots[one.want.lot])})  # type: ignore[attr-defined]
            rows.append({"words": _words(one), "choice": one, "query": query})
    return rows


def _take(request: HttpRequest, one: Plan, choice: Choice) -> None:
    pieces = Component.objects.in_bulk([row.lying.key for row in choice.taken])
    puts = [
        actions.Put(pieces[row.lying.key], why=row.why) for row in choice.taken if row.lying.key in pieces
    ]
    actions.put_in(asked(request), one, puts)
