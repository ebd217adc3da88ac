"""Recording the inspection of one piece, on a phone or at the desk."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inspection.actions.found import Found, Head, Kept
from inspection.actions.judging import head_problems, judge
from inspection.actions.keeping import keep_photo, keep_report
from inspection.actions.recording import record
from inspection.calc.cautions import CAUTIONS_INSPECTING
from inspection.calc.criteria import scheme, schemes_for
from inspection.calc.filetypes import MOST_BYTES
from inspection.forms.found import FoundForm
from inspection.forms.head import HeadForm
from inspection.models import Inspection
from inspection.models.facts import scheme_for
from rack.calc.checks import Problem, Severity
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.models import Component

#: Where the head of the last entry stays for the next one of the same session.
REMEMBERED = "inspection_head"


@at_desk("inspect")
@require_http_methods(["GET", "POST"])
def inspect_piece(request: HttpRequest, tag: str) -> HttpResponse:
    rows = Component.objects.for_user(request.user).select_related("spec", "site", "place")
    piece: Component = found_or_404(rows, tag=tag.upper())
    kind, spec = piece.spec.kind, piece.spec.as_facts
    if request.method == "GET":
        head = HeadForm(site=piece.site, kind=kind, initial=beginning(request, piece))
        code = _known_scheme(head.initial.get("scheme", ""), piece)
        return _page(request, piece, head, FoundForm(spec=spec, by=scheme(code)))
    head = HeadForm(request.POST, request.FILES, site=piece.site, kind=kind)
    good = head.is_valid()
    code = head.cleaned_data.get("scheme", "") if good else ""
    found = FoundForm(request.POST, request.FILES, spec=spec,
                      by=scheme(code or _known_scheme(request.POST.get("scheme", ""), piece)))  # fmt: skip
    problems = found.keep(lambda photo: kept(photo, keep_photo))
    report, wrong = report_of(head)
    problems += wrong
    if not (found.is_valid() and good) or problems:
        if good:  # what is wrong with the rest is said in the same breath
            problems += _judged(piece, head.head(report), found.found(piece))
        return _page(request, piece, head, found, problems=problems, wrong=True)
    try:
        [row] = record(
            asked(request), piece.site, head.head(report), [found.found(piece)], reason=_reason(request)
        )
    except Refused as refused:
        return _page(request, piece, head, found, problems=list(refused.problems), wrong=True)
    request.session[REMEMBERED] = head.remembered(report)
    messages.success(request, f"{row.journal.sentence}: {said_of(row)}.")
    return redirect("inspection", pk=row.pk)


def said_of(row: Inspection) -> str:
    """What an inspection came to, in a few words."""
    held = f"{row.class_held} holds" if row.class_held else "no class follows"
    return (
        f"{held}; {row.class_given} was given"
        if row.class_given != row.class_held and row.class_given
        else held
    )


def beginning(request: HttpRequest, piece: Component | None = None) -> dict[str, str]:
    """The head as the last entry of this session had it; else today. A scheme of another kind is let go."""
    found = dict(request.session.get(REMEMBERED, {}))
    if piece is not None:
        there = schemes_for(piece.spec.kind)
        if found.get("scheme") not in {one.code for one in there}:
            found["scheme"] = ""
        if found.get("acceptance") not in {name for one in there for name in one.names}:
            found["acceptance"] = ""
    return {"on": timezone.localdate().isoformat(), **found}


def kept(file: Any, keep: Any) -> tuple[Kept | None, list[Problem]]:
    """A file that was handed in, kept by its digest; or what is wrong with it."""
    try:
        # One byte more than is allowed is enough to refuse it; a larger one is never read whole.
        return keep(file.read(MOST_BYTES + 1), file.name or ""), []
    except Refused as refused:
        return None, list(refused.problems)


def report_of(head: HeadForm) -> tuple[Kept | None, list[Problem]]:
    """The report of a head: the one handed in now, else the one kept before; and what is wrong with it."""
    file, before = head.files.get("report"), head.kept_report()
    if not file:
        return before, []
    found, problems = kept(file, keep_report)
    if found:  # it comes back with the form, so that it need not be chosen again
        head.keep_report(found)
    return found or before, problems


def _known_scheme(code: str, piece: Component) -> str:
    there = {one.code for one in schemes_for(piece.spec.kind)}
    today = timezone.localdate(timezone=piece.site.zone)
    return code if code in there else scheme_for(piece.site, piece.spec.kind, today)


def _judged(piece: Component, head: Head, found: Found) -> list[Problem]:
    today = timezone.localdate(timezone=piece.site.zone)
    problems = head_problems(head, today, piece.site)
    if found.is_empty:
        return problems
    try:
        [one] = judge(piece.site, head, [found], {piece.pk: piece}, today)
    except Refused as refused:
        return [*problems, *refused.problems]
    return [*problems, *one.problems]


def _reason(request: HttpRequest) -> str:
    return request.POST.get("reason", "").replace("\0", "")[:300]


def _page(
    request: HttpRequest, piece: Component, head: HeadForm, found: FoundForm, *,
    problems: list[Problem] | None = None, wrong: bool = False,
) -> HttpResponse:  # fmt: skip
    problems = problems or []
    context = {
        "piece": piece, "head": head, "found": found, "problems": problems, "by": found.by,
        "kept": head.kept_report(), "cautions": " ".join(CAUTIONS_INSPECTING),
        "asks": any(one.severity is Severity.ASKS for one in problems), "reason": _reason(request),
        "wrong": bool(head.errors or found.errors),
        "crumbs": [("Rack", "/rack/"), (str(piece), f"/piece/{piece.tag}/")],
    }  # fmt: skip
    return render(request, "inspection/inspect_piece.html", context, status=422 if wrong else 200)
