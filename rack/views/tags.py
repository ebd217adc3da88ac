"""Tags: which pieces, on which labels, where on the page the first one goes, and the page itself."""

from typing import Any

from django.conf import settings
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rack.calc.bands import scheme_of
from rack.calc.labels import GOOD_MODULE, Grid, grids, mm, module_of
from rack.desk import at_desk, found_or_404, site_of
from rack.downloads import paper_size
from rack.errors import TierbookError
from rack.filters.pieces import PieceFilter
from rack.forms.tags import HOW, TagForm
from rack.models import Component, Delivery, Mark, MarkKind, Tally
from rack.models.listing import classes_of
from rack.models.reference import catalogue
from rack.paper import tags as paper

MOST = 1000
#: The labels that are offered first, by the paper of the site.
USUAL = {"A4": "A4 3 x 7", "Letter": "Letter 2 x 5"}


@at_desk("tag")
@require_GET
def tags(request: HttpRequest) -> HttpResponse:
    """What would be printed, and how."""
    form = _form(request, bound="start" in request.GET)
    form.is_valid()
    return _page(request, form)


@at_desk("tag")
@require_GET
def tags_pdf(request: HttpRequest) -> HttpResponse:
    """The tags of the chosen pieces, ready for the printer; or a page to try the labels with."""
    form = _form(request, bound=True)
    if not form.is_valid():
        return _page(request, form, status=422)
    if "test" in request.GET:
        return _pdf(paper.trial(form.layout, form.modules), "tags-test-page")
    found = list(chosen(request)[0][: MOST + 1])
    if not found or len(found) > MOST:
        raise TierbookError(
            f"{'More than ' + str(MOST) if found else 'No'} pieces are chosen; print 1 to {MOST} tags "
            "at once. Narrow the rack list by layer, size or grade."
        )
    how = form.cleaned_data
    drawn = labels(found, with_class=how["list_class"] != "left out")
    return _pdf(paper.pdf(drawn, start=how["start"], copies=how["copies"], grid=form.layout), "tags")


def _form(request: HttpRequest, *, bound: bool) -> TagForm:
    known = grids(catalogue().rows("label_grids"))
    usual = USUAL[paper_size(request, site_of(request))]
    usual = usual if usual in known else next(iter(known))
    return TagForm(request.GET if bound else None, grids=known, usual=usual, modules=_modules())


def _page(request: HttpRequest, form: TagForm, *, status: int = 200) -> HttpResponse:
    rows, words = chosen(request)
    kept = [(name, value) for name, some in request.GET.lists() if name not in HOW for value in some]
    context: dict[str, Any] = {
        "count": rows.count(), "most": MOST, "words": words, "form": form, "kept": kept,
        "problems": form.notes, "good": mm(GOOD_MODULE),
        "grids": [_row(grid, form.modules) for grid in form.grids.values()],
    }  # fmt: skip
    return render(request, "rack/tags.html", context, status=status)


def _row(grid: Grid, modules: int) -> dict[str, str | int]:
    return {
        "name": grid.name, "a_page": grid.a_page, "label": f"{mm(grid.label_w)} x {mm(grid.label_h)}",
        "margins": f"{mm(grid.left)}, {mm(grid.top)}", "pitch": f"{mm(grid.pitch_x)}, {mm(grid.pitch_y)}",
        "module": mm(module_of(grid, modules)), "source": grid.caution or grid.source,
    }  # fmt: skip


def _modules() -> int:
    """How large the code of a tag of this program is: all tag codes are equally long."""
    return paper.code_modules(f"{settings.ADDRESS}/T/{'0' * 7}".upper())


def _pdf(page: bytes, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return HttpResponse(page, content_type="application/pdf", headers=headers)


def chosen(request: HttpRequest) -> "tuple[QuerySet[Component], str]":
    """The pieces that the address names: one, a delivery's, a tally's, or what the rack list shows."""
    site = site_of(request)
    rows = Component.objects.for_user(request.user).select_related("spec").order_by("serial_key", "id")
    asked = request.GET
    if asked.get("piece"):
        tags = {tag.upper() for tag in asked.getlist("piece")[: MOST + 1]}
        return rows.filter(tag__in=tags), "one piece" if len(tags) == 1 else f"{len(tags)} pieces"
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


def labels(pieces: list[Component], *, with_class: bool = True) -> list[paper.TagLabel]:
    """What stands on each tag: nothing that can change while the piece stays the same.

    The class is that of the last inspection, with its day; without one it is what the last list gave, and
    says of itself that it is no inspection.
    """
    ids = [piece.pk for piece in pieces]
    owned = Mark.objects.current().filter(component__in=ids, what=MarkKind.OWNER)
    numbers = dict(owned.values_list("component", "text"))
    items: dict[int, str] = {piece.spec_id: str(piece.spec) for piece in pieces}
    classes = classes_of(ids) if with_class else {}
    made = []
    for piece in pieces:
        pipe_class, listed, looked = classes.get(piece.pk, ("", "", False))
        made.append(paper.TagLabel(
            code=piece.tag, address=f"{settings.ADDRESS}/T/{piece.tag}".upper(), serial=piece.serial,
            item=items[piece.spec_id], owner=numbers.get(piece.pk, ""), pipe_class=pipe_class,
            listed=listed, scheme=scheme_of(piece.spec.kind), inspected=looked,
        ))  # fmt: skip
    return made
