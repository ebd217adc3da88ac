"""Lists held against a casing plan, and casing sheets of others read back; nothing of either is stored."""

import re
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from rack.calc.casing_lists import known_of, rack_against_plan, run_against_plan, total_against_plan
from rack.calc.checks import Problem, stops
from rack.calc.lengths import ZERO, Length
from rack.calc.names import key_of
from rack.desk import at_desk
from rack.errors import UnreadableFile
from rack.exchange.casing_sheet import read_sheet
from rack.forms.casing import ListsForm, TypedSheetForm
from rack.models.casing_facts import Planned, planned, serial_of
from rack.views.casing import plan_or_404
from rack.views.tally import base, tally_of

MOST_BYTES = 20 * 2**20


@at_desk()
@require_http_methods(["GET", "POST"])
def casing_check(request: HttpRequest, number: int) -> HttpResponse:
    """What lies on the rack, what went into the hole, and another total, against the plan."""
    one = tally_of(request, number)
    plan = plan_or_404(one)
    if one.is_blind:
        return redirect("casing", number=number)
    form = ListsForm(request.POST if request.method == "POST" else None)
    context: dict[str, Any] = {
        **base(one), "plan": plan, "form": form,
        "crumbs": [*base(one)["crumbs"], ("Casing plan", reverse("casing", args=[number]))],
    }
    status = 200
    if request.method == "POST" and form.is_valid():
        problems, looked = _held_against(planned(plan), form.cleaned_data)
        context |= {"problems": problems, "looked": looked, "answered": bool(looked)}
    elif request.method == "POST":
        status = 422
    return render(request, "rack/casing_check.html", context, status=status)


def _held_against(facts: Planned, typed: dict[str, str]) -> tuple[list[Problem], list[str]]:
    known = known_of(facts.facts, [serial_of(row) for row in facts.rows])
    problems: list[Problem] = []
    looked = []
    lying, run = _names(typed["rack"]), _names(typed["run"])
    if lying:
        problems += rack_against_plan(known, lying)
        looked.append(f"{len(lying)} on the rack, {len(facts.counts.on_rack)} must lie there")
    if run:
        problems += run_against_plan(known, run)
        looked.append(f"{len(run)} into the hole, {facts.counts.to_run} to run")
    if typed["total"].strip():
        tally = facts.plan.tally
        try:
            theirs = Length.parse(typed["total"], tally.unit)
        except ValueError as wrong:
            return [*problems, stops(str(wrong))], [*looked, "a total that cannot be read"]
        if facts.layout.total is None:
            return [*problems, stops("Our own total is not known yet.")], [*looked, "a total"]
        losses = [item.off or ZERO for item in facts.facts if item.role == "run" and not item.above]
        problems += total_against_plan(facts.layout.total, theirs, losses)
        ours = facts.layout.total.shown(tally.unit, tally.digits)
        looked.append(f"their total {theirs.shown(tally.unit, tally.digits)}, ours {ours} {tally.unit}")
    return problems, looked


def _names(text: str) -> list[str]:
    """What somebody read, one name by comma, semicolon, blank or line."""
    return [name for name in re.split(r"[,;\s]+", text) if key_of(name)]


@at_desk()
@require_http_methods(["GET", "POST"])
def typed_sheet(request: HttpRequest) -> HttpResponse:
    """A casing sheet as somebody typed it: every fault that it betrays, named."""
    form = TypedSheetForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form, "crumbs": [("Tallies", reverse("tally_list"))]}
    status = 200
    if request.method == "POST":
        file = request.FILES.get("file")
        if not form.is_valid() or file is None or not file.size or file.size > MOST_BYTES:
            status = 422
            if file is not None and (file.size or 0) > MOST_BYTES:
                context["sentence"] = "The file is larger than 20 MB; a casing sheet is not."
        else:
            try:
                read = read_sheet(file.read(), file.name or "sheet")
                context |= {"read": read, "problems": list(read.problems)}
            except UnreadableFile as wrong:
                context["sentence"], status = str(wrong), 422
    return render(request, "rack/casing_typed.html", context, status=status)
