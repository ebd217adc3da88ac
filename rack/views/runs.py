"""The runs of a site: their list, beginning one, the page of a run with its lines, hours and events."""

from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import runs as actions
from rack.calc.bits import read_dull
from rack.calc.checks import Problem
from rack.calc.happenings import HAPPENINGS
from rack.calc.hours import POLICY_WORDS, WHOLE_RUN, amount_shown, rule_for, run_totals
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.forms import runs as forms
from rack.models import Event, Leg, Run, String
from rack.models.bends import bends_of_run
from rack.models.earned import EarnedTogether, clock_heading, earned_in, together
from rack.models.stays import as_legs, changed_late, legs_of, policy_of
from rack.paging import page_by_key
from rack.views.piece_links import piece_addresses

MOST_EVENTS = 50


@at_desk()
@require_GET
def run_list(request: HttpRequest) -> HttpResponse:
    """The runs of a site, those that are on first; of one string where the address names it."""
    site = site_of(request)
    rows = Run.objects.at(site).select_related("string", "string__well", "section")
    one = _string(request)
    if one:
        rows = rows.filter(string=one)
    context = {
        "open": rows.open().order_by("-id")[:MOST_EVENTS], "string": one,
        "page": page_by_key(request, rows.exclude(ended_by=None), "number"),
        "crumbs": [("Strings", reverse("string_list"))],
    }  # fmt: skip
    return render(request, "rack/run_list.html", context)


def _string(request: HttpRequest) -> String | None:
    number = request.GET.get("string", "")
    if not number.isdecimal() or len(number) > 9:
        return None
    rows = String.objects.at(site_of(request))
    return found_or_404(rows, number=int(number))  # type: ignore[no-any-return]


@at_desk("hours")
@require_http_methods(["GET", "POST"])
def run_new(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = forms.RunForm(request.POST or None, site=site, string=_string(request))
    problems: tuple[Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.begin_run(
                asked(request), form.cleaned_data["string"], head_of(form), form.cleaned_data["reason"]
            )
        except Refused as refused:
            problems = refused.problems
        else:
            return redirect("run_page", ident=made.pk)
    context = {
        "form": form, "problems": problems,
        "crumbs": [("Strings", reverse("string_list")), ("Runs", reverse("run_list"))],
    }  # fmt: skip
    return render(request, "rack/run_new.html", context, status=422 if request.method == "POST" else 200)


def head_of(form: forms.RunForm) -> actions.RunHead:
    """The head of a run as its valid form says it; the table's own policy is not written down again."""
    typed = form.cleaned_data
    depth = typed["in_depth"]
    policy = {} if typed["drill_pipe"] == WHOLE_RUN else {"drill_pipe": typed["drill_pipe"]}
    return actions.RunHead(
        typed["bha_no"], typed["bit_no"], typed["run_no"], typed["section"], typed["in_at"],
        depth.nanometres if depth else None, policy,
    )  # fmt: skip


@at_desk()
@require_GET
def run(request: HttpRequest, ident: int) -> HttpResponse:
    return show(request, run_here(request, ident))


def run_here(request: HttpRequest, ident: int) -> Run:
    """The run of this number at this person's site."""
    rows = Run.objects.at(site_of(request)).select_related("string__site", "string__well", "section")
    return found_or_404(rows, pk=ident)  # type: ignore[no-any-return]


def show(request: HttpRequest, one: Run, **more: Any) -> HttpResponse:
    """The page of a run; `more` carries a form that was refused and its problems."""
    lines = legs_of(one)
    earned = earned_in(one)
    of_string, casing = together(one, earned)
    last = max((line.to_at for line in lines if line.to_at), default=one.in_at)
    begins = timezone.localtime(last) if last else timezone.localtime()
    context: dict[str, Any] = {
        "run": one, "lines": lines, "figures": _figures(one, lines, len(earned)),
        "earned": _plain(of_string), "casing": _plain(casing), "counted": counted_words() if casing else "",
        "headings": [name for name, _ in earned[0].cells] if earned else [],
        "policies": _policies(one), "late": changed_late(one, lines),
        "bends": bends_of_run(one),
        "events": _events(one), "dull": _dull(one), "pulled": actions.reasons_pulled().get(one.reason_pulled),
        "grid": [words for _, words in forms.GRID],
        "lines_form": forms.LinesForm(
            run=one, day=begins.date(), begins=f"{begins:%H:%M}" if last else ""
        ),
        "end_form": forms.EndForm(run=one, pulled=actions.reasons_pulled()),
        "event_form": forms.EventForm(site=one.string.site),
        "crumbs": [("Strings", reverse("string_list")), ("Runs", reverse("run_list"))],
        **more,
    }  # fmt: skip
    return render(request, "rack/run.html", context, status=422 if more else 200)


def _figures(one: Run, lines: Sequence[Leg], pieces: int) -> list[tuple[str, str]]:
    """The strip of figures above a run: what it turned, circulated and drilled in all."""
    site = one.string.site
    totals = run_totals(as_legs(one, lines))
    shown = ("rotating_s", "sliding_s", "circulating_s", "bottom_s", "footage_nm")
    return [
        ("Time lines", str(len(lines))),
        *((clock_heading(clock, site.length_unit),
           amount_shown(clock, totals[clock], unit=site.length_unit, digits=site.digits))
          for clock in shown),
        ("Pieces", str(pieces)),
    ]  # fmt: skip


def _policies(one: Run) -> list[tuple[str, str]]:
    chosen = policy_of(one).get("drill_pipe", WHOLE_RUN)
    return [("Drill pipe", POLICY_WORDS[chosen])]


def _plain(groups: Sequence[EarnedTogether]) -> list[tuple[str, str, Sequence[Any], list[tuple[str, str]]]]:
    """What the page of a run reads of pieces that earned the same: item, policy, cells, address and name."""
    address = piece_addresses()
    return [(one.item, one.policy, one.cells, [(address(row.tag), row.name) for row in one.pieces])
            for one in groups]  # fmt: skip


def counted_words() -> str:
    """How casing that stays in the well is counted, as the table has it, with its source."""
    rule = rule_for("casing")
    return f"{rule.counts.capitalize()}, {rule.note} Source: {rule.source}."


def _events(one: Run) -> list[dict[str, Any]]:
    rows = Event.objects.standing().filter(run=one).select_related("journal__by").order_by("-from_at", "-id")
    return [{"row": row, "kind": HAPPENINGS[row.kind], "pieces": row.pieces.count()}
            for row in rows[:MOST_EVENTS]]  # fmt: skip


def _dull(one: Run) -> list[tuple[str, str, str]]:
    """The dull grade column by column, where it was read."""
    if not one.dull:
        return []
    kind = "roller cone" if not read_dull(one.dull, "roller cone").problems else "fixed cutter"
    return [(column.name, column.code, column.meaning) for column in read_dull(one.dull, kind).columns]
