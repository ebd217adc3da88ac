"""The depths of a string: with what comes next, against the driller and the tape, and corrected."""

import json
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from rack.actions import strings as actions
from rack.actions.tallies import TallyHead, TallyLines, open_tally
from rack.calc.ahead import Against, Ahead, against_driller, depths_ahead
from rack.calc.checks import stops
from rack.calc.lengths import Length
from rack.calc.running import Hanging
from rack.calc.stand_names import IN_STANDS
from rack.calc.straps import GATE
from rack.desk import asked, at_desk
from rack.errors import Refused
from rack.forms.depths import CorrectionForm
from rack.models import Component, Correction, Journal, Member, String, Tally, Unlisted
from rack.models.ahead import Coming, coming
from rack.models.blindness import blind_again, shut
from rack.models.comparing import lines_of
from rack.models.running import hanging_of, members_of
from rack.models.standing import stands_of
from rack.people import check_can
from rack.views.strings import string_here

MOST_AHEAD, MOST_STRAPPED = 120, 3
SHUT = "A piece of it is strapped a second time now; it is shown when that is finished."


@at_desk()
@require_GET
def string_depths(request: HttpRequest, number: int) -> HttpResponse:
    """Where the bit will be with each stand or joint to come; the string against the driller and the tape."""
    return _page(request, string_here(request, number))


@at_desk()
@require_POST
def depth_correct(request: HttpRequest, number: int) -> HttpResponse:
    """Write down what is added to the depth in all; the page again where it is refused."""
    one = string_here(request, number)
    check_can(request.user, "string", one.site)
    form = CorrectionForm(request.POST, string=one)
    if not form.is_valid():
        return _page(request, one, correct_form=form)
    typed = form.cleaned_data
    try:
        actions.correct_depth(asked(request), one, form.nm(), typed["reason"], seen=typed["seen"])
    except Refused as refused:
        return _page(request, one, correct_form=form, problems=refused.problems)
    messages.success(request, "The depth is corrected. No joint changes by it.")
    return redirect("string_depths", number=one.number)


def _page(request: HttpRequest, one: String, **more: Any) -> HttpResponse:
    """The page of depths; `more` carries a correction that was refused and its problems."""
    rows = members_of(one)
    after = coming(one, rows)
    hangs = hanging_of(one, rows)
    driller, wrong = _driller(request.GET.get("driller", ""), one.site.length_unit)
    taped = strapped_out(one)
    context = {
        "string": one, "rows": list(zip(after, ahead_of(one, hangs, after[:MOST_AHEAD]), strict=False)),
        "depth": hangs.bit, "unknown": hangs.unknown, "driller": driller, "wrong": wrong,
        "against": _against(one, rows, hangs, driller), "typed": request.GET.get("driller", "")[:40],
        "more": max(len(after) - MOST_AHEAD, 0), "taped": taped, "correction": corrected(one),
        "correct_form": CorrectionForm(string=one, accepted=_newest(taped)),
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))],
        **more,
    }  # fmt: skip
    return render(request, "rack/string_depths.html", context, status=422 if wrong or more else 200)


def ahead_of(one: String, hangs: Hanging, after: list[Coming]) -> tuple[Ahead, ...]:
    """The depths with each that goes in next."""
    return depths_ahead(
        hangs.whole, [(item.name, item.length) for item in after], stick_up=Length(one.stick_up_nm),
        kelly=None if one.kelly_nm is None else Length(one.kelly_nm), correction=Length(one.correction_nm),
    )  # fmt: skip


def _driller(text: str, unit: str) -> tuple[Length | None, str]:
    if not text.strip():
        return None, ""
    try:
        return Length.parse(text, unit), ""
    except ValueError as wrong:
        return None, str(wrong)


def _against(
    one: String, rows: list[Member | Unlisted], hangs: Hanging, driller: Length | None
) -> Against | None:
    """The string against the driller's depth, with what may be taken twice or left out on this rig."""
    if driller is None:
        return None
    joints = [
        Length(row.length_nm) for row in rows if isinstance(row, Member) and row.length_nm and not row.racked
    ]
    known = {"the stick-up": one.stick_up_nm, "the kelly": one.kelly_nm or 0,
             "the correction of this string": abs(one.correction_nm)}  # fmt: skip
    constants = {name: Length(nm) for name, nm in known.items()}
    return against_driller(hangs.bit, driller, joints, near=GATE, constants=constants)


@at_desk()
@require_POST
def strap_out_open(request: HttpRequest, number: int) -> HttpResponse:
    """Open a strap out of the hole of the joints of a string, from the bit upward."""
    one = string_here(request, number)
    check_can(request.user, "tally", one.site)
    members = one.members.now().from_the_bit().select_related("component__spec")
    pieces = [row.component for row in members if row.component.spec.kind in IN_STANDS]
    head = TallyHead("strap out", "pins off", f"strap out of {one}"[:120])
    try:
        if not pieces:
            raise Refused([stops("Nothing of it is racked in stands; there is nothing to strap.")])
        made = open_tally(asked(request), one.site, head, lines=TallyLines(pieces, first="1"))
    except Refused as refused:
        return _page(request, one, problems=refused.problems)
    messages.success(request, f"{made} is open: joint 1 is the lowest. Read each stand as it comes out.")
    return redirect("stands", number=made.number)


@dataclass(frozen=True)
class Strapped:
    """A strap out of the hole that has pieces of a string: what its stands say, what was accepted of it.

    `apart` and `words` are None and a reason while a length of it is shut away (law 13).
    """

    tally: Tally
    stands: int
    apart: Length | None
    words: str
    accepted: Correction | None


def strapped_out(one: String) -> list[Strapped]:
    """The newest straps out of the hole that have pieces of this string, since it was begun."""
    lines = Member.objects.filter(string=one).values("component")
    tallies = Tally.objects.at(one.site).filter(purpose="strap out", lines__component__in=lines)
    tallies = tallies.filter(opened_at__gte=one.begun_at)  # its pipe came out of other wells before
    again = blind_again(one.site)
    return [_strapped(tally, again) for tally in tallies.distinct().order_by("-number")[:MOST_STRAPPED]]


def _strapped(tally: Tally, again: list[int]) -> Strapped:
    pieces = Component.objects.filter(pk__in=tally.lines.values("component"))
    if tally.is_blind or (again and shut(pieces, again).exists()):
        return Strapped(tally, 0, None, SHUT, None)
    found = stands_of(tally, lines_of(tally))
    said = found.judgement
    return Strapped(
        tally, len(found.rows), said.apart if found.rows else None, said.words,
        found.correction,
    )  # fmt: skip


def _newest(taped: list[Strapped]) -> Correction | None:
    return next((one.accepted for one in taped if one.accepted), None)


def corrected(one: String) -> dict[str, Any] | None:
    """What is added to the depth of a string now, by whom and why; None for nothing."""
    if not one.correction_nm:
        return None
    rows = Journal.objects.filter(site=one.site, pk__gte=one.begun_by_id, verb=actions.CORRECT)
    lines = rows.select_related("by").order_by("-id")
    line = next((line for line in lines if json.loads(line.facts).get("string") == one.pk), None)
    reason = json.loads(line.facts).get("reason", "") if line else ""
    return {"length": Length(abs(one.correction_nm)), "less": one.correction_nm < 0, "line": line,
            "reason": reason}  # fmt: skip


def correction_words(one: String) -> str:
    """The correction of a depth as paper says it, "" for none."""
    found = corrected(one)
    if found is None:
        return ""
    unit = one.site.length_unit
    by = f"{'-' if found['less'] else '+'}{found['length'].shown(unit, one.site.digits)} {unit}"
    return f"The depth is corrected by {by}: {found['reason']}."
