"""What is written on the page of a piece about it alone: facts that its kind has, its length, a recut."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rack.actions import facts as fact_actions
from rack.actions import lengths as length_actions
from rack.calc.checks import Severity
from rack.calc.kinds import STANDS
from rack.desk import asked, at_desk
from rack.errors import Refused
from rack.forms.own_facts import EndedForm, LengthForm
from rack.views import piece as pages
from rack.views.own_facts import facts_form


@at_desk("fact")
@require_POST
def piece_fact(request: HttpRequest, tag: str) -> HttpResponse:
    one = pages.piece_or_404(request, tag)
    form = facts_form(one, request.POST)
    if not form.is_valid():
        return pages.show(request, one, facts_form=form, refused=True)
    try:
        done = fact_actions.note_fact(asked(request), one, form.changed, seen=form.cleaned_data["seen"])
    except Refused as refused:
        return pages.show(request, one, facts_form=form, problems=refused.problems)
    messages.success(request, f"{done[0].journal.sentence}.")
    return redirect("piece", tag=one.tag)


@at_desk("strap")
@require_POST
def piece_length(request: HttpRequest, tag: str) -> HttpResponse:
    one = pages.piece_or_404(request, tag)
    form = LengthForm(request.POST, kind=one.spec.kind_entry, site=one.site)
    if not form.is_valid():
        return pages.show(request, one, length_form=form, refused=True)
    typed = form.cleaned_data
    if one.spec.kind_entry.telescopes:
        taped = [
            length_actions.Taped(typed[name], typed["kind"], name) for name in STANDS if typed[name]
        ]
    else:
        taped = [length_actions.Taped(typed["length"], typed["kind"])]
    taking = length_actions.Taking(typed["tape"], typed["hands"], typed.get("holds", ""))
    try:
        done = length_actions.strap_piece(
            asked(request), one, taped, taking, sure="sure" in request.POST
        )
    except Refused as refused:
        if all(problem.severity is Severity.ASKS for problem in refused.problems):
            form.ask()
        return pages.show(request, one, length_form=form, problems=refused.problems)
    messages.success(request, f"{done[-1].journal.sentence}.")
    return redirect("piece", tag=one.tag)


@at_desk("recut")
@require_POST
def piece_ended(request: HttpRequest, tag: str) -> HttpResponse:
    one = pages.piece_or_404(request, tag)
    form = EndedForm(request.POST)
    if not form.is_valid():
        return pages.show(request, one, ended_form=form, refused=True)
    try:
        done = length_actions.end_length(asked(request), one, form.cleaned_data["reason"])
    except Refused as refused:
        return pages.show(request, one, ended_form=form, problems=refused.problems)
    messages.success(request, f"{done.journal.sentence}.")
    return redirect("piece", tag=one.tag)
