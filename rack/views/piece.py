"""One piece: what it is, where, how long and on whose word; its holds and its line of time."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Exists, OuterRef
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_POST

from rack.actions import pieces as actions
from rack.actions.files import bytes_of
from rack.actions.pencil import MOST_BYTES
from rack.calc.checks import stops
from rack.calc.specs import connection_label, inches, weight_label
from rack.calc.states import AWAY, ON_SITE, by_hand
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms.pieces import HoldForm, MoveForm, NameForm, NewHoldForm, ReasonForm, StateForm
from rack.models import Change, Clock, Component, Hold
from rack.models.bearing import borne_by
from rack.models.blindness import is_shut
from rack.models.clocks import marked
from rack.models.earned import clocks_shown
from rack.models.then import stays_of
from rack.models.timeline import line_of_time
from rack.neighbours import neighbours
from rack.views.implying import implied_of
from rack.views.own_facts import own_context

#: What a hand with gloves taps instead of typing.
QUICK_REASONS = ("damaged box", "damaged pin", "bent", "slip cut", "washed or leaking", "wants a look")


@at_desk()
@require_GET
def piece(request: HttpRequest, tag: str) -> HttpResponse:
    return show(request, piece_or_404(request, tag))


def show(request: HttpRequest, one: Component, **more: Any) -> HttpResponse:
    """The page of a piece; `more` carries a form that was refused and its problems."""
    problems = more.get("problems", ())
    names, holds = borne_by(one)
    shape, word = marked(one, timezone.localdate(timezone=one.site.zone))
    context = {
        "piece": one,
        "mark": (shape, word) if one.state not in AWAY or shape == "held" else ("", ""),
        "shut": one.is_shut,  # type: ignore[attr-defined]
        "facts": _facts(one),
        "painted": names,
        "holds": holds,
        "moments": line_of_time(one),
        "implied": implied_of(one),
        "stays": stays_of(one) if one.was_in else [],  # type: ignore[attr-defined]
        "clocks": clocks_shown(one) if one.has_run else [],  # type: ignore[attr-defined]
        "hold_form": NewHoldForm(),
        "quick_reasons": QUICK_REASONS,
        "move_form": MoveForm(site=one.site),
        "name_form": NameForm(),
        "state_form": StateForm(now=one.state),
        "can_move": one.state in ON_SITE,
        "can_change_state": bool(by_hand(one.state)),
        "panels": [panel for each in neighbours("panels") if (panel := each(request, one))],
        **own_context(one),
        **more,
    }
    wrong = problems or more.get("refused")
    return render(request, "rack/piece.html", context, status=422 if wrong else 200)


@at_desk("hold")
@require_POST
def piece_hold(request: HttpRequest, tag: str) -> HttpResponse:
    one = piece_or_404(request, tag)
    form = NewHoldForm(request.POST, request.FILES)

    def hold() -> Hold:
        photo = form.cleaned_data["photo"]
        # One byte more than is allowed is enough to refuse it; a larger one is never read whole.
        data = photo.read(MOST_BYTES + 1) if photo else b""
        if photo and not data:
            raise Refused([stops("The photo is empty; take it again.", code="photo")])
        reason = form.cleaned_data["reason"]
        return actions.put_hold(asked(request), one, reason, photo=data, name=photo.name if photo else "")

    return _do(request, one, "hold_form", form, hold)


@at_desk()
@require_GET
def piece_hold_photo(request: HttpRequest, tag: str, pk: int) -> HttpResponse:
    """The photo of a hold, to be saved: a file that somebody sent in is never opened inside a page."""
    one = piece_or_404(request, tag)
    rows = Hold.objects.filter(component=one).exclude(photo=None).select_related("photo")
    file = found_or_404(rows, pk=pk).photo
    headers = {
        "Content-Disposition": content_disposition_header(True, file.typed_name) or "attachment",
        "Content-Security-Policy": "sandbox; default-src 'none'", "X-Content-Type-Options": "nosniff",
    }  # fmt: skip
    return HttpResponse(bytes_of(file.sha256), content_type=file.media, headers=headers)


@at_desk("release")
@require_POST
def piece_release(request: HttpRequest, tag: str, pk: int) -> HttpResponse:
    one = piece_or_404(request, tag)
    hold = found_or_404(Hold.objects.filter(component=one, what="put"), pk=pk)
    form = HoldForm(request.POST)
    return _do(
        request,
        one,
        "release_form",
        form,
        lambda: actions.release_hold(asked(request), hold, **form.cleaned_data),
    )


@at_desk("move")
@require_POST
def piece_move(request: HttpRequest, tag: str) -> HttpResponse:
    one = piece_or_404(request, tag)
    form = ReasonForm(request.POST, site=one.site)
    return _do(
        request,
        one,
        "move_form",
        form,
        lambda: actions.move_pieces(asked(request), [one], **form.cleaned_data),
    )


@at_desk("name")
@require_POST
def piece_name(request: HttpRequest, tag: str) -> HttpResponse:
    one = piece_or_404(request, tag)
    form = NameForm(request.POST)
    return _do(
        request, one, "name_form", form, lambda: actions.write_mark(asked(request), one, **form.cleaned_data)
    )


@at_desk("move")
@require_POST
def piece_state(request: HttpRequest, tag: str) -> HttpResponse:
    one = piece_or_404(request, tag)
    form = StateForm(request.POST, now=one.state)
    return _do(
        request,
        one,
        "state_form",
        form,
        lambda: actions.change_state(asked(request), one, form.cleaned_data["state"]),
    )


def _do(
    request: HttpRequest, one: Component, name: str, form: forms.Form, act: Callable[[], Any]
) -> HttpResponse:
    """Act when the form is whole, and show the page again with what was typed when it is not."""
    if not form.is_valid():
        return show(request, one, **{name: form}, open_form=name, refused=True)
    try:
        done = act()
    except Refused as refused:
        return show(request, one, **{name: form}, problems=refused.problems, open_form=name)
    last = done[0] if isinstance(done, list) else done
    entry = getattr(last, "journal", None)
    messages.success(request, f"{entry.sentence}." if entry else f"{one} bears {last}.")
    return redirect("piece", tag=one.tag)


def piece_or_404(request: HttpRequest, tag: str) -> Component:
    rows = Component.objects.for_user(request.user).select_related(
        "spec", "place", "site", "length_by__journal__by"
    )
    clocks, changes = (model.objects.filter(component=OuterRef("pk")) for model in (Clock, Change))
    rows = rows.annotate(is_shut=is_shut(), has_run=Exists(clocks), was_in=Exists(changes))
    return found_or_404(rows, tag=tag.upper())  # type: ignore[no-any-return]


def _facts(one: Component) -> list[tuple[str, str]]:
    """What the specification says, as label and text; what is not known is left away."""
    spec = one.spec.as_facts
    size = f"{inches(spec.od_nm)} in" if spec.od_nm else ""
    pairs = [
        ("Kind", one.spec.kind_entry.name),
        ("Outside diameter", size),
        ("Bore", f"{inches(spec.bore_nm)} in" if spec.bore_nm else ""),
        ("Wall", f"{spec.wall_nm / 25_400_000:.3f} in" if spec.wall_nm else ""),
        ("Label weight", f"{weight_label(spec.weight_mlb_ft)} lb/ft" if spec.weight_mlb_ft else ""),
        ("Grade", spec.grade),
        ("Range", spec.range),
        ("Connections", connection_label(spec)),
        ("Tool joint", _joint(spec.tj_od_nm, spec.tj_bore_nm)),
        ("Owner", one.owner),
        ("Received", one.received_on.isoformat()),
    ]
    return [(label, text) for label, text in pairs if text]


def _joint(od_nm: int, bore_nm: int) -> str:
    return f"{inches(od_nm)} x {inches(bore_nm)} in" if od_nm and bore_nm else ""
