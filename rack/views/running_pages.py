"""The pages of the running tally: the driller's, the depths ahead, the sheet that a tour hands over."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.actions.entering import hold_questions
from rack.calc.ahead import Against, Ahead, against_driller, depths_ahead
from rack.calc.lengths import Length
from rack.calc.running import Hanging
from rack.calc.states import ON_SITE
from rack.calc.straps import GATE
from rack.desk import at_desk
from rack.models import Component, Member, PlaceKind, String, Unlisted
from rack.models.ahead import Coming, coming
from rack.models.running import hanging_of, members_of
from rack.models.string_lines import lines_of
from rack.paper import listsheet
from rack.views.sheets import paper_size
from rack.views.strings import figures_of, last_done, string_here

MOST_AHEAD = 120
JARS = ("jar", "accelerator")
HANDED = (
    listsheet.Column("When", 0.18), listsheet.Column("What was done", 0.6), listsheet.Column("By", 0.22),
)  # fmt: skip


@at_desk()
@require_GET
def string_driller(request: HttpRequest, number: int) -> HttpResponse:
    """Large figures that refresh themselves: how deep, what comes next, what must stay out."""
    one = string_here(request, number)
    rows = members_of(one)
    hole = [row for row in rows if isinstance(row, Member) and not row.racked]
    after = coming(one, rows)
    hangs = hanging_of(one, rows)
    ahead = _ahead(one, hangs, after[:1])
    top = hole[-1].component if hole else None
    context: dict[str, Any] = {
        "string": one, "depth": hangs.bit, "unknown": hangs.unknown, "counts": counts_of(one, rows),
        "next": after[0] if after else None, "ahead": ahead[0] if ahead else None, "top": top,
        "jar_in": _jar(after[0].pieces if after else ()), "jar_out": _jar((top,) if top else ()),
        "held": _held(one, rows, after), "at": timezone.localtime(),
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))],
    }  # fmt: skip
    return render(request, "rack/string_driller.html", context)


def _ahead(one: String, hangs: Hanging, after: list[Coming]) -> tuple[Ahead, ...]:
    """The depths with each that goes in next."""
    return depths_ahead(
        hangs.whole, [(item.name, item.length) for item in after], stick_up=Length(one.stick_up_nm),
        kelly=None if one.kelly_nm is None else Length(one.kelly_nm), correction=Length(one.correction_nm),
    )  # fmt: skip


def _jar(pieces: tuple[Component, ...]) -> bool:
    return any(piece.spec.kind in JARS for piece in pieces)


def _held(one: String, rows: list[Member | Unlisted], after: list[Coming]) -> list[dict[str, Any]]:
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
    """Pieces in the hole, in the derrick and on the racks of the site."""
    hole = sum(row.count_n if isinstance(row, Unlisted) else not row.racked for row in rows)
    derrick = sum(isinstance(row, Member) and row.racked for row in rows)
    racks = Component.objects.at(one.site).filter(state__in=ON_SITE, place__kind=PlaceKind.RACK).count()
    return [("In the hole", str(hole)), ("In the derrick", str(derrick)), ("On the racks", str(racks))]


@at_desk()
@require_GET
def string_depths(request: HttpRequest, number: int) -> HttpResponse:
    """Where the bit will be with each stand or joint to come; and the string against the driller's depth."""
    one = string_here(request, number)
    site = one.site
    rows = members_of(one)
    after = coming(one, rows)
    hangs = hanging_of(one, rows)
    ahead = _ahead(one, hangs, after[:MOST_AHEAD])
    driller, wrong = _driller(request.GET.get("driller", ""), site.length_unit)
    found: Against | None = None
    if driller is not None:
        joints = [
            Length(row.length_nm)
            for row in rows
            if isinstance(row, Member) and row.length_nm and not row.racked
        ]
        found = against_driller(hangs.bit, driller, joints, near=GATE)
    context = {
        "string": one, "rows": list(zip(after, ahead, strict=False)), "depth": hangs.bit,
        "unknown": hangs.unknown, "driller": driller, "against": found, "wrong": wrong,
        "typed": request.GET.get("driller", "")[:40],
        "more": max(len(after) - MOST_AHEAD, 0),
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))],
    }  # fmt: skip
    return render(request, "rack/string_depths.html", context, status=422 if wrong else 200)


def _driller(text: str, unit: str) -> tuple[Length | None, str]:
    if not text.strip():
        return None, ""
    try:
        return Length.parse(text, unit), ""
    except ValueError as wrong:
        return None, str(wrong)


@at_desk()
@require_GET
def string_handover(request: HttpRequest, number: int) -> HttpResponse:
    """What one tour hands to the next: figures, the last changes, holds, what comes next."""
    one = string_here(request, number)
    site = one.site
    members = members_of(one)
    after = coming(one, members)
    done = [entry for entry in last_done(one) if entry["stands"]]
    sheet = listsheet.ListSheet(
        what="Tour handover", site=f"{site.name} ({site.code})", title=f"{str(one).capitalize()}, {one.well}",
        under=f"As it stood {timezone.localtime():%Y-%m-%d %H:%M}",
        figures=[*figures_of(one, lines_of(one)), counts_of(one, members)[2]],
        columns=HANDED,
        rows=[
            (f"{timezone.localtime(entry['at']):%Y-%m-%d %H:%M}", entry["line"].sentence,
             str((entry["line"].by and entry["line"].by.get_full_name()) or entry["line"].by or ""))
            for entry in done[:20]
        ],
        notes=[
            f"Next: {after[0].name}, {after[0].where}." if after else "Nothing waits to go in.",
            *[f"Held: {words}" for entry in _held(one, members, after) for words in [entry["words"]]],
        ],
        cautions=(
            "The string is what was written down; count the derrick and the rack before you take over.",
            "A jar carries a mandrel clamp: off at the rotary going in, on coming out.",
        ),
        foot="The string changes; its page shows it now.",
        signers=("Handed over by", "Taken over by", "Date and time"),
    )  # fmt: skip
    answer = HttpResponse(
        listsheet.pdf(sheet, size=paper_size(request, site)), content_type="application/pdf"
    )
    answer["Content-Disposition"] = f'inline; filename="handover-{one.number}.pdf"'
    return answer
