"""The casing plan of a tally: its page, and what is done there."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from rack.actions import casing as actions
from rack.actions.casing_head import CasingHead
from rack.actions.casing_printing import print_plan
from rack.calc.casing_parts import JOINT
from rack.calc.checks import stops
from rack.calc.lengths import Length
from rack.desk import asked, at_desk, may
from rack.errors import ChangedMeanwhile, Refused
from rack.forms.casing import CasingHeadForm, ChosenForm, PartForm
from rack.models import CasingItem, CasingPlan, Tally
from rack.people import check_can
from rack.views.casing_facts import named, plan_context
from rack.views.tally import base, tally_of


def plan_of(one: Tally) -> CasingPlan | None:
    return CasingPlan.objects.filter(tally=one).select_related("tally__site", "tally__spec", "well").first()


def plan_or_404(one: Tally) -> CasingPlan:
    plan = plan_of(one)
    if plan is None:
        raise Http404("This tally has no casing plan.")
    return plan


@at_desk()
@require_GET
def casing(request: HttpRequest, number: int) -> HttpResponse:
    """The plan, or the offer to begin one."""
    return show(request, tally_of(request, number))


def show(request: HttpRequest, one: Tally, *, status: int = 200, **more: Any) -> HttpResponse:
    plan = plan_of(one)
    context: dict[str, Any] = {**base(one), "plan": plan, "blind": one.is_blind}
    if plan is None:
        head = {"string": str(one.spec) if one.spec else one.title}
        context["head_form"] = CasingHeadForm(unit=one.unit, site=one.site, initial=head, auto_id="head-%s")
        return render(request, "rack/casing_begin.html", {**context, **more}, status=status)
    context |= plan_context(plan, blind=context["blind"])
    if "tally" in may(request):
        context |= _forms(plan)
    return render(request, "rack/casing.html", {**context, **more}, status=status)


def _forms(plan: CasingPlan) -> dict[str, forms.Form]:
    unit, digits = plan.tally.unit, plan.tally.digits
    values: dict[str, Any] = {name: getattr(plan, name) for name in CasingHeadForm.base_fields}
    for name, value in values.items():
        if name.endswith("_nm"):
            values[name] = "" if value is None else exact_text(value, unit, digits)
    return {
        "head_form": CasingHeadForm(unit=unit, site=plan.tally.site, initial=values, auto_id="head-%s"),
        "part_form": PartForm(unit=unit, auto_id="part-%s"),
        "chosen_form": ChosenForm(unit=unit, auto_id="chosen-%s"),
    }


def exact_text(nm: int, unit: str, digits: int) -> str:
    """A length as it may be typed again without losing anything: with as many figures as it needs."""
    for more in range(digits, 10):
        text = Length(nm).shown(unit, more).replace(",", "")
        if Length.parse(text, unit).nanometres == nm:
            return text
    return f"{Length(nm).shown('mm', 6).replace(',', '')} mm"


@at_desk()
@require_POST
def casing_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """One verb of the page: read the form, ask one action, come back."""
    change = CHANGES.get(what)
    if change is None:
        raise Http404("There is nothing of that name to do here.")
    one = tally_of(request, number)
    check_can(request.user, "close" if what == "print" else "tally", one.site)
    make = {"begin": CasingHeadForm, "head": CasingHeadForm, "part": PartForm, "chosen": ChosenForm}.get(what)
    prefix = "head" if what == "begin" else what
    more: dict[str, Any] = {"site": one.site} if make is CasingHeadForm else {}
    form = make(request.POST, unit=one.unit, auto_id=f"{prefix}-%s", **more) if make else None
    again: dict[str, Any] = {"open_part": what, "chosen": set(request.POST.getlist("item"))}
    if form:
        again[f"{prefix}_form"] = form
    if form and not form.is_valid():
        return show(request, one, status=422, **again)
    try:
        said = change(request, one, form.cleaned_data if form else {})
    except Refused as refused:
        again["refused_reason"] = request.POST.get("reason", "")
        return show(request, one, status=refused.status, refusals=refused.problems, **again)
    except ChangedMeanwhile as meanwhile:
        return show(request, tally_of(request, number), status=meanwhile.status,
                    refusals=[stops(str(meanwhile))], **again)  # fmt: skip
    messages.success(request, said)
    if what == "print":
        return redirect("casing_sheet", code=plan_or_404(one).sheets.latest("revision").code)
    return redirect("casing", number=number)


def _begin(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    plan = actions.begin_plan(asked(request), one, _typed_head(typed))
    count = plan.items.count()
    return f"The plan is begun: {count} joint{'' if count == 1 else 's'} to run."


def _head(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    actions.set_head(asked(request), plan_or_404(one), _typed_head(typed), seen=_seen(request))
    return "The head of the plan is changed."


def _typed_head(typed: dict[str, Any]) -> CasingHead:
    well = typed.pop("well")
    return CasingHead(well_id=well.pk if well else None, **typed)


def _part(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    plan = plan_or_404(one)
    before = _before(plan, typed.pop("before"))
    part = actions.Part(
        kind=typed["kind"], name=typed["name"], length_nm=typed["length_nm"], words=typed["words"],
        serial=typed["serial"], loses=not typed["no_pin"], loss_nm=typed["loss_nm"],
        cut_off_nm=typed["cut_off_nm"] or 0, locked=typed["locked"],
    )
    actions.put_in(asked(request), plan, part, before, seen=_seen(request))
    return f"{'Joint ' if part.kind == JOINT else ''}{part.name} is put in."


def _chosen(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    plan, what = plan_or_404(one), typed["what"]
    items = [int(pk) for pk in request.POST.getlist("item") if pk.isdecimal() and len(pk) < 19]
    items += [pk for pk in named(plan, typed["names"]) if pk not in items]
    by, seen = asked(request), _seen(request)
    if what in ("run", "spare", "out", "away"):
        role = "out" if what == "away" else what
        actions.set_role(by, plan, items, role, typed["reason"], away=what == "away", seen=seen)
    elif what == "below":
        actions.move(by, plan, items, _before(plan, typed["before"]), seen=seen)
    elif what == "centralizers":
        count = 1 if typed["count"] is None else typed["count"]
        actions.centralize(by, plan, items, typed["centralizer"], count, typed["from_pin_nm"], seen=seen)
    elif what == "take":
        actions.take_out(by, plan, items, seen=seen)
    else:
        actions.tick(by, plan, items, what.removeprefix("un"), done=not what.startswith("un"), seen=seen)
    words = dict(ChosenForm.base_fields["what"].choices)[what]  # type: ignore[attr-defined]
    return f"{len(items)} item{'' if len(items) == 1 else 's'}: {words}."


def _print(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    sheet = print_plan(asked(request), plan_or_404(one), reason=request.POST.get("reason", "")[:300],
                       seen=_seen(request))  # fmt: skip
    return f"Printed as revision {sheet.revision}."


def _before(plan: CasingPlan, text: str) -> int | None:
    """The item of that name, None for an empty text."""
    text = text.strip()
    if not text:
        return None
    rows = plan.items.filter(removed=False)
    found: CasingItem | None = rows.filter(name__iexact=text).in_order().first()
    if found is None:
        raise Refused([stops(f"There is no {text} in the plan.", code="unknown")])
    return found.pk


def _seen(request: HttpRequest) -> int | None:
    text = request.POST.get("seen", "")
    return int(text) if text.isdecimal() and len(text) < 10 else None


CHANGES: dict[str, Callable[[HttpRequest, Tally, dict[str, Any]], str]] = {
    "begin": _begin, "head": _head, "part": _part, "chosen": _chosen, "print": _print,
}
