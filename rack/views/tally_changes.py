"""What is done on the page of a tally: each verb reads its form, asks one action, and comes back."""

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.text import capfirst
from django.views.decorators.http import require_POST

from rack.actions import closing, lines, straps, tallies
from rack.calc.checks import stops
from rack.desk import asked, at_desk, found_or_404, key_of_form
from rack.errors import ChangedMeanwhile, Refused
from rack.forms.strapping import HeadForm
from rack.forms.tallies import (
    AdoptForm,
    InsertForm,
    NumbersForm,
    PiecesForm,
    ReasonForm,
    SwapForm,
    TieForm,
    WithdrawForm,
)
from rack.models import Component, Journal, Line, Strap, Tally
from rack.models.strap_hands import hands_problems
from rack.models.strapping import find_line
from rack.people import check_can
from rack.views.again import show_again
from rack.views.choosing import in_serial_order, piece_named, pieces_named
from rack.views.tally import show, show_compared, shown, tally_of


@dataclass(frozen=True)
class Change:
    """One verb of the page: who may, how its form is made, what it does; the sentence said comes back."""

    verb: str
    form: Callable[[Tally, Any], forms.Form] | None
    act: Callable[[HttpRequest, Tally, dict[str, Any]], str]


@at_desk()
@require_POST
def tally_change(request: HttpRequest, number: int, what: str) -> HttpResponse:
    change = CHANGES.get(what)
    if change is None:
        raise Http404("There is nothing of that name to do here.")
    one = tally_of(request, number)
    check_can(request.user, change.verb, one.site)
    form = change.form(one, request.POST) if change.form else None
    again: dict[str, Any] = {
        "open_part": what, "refused_line": request.POST.get("line", ""),
        "refused_typed": request.POST.get("typed", ""), **({f"{what}_form": form} if form else {}),
    }
    if form and not form.is_valid():
        return _page(what)(request, one, status=422, **again)
    try:
        said = change.act(request, one, form.cleaned_data if form else {})
    except Refused as refused:
        return _page(what)(request, one, status=refused.status, problems=refused.problems, **again)
    except ChangedMeanwhile as meanwhile:
        one = tally_of(request, number)
        return _page(what)(request, one, status=meanwhile.status, problems=[stops(str(meanwhile))], **again)
    messages.success(request, said)
    return redirect(_then(what, one))


def _page(what: str) -> Callable[..., HttpResponse]:
    return {"tape": show_compared, "again": show_again}.get(what, show)


def _then(what: str, one: Tally) -> str:
    return reverse({"tape": "compare", "again": "tape_again"}.get(what, "tally"), args=[one.number])


def _numbers(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    tallies.add_numbers(asked(request), one, typed["first"].strip(), typed["count"])
    return f"Added {typed['count']} line{'' if typed['count'] == 1 else 's'} at the end."


def _pieces(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    names = [name.strip() for row in typed["names"].splitlines() for name in row.split(",") if name.strip()]
    if not names and not typed["layer"]:
        raise Refused([stops("Name the pieces to add, or choose a layer.")])
    found = pieces_named(one.site, names[:500])
    if typed["layer"]:
        there = one.lines.standing().exclude(component=None).values("component")
        rows = Component.objects.at(one.site).filter(place=typed["layer"])
        if _done_before(request):  # sent again: the pieces are on the tally by now
            return "The pieces are on the tally."
        found += [piece for piece in in_serial_order(rows.exclude(pk__in=there)) if piece not in found]
    if not found:
        raise Refused([stops("Every piece of that layer is on the tally already.")])
    tallies.add_pieces(asked(request), one, found)
    return f"Added {len(found)} piece{'' if len(found) == 1 else 's'} at the end."


def _insert(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    before = _line(one, typed["before"])
    made = lines.insert_line(asked(request), before, typed["painted"].strip(), seen=_seen(request))
    return f"{capfirst(str(made))} stands in front of {before}."


def _swap(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    first, other = _line(one, typed["one"]), _line(one, typed["other"])
    if first == other:
        raise Refused([stops("Name two joints that change places.")])
    lines.swap_lines(asked(request), first, other, seen=_seen(request))
    return f"{capfirst(str(first))} and {other} have changed places."


def _withdraw(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    line = _line(one, typed["line"], withdrawn_too=_done_before(request))
    lines.withdraw_line(asked(request), line, typed["reason"], seen=_seen(request))
    return f"{capfirst(str(line))} is withdrawn."


def _tie(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    line, piece = _line(one, typed["line"]), piece_named(one.site, typed["piece"])
    lines.tie_line(asked(request), line, piece)
    return f"{capfirst(str(line))} is {piece}."


def _adopt(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    count = lines.adopt_lines(asked(request), one, typed["spec"], typed["place"])
    return f"{count} new piece{'' if count == 1 else 's'} on {typed['place']}."


def _begin(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    straps.begin_strap(asked(request), one, 2, **typed)
    for problem in hands_problems(one):
        messages.warning(request, problem.text)
    return "The second strap is begun; the first readings are shut away until it is finished."


def _finish(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    strap_n = 2 if request.POST.get("strap") == "2" else 1
    straps.finish_strap(asked(request), one, strap_n)
    return f"The {'second' if strap_n == 2 else 'first'} strap is finished."


def _confirm(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    try:
        key = uuid.UUID(request.POST.get("reading", ""))
    except ValueError:
        raise Http404("There is no such reading here.") from None
    if one.is_blind:
        raise Refused([stops("The second strap is open; questions are answered on its own page.")])
    rows = Strap.objects.entered().filter(line__tally=one, strap_n__in=[1, 2])
    reading = found_or_404(rows.select_related("line__tally__site"), journal__key=key)
    straps.confirm(asked(request), reading)
    return f"{capfirst(reading.line)} reads {shown(one, reading.nm)} {one.unit}."


def _tape(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    pk = request.POST.get("line", "")
    rows = one.lines.standing().select_related("tally__site", "component__spec")
    line = found_or_404(rows, pk=int(pk) if pk.isdecimal() and len(pk) < 19 else 0)
    read = straps.tape_again(asked(request), line, request.POST.get("typed", ""))
    return f"{capfirst(str(line))} taped again: {shown(one, read.nm)} {one.unit}."


def _revise(request: HttpRequest, one: Tally, typed: dict[str, Any]) -> str:
    closing.revise(asked(request), one, typed["reason"])
    return f"{one} is open again; closing it writes revision {one.revision + 1}."


def _line(one: Tally, text: str, *, withdrawn_too: bool = False) -> Line:
    """The joint that somebody means, by its painted number or its serial."""
    line = find_line(one, text)
    if line is None and withdrawn_too:
        line = one.lines.filter(painted=text.strip()).in_order().last()
    if line is None:
        raise Refused([stops(f"There is no joint {text.strip()} on this tally.", code="unknown")])
    line.tally = one
    return line


def _done_before(request: HttpRequest) -> bool:
    """Whether this very form was stored already, by the same person."""
    return Journal.objects.filter(key=key_of_form(request), by_id=request.user.pk).exists()


def _seen(request: HttpRequest) -> int | None:
    """The version of the tally that the page was drawn from."""
    text = request.POST.get("seen", "")
    return int(text) if text.isdecimal() and len(text) < 10 else None


CHANGES: dict[str, Change] = {
    "numbers": Change("tally", lambda one, data: NumbersForm(data, auto_id="numbers-%s"), _numbers),
    "pieces": Change(
        "tally", lambda one, data: PiecesForm(data, site=one.site, auto_id="pieces-%s"), _pieces
    ),
    "insert": Change("tally", lambda one, data: InsertForm(data, auto_id="insert-%s"), _insert),
    "swap": Change("tally", lambda one, data: SwapForm(data, auto_id="swap-%s"), _swap),
    "withdraw": Change("tally", lambda one, data: WithdrawForm(data, auto_id="withdraw-%s"), _withdraw),
    "tie": Change("tally", lambda one, data: TieForm(data, auto_id="tie-%s"), _tie),
    "adopt": Change("receive", lambda one, data: AdoptForm(data, site=one.site, auto_id="adopt-%s"), _adopt),
    "begin": Change("strap", lambda one, data: HeadForm(data, auto_id="begin-%s"), _begin),
    "finish": Change("strap", None, _finish),
    "confirm": Change("strap", None, _confirm),
    "tape": Change("strap", None, _tape),
    "again": Change("strap", None, _tape),
    "revise": Change("close", lambda one, data: ReasonForm(data, auto_id="revise-%s"), _revise),
}
