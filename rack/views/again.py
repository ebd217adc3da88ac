"""The joints to be taped again and no others: a page to type into, and a pencil sheet without a reading."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.actions.closing import item_of
from rack.models import Line, Tally
from rack.models.checking import failing
from rack.models.comparing import lines_of
from rack.paper import pencil as paper
from rack.views.desk import at_desk
from rack.views.sheets import NotNow, paper_size
from rack.views.tally import base, tally_of
from rack.views.tally_facts import name_of, serial_of


@at_desk()
@require_GET
def again(request: HttpRequest, number: int) -> HttpResponse:
    """The list. No reading stands on it, so that the third one is as blind as the first two."""
    return show_again(request, tally_of(request, number))


def show_again(request: HttpRequest, one: Tally, *, status: int = 200, **more: Any) -> HttpResponse:
    context: dict[str, Any] = {**base(one), **more, "blind": one.is_blind, "joints": []}
    if one.open and not one.is_blind:
        lines = lines_of(one)
        context["joints"] = [_joint(lines[n], n) for n in failing(one, lines)]
    return render(request, "rack/again.html", context, status=status)


def _joint(line: Line, n: int) -> dict[str, Any]:
    return {
        "line": line, "pk_text": str(line.pk), "name": name_of(line, n), "serial": serial_of(line),
        "twice": line.first_nm is not None and line.second_nm is not None,
    }


@at_desk()
@require_GET
def again_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """A pencil sheet of only the failing joints; nothing that was read is given to the paper."""
    one = tally_of(request, number)
    if one.is_blind:
        raise NotNow("The second strap is open; which joints to tape again is shown when it is finished.")
    lines = lines_of(one)
    places = failing(one, lines) if one.open else []
    if not places:
        raise NotNow("No joint of this tally has to be taped again.")
    rows = [paper.PencilLine(n + 1, lines[n].painted, serial_of(lines[n])) for n in places]
    head = paper.PencilHead(
        site_code=one.site.code, site_name=one.site.name, tally_no=one.number, title=one.title,
        item=item_of(one, [lines[n] for n in places]), purpose=one.get_purpose_display(), unit=one.unit,
        digits=one.digits, length_kind=one.kind, straps_wanted=one.straps_wanted,
        address=settings.ADDRESS + reverse("tape_again", args=[one.number]),
        printed=timezone.localtime(timezone=one.site.zone).strftime("%Y-%m-%d %H:%M"),
        revision=one.revision, list_n=one.list_n, column=one.column_n, name="To tape again",
        mind="Only these joints. By other hands where there are some, who do not see the earlier readings.",
    )  # fmt: skip
    page = paper.pdf(head, rows, size=paper_size(request, one.site))
    name = f"{one.site.code}-tally-{one.number}-again.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(page, content_type="application/pdf", headers=headers)
