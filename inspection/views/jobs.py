"""Inspection jobs: the list, booking one from what falls due, its page, and what is done on it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db.models import Count, Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inspection.actions import jobs as actions
from inspection.forms.jobs import JobForm, NamesForm, ProposalForm, WhyNotForm
from inspection.models import Job
from inspection.models.booking import MOST, proposed, rows_of
from rack.calc.checks import Problem, stops
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.models import Component, Site
from rack.paging import page_by_key
from rack.people import check_can

CRUMBS = [("Due", "/due/"), ("Jobs", "/jobs/")]


@at_desk()
@require_GET
def job_list(request: HttpRequest) -> HttpResponse:
    waits = Count("pieces", filter=Q(pieces__inspection=None, pieces__reason=""))
    rows = Job.objects.at(site_of(request)).annotate(all_n=Count("pieces"), waits_n=waits)
    context = {"page": page_by_key(request, rows, "on"), "crumbs": CRUMBS[:1]}
    return render(request, "inspection/job_list.html", context)


@at_desk("book")
@require_http_methods(["GET", "POST"])
def job_new(request: HttpRequest) -> HttpResponse:
    """What falls due is proposed and ticked; what else is to be looked at is typed."""
    site, post = site_of(request), request.method == "POST"
    asking = ProposalForm(request.GET or None, site=site)
    asking.fields["until"].initial = asking.chosen()["until"]
    found = list(proposed(site, **asking.chosen())[: MOST + 1])
    form = JobForm(request.POST if post else None, initial={"on": asking.chosen()["until"], "scope": "full"})
    names = NamesForm(request.POST if post else None)
    problems: list[Problem] = []
    if post and form.is_valid() & names.is_valid():
        try:
            made = actions.open_job(asked(request), site, _head(form), _pieces(request, site, names))
        except Refused as refused:
            problems = list(refused.problems)
        else:
            messages.success(request, f"{made} is booked.".capitalize())
            return redirect("job", number=made.number)
    ticked = set(request.POST.getlist("piece")) if post else {piece.tag for piece in found[:MOST]}
    context = {
        "asking": asking, "form": form, "names": names, "found": found[:MOST], "more": len(found) > MOST,
        "until": asking.chosen()["until"], "narrowed": bool(request.GET),
        "most": MOST, "ticked": ticked, "problems": problems, "crumbs": CRUMBS,
    }  # fmt: skip
    return render(request, "inspection/job_new.html", context, status=422 if post else 200)


def _head(form: JobForm) -> actions.JobHead:
    return actions.JobHead(**form.cleaned_data)


def _pieces(request: HttpRequest, site: Site, names: NamesForm) -> list[Component]:
    """What was ticked and what was typed; raises Refused with every name that means no piece."""
    tags = request.POST.getlist("piece")[: MOST + 1]
    ticked = list(Component.objects.at(site).filter(tag__in=tags).order_by("pk"))
    typed, problems = names.pieces(site)
    if len(ticked) != len(set(tags)):
        problems.append(stops("A ticked piece is not at this site any more.", code="gone"))
    if problems:
        raise Refused(problems)
    return [*ticked, *typed]


@at_desk()
@require_GET
def job(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, job_here(request, number))


def job_here(request: HttpRequest, number: int) -> Job:
    """The job of this number at this person's site."""
    rows = Job.objects.at(site_of(request)).select_related("site", "closed_by__by", "begun_by__by")
    return found_or_404(rows, number=number)  # type: ignore[no-any-return]


def show(request: HttpRequest, one: Job, **more: Any) -> HttpResponse:
    """The page of a job; `more` carries a form that was refused and its problems."""
    rows = rows_of(one)
    done = sum(row.stands == "done" for row in rows)
    waiting = sum(row.stands == "waiting" for row in rows)
    figures = [("Pieces", str(len(rows))), ("Inspected", str(done)), ("Waiting", str(waiting)),
               ("Not looked at", str(len(rows) - done - waiting))]  # fmt: skip
    context = {
        "job": one, "rows": rows, "figures": figures, "names": NamesForm(), "why": WhyNotForm(),
        "waiting": waiting, "crumbs": CRUMBS, **more,
    }  # fmt: skip
    return render(request, "inspection/job.html", context, status=422 if more else 200)


@at_desk()
@require_POST
def job_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """One thing done to a job, and its page again."""
    one = job_here(request, number)
    if what not in CHANGES:
        raise Http404
    check_can(request.user, "book", one.site)
    try:
        CHANGES[what](request, one)
    except Refused as refused:
        return show(request, one, problems=refused.problems, ticked=set(request.POST.getlist("piece")),
                    names=NamesForm(request.POST), why=WhyNotForm(request.POST))  # fmt: skip
    return redirect("job", number=one.number)


def _seen(request: HttpRequest) -> int | None:
    text = request.POST.get("seen", "")
    return int(text) if text.isdecimal() and len(text) < 10 else None


def _put(request: HttpRequest, one: Job) -> None:
    names = NamesForm(request.POST)
    names.is_valid()
    pieces = _pieces(request, one.site, names)
    actions.put_on_job(asked(request), one, pieces, seen=_seen(request))


def _off(request: HttpRequest, one: Job) -> None:
    actions.take_off_job(asked(request), one, _ticked(request, one), seen=_seen(request))


def _why(request: HttpRequest, one: Job) -> None:
    reason = request.POST.get("reason", "")
    actions.say_why_not(asked(request), one, _ticked(request, one), reason, seen=_seen(request))


def _close(request: HttpRequest, one: Job) -> None:
    actions.close_job(asked(request), one, seen=_seen(request))
    messages.success(request, f"{one} is closed.".capitalize())


def _ticked(request: HttpRequest, one: Job) -> list[Component]:
    tags = request.POST.getlist("piece")
    pieces = list(Component.objects.filter(jobs__job=one, tag__in=tags).order_by("pk"))
    if not pieces:
        raise Refused([stops("Tick the pieces first.", code="pieces")])
    return pieces


CHANGES: dict[str, Callable[[HttpRequest, Job], None]] = {
    "put": _put, "off": _off, "why": _why, "close": _close,
}  # fmt: skip


def crumbs_of(one: Job) -> list[tuple[str, str]]:
    return [*CRUMBS, (str(one).capitalize(), reverse("job", args=[one.number]))]
