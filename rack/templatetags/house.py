"""What the pages of the house need: lengths as the site reads them, shapes, marks."""

import json
import uuid
from collections.abc import Iterable
from datetime import timedelta
from typing import Any, Protocol

from django import template
from django.forms import BoundField
from django.templatetags.static import static
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from rack.calc.checks import Problem, Severity
from rack.calc.hours import CLOCK_NAMES, LINE_CLOCKS, hours_shown
from rack.calc.lengths import Length
from rack.calc.rules import Found
from rack.calc.specs import SpecFacts, describe
from rack.models.judging import Judged
from rack.models.lots import Lot

register = template.Library()

NOT_READ = "–"
UNDO = "undo:"
SHAPES = {"fine": "fine", "soon": "soon", "due": "due", "over": "overdue", "held": "held"}
MESSAGE_ICONS = {"success": "done", "warning": "caution", "error": "stops"}
WORST_FIRST = list(Severity)


class Reads(Protocol):
    """How a site reads a length; `rack.models.Site` is one."""

    digits: int

    @property
    def length_unit(self) -> str: ...


@register.filter
def shown(length: Length | int | None, site: Reads) -> str:
    """Return a length (or its nanometres) as the site reads it, without the unit; a dash for none."""
    if length is None:
        return NOT_READ
    exact = length if isinstance(length, Length) else Length(length)
    return exact.shown(site.length_unit, site.digits)


@register.filter
def shown_with_unit(length: Length | int | None, site: Reads) -> str:
    """Return a length with its unit, for a place that has no column head to carry it."""
    return NOT_READ if length is None else f"{shown(length, site)} {site.length_unit}"


@register.simple_tag
def icon(name: str, label: str = "") -> SafeString:
    """Return a drawing of rack/icons.svg; without a label it is left out for screen readers."""
    sheet = static("rack/icons.svg")
    if label:
        return format_html(
            '<svg class="icon" role="img" aria-label="{}"><use href="{}#{}"/></svg>', label, sheet, name
        )
    return format_html('<svg class="icon" aria-hidden="true"><use href="{}#{}"/></svg>', sheet, name)


@register.simple_tag
def key_field() -> SafeString:
    """Return the hidden key that makes a sent form safe to repeat: the same page sent twice stores once."""
    return format_html('<input type="hidden" name="key" value="{}">', uuid.uuid4())


@register.filter
def worst_first(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems as STOPS, ASKS, NOTE, each in the order found."""
    return sorted(problems, key=lambda problem: WORST_FIRST.index(problem.severity))


@register.filter
def lots_for(judged: Judged, problem: Found) -> tuple[Lot, ...]:
    """Return the lots for which a yes to this problem may be given."""
    return judged.lots_for(problem)


@register.filter
def where_unsaid(problem: Problem) -> str:
    """Return the problem's place, unless its sentence names it already."""
    return "" if problem.where.lower() in problem.text.lower() else problem.where


@register.filter
def shape_word(shape: str) -> str:
    """Return the state's name for whoever cannot see its shape."""
    return SHAPES[shape]


@register.filter
def message_icon(message: Any) -> str:
    """Return the drawing for a message's level."""
    return MESSAGE_ICONS.get(message.level_tag, "note")


@register.filter
def undo_address(message: Any) -> str:
    """Return the address that takes back what the message tells, or nothing.

    Only an address of this site counts: a message never sends anybody elsewhere.
    """
    for tag in (message.extra_tags or "").split():
        address = tag.removeprefix(UNDO)
        if address != tag and address.startswith("/") and address[1:2] not in ("/", "\\"):
            return address
    return ""


@register.filter
def is_tick(field: BoundField) -> bool:
    """Whether a field is one box to tick, whose label stands after it."""
    return getattr(field.field.widget, "input_type", "") == "checkbox"


@register.filter
def described(spec: SpecFacts) -> str:
    """Return what a specification is, in one line."""
    return describe(spec)


@register.filter
def typed_words(text: str) -> str:
    """Return the cells of a row as they were typed, from the JSON text that is kept of them."""
    return " · ".join(str(value) for value in json.loads(text).values() if value)


@register.filter
def line_end(line: Any) -> str:
    """When a time line ends: "24:00" where that is the end of its day, with the day where it is another."""
    if line.to_at is None:
        return "a time that is not known"
    ends = timezone.localtime(line.to_at)
    day, words = ends.date(), f"{ends:%H:%M}"
    begins = timezone.localtime(line.from_at) if line.from_at else None
    if words == "00:00" and begins != ends:  # midnight is the end of the day that was worked
        day, words = day - timedelta(days=1), "24:00"
    return words if begins and begins.date() == day else f"{day:%Y-%m-%d} {words}"


@register.filter
def line_words(line: Any) -> str:
    """The hours of a time line in words: "rotating 2.25 h, sliding not known, 120 rpm"."""
    parts = []
    for clock in LINE_CLOCKS:
        amount = getattr(line, clock)
        parts.append(f"{CLOCK_NAMES[clock]} {'not known' if amount is None else f'{hours_shown(amount)} h'}")
    return ", ".join([*parts, *([f"{line.rpm} rpm"] if line.rpm is not None else [])])
