"""The rack: the list of pieces, its totals, searching, a tag's address, the racks themselves."""

from collections.abc import Iterable
from typing import Any

from django.contrib import messages
from django.db.models import Count, QuerySet, Sum
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from rack.actions import places
from rack.calc.item_words import KIND_WORDS
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.tags import read_code
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.errors import Refused
from rack.filters.pieces import PieceFilter
from rack.forms.pieces import RackForm
from rack.forms.racks import AsideForm
from rack.models import Component, Mark, MarkKind, Place, Site
from rack.models.blindness import blind_again, shut
from rack.models.finding import find
from rack.paging import page_by_key
from rack.people import check_can
from rack.tables.pieces import PieceTable
from rack.views.papers import address_in, paper_of


@at_desk()
@require_GET
def rack_list(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    narrow = PieceFilter(request.GET or None, Component.objects.at(site), site=site)
    rows = narrow.qs.select_related("spec", "place")
    shown = page_by_key(request, rows, "serial_key")
    unseen = shut_lengths(shown.rows, site)
    table = PieceTable(shown.rows, site=site, painted=painted_numbers(shown.rows), shut=unseen)
    context = {
        "table": table,
        "filter": narrow,
        "page": shown,
        "totals_query": _without_cursor(request),
        "clear": reverse("rack_list") if narrow.narrowed else "",
    }
    return render(request, "rack/rack_list.html", context)


def _without_cursor(request: HttpRequest) -> str:
    """The choices of the list without the page that is shown of it."""
    query = request.GET.copy()
    for name in ("before", "after"):
        query.pop(name, None)
    return str(query.urlencode())


@at_desk()
@require_GET
def rack_totals(request: HttpRequest) -> HttpResponse:
    """Count and total length of what is shown, asked for after the list so that it never waits."""
    site = site_of(request)
    narrow = PieceFilter(request.GET or None, Component.objects.at(site), site=site)
    again = blind_again(site)
    figures = totals(narrow.qs.exclude(pk__in=shut(narrow.qs, again).values("pk")) if again else narrow.qs)
    shown = Length(figures["length"] or 0).shown(site.length_unit, site.digits)
    strip = [
        ("Pieces shown", f"{figures['count']:,}"),
        ("Total length", f"{shown} {site.length_unit}"),
        ("Without a length", f"{figures['count'] - figures['strapped']:,}"),
    ]
    return render(request, "_figures.html", {"figures": strip})


def totals(pieces: QuerySet[Component]) -> dict[str, int]:
    """How many, how many of them with a length, and the lengths added up exactly."""
    return pieces.order_by().aggregate(count=Count("*"), strapped=Count("length_nm"), length=Sum("length_nm"))


def shut_lengths(pieces: list[Component], site: Site) -> set[int]:
    """Those of these pieces whose length nobody may see now: their tally is strapped blind again."""
    again = blind_again(site)
    if not again:
        return set()
    rows = Component.objects.filter(pk__in=[piece.pk for piece in pieces])
    return set(shut(rows, again).values_list("pk", flat=True))


def painted_numbers(pieces: list[Component]) -> dict[int, str]:
    """The painted number of each of these pieces now, in one query."""
    marks = Mark.objects.current().filter(component__in=pieces, what=MarkKind.PAINTED)
    return dict(marks.values_list("component", "text"))


@at_desk()
@require_GET
def search(request: HttpRequest) -> HttpResponse:
    text = request.GET.get("q", "").strip()[:100]
    at = address_in(text)
    if at:
        return redirect(at)
    found = find(Component.objects.for_user(request.user), text)
    if len(found) == 1:
        return redirect("piece", tag=found[0].piece.tag)
    paper = "" if found else paper_of(request.user, text)
    if paper:
        return redirect(paper)
    kind = KINDS.get(KIND_WORDS.get(text.casefold(), ""))
    here = Component.objects.at(site_of(request)).filter(spec__kind=kind.code).count() if kind else 0
    context = {"q": text, "found": found, "kind": kind if here else None, "of_kind": here}
    return render(request, "rack/search.html", context)


@at_desk()
@require_GET
def tag(request: HttpRequest, code: str) -> HttpResponse:
    """The address on a printed tag. It ignores case, and says so when the check symbol is wrong."""
    try:
        read = read_code(code)
    except ValueError as wrong:
        return render(request, "rack/tag.html", {"sentence": str(wrong), "code": code}, status=404)
    piece = Component.objects.for_user(request.user).filter(tag=read).first()
    if piece is None:
        sentence = f"No piece at your site bears the tag {read}."
        return render(request, "rack/tag.html", {"sentence": sentence, "code": read}, status=404)
    return redirect("piece", tag=piece.tag)


@at_desk()
@require_http_methods(["GET", "POST"])
def place_list(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form = RackForm(request.POST or None)
    problems: tuple = ()
    if request.method == "POST":
        check_can(request.user, "place", site)
        if form.is_valid():
            try:
                rack = places.add_rack(asked(request), site, **form.cleaned_data)
            except Refused as refused:
                problems = refused.problems
            else:
                messages.success(request, f"{rack} has {form.cleaned_data['layers']} layers now.")
                return redirect("place_list")
    counted = Count("components")
    racks = Place.objects.on(site).open().layers().annotate(lying=counted).order_by("rack", "layer")
    asides = Place.objects.on(site).open().filter(kind="aside").annotate(lying=counted).order_by("path")
    context = {
        "racks": _by_rack(site, racks), "asides": asides, "form": form, "problems": problems,
        "aside_form": AsideForm(auto_id="aside_%s"),
    }  # fmt: skip
    return render(request, "rack/place_list.html", context, status=422 if problems else 200)


@at_desk("place")
@require_http_methods(["POST"])
def place_change(request: HttpRequest, pk: int, what: str) -> HttpResponse:
    rack = found_or_404(Place.objects.on(site_of(request)).racks(), pk=pk)
    if what == "layer":
        layer = places.add_layer(asked(request), rack)
        messages.success(request, f"Added {layer}.")
    elif what == "close":
        places.close_rack(asked(request), rack)
        messages.success(request, f"{rack} is closed.")
    else:
        raise Http404
    return redirect("place_list")


def _by_rack(site: Site, layers: Iterable[Any]) -> list[dict[str, object]]:
    grouped: dict[str, list[Any]] = {}
    for layer in layers:
        grouped.setdefault(layer.rack, []).append(layer)
    ids = (
        dict(Place.objects.on(site).filter(path__in=grouped, kind="rack", layer=0).values_list("path", "pk"))
        if grouped
        else {}
    )
    return [
        {"name": name, "pk": ids.get(name), "layers": rows, "lying": sum(row.lying for row in rows)}
        for name, rows in grouped.items()
    ]
