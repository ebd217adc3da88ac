"""Hours and footage of a site by piece, specification, lot or well, with what they add up to."""

from collections.abc import Callable, Mapping
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.hours import Amount, add_up, amount_shown
from rack.calc.kinds import KINDS
from rack.desk import at_desk, site_of
from rack.downloads import XLSX
from rack.errors import TierbookError
from rack.exchange import hours_table
from rack.forms.run_pages import GROUPINGS, TotalsForm
from rack.models import Site
from rack.models import hour_totals as read
from rack.models.earned import COLUMNS, clock_heading
from rack.paging import page_by_key

#: A file of more pieces takes longer than anybody waits.
MOST_IN_A_FILE = 20_000
GROUPED: Mapping[str, Callable[[read.Question], list[read.Group]]] = {
    "spec": read.by_spec, "delivery": read.by_lot, "well": read.by_well,
}  # fmt: skip
HEADS = {"piece": "Piece", "spec": "Specification", "delivery": "Lot", "well": "Well"}
STRINGS = ("rotating_s", "footage_nm")
SAID = (
    "Hours of pieces: ten joints that turn for one hour have ten. Each grouping adds up to the same. "
    "“At least”: a part is not known, and unknown is not zero."
)


@at_desk()
@require_GET
def run_totals(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    form, by, asked = _asked(request, site)
    page, wide = None, read.too_wide(asked)
    groups: list[read.Group]
    if wide:
        groups, whole = [], {}
    elif by == "piece":
        page = page_by_key(request, read.pieces_of(asked), "serial_key")
        groups, whole = read.by_piece(asked, page.rows), read.whole_of(asked)
    else:
        groups = GROUPED[by](asked)
        whole = add_up(one.amounts for one in groups)
    columns = [clock for clock in COLUMNS if clock in whole]
    context: dict[str, Any] = {
        "form": form, "by": by, "grouping": dict(GROUPINGS)[by], "head": HEADS[by],
        "headings": [clock_heading(clock, site.length_unit) for clock in columns],
        "rows": [(one, _cells(site, columns, one.amounts), _strings(site, one)) for one in groups],
        "whole": _cells(site, columns, whole), "said": SAID, "page": page,
        "wide": wide,
        "narrowed": asked.well or asked.kind, "clear": reverse("run_totals") if request.GET else "",
        "string_heads": [clock_heading(clock, site.length_unit) for clock in STRINGS],
        "query": request.GET.urlencode(),
        "crumbs": [("Strings", reverse("string_list")), ("Runs", reverse("run_list"))],
    }  # fmt: skip
    return render(request, "rack/run_totals.html", context)


@at_desk()
@require_GET
def run_totals_file(request: HttpRequest, form: str) -> HttpResponse:
    """The same list whole, as csv or xlsx."""
    site = site_of(request)
    _, by, asked = _asked(request, site)
    if form not in ("csv", "xlsx"):
        raise Http404("Hours are written as csv or xlsx.")
    table = _table(site, by, asked, request.GET.urlencode())
    return table_file(table, form, f"{site.code}-hours-by-{by}")


def table_file(table: hours_table.HoursTable, form: str, name: str) -> HttpResponse:
    """The answer that hands a table out as csv or xlsx."""
    if form == "csv":
        data, media = hours_table.write_csv(table).encode(), "text/csv; charset=utf-8"
    else:
        data, media = hours_table.write_xlsx(table), XLSX
    return HttpResponse(data, content_type=media,
                        headers={"Content-Disposition": f'attachment; filename="{name}.{form}"'})  # fmt: skip


def _asked(request: HttpRequest, site: Site) -> tuple[TotalsForm, str, read.Question]:
    form = TotalsForm(request.GET or None, site=site)
    typed = form.cleaned_data if form.is_valid() else {}
    return form, typed.get("by") or "piece", read.Question(site, typed.get("well"), typed.get("kind", ""))


def _cells(site: Site, columns: list[str], amounts: Mapping[str, Amount]) -> list[tuple[str, str]]:
    return [
        (clock_heading(clock, site.length_unit),
         amount_shown(clock, amounts[clock], unit=site.length_unit, digits=site.digits)
         if clock in amounts else "")
        for clock in columns
    ]  # fmt: skip


def _strings(site: Site, one: read.Group) -> list[tuple[str, str]]:
    """What the strings of a well turned and drilled themselves."""
    return _cells(site, list(STRINGS), one.strings) if one.strings is not None else []


def _table(site: Site, by: str, asked: read.Question, query: str) -> hours_table.HoursTable:
    wide = read.too_wide(asked)
    if wide:
        raise TierbookError(wide)
    if by == "piece":
        pieces = list(read.pieces_of(asked).order_by("serial_key", "id")[: MOST_IN_A_FILE + 1])
        if len(pieces) > MOST_IN_A_FILE:
            raise TierbookError(
                f"More than {MOST_IN_A_FILE:,} pieces have run; narrow the list by well or kind for a file."
            )
        groups = read.by_piece(asked, pieces)
    else:
        groups = GROUPED[by](asked)
    whole = add_up(one.amounts for one in groups)
    named = by == "piece"
    return hours_table.HoursTable(
        name="Hours and footage", head=_head(site, by, asked, query),
        labels=("Serial", "Tag", "Item") if named else (HEADS[by], "Pieces"),
        clocks=[clock for clock in COLUMNS if clock in whole],
        rows=[((one.name, one.tag, one.item) if named else (one.name, one.pieces), one.amounts)
              for one in groups],
        total=whole, unit=site.length_unit, digits=site.digits,
    )  # fmt: skip


def _head(site: Site, by: str, asked: read.Question, query: str) -> list[tuple[str, str]]:
    narrowed = [("Well", str(asked.well))] if asked.well else []
    narrowed += [("Kind", KINDS[asked.kind].name)] if asked.kind else []
    return [
        ("Site", f"{site.name} ({site.code})"), ("Hours and footage", f"each {dict(GROUPINGS)[by]}"),
        *narrowed, ("As it stood", timezone.localtime().strftime("%Y-%m-%d %H:%M")),
        ("Live page", settings.ADDRESS + reverse("run_totals") + (f"?{query}" if query else "")),
    ]  # fmt: skip
