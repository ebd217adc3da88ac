"""The sharp bends of a well, on its page."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rack.actions.happenings import add_dogleg, take_back_dogleg
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms.bends import BendForm
from rack.views.wells import show_well, well_here


@at_desk("hours")
@require_POST
def bend_add(request: HttpRequest, pk: int) -> HttpResponse:
    one = well_here(request, pk)
    form = BendForm(request.POST, site=one.site)
    if not form.is_valid():
        return show_well(request, one, bend_form=form)
    typed = form.cleaned_data
    ends = typed["from_depth"].nanometres, typed["to_depth"].nanometres
    try:
        add_dogleg(asked(request), one, *ends, form.mdeg(), typed["note"])
    except Refused as refused:
        return show_well(request, one, bend_form=form, problems=refused.problems)
    messages.success(request, "The bend is written down; runs say what turned in it.")
    return redirect("well", pk=one.pk)


@at_desk("hours")
@require_POST
def bend_back(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    one = well_here(request, pk)
    bend = found_or_404(one.doglegs.entered().select_related("well__site"), pk=row)
    try:
        take_back_dogleg(asked(request), bend)
    except Refused as refused:
        return show_well(request, one, problems=refused.problems)
    messages.success(request, "The bend is taken back.")
    return redirect("well", pk=one.pk)
