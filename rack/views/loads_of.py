"""The loads of a planned string or one in the hole, section by section; each number opens where it stands."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc import units
from rack.calc.bodies import Figure
from rack.calc.string_loads import StringFigures
from rack.desk import at_desk
from rack.models import Site
from rack.models.judging import Judged, judge_plan, judge_string
from rack.views.plans import plan_here
from rack.views.strings import string_here

#: What is shown of each section: its field, its name, the quantity whose unit the site chooses, decimals.
SECTION = (
    ("weight_lb_ft", "Weight", "weight", 2), ("air_lb", "In air", "mass", 0), ("mud_lb", "In mud", "mass", 0),
    ("hook_lb", "Hangs at its top", "force", 0), ("tensile_lb", "Tensile, by class", "force", 0),
    ("overpull_lb", "Overpull left", "force", 0), ("torsion_ft_lb", "Torsion", "torque", 0),
    ("make_up_ft_lb", "Make-up torque", "torque", 0),
    ("torque_limit_ft_lb", "Torque to stay under", "torque", 0),
    ("burst_psi", "Burst", "pressure", 0), ("collapse_psi", "Collapse", "pressure", 0),
    ("open_bbl", "Displaces, open", "", 2), ("closed_bbl", "Displaces, closed", "", 2),
    ("capacity_bbl", "Holds", "", 2), ("stand_open_bbl", "A stand, open", "", 3),
    ("stand_closed_bbl", "A stand, closed", "", 3),
)  # fmt: skip
WHOLE = (
    ("air_lb", "Weight in air", "mass", 0), ("mud_lb", "Weight in mud", "mass", 0),
    ("hook_lb", "Hook load", "force", 0),
    ("overpull_lb", "Least overpull left", "force", 0),
    ("weight_on_bit_lb", "Weight on bit at hand", "force", 0),
    ("neutral_ft", "Neutral point above the bit", "length", 1), ("open_bbl", "Displacement, open", "", 2),
    ("closed_bbl", "Displacement, closed", "", 2), ("capacity_bbl", "Capacity", "", 2),
    ("least_bore", "Least bore", "size", 3),
)  # fmt: skip


@dataclass(frozen=True)
class Shown:
    """A figure for a page: its name, the text with its unit, its working, or why there is none."""

    name: str
    text: str
    worked: Any
    reason: str
    without: str


def shown(figure: Figure, name: str, quantity: str, decimals: int, site: Site) -> Shown:
    """A figure in the unit that the site reads it in."""
    if figure.value is None:
        return Shown(name, "–", None, figure.reason, "")
    value, unit = figure.value, figure.unit or "bbl"
    if quantity:
        us, unit = units.PRESETS["us"][quantity], units.PRESETS[site.units][quantity]
        value = units.convert(value, quantity, us, unit)
    return Shown(name, f"{value:,.{decimals}f} {unit}", figure.worked, "", figure.left_out)


def _of(found: object, facts: tuple[str, str, str, int], site: Site) -> Shown:
    name, label, quantity, decimals = facts
    return shown(getattr(found, name), label, quantity, decimals, site)


@at_desk()
@require_GET
def plan_loads(request: HttpRequest, number: int) -> HttpResponse:
    one = plan_here(request, number)
    _, judged = judge_plan(one, timezone.localdate())
    back = [("Strings", reverse("string_list")), (str(one), reverse("plan", args=[one.number]))]
    return _page(request, str(one), judged, one.site, 3, back)


@at_desk()
@require_GET
def string_loads(request: HttpRequest, number: int) -> HttpResponse:
    one = string_here(request, number)
    _, judged = judge_string(one, timezone.localdate())
    back = [("Strings", reverse("string_list")), (str(one), reverse("string", args=[one.number]))]
    return _page(request, str(one), judged, one.site, one.stand_n, back)


def _page(
    request: HttpRequest, title: str, judged: Judged, site: Site, joints: int, crumbs: list[tuple[str, str]]
) -> HttpResponse:
    found = judged.figures(joints)
    context = {
        "title": title, "crumbs": crumbs, "empty": not judged.rows, "here": site,
        "whole": [_of(found, facts, site) for facts in WHOLE],
        "weakest": found.weakest, "narrowest": found.narrowest, "parts": _sections(found, site),
        "jars": _jars(found, site), "passes": found.passes, "sensors": found.sensors,
        "floor": _floor(found, site),
    }  # fmt: skip
    return render(request, "rack/loads_of.html", context)


def _sections(found: StringFigures, site: Site) -> list[dict[str, Any]]:
    return [
        {"name": one.run.name, "first": one.run.first, "last": one.run.last, "count": one.run.count,
         "bottom": one.bottom, "top": one.top, "length": one.run.length,
         "figures": [_of(one, facts, site) for facts in SECTION]}
        for one in reversed(found.sections)
    ]  # fmt: skip


def _jars(found: StringFigures, site: Site) -> list[dict[str, Any]]:
    return [
        {"ident": one.ident, "length": one.length,
         "air": shown(one.air_lb, "in air", "mass", 0, site),
         "mud": shown(one.mud_lb, "in mud", "mass", 0, site)}
        for one in found.below_jars
    ]  # fmt: skip


def _floor(found: StringFigures, site: Site) -> list[dict[str, Any]]:
    return [
        {"line": one, "torque": shown(one.torque_ft_lb, "torque", "torque", 0, site),
         "pull": shown(one.pull_lb, "line pull", "force", 0, site)}
        for one in found.floor
    ]  # fmt: skip
