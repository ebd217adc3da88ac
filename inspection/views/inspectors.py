"""The inspectors whose word a class is: a list, one more, one that ended."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from inspection.actions.inspectors import add_inspector, end_inspector
from inspection.forms.inspectors import InspectorForm
from inspection.models import Inspector
from rack.calc.checks import Problem
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused

MOST_ENDED = 50


@at_desk("inspect")
@require_http_methods(["GET", "POST"])
def inspector_list(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    problems: tuple[Problem, ...] = ()
    form = InspectorForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            made = add_inspector(asked(request), site, **form.cleaned_data)
        except Refused as refused:
            problems = refused.problems
        else:
            messages.success(request, f"Added {made}.")
            return redirect("inspector_list")
    ended = Inspector.objects.filter(site=site).exclude(ended_on=None).order_by("-ended_on", "-id")
    context = {"form": form, "problems": problems, "inspectors": Inspector.objects.at(site),
               "ended": ended[:MOST_ENDED], "crumbs": [("Due", "/due/")]}  # fmt: skip
    status = 422 if request.method == "POST" else 200
    return render(request, "inspection/inspectors.html", context, status=status)


@at_desk("inspect")
@require_POST
def inspector_end(request: HttpRequest, pk: int) -> HttpResponse:
    one = found_or_404(Inspector.objects.filter(site=site_of(request)), pk=pk)
    try:
        end_inspector(asked(request), one)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"{one} is on the list no more; what was recorded on their word stays.")
    return redirect("inspector_list")
