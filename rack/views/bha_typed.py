"""A BHA sheet as somebody typed it, read back: its head, its rows, every fault. Nothing of it is stored."""

from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from rack.calc.bha_typed import TypedBha, TypedPiece, hours_text, size_text
from rack.calc.chain import length_of
from rack.calc.checks import Problem, Severity
from rack.calc.lengths import Length
from rack.calc.specs import inches
from rack.desk import at_desk
from rack.errors import UnreadableFile
from rack.exchange.bha_sheet import ReadBha, read_sheet
from rack.forms.bha import TypedBhaForm


@at_desk()
@require_http_methods(["GET", "POST"])
def bha_typed(request: HttpRequest) -> HttpResponse:
    form = TypedBhaForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form, "crumbs": [("Strings", reverse("string_list"))]}
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            file = form.cleaned_data["file"]
            try:
                read = read_sheet(file.read(), file.name or "sheet", today=timezone.localdate())
            except UnreadableFile as refused:
                context["sentence"] = str(refused)
            else:
                status = 200
                context |= shown(read)
    return render(request, "rack/bha_typed.html", context, status=status)


def shown(read: ReadBha) -> dict[str, Any]:
    """What was read, as the page shows it."""
    sheet = read.sheet
    marks = _marks(read.problems)
    return {
        "read": sheet, "problems": read.problems, "figures": _figures(read),
        "head": [(label, text) for label, text in _head(sheet) if text],
        "rows": [_row(sheet, piece, marks.get(piece.where, "")) for piece in sheet.pieces],
    }  # fmt: skip


def _marks(problems: tuple[Problem, ...]) -> dict[str, str]:
    """The hardest thing said of each row."""
    found: dict[str, str] = {}
    for severity in (Severity.NOTE, Severity.ASKS, Severity.STOPS):
        found |= {one.where: severity.value for one in problems if one.severity is severity}
    return found


def _figures(read: ReadBha) -> list[tuple[str, str]]:
    sheet = read.sheet
    whole = length_of(read.links)
    weights = [piece.lb for piece in sheet.in_hole]
    known = [lb for lb in weights if lb is not None]
    weight = sheet.weight(sum(known, Fraction(0))) if known and len(known) == len(weights) else "not known"
    return [
        ("Rows", str(len(sheet.pieces))), ("Pieces", str(sum(piece.count for piece in sheet.in_hole))),
        ("Lengths of the rows", sheet.shown(whole) if whole is not None else "not known"),
        ("Weights of the rows", weight), ("Faults", str(len(read.problems))),
    ]  # fmt: skip


def _head(sheet: TypedBha) -> tuple[tuple[str, str], ...]:
    """What the head of the paper says, label and text."""
    head = sheet.head
    return (
        ("Rig", head.rig), ("Well", head.well), ("BHA no.", head.bha_no), ("Bit no.", head.bit_no),
        ("Run no.", head.run_no), ("Date", head.date), ("Hole", size_text(head.hole) if head.hole else ""),
        ("Depth in", _length(sheet, head.depth_in)), ("Depth out", _length(sheet, head.depth_out)),
        ("Mud", head.mud), ("Casing", head.casing), ("Lengths", head.lengths),
        ("Hours this run", ", ".join(f"{clock} {hours_text(value)}" for clock, value in head.hours.items())),
        ("Jar hits", "" if head.hits is None else str(head.hits)),
        ("Sensor to bit", _length(sheet, head.sensor)), ("Numbered", f"from the {sheet.counted}"),
    )  # fmt: skip


def _row(sheet: TypedBha, piece: TypedPiece, mark: str) -> dict[str, Any]:
    plain = {"length": piece.length, "cum": piece.cum}
    shown_lengths = {
        name: nm.shown(sheet.unit, sheet.digits) if nm is not None else "" for name, nm in plain.items()
    }
    sizes = {"od": piece.od, "bore": piece.bore, "gauge": piece.gauge, "neck": piece.neck_od}
    return {
        "piece": piece, "mark": mark, **shown_lengths,
        **{name: inches(nm) if nm else "" for name, nm in sizes.items()},
        "neck_length": piece.neck.shown(sheet.unit, sheet.digits) if piece.neck is not None else "",
        "lb": sheet.weight(piece.lb).split()[0] if piece.lb is not None else "",
        "hours": " / ".join(hours_text(one) if one is not None else "–"
                            for one in (piece.since, piece.run, piece.total))
        if any(one is not None for one in (piece.since, piece.run, piece.total)) else "",
    }  # fmt: skip


def _length(sheet: TypedBha, length: Length | None) -> str:
    return "" if length is None else sheet.shown(length)
