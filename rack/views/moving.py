"""Moving many pieces in one go: first what it would be, then the move."""

import hashlib
from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from rack.actions.pieces import move_pieces
from rack.actions.racks import load_questions
from rack.calc.checks import Problem, Severity, note, stops
from rack.calc.lengths import Length
from rack.calc.states import ON_SITE
from rack.desk import asked, at_desk, site_of
from rack.errors import ChangedMeanwhile, Refused
from rack.forms.choosing import MovingForm
from rack.models import Component, Hold, Place
from rack.models.blindness import blind_again, shut
from rack.models.lying import painted_numbers

SHOWN = 200


@at_desk("move")
@require_http_methods(["GET", "POST"])
def move(request: HttpRequest) -> HttpResponse:
    """GET shows what would be moved, POST moves it when it is still the same."""
    site = site_of(request)
    sent = request.POST if request.method == "POST" else request.GET if "way" in request.GET else None
    start = {"layer": request.GET.get("layer", "")}
    form = MovingForm(sent, site=site, initial=start)
    context: dict[str, object] = {"form": form, "crumbs": [("Rack", "/rack/")]}
    if sent is None or not form.is_valid():
        return render(request, "rack/move.html", context, status=422 if request.method == "POST" else 200)
    pieces, problems = form.pieces()
    place = form.cleaned_data["place"]
    problems = problems or place_problems(pieces, place)
    if not problems and request.method == "POST":
        try:
            return _moved(request, pieces, place)
        except Refused as refused:
            problems = list(refused.problems)
    stopped = any(problem.severity is Severity.STOPS for problem in problems)
    if not stopped:
        problems = [*load_questions(place, pieces), *held_notes(pieces)]
    context |= {"problems": problems}
    if not stopped:
        context |= preview(pieces) | {
            "place": place, "asks": any(problem.severity is Severity.ASKS for problem in problems),
            "same": fingerprint(pieces), "sent": [(name, form.data.get(name, "")) for name in form.fields],
            "reason": _reason(request),
        }  # fmt: skip
    return render(request, "rack/move.html", context, status=422 if request.method == "POST" else 200)


def _moved(request: HttpRequest, pieces: Sequence[Component], place: Place) -> HttpResponse:
    if request.POST.get("same") != fingerprint(pieces):
        raise ChangedMeanwhile(
            "These are not the pieces that the page showed: some came or went meanwhile. Nothing was moved. "
            "Look at them again."
        )
    moves = move_pieces(asked(request), pieces, place, reason=_reason(request))
    messages.success(request, f"{moves[0].journal.sentence}.")
    if place.kind == "rack":
        return redirect("rack_page", name=place.rack)
    return redirect("place_list")


def _reason(request: HttpRequest) -> str:
    return request.POST.get("reason", "").replace("\0", "")[:300]


def preview(pieces: Sequence[Component]) -> dict[str, object]:
    """The pieces' lengths summed, the first of them with their painted numbers, and how many more there are.

    A length that a second strap shuts away is no length here (law 13).
    """
    painted = painted_numbers(piece.pk for piece in pieces[:SHOWN])
    away = shut_away(pieces)
    lengths = {piece.pk: None if piece.pk in away else piece.length_nm for piece in pieces}
    return {
        "rows": [(piece, painted.get(piece.pk, ""), lengths[piece.pk]) for piece in pieces[:SHOWN]],
        "length": Length(sum(nm or 0 for nm in lengths.values())), "count": len(pieces),
        "unread": sum(1 for nm in lengths.values() if nm is None),
        "more": max(0, len(pieces) - SHOWN),
    }  # fmt: skip


def shut_away(pieces: Sequence[Component]) -> set[int]:
    """The pieces whose length nobody may see while their tally is strapped a second time."""
    if not pieces:
        return set()
    again = blind_again(pieces[0].site)
    return set(shut(Component.objects.at(pieces[0].site), again).values_list("pk", flat=True))


def place_problems(pieces: Sequence[Component], place: Place) -> list[Problem]:
    """What the action would refuse, said before anything is sent."""
    problems = [
        stops(f"{piece} is {piece.get_state_display()}; only a piece that is on site can be moved.",
              code="state", where=str(piece))
        for piece in pieces if piece.state not in ON_SITE
    ]  # fmt: skip
    if pieces and all(piece.place_id == place.pk for piece in pieces):
        problems.append(stops(f"They all lie on {place} already.", code="place"))
    return problems


def held_notes(pieces: Sequence[Component], most: int = 10) -> list[Problem]:
    """A note for each held piece: it may be moved, and whoever moves it should know."""
    held = {piece.pk: piece for piece in pieces if piece.holds_n}
    rows = Hold.objects.filter(component__in=list(held)[:most], what="put", released_by=None).order_by("id")
    notes = [note(f"{held[hold.component_id]} is held: {hold.reason}.", code="held",
                  where=str(held[hold.component_id])) for hold in rows]  # fmt: skip
    if len(held) > most:
        notes.append(note(f"{len(held) - most} more of them are held.", code="held"))
    return notes


def fingerprint(pieces: Sequence[Component]) -> str:
    """What tells these pieces from any others, so that the ones shown are the ones moved."""
    return hashlib.sha256(",".join(str(piece.pk) for piece in pieces).encode()).hexdigest()[:32]
