"""The driller's page: how deep, what comes next, what must stay out, what stands in the mousehole."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from rack.actions.entering import hold_questions
from rack.actions.mousehole import make_ready
from rack.calc.states import ON_SITE
from rack.desk import asked, at_desk
from rack.errors import Refused
from rack.forms.strings import ReadyForm
from rack.models import Component, Member, PlaceKind, String, Unlisted
from rack.models.ahead import Coming, coming, in_the_mousehole
from rack.models.naming import named
from rack.models.running import hanging_of, members_of
from rack.people import check_can
from rack.views.depths import ahead_of
from rack.views.strings import string_here

JARS = ("jar", "accelerator")


@at_desk()
@require_GET
def string_driller(request: HttpRequest, number: int) -> HttpResponse:
    """Large figures that refresh themselves: how deep, what comes next, what must stay out."""
    return _driller_page(request, string_here(request, number))


@at_desk()
@require_POST
def string_ready(request: HttpRequest, number: int) -> HttpResponse:
    """A joint is made ready in the mousehole; the driller's page again."""
    one = string_here(request, number)
    check_can(request.user, "run", one.site)
    form = ReadyForm(request.POST)
    if not form.is_valid():
        return _driller_page(request, one, ready_form=form)
    pieces, problems = named(Component.objects.at(one.site), [form.cleaned_data["piece"].strip()])
    if problems:
        return _driller_page(request, one, ready_form=form, problems=problems)
    try:
        move = make_ready(asked(request), one.site, pieces[0], reason=form.cleaned_data["reason"])
    except Refused as refused:
        return _driller_page(request, one, ready_form=form, problems=refused.problems)
    messages.success(request, f"{move.journal.sentence}.")
    return redirect("string_driller", number=one.number)


def _driller_page(request: HttpRequest, one: String, **more: Any) -> HttpResponse:
    """The driller's page; `more` carries a piece that was not made ready and why."""
    rows = members_of(one)
    hole = [row for row in rows if isinstance(row, Member) and not row.racked]
    after = coming(one, rows)
    hangs = hanging_of(one, rows)
    ahead = ahead_of(one, hangs, after[:1])
    top = hole[-1].component if hole else None
    context: dict[str, Any] = {
        "string": one, "depth": hangs.bit, "unknown": hangs.unknown, "counts": counts_of(one, rows),
        "next": after[0] if after else None, "ahead": ahead[0] if ahead else None, "top": top,
        "jar_in": _jar(after[0].pieces if after else ()), "jar_out": _jar((top,) if top else ()),
        "held": held_of(one, rows, after), "at": timezone.localtime(),
        "ready": in_the_mousehole(one.site), "ready_form": ReadyForm(),
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))],
        **more,
    }  # fmt: skip
    return render(request, "rack/string_driller.html", context, status=422 if more else 200)


def _jar(pieces: tuple[Component, ...]) -> bool:
    return any(piece.spec.kind in JARS for piece in pieces)


def held_of(one: String, rows: list[Member | Unlisted], after: list[Coming]) -> list[dict[str, Any]]:
    """Held pieces: in the hole, where the hold acts when they come out, and to come, which must stay out."""
    inside = [row.component for row in rows if isinstance(row, Member) and row.component.holds_n]
    outside = [piece for item in after for piece in item.pieces if piece.holds_n]
    hole = {row.component_id for row in rows if isinstance(row, Member) and not row.racked}
    pieces = {piece.pk: piece for piece in [*inside, *outside]}
    return [
        {"piece": piece, "words": words, "in_hole": piece.pk in hole}
        for piece, words in hold_questions(pieces.values())
    ]


def counts_of(one: String, rows: list[Member | Unlisted]) -> list[tuple[str, str]]:
    """Pieces in the hole, in the derrick, in the mousehole and on the racks of the site."""
    hole = sum(row.count_n if isinstance(row, Unlisted) else not row.racked for row in rows)
    derrick = sum(isinstance(row, Member) and row.racked for row in rows)
    racks = Component.objects.at(one.site).filter(state__in=ON_SITE, place__kind=PlaceKind.RACK).count()
    ready = in_the_mousehole(one.site).count()
    return [
        ("In the hole", str(hole)), ("In the derrick", str(derrick)), ("In the mousehole", str(ready)),
        ("On the racks", str(racks)),
    ]  # fmt: skip
