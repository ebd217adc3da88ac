"""The string as it was: at a moment that is picked, or when the bit first came to a depth."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.lengths import Length
from rack.desk import at_desk
from rack.forms.run_pages import ThenForm
from rack.models import Site, String
from rack.models.then import first_reached, string_then
from rack.views.strings import string_here


@at_desk()
@require_GET
def string_as_it_was(request: HttpRequest, number: int) -> HttpResponse:
    """Every piece that hung in the hole then, from the bit upward."""
    one = string_here(request, number)
    form = ThenForm(request.GET or None, site=one.site)
    at, said, wrong = _moment(one, form)
    then = string_then(one, at)
    rows = then.rows
    context: dict[str, Any] = {
        "string": one, "form": form, "at": timezone.localtime(at), "then": then, "rows": rows,
        "said": said, "wrong": wrong, "figures": _figures(one.site, then),
        "by_entry": any(row.joined and row.joined.noted is None for row in rows),
        "clear": reverse("string_then", args=[one.number]) if request.GET else "",
        "crumbs": [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))],
    }  # fmt: skip
    return render(request, "rack/string_then.html", context)


def _moment(one: String, form: ThenForm) -> tuple[datetime, str, str]:
    """The moment that is asked for, how it was found, and what was wrong with what was asked."""
    typed = form.cleaned_data if form.is_valid() else {}
    depth: Length | None = typed.get("depth")
    at: datetime | None = typed.get("at")
    if at is not None or depth is None:
        return at or one.ended_at or timezone.now(), "", ""
    shown = f"{depth.shown(one.site.length_unit, one.site.digits)} {one.site.length_unit}"
    found = first_reached(one, depth.nanometres)
    if found is None:
        return timezone.now(), "", f"No time line of this string came to {shown}; it is shown as it is now."
    leg, reached = found
    if reached is None:
        return timezone.now(), "", (
            f"The time line that came to {shown} has no times; pick a moment. It is shown as it is now."
        )
    said = f"The bit first came to {shown} then, reckoned evenly within its time line"
    if leg.from_at and leg.to_at:
        said += f", {leg.from_at:%Y-%m-%d %H:%M} to {leg.to_at:%Y-%m-%d %H:%M}"
    return reached, f"{said}.", ""


def _figures(site: Site, then: Any) -> list[tuple[str, str]]:
    """How many hung there, how long they were together, how deep the lines had come."""
    unit, digits = site.length_unit, site.digits
    whole = sum(row.length_nm or 0 for row in then.rows)
    unknown = sum(row.length_nm is None for row in then.rows)
    length = f"{Length(whole).shown(unit, digits)} {unit}" + (f" and {unknown} unknown" if unknown else "")
    drilled = then.drilled_nm
    depth = "not known" if drilled is None else f"{Length(drilled).shown(unit, digits)} {unit}"
    return [
        ("Pieces in the hole", str(sum(row.count for row in then.rows))), ("Together", length),
        *([("Its lines had come to", depth)] if then.run else []),
    ]  # fmt: skip
