"""The joints to be taped again and no others: a page to type into, and a pencil sheet without a reading."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.actions.closing import item_of
from rack.desk import at_desk
from rack.downloads import XLSX, paper_size
from rack.exchange import again_book
from rack.models import Line, Tally
from rack.models.checking import failing
from rack.models.comparing import lines_of
from rack.paper import pencil as paper
from rack.views.sheets import NotNow
from rack.views.tally import base, tally_of
from rack.views.tally_facts import name_of, serial_of

MIND = "Only these joints. By other hands where there are some, who do not see the earlier readings."


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
    lines, places = _to_tape(one)
    rows = [paper.PencilLine(n + 1, lines[n].painted, serial_of(lines[n])) for n in places]
    head = paper.PencilHead(
        site_code=one.site.code, site_name=one.site.name, tally_no=one.number, title=one.title,
        item=item_of(one, [lines[n] for n in places]), purpose=one.get_purpose_display(), unit=one.unit,
        digits=one.digits, length_kind=one.kind, straps_wanted=one.straps_wanted,
        address=_address(one), printed=_now(one),
        revision=one.revision, list_n=one.list_n, column=one.column_n, name="To tape again",
        mind=MIND,
    )  # fmt: skip
    return _file(paper.pdf(head, rows, size=paper_size(request, one.site)), one, "pdf")


@at_desk()
@require_GET
def again_xlsx(request: HttpRequest, number: int) -> HttpResponse:
    """The same joints as a workbook to type into; nothing that was read is given to it either."""
    one = tally_of(request, number)
    lines, places = _to_tape(one)
    title = f"{one.number}: {one.title}" if one.title else str(one.number)
    head = [
        ("Site", f"{one.site.name} ({one.site.code})"), ("Tally", title),
        ("Revision", f"{one.revision}, list {one.list_n}"), ("Live page", _address(one)),
        ("As it stood", _now(one)), ("Kind of length", one.kind), ("Mind", MIND),
    ]  # fmt: skip
    joints = [(n + 1, lines[n].painted, serial_of(lines[n])) for n in places]
    return _file(again_book.write(head, joints, one.unit), one, "xlsx")


def _to_tape(one: Tally) -> tuple[list[Line], list[int]]:
    """The lines of a tally and the places of those to be taped again; refused where there are none."""
    if one.is_blind:
        raise NotNow("The second strap is open; which joints to tape again is shown when it is finished.")
    lines = lines_of(one)
    places = failing(one, lines) if one.open else []
    if not places:
        raise NotNow("No joint of this tally has to be taped again.")
    return lines, list(places)


def _address(one: Tally) -> str:
    return settings.ADDRESS + reverse("tape_again", args=[one.number])


def _now(one: Tally) -> str:
    return timezone.localtime(timezone=one.site.zone).strftime("%Y-%m-%d %H:%M")


def _file(data: bytes, one: Tally, ending: str) -> HttpResponse:
    media, where = ("application/pdf", "inline") if ending == "pdf" else (XLSX, "attachment")
    name = f"{one.site.code}-tally-{one.number}-again.{ending}"
    return HttpResponse(data, content_type=media,
                        headers={"Content-Disposition": f'{where}; filename="{name}"'})  # fmt: skip
