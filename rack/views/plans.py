"""Planned strings: beginning one, its page with what the rules say, and what is done on it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rack.actions import plans as actions
from rack.calc.chain import length_of
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.forms import plans as forms
from rack.models import Component, Delivery, NotRun, Plan, PlanLine, Spec
from rack.models.judging import Judged, judge_plan, wishes_of
from rack.models.naming import named
from rack.people import check_can

MOST = 200


@at_desk()
@require_GET
def plan_list(request: HttpRequest) -> HttpResponse:
    rows = Plan.objects.at(site_of(request)).select_related("well", "section").order_by("-number")[:MOST]
    context = {"plans": rows, "most": MOST, "crumbs": [("Strings", reverse("string_list"))]}
    return render(request, "rack/plan_list.html", context)


@at_desk("plan")
@require_http_methods(["GET", "POST"])
def plan_new(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = forms.PlanForm(request.POST or None, site=site)
    problems: tuple[Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.begin_plan(asked(request), site, head_of(form))
        except Refused as refused:
            problems = refused.problems
        else:
            return redirect("plan", number=made.number)
    crumbs = [("Strings", reverse("string_list")), ("Plans", reverse("plan_list"))]
    context = {"form": form, "problems": problems, "crumbs": crumbs}
    return render(request, "rack/plan_new.html", context, status=422 if request.method == "POST" else 200)


def head_of(form: forms.PlanForm) -> actions.PlanHead:
    """The head of a plan as its valid form says it."""
    typed = form.cleaned_data
    return actions.PlanHead(typed["title"], typed["well"], typed["section"], form.wishes().to_text())


@at_desk()
@require_GET
def plan(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, plan_here(request, number))


def plan_here(request: HttpRequest, number: int) -> Plan:
    """The plan of this number at this person's site."""
    rows = Plan.objects.at(site_of(request)).select_related("site", "well__site", "section__well")
    return found_or_404(rows, number=number)  # type: ignore[no-any-return]


def show(request: HttpRequest, one: Plan, **more: Any) -> HttpResponse:
    """The page of a plan; `more` carries a form that was refused and its problems."""
    lines, judged = judge_plan(one, timezone.localdate())
    not_run = _not_run(one)
    below = [
        (str(line.pk), f"under {row.n}, {row.link.ident}")
        for line, row in zip(lines, judged.rows, strict=True)
    ]
    context: dict[str, Any] = {
        "plan": one, "judged": judged,
        "rows": [(line, row, not_run.get(line.component_id or 0, ""))
                 for line, row in zip(lines, judged.rows, strict=True)],
        "figures": figures_of(one, judged), "shared": PlanLine.objects.of_other_plans(one.site, one),
        "put_form": forms.PutForm(plan=one, below=below), "count_form": forms.CountForm(site=one.site),
        "head_form": forms.PlanForm(site=one.site, plan=one, wishes=wishes_of(one)),
        "crumbs": [("Strings", reverse("string_list")), ("Plans", reverse("plan_list"))],
        "below": below, **more,
    }  # fmt: skip
    if "put_form" not in more:
        context["put_form"] = forms.PutForm(plan=one, below=below)
    return render(request, "rack/plan.html", context, status=422 if more else 200)


def _not_run(one: Plan) -> dict[int, str]:
    """Which pieces a string that was made up from this plan goes without, and why; by the piece."""
    rows = NotRun.objects.standing().filter(string__plan=one).select_related("string").order_by("id")
    found: dict[int, list[str]] = {}
    for row in rows:
        found.setdefault(row.component_id, []).append(f"not run in {row.string}: {row.reason}")
    return {piece: "; ".join(words) for piece, words in found.items()}


def figures_of(one: Plan, judged: Judged) -> list[tuple[str, str]]:
    """The strip above a plan: how long, how many, and what is left to the depth that is wanted."""
    site, wishes = one.site, wishes_of(one)
    unit, digits = site.length_unit, site.digits
    known = sum((link.length for link in judged.links if link.length is not None), Length(0))
    whole = length_of(judged.links)
    said = f"{known.shown(unit, digits)} {unit}"
    figures = [
        ("Length", said if whole is not None else f"{said} and what is not known"),
        ("Pieces", str(sum(link.count for link in judged.links))),
    ]
    if wishes.depth_nm is not None:
        over = known - Length(wishes.depth_nm + wishes.reserve_nm)
        word = "Over depth and reserve" if over.nanometres >= 0 else "Short of depth and reserve"
        figures.append((word, f"{abs(over).shown(unit, digits)} {unit}"))
    return figures


@at_desk()
@require_POST
def plan_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """One thing done to a plan, and its page again."""
    one = plan_here(request, number)
    if what not in CHANGES:
        raise Http404
    verb, act = CHANGES[what]
    check_can(request.user, verb, one.site)
    return act(request, one)


def _put(request: HttpRequest, one: Plan) -> HttpResponse:
    lines = one.lines.from_the_bit().values_list("pk", flat=True)
    form = forms.PutForm(request.POST, plan=one, below=[(str(pk), str(pk)) for pk in lines])
    if not form.is_valid():
        return show(request, one, put_form=form)
    pieces, problems = form.pieces()
    if problems:
        return show(request, one, put_form=form, problems=problems)
    under = int(form.cleaned_data["below"]) if form.cleaned_data["below"] else None
    puts = [actions.Put(piece) for piece in pieces]
    return _done(request, one, lambda: actions.put_in(asked(request), one, puts, below=under), put_form=form)


def _count(request: HttpRequest, one: Plan) -> HttpResponse:
    form = forms.CountForm(request.POST, site=one.site)
    if not form.is_valid():
        return show(request, one, count_form=form)
    typed = form.cleaned_data
    nm = typed["length"].nanometres if typed["length"] else None
    put = actions.Put(spec=typed["spec"], count=typed["count"], length_nm=nm)
    return _done(request, one, lambda: actions.put_in(asked(request), one, [put]), count_form=form)


def _out(request: HttpRequest, one: Plan) -> HttpResponse:
    ids = [int(text) for text in request.POST.getlist("row") if text.isdecimal() and len(text) < 19]
    return _done(request, one, lambda: actions.take_out(asked(request), one, ids))


def _move(request: HttpRequest, one: Plan) -> HttpResponse:
    text = request.POST.get("line", "")
    line = int(text) if text.isdecimal() and len(text) < 19 else 0
    up = request.POST.get("way") == "up"
    return _done(request, one, lambda: actions.move_line(asked(request), one, line, up=up))


def _exchange(request: HttpRequest, one: Plan) -> HttpResponse:
    """Another piece in the place of a line, named as everywhere: tag, serial or painted number."""
    text = request.POST.get("line", "")
    line = int(text) if text.isdecimal() and len(text) < 19 else 0
    here = Component.objects.at(one.site).select_related("spec", "place", "site")
    pieces, problems = named(here, [request.POST.get("piece", "").strip()[:60]])
    if problems or not pieces:
        return show(request, one, problems=problems or [stops("Say which piece it is.", code="piece")])
    return _done(request, one, lambda: actions.exchange(asked(request), one, line, pieces[0]))


def _head(request: HttpRequest, one: Plan) -> HttpResponse:
    form = forms.PlanForm(request.POST, site=one.site, plan=one)
    if not form.is_valid():
        return show(request, one, head_form=form)
    seen = form.cleaned_data["seen"]
    return _done(
        request,
        one,
        lambda: actions.change_plan(asked(request), one, head_of(form), seen=seen),
        head_form=form,
    )


def _end(request: HttpRequest, one: Plan) -> HttpResponse:
    return _done(request, one, lambda: actions.end_plan(asked(request), one))


def _yes(request: HttpRequest, one: Plan) -> HttpResponse:
    return say_yes(request, one, lambda **more: show(request, one, **more))


def say_yes(request: HttpRequest, of: Any, again: Callable[..., HttpResponse]) -> HttpResponse:
    """A yes to what a rule asks of a plan or a string; `again` shows its page when it is refused."""
    form = forms.YesForm(request.POST)
    if not form.is_valid():
        return again(problems=[_missing(form)])
    typed = form.cleaned_data
    pieces, keys = Component.objects.at(of.site), [
        text for text in request.POST.getlist("key_of") if text.isdecimal() and len(text) < 19
    ]
    piece = pieces.filter(pk=keys[0]).first() if len(keys) == 1 else None
    what, _, pk = typed["holds_for"].partition(":")
    lot = found_or_404(Spec.objects.all(), pk=int(pk)) if what == "lot" else None
    came = found_or_404(Delivery.objects.at(of.site), pk=int(pk)) if what == "delivery" else None
    yes = actions.Yes(
        typed["code"], typed["reason"], "" if what else typed["where"], None if what else piece,
        lot, typed["ends_on"], came,
    )  # fmt: skip
    try:
        done = actions.consent(asked(request), of, yes)
    except Refused as refused:
        return again(problems=refused.problems)
    messages.success(request, f"{done.journal.sentence}.")
    return redirect(request.path.split("/do/")[0] + "/")


def _missing(form: forms.YesForm) -> Problem:
    words = " ".join(str(error) for errors in form.errors.values() for error in errors)
    return stops(f"Say why it is taken all the same. {words}", code="reason")


def _done(request: HttpRequest, one: Plan, act: Callable[[], Any], **more: Any) -> HttpResponse:
    try:
        act()
    except Refused as refused:
        return show(request, one, problems=refused.problems, **more)
    messages.success(request, f"{one} is written anew.")
    return redirect("plan", number=one.number)


CHANGES: dict[str, tuple[str, Callable[[HttpRequest, Plan], HttpResponse]]] = {
    "put": ("plan", _put), "count": ("plan", _count), "out": ("plan", _out), "move": ("plan", _move),
    "exchange": ("plan", _exchange),
    "head": ("plan", _head), "end": ("plan", _end), "yes": ("string", _yes),
}  # fmt: skip
