"""The strings of a site: their list, beginning one, and the page of one string."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import strings as actions
from rack.calc.checks import Problem
from rack.calc.lengths import Length
from rack.calc.stand_names import stand_names
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.forms import strings as forms
from rack.models import Change, Journal, Plan, Site, String
from rack.models.ahead import left_of_plan, left_out_of
from rack.models.carrying import answers_that_hold
from rack.models.judging import judge_string
from rack.models.lots import words_of
from rack.models.running import hanging_of
from rack.models.string_lines import Line, lines_of
from rack.paging import page_by_key
from rack.views.piece_links import piece_addresses

MOST_CHANGES = 30
MOST_RUNNING = 50
#: So many pieces of the plan that cannot go in are named on the page of a string; the first is in the way.
MOST_STOPPED = 20
NOT_READ = "–"


class Row(NamedTuple):
    """One line of the page of a string as it is read; `at` is the page of its piece, "" where it has none."""

    n: str
    stand: str
    at: str
    piece: str
    held: bool
    item: str
    length: str
    from_bit: str
    where: str


@at_desk()
@require_GET
def string_list(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    rows = String.objects.at(site).select_related("well", "section")
    running = rows.running().order_by("-number")[:MOST_RUNNING]
    ended = page_by_key(request, rows.exclude(ended_at=None), "number")
    return render(request, "rack/string_list.html", {"running": running, "page": ended})


@at_desk("string")
@require_http_methods(["GET", "POST"])
def string_new(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    plan = _plan(request, site)
    form = forms.StringForm(request.POST or None, site=site, plan=plan)
    problems: tuple[Problem, ...] = ()
    ticked = [int(text) for text in request.POST.getlist("answer") if text.isdecimal() and len(text) < 19]
    if request.method == "POST" and form.is_valid():
        head = replace(head_of(form), plan=plan)
        try:
            made = actions.begin_string(asked(request), site, head, carry=ticked if plan else None)
        except Refused as refused:
            problems = refused.problems
        else:
            return redirect("string", number=made.number)
    bad = request.method == "POST"
    answers = [(one, words_of(one), not bad or one.pk in ticked) for one in answers_that_hold(plan)] \
        if plan else []
    context = {
        "form": form, "problems": problems, "plan": plan, "answers": answers,
        "crumbs": [("Strings", reverse("string_list"))],
    }  # fmt: skip
    return render(request, "rack/string_new.html", context, status=422 if bad else 200)


def _plan(request: HttpRequest, site: Site) -> Plan | None:
    """The plan that a new string is made up from, as the address or the form names it."""
    number = request.POST.get("plan", "") or request.GET.get("plan", "")
    if not number.isdecimal() or len(number) > 9:
        return None
    rows = Plan.objects.at(site).select_related("well", "section")
    return found_or_404(rows, number=int(number))  # type: ignore[no-any-return]


def head_of(form: forms.StringForm) -> actions.StringHead:
    """The head of a string as its valid form says it."""
    typed = form.cleaned_data
    stick_up, kelly = typed["stick_up"], typed["kelly"]
    return actions.StringHead(
        typed["well"], typed["section"], typed["title"], typed["stand_n"],
        stick_up.nanometres if stick_up else 0, kelly.nanometres if kelly else None,
    )  # fmt: skip


@at_desk()
@require_GET
def string(request: HttpRequest, number: int) -> HttpResponse:
    return show(request, string_here(request, number))


def string_here(request: HttpRequest, number: int) -> String:
    """The string of this number at this person's site."""
    rows = String.objects.at(site_of(request)).select_related("site", "well__site", "section__well", "plan")
    return found_or_404(rows, number=number)  # type: ignore[no-any-return]


@at_desk()
@require_GET
def string_rules(request: HttpRequest, number: int) -> HttpResponse:
    """What the rules say of a string; its page fetches this beside its rows."""
    one = string_here(request, number)
    _, judged = judge_string(one, timezone.localdate())
    back = [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))]
    return render(request, "rack/string_rules.html", {"string": one, "judged": judged, "crumbs": back})


def show(request: HttpRequest, one: String, **more: Any) -> HttpResponse:
    """The page of a string; `more` carries a form that was refused and its problems."""
    lines = lines_of(one)
    rows = rows_of(one, lines)
    context: dict[str, Any] = {
        "string": one, "rows": rows,
        "figures": figures_of(one, lines), "last": last_done(one),
        "unlisted": [line for line in lines if line.counted],
        "count_form": forms.CountInForm(string=one),
        "top": _top(rows, lines),
        "next_racked": next((row for row, line in zip(rows, lines, strict=True) if line.racked), None),
        "join_form": forms.JoinForm(string=one),
        "back_form": forms.BackForm(string=one, auto_id="back_%s", initial={"count": one.stand_n}),
        "again_form": forms.AgainForm(string=one, auto_id="again_%s", initial={"count": one.stand_n}),
        "down_form": forms.DownForm(string=one, auto_id="down_%s"),
        "swap_form": forms.SwapForm(string=one, auto_id="swap_%s"),
        "stay_form": forms.StayForm(string=one, auto_id="stay_%s"),
        "head_form": forms.StringForm(site=one.site, string=one),
        "crumbs": [("Strings", reverse("string_list"))],
        **_plan_of(one), **more,
    }  # fmt: skip
    return render(request, "rack/string.html", context, status=422 if more else 200)


def _top(rows: Sequence[Row], lines: Sequence[Line]) -> Row | None:
    """The topmost in the hole."""
    return next((rows[n] for n in range(len(rows) - 1, -1, -1) if not lines[n].racked), None)


def _plan_of(one: String) -> dict[str, Any]:
    """What the plan of a string still has: the next one, those that cannot go in, those left out."""
    if one.plan is None or one.ended_at:
        return {}
    left = left_of_plan(one)
    return {
        "plan_next": next(iter(left), None), "plan_left": len(left),
        "plan_stopped": [item for item in left if item.stopped][:MOST_STOPPED],
        "plan_without": list(left_out_of(one).values()),
    }  # fmt: skip


def rows_of(one: String, lines: Sequence[Line]) -> list[Row]:
    """What is in the string from the bit upward, with each piece's stand and its distance from the bit."""
    unit, digits = one.site.length_unit, one.site.digits
    address = piece_addresses()
    stands = stand_names([line.kind for line in lines], one.stand_n)
    rows, below, known = [], 0, True
    for n, (line, stand) in enumerate(zip(lines, stands, strict=True), 1):
        known = known and line.length_nm is not None
        below += line.length_nm or 0
        rows.append(Row(
            str(n), NOT_READ if line.counted else stand or NOT_READ,
            "" if line.counted else address(line.tag),
            "list to follow" if line.counted else line.name, line.held, line.words,
            NOT_READ if line.length_nm is None else Length(line.length_nm).shown(unit, digits),
            Length(below).shown(unit, digits) if known else NOT_READ,
            line.place if line.racked else "in the hole",
        ))  # fmt: skip
    return rows


def figures_of(one: String, lines: Sequence[Line]) -> list[tuple[str, str]]:
    """The strip of figures above a string: how deep, how many where."""
    site = one.site
    hangs = hanging_of(one, lines)
    whole = sum(line.length_nm or 0 for line in lines)
    depth = f"{hangs.bit.shown(site.length_unit, site.digits)} {site.length_unit}"
    racked = sum(line.racked for line in lines)
    return [
        ("Depth of the bit", f"{depth} and {hangs.unknown} unknown" if hangs.unknown else depth),
        ("In the hole", str(sum(line.count for line in lines) - racked)),
        ("In the derrick", str(racked)),
        ("Whole length", f"{Length(whole).shown(site.length_unit, site.digits)} {site.length_unit}"),
    ]


def last_done(one: String) -> list[dict[str, Any]]:
    """The newest changes of a string, one a line of the journal, and whether each still stands."""
    rows = Change.objects.filter(string=one).order_by("-id").values_list("journal", flat=True)
    ids = list(dict.fromkeys(rows[: 40 * MOST_CHANGES]))[:MOST_CHANGES]
    of_these = Change.objects.filter(string=one, journal__in=ids)
    standing = set(of_these.standing().values_list("journal", flat=True).distinct())
    happened = dict(of_these.values_list("journal", "happened_at").distinct())
    lines = Journal.objects.filter(pk__in=ids).prefetch_related("by").order_by("-id")
    return [
        {"line": line, "stands": line.pk in standing, "at": happened.get(line.pk, line.at)} for line in lines
    ]
