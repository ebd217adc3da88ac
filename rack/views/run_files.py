"""What the pieces of a run earned, as CSV and XLSX."""

from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.hours import POLICY_WORDS, add_up, policy_for
from rack.desk import at_desk
from rack.exchange.hours_table import HoursTable
from rack.models import Component, Run
from rack.models.earned import COLUMNS, sums_in
from rack.models.stays import policy_of
from rack.views.run_totals import table_file
from rack.views.runs import run_here


@at_desk()
@require_GET
def run_file(request: HttpRequest, ident: int, form: str) -> HttpResponse:
    """Hours and footage per piece, the policy beside them."""
    if form not in ("csv", "xlsx"):
        raise Http404("The hours of a run are written as csv or xlsx.")
    one = run_here(request, ident)
    return table_file(_table(one), form, f"run-{one.string.number}-{one.number}-hours")


def _table(one: Run) -> HoursTable:
    sums, policy, site = sums_in(one), policy_of(one), one.string.site
    whole = add_up(sums.values())
    pieces = Component.objects.filter(pk__in=list(sums)).listed()
    at = timezone.now().astimezone(ZoneInfo(one.tz))
    head = [
        ("Run", f"{one}, {one.string}"), ("Well", str(one.string.well)),
        ("Site", f"{site.name} ({site.code})"),
        *(("Credited", f"{kind}: {words}") for kind, words in POLICY_WORDS.items()),
        ("As it stood", f"{at:%Y-%m-%d %H:%M}"),
        ("Live page", settings.ADDRESS + reverse("run_page", args=[one.pk])),
    ]  # fmt: skip
    rows = [
        ((piece.serial, piece.tag, str(piece.spec), policy_for(piece.spec.kind, policy)), sums[piece.pk])
        for piece in pieces
    ]
    return HoursTable(
        name="Hours", head=head, labels=("Serial", "Tag", "Item", "Credited"),
        clocks=[clock for clock in COLUMNS if clock in whole], rows=rows, total=whole,
        unit=site.length_unit, digits=site.digits,
    )  # fmt: skip
