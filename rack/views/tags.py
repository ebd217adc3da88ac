"""Tags: which pieces, where on the page the first one goes, and the page itself."""

from django.conf import settings
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rack.errors import TierbookError
from rack.filters.pieces import PieceFilter
from rack.forms.tags import TagForm
from rack.models import Component, Delivery, Mark, MarkKind, Tally
from rack.paper import tags as paper
from rack.views.desk import at_desk, found_or_404, site_of

MOST = 1000


@at_desk("tag")
@require_GET
def tags(request: HttpRequest) -> HttpResponse:
    """What would be printed, and how."""
    rows, words = chosen(request)
    count = rows.count()
    form = TagForm(request.GET if "start" in request.GET else None)
    form.is_valid()
    query = request.GET.copy()
    for name in ("start", "copies", "before", "after"):
        query.pop(name, None)
    context = {"count": count, "most": MOST, "words": words, "form": form, "kept": list(query.items())}
    return render(request, "rack/tags.html", context)


@at_desk("tag")
@require_GET
def tags_pdf(request: HttpRequest) -> HttpResponse:
    """The tags of the chosen pieces, ready for the printer."""
    rows, words = chosen(request)
    form = TagForm(request.GET)
    if not form.is_valid():
        return render(
            request, "rack/tags.html", {"count": rows.count(), "most": MOST, "words": words, "form": form}
        )
    found = list(rows[: MOST + 1])
    if not found or len(found) > MOST:
        raise TierbookError(
            f"{'More than ' + str(MOST) if found else 'No'} pieces are chosen; print 1 to {MOST} tags "
            "at once. Narrow the rack list by layer, size or grade."
        )
    page = paper.pdf(labels(found), start=form.cleaned_data["start"], copies=form.cleaned_data["copies"])
    return HttpResponse(
        page, content_type="application/pdf", headers={"Content-Disposition": 'inline; filename="tags.pdf"'}
    )


def chosen(request: HttpRequest) -> "tuple[QuerySet[Component], str]":
    """The pieces that the address names: one, a delivery's, a tally's, or what the rack list shows."""
    site = site_of(request)
    rows = Component.objects.for_user(request.user).select_related("spec").order_by("serial_key", "id")
    asked = request.GET
    if asked.get("piece"):
        return rows.filter(tag=asked["piece"].upper()), "one piece"
    if asked.get("delivery", "").isdecimal():
        delivery = found_or_404(Delivery.objects.for_user(request.user), pk=int(asked["delivery"][:18]))
        return rows.filter(delivered_rows__delivery=delivery), str(delivery)
    if asked.get("tally", "").isdecimal():
        tally = found_or_404(Tally.objects.at(site), number=int(asked["tally"][:9]))
        return rows.filter(lines__tally=tally, lines__withdrawn=False).order_by("lines__rank", "id"), str(
            tally
        )
    narrow = PieceFilter(asked or None, Component.objects.at(site), site=site)
    return narrow.qs.select_related("spec").order_by("serial_key", "id"), "what the rack list shows"


def labels(pieces: list[Component]) -> list[paper.TagLabel]:
    """What stands on each tag: nothing that can change while the piece stays the same."""
    owned = Mark.objects.current().filter(component__in=pieces, what=MarkKind.OWNER)
    numbers = dict(owned.values_list("component", "text"))
    items: dict[int, str] = {piece.spec_id: str(piece.spec) for piece in pieces}
    return [
        paper.TagLabel(
            code=piece.tag,
            address=f"{settings.ADDRESS}/T/{piece.tag}".upper(),
            serial=piece.serial,
            item=items[piece.spec_id],
            owner=numbers.get(piece.pk, ""),
        )
        for piece in pieces
    ]
