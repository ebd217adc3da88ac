"""The sections of a well, on its page."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rack.actions import sections as actions
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms.sections import SectionForm
from rack.models import Section, Well
from rack.views.wells import show_well, well_here


@at_desk("well")
@require_POST
def section_add(request: HttpRequest, pk: int) -> HttpResponse:
    one = well_here(request, pk)
    return _write(request, one, SectionForm(request.POST, site=one.site), None)


@at_desk("well")
@require_POST
def section_change(request: HttpRequest, pk: int, section: int) -> HttpResponse:
    one = well_here(request, pk)
    row = found_or_404(one.sections.select_related("well__site"), pk=section)
    return _write(request, one, SectionForm(request.POST, site=one.site, section=row), row)


def _write(request: HttpRequest, well: Well, form: SectionForm, section: Section | None) -> HttpResponse:
    refused = {"section_form": form} if section is None else {"changing": (section.pk, form)}
    if not form.is_valid():
        return show_well(request, well, **refused)
    try:
        if section is None:
            done = actions.add_section(asked(request), well, form.facts())
        else:
            seen = form.cleaned_data["seen"]
            done = actions.change_section(asked(request), section, form.facts(), seen=seen)
    except Refused as problem:
        return show_well(request, well, problems=problem.problems, **refused)
    messages.success(request, f"Section {done.name} is written down.")
    return redirect("well", pk=well.pk)
