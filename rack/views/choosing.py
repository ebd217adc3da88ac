"""Choosing pieces for a tally: of a layer, of a delivery, what the rack list shows, by their names."""

from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, QueryDict

from rack.actions.tallies import TallyLines
from rack.calc.checks import Problem, stops
from rack.calc.painted import order_of
from rack.desk import site_of
from rack.errors import Refused
from rack.filters.pieces import PieceFilter
from rack.models import Component, Mark, MarkKind, Site, Tally
from rack.models.comparing import lines_of
from rack.models.finding import find

MOST = 5000


def rack_choice(request: HttpRequest) -> tuple[str, str]:
    """The query of the rack list that this page carries, and how many pieces it shows, in words."""
    if request.method == "POST":
        query = request.POST.get("rack_query", "")[:400]
    elif request.GET.get("from") == "rack":
        kept = request.GET.copy()
        kept.pop("from", None)
        query = kept.urlencode()[:400] or "all=1"
    else:
        query = ""
    if not query:
        return "", ""
    count = _of_rack_list(site_of(request), query).count()
    return query, f"{count:,} piece{'' if count == 1 else 's'}"


def lines_chosen(request: HttpRequest, typed: dict[str, Any]) -> TallyLines:
    """What a new tally begins with, as its form says."""
    site, begin, first = site_of(request), typed["lines_from"], typed["first"].strip()
    if begin == "empty":
        return TallyLines()
    if begin == "numbers":
        return TallyLines(first=first, count=typed["count"] or 0)
    if begin == "tally":
        return _lines_of_tally(typed["like"])
    if begin == "delivery":
        rows = Component.objects.at(site).filter(delivered_rows__delivery=typed["delivery"])
        pieces = list(rows.order_by("delivered_rows__id"))
    elif begin == "layer":
        pieces = in_serial_order(Component.objects.at(site).filter(place=typed["layer"]))
    else:
        pieces = in_serial_order(_of_rack_list(site, typed["rack_query"]))
    if not pieces:
        raise Refused([stops("No piece is chosen; nothing lies there.", code="empty")])
    numbers = painted_on(pieces)
    if first or len(numbers) < len(pieces):
        return TallyLines(pieces, first=first)
    if begin != "delivery":  # the order they lie in; a delivery keeps the order of its list
        pieces.sort(key=lambda piece: order_of(numbers[piece.pk]))
    return TallyLines(pieces, painted=[numbers[piece.pk] for piece in pieces])


def _lines_of_tally(like: Tally) -> TallyLines:
    """The joints of a closed tally in its order, with the numbers they had there."""
    lines = lines_of(like)
    pieces = [line.component for line in lines if line.component]
    if not pieces or len(pieces) < len(lines):
        raise Refused([stops(f"{like} has lines without a piece; it cannot be taken as it is.")])
    return TallyLines(pieces, painted=[line.painted for line in lines])


def in_serial_order(rows: "QuerySet[Component]") -> list[Component]:
    return list(rows.order_by("serial_key", "id")[: MOST + 1])


def painted_on(pieces: list[Component]) -> dict[int, str]:
    """The number painted on each of these pieces, or nothing when two bear the same one."""
    numbers: dict[int, str] = {}
    ids = [piece.pk for piece in pieces]
    for start in range(0, len(ids), 500):
        marks = Mark.objects.current().filter(component__in=ids[start : start + 500], what=MarkKind.PAINTED)
        numbers |= dict(marks.order_by("id").values_list("component", "text"))
    alike = len(set(numbers.values())) < len(numbers)
    return {} if alike or any(len(text) > 20 for text in numbers.values()) else numbers


def pieces_named(site: Site, names: list[str]) -> list[Component]:
    """The one piece that each name means; refused with every name that means none or several."""
    found: list[Component] = []
    problems: list[Problem] = []
    for name in names:
        try:
            found.append(piece_named(site, name))
        except Refused as refused:
            problems += refused.problems
    if problems:
        raise Refused(problems)
    return found


def piece_named(site: Site, name: str) -> Component:
    """The one piece at this site that bears this name."""
    likely = find(Component.objects.at(site), name, most=6)
    if len(likely) == 1:
        return likely[0].piece
    if not likely:
        raise Refused([stops(f"No piece here is called {name}.", code="unknown", where=name)])
    some = ", ".join(str(one.piece) for one in likely[:5])
    raise Refused([stops(f"{name} may mean {some}{' and others' if len(likely) > 5 else ''}; type it whole.",
                         code="several", where=name)])


def _of_rack_list(site: Site, query: str) -> "QuerySet[Component]":
    return PieceFilter(QueryDict(query), Component.objects.at(site), site=site).qs
