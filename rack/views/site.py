"""The settings of a site, kept by its office."""

from datetime import UTC, datetime, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from rack.actions.site_settings import set_report_day
from rack.calc.checks import Problem
from rack.calc.hours import tours_between
from rack.desk import asked, at_desk, site_of
from rack.errors import Refused
from rack.forms.site import SiteForm
from rack.models import Journal, Site


@at_desk("settings")
@require_http_methods(["GET", "POST"])
def site_settings(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = SiteForm(request.POST or None, site=site)
    problems: tuple[Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            set_report_day(asked(request), site, form.report_day_s(), typed["tour_hours"])
        except Refused as refused:
            problems = refused.problems
        else:
            messages.success(request, "Tours are judged so from now on.")
            return redirect("site_settings")
    lines = Journal.objects.filter(site=site, verb="set report day").select_related("by").order_by("-id")
    context = {
        "here": site, "form": form, "problems": problems, "tours": _tours(site), "lines": lines[:20],
        "crumbs": [("Accounts", reverse("accounts"))],
    }  # fmt: skip
    bad = request.method == "POST"
    return render(request, "rack/site_settings.html", context, status=422 if bad else 200)


def _tours(site: Site) -> list[str]:
    """The tours of a plain day in words: "06:00 to 18:00"."""
    begins = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=site.report_day_s)
    ends_at, starts = begins + timedelta(days=1), site.report_day_s
    found = tours_between(begins, ends_at, site.tour_hours, UTC, starts_s=starts)
    ends = [(f"{tour.from_at:%H:%M}", f"{tour.to_at:%H:%M}".replace("00:00", "24:00")) for tour in found]
    return [f"{first} to {last}" for first, last in ends]
