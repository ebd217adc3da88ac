"""What is done on the page of a string: made up, racked back, run again, laid down, swapped, taken back."""

import re
from collections.abc import Callable, Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from rack.actions import leaving_out, running, strings, taking_back, unlisted
from rack.actions.doing import Said
from rack.calc.checks import Problem, stops
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms import strings as forms
from rack.models import Change, Component, Journal, String
from rack.models.naming import named
from rack.models.running import running_members
from rack.people import check_can
from rack.views.plans import say_yes
from rack.views.strings import head_of, show, string_here

_BETWEEN = re.compile(r"[,;\n\r\t]+")


@at_desk()
@require_POST
def string_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    """One thing done to a string, and its page again."""
    one = string_here(request, number)
    if what not in CHANGES:
        raise Http404
    verb, act = CHANGES[what]
    check_can(request.user, verb, one.site)
    return act(request, one)


def _join(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.JoinForm(request.POST, string=one)
    if not form.is_valid():
        return show(request, one, join_form=form)
    pieces, problems = form.pieces()
    if problems:
        return show(request, one, join_form=form, problems=problems)
    return _done(request, one, lambda: running.join(asked(request), one, pieces, said(form)), join_form=form)


def _back(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.BackForm(request.POST, string=one, auto_id="back_%s")
    if not form.is_valid():
        return show(request, one, back_form=form)
    typed = form.cleaned_data
    pieces = _top(one, typed["count"])
    return _done(
        request, one,
        lambda: running.rack_back(asked(request), one, pieces, typed["side"], typed["row"], said(form)),
        back_form=form,
    )  # fmt: skip


def _again(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.AgainForm(request.POST, string=one, auto_id="again_%s")
    if not form.is_valid():
        return show(request, one, again_form=form)
    pieces, problems = _chosen(one, form, _next_racked)
    if problems:
        return show(request, one, again_form=form, problems=problems)
    return _done(
        request, one, lambda: running.run_again(asked(request), one, pieces, said(form)), again_form=form
    )


def _down(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.DownForm(request.POST, string=one, auto_id="down_%s")
    if not form.is_valid():
        return show(request, one, down_form=form)
    pieces, problems = _chosen(one, form, _top_or_racked)
    if problems:
        return show(request, one, down_form=form, problems=problems)
    place = form.cleaned_data["place"]
    return _done(
        request, one, lambda: running.lay_down(asked(request), one, pieces, place, said(form)), down_form=form
    )


def _swap(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.SwapForm(request.POST, string=one, auto_id="swap_%s")
    if not form.is_valid():
        return show(request, one, swap_form=form)
    typed = form.cleaned_data
    pieces, problems = _named(one, [typed["out"], typed["new"]])
    if problems:
        return show(request, one, swap_form=form, problems=problems)
    out, new = pieces
    return _done(
        request, one, lambda: running.swap(asked(request), one, out, new, typed["place"], said(form)),
        swap_form=form,
    )  # fmt: skip


def _stay(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.StayForm(request.POST, string=one, auto_id="stay_%s")
    if not form.is_valid():
        return show(request, one, stay_form=form)
    typed = form.cleaned_data
    pieces, problems = _named(one, _BETWEEN.split(typed["names"]))
    if problems:
        return show(request, one, stay_form=form, problems=problems)
    return _done(
        request, one, lambda: running.leave_behind(asked(request), one, pieces, typed["state"], said(form)),
        stay_form=form,
    )  # fmt: skip


def _head(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.StringForm(request.POST, site=one.site, string=one)
    if not form.is_valid():
        return show(request, one, head_form=form)
    seen = form.cleaned_data["seen"]
    return _done(
        request, one, lambda: strings.change_string(asked(request), one, head_of(form), seen=seen),
        head_form=form,
    )  # fmt: skip


def _end(request: HttpRequest, one: String) -> HttpResponse:
    return _done(request, one, lambda: strings.end_string(asked(request), one))


def _undo(request: HttpRequest, one: String) -> HttpResponse:
    ident = request.POST.get("line", "")
    rows = Journal.objects.filter(pk__in=Change.objects.filter(string=one).values("journal"))
    line = found_or_404(rows, pk=int(ident) if ident.isdecimal() and len(ident) < 18 else 0)
    return _done(request, one, lambda: taking_back.take_back(asked(request), one, line))


def _count(request: HttpRequest, one: String) -> HttpResponse:
    form = forms.CountInForm(request.POST, string=one)
    if not form.is_valid():
        return show(request, one, count_form=form)
    typed = form.cleaned_data
    nm = typed["length"].nanometres if typed["length"] else None
    return _done(
        request, one,
        lambda: unlisted.put_in_by_count(asked(request), one, typed["spec"], typed["count"], length_nm=nm),
        count_form=form,
    )  # fmt: skip


def _name(request: HttpRequest, one: String) -> HttpResponse:
    """Name the pieces that are in by count; without a name they are taken out again."""
    form = forms.NameForm(request.POST)
    if not form.is_valid():
        return show(request, one, problems=[stops("Say which pieces they are.", code="names")])
    counted = found_or_404(one.unlisted.all(), pk=form.cleaned_data["counted"])
    names = _BETWEEN.split(form.cleaned_data["names"])
    if not any(name.strip() for name in names):
        return _done(request, one, lambda: unlisted.take_out_by_count(asked(request), one, counted))
    pieces, problems = _named(one, names)
    if problems:
        return show(request, one, problems=problems)
    told = Said(reason=form.cleaned_data["reason"])
    return _done(request, one, lambda: unlisted.name_them(asked(request), one, counted, pieces, told))


def _yes(request: HttpRequest, one: String) -> HttpResponse:
    return say_yes(request, one, lambda **more: show(request, one, **more))


def _past(request: HttpRequest, one: String) -> HttpResponse:
    """Go past a piece of the plan, with the reason."""
    piece = _of_plan(request, one)
    reason = request.POST.get("reason", "")
    return _done(request, one, lambda: [leaving_out.leave_out(asked(request), one, piece, reason)])


def _comes(request: HttpRequest, one: String) -> HttpResponse:
    """A piece of the plan that was left out comes after all."""
    piece = _of_plan(request, one)
    return _done(request, one, lambda: [leaving_out.call_back(asked(request), one, piece)])


def _of_plan(request: HttpRequest, one: String) -> Component:
    tag = request.POST.get("piece", "")[:20]
    return found_or_404(Component.objects.at(one.site), tag=tag)  # type: ignore[no-any-return]


def said(form: Any) -> Said:
    """What a valid form says of a change: when, at which depth, why."""
    typed = form.cleaned_data
    depth = typed["depth"]
    return Said(typed["at"], depth.nanometres if depth else None, typed["reason"])


def _done(request: HttpRequest, one: String, act: Callable[[], Any], **more: Any) -> HttpResponse:
    try:
        done = act()
    except Refused as refused:
        return show(request, one, problems=refused.problems, **more)
    words = done[0].journal.sentence if isinstance(done, list) and done else f"{one} is written anew"
    messages.success(request, f"{words}.")
    return redirect("string", number=one.number)


Choose = Callable[[String, int], list[Component]]


def _chosen(one: String, form: Any, by_count: Choose) -> tuple[list[Component], Sequence[Problem]]:
    """The pieces that a form names, or so many of those that come next."""
    typed = form.cleaned_data
    names = [name.strip() for name in _BETWEEN.split(typed["names"]) if name.strip()]
    if names:
        return _named(one, names)
    if not typed["count"]:
        return [], [stops("Say how many, or name the pieces.", code="pieces")]
    found = by_count(one, typed["count"])
    if not found:
        return [], [stops("Nothing is there to take by its count.", code="count", where="count")]
    return found, ()


def _named(one: String, names: Sequence[str]) -> tuple[list[Component], Sequence[Problem]]:
    here = Component.objects.at(one.site).select_related("spec", "place", "site")
    return named(here, [name.strip() for name in names if name.strip()])


def _top(one: String, count: int) -> list[Component]:
    """So many of the topmost pieces in the hole."""
    hole = [member.component for member in running_members(one) if not member.racked]
    return hole[-count:]


def _top_or_racked(one: String, count: int) -> list[Component]:
    """So many from the top of the hole; where nothing hangs there, of the derrick, the last racked first."""
    return _top(one, count) or _next_racked(one, count)


def _next_racked(one: String, count: int) -> list[Component]:
    """So many of those that are run next from the derrick, lowest first."""
    return [member.component for member in running_members(one) if member.racked][:count]


CHANGES: dict[str, tuple[str, Callable[[HttpRequest, String], HttpResponse]]] = {
    "join": ("run", _join), "back": ("run", _back), "again": ("run", _again), "down": ("run", _down),
    "swap": ("run", _swap), "stay": ("run", _stay), "undo": ("run", _undo),
    "count": ("run", _count), "name": ("run", _name), "past": ("run", _past), "comes": ("run", _comes),
    "head": ("string", _head), "end": ("string", _end), "yes": ("string", _yes),
}  # fmt: skip
