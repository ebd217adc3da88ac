"""One rack: its picture end on, its layers with their counts, lengths and load against its own rating."""

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from rack.actions import places as actions
from rack.calc.lengths import Length
from rack.calc.loadlist import CAUTIONS_MOVING
from rack.calc.rackload import GEOMETRY, LABEL_WORDS, LayerLoad, left_out_words, load_of, load_problems, shown
from rack.calc.states import STATES
from rack.desk import asked, at_desk, found_or_404, site_of
from rack.downloads import XLSX, paper_size
from rack.exchange import rack_book
from rack.forms.racks import RatingForm
from rack.models import Place, Site
from rack.models.lying import MOST_ON_RACK, End, ends_on, places_of
from rack.paper import racksheet
from rack.paper.rackpicture import DAY, NIGHT, LayerEnds, PipeEnd, layout, svg

LETTERS = {"at_inspection": "I", "in_repair": "R", "scrapped": "S"}
#: How wide the picture is drawn: for a desk, and for a phone.
WIDE, NARROW = 960, 340


@at_desk()
@require_GET
def rack_page(request: HttpRequest, name: str) -> HttpResponse:
    return _show(request, _rack(request, name))


def _show(request: HttpRequest, rack: Place, form: RatingForm | None = None) -> HttpResponse:
    ends = ends_on(rack)
    load = load_of([end.as_lying for end in ends], _layers(rack))
    problems = load_problems(str(rack), load.whole, rack.rated_kg)
    said = {problem.text for problem in problems}
    notes = [text for text in _notes(load.whole, ends) if text not in said]
    by_layer = {one.layer: [end for end in ends if end.layer == one.layer] for one in load.layers}
    pks = {place.layer: place.pk for place in places_of(rack)}
    layers = [
        {"load": one, "pk": pks.get(one.layer), "held": sum(end.held for end in by_layer[one.layer]),
         "lb": shown(one.lb), "kg": shown(one.kg), "left_out": len(one.not_in_sum),
         "ends": [(end, _mark(end)) for end in by_layer[one.layer]]}
        for one in reversed(load.layers)
    ]  # fmt: skip
    context: dict[str, Any] = {
        "rack": rack, "layers": layers, "whole": load.whole, "lb": shown(load.whole.lb),
        "kg": shown(load.whole.kg), "problems": problems, "notes": notes,
        "rated": f"{rack.rated_kg:,}" if rack.rated_kg else "", "share": _share(rack, load.whole),
        "held": sum(end.held for end in ends), "full": len(ends) >= MOST_ON_RACK, "most": MOST_ON_RACK,
        "form": form or RatingForm(initial={"rated_kg": rack.rated_kg}), "wide": WIDE, "narrow": NARROW,
        "cautions": CAUTIONS_MOVING, "crumbs": [("Rack", "/rack/"), ("Racks and layers", "/rack/places/")],
        "marks": sorted({mark for end in ends if (mark := _mark(end))}),
    }  # fmt: skip
    return render(request, "rack/rack.html", context, status=422 if form else 200)


@at_desk("place")
@require_POST
def rack_rate(request: HttpRequest, name: str) -> HttpResponse:
    rack = _rack(request, name)
    form = RatingForm(request.POST)
    if not form.is_valid():
        return _show(request, rack, form)
    actions.rate_rack(asked(request), rack, form.cleaned_data["rated_kg"])
    messages.success(request, f"The rating of {rack} is written down.")
    return redirect("rack_page", name=rack.rack)


@at_desk()
@require_GET
def rack_svg(request: HttpRequest, name: str) -> HttpResponse:
    """The picture by itself, for an <img>; ?night=1 on dark ground, ?narrow=1 for a phone."""
    rack = _rack(request, name)
    across = NARROW if request.GET.get("narrow") else WIDE
    ink = NIGHT if request.GET.get("night") else DAY
    text = svg(layout(_picture(rack, ends_on(rack)), across), ink, f"{rack}, end on")
    return HttpResponse(text, content_type="image/svg+xml", headers={"Cache-Control": "no-store"})


@at_desk()
@require_GET
def rack_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The rack on paper, as it stands now."""
    rack, site = _rack(request, name), site_of(request)
    data = racksheet.pdf(_sheet(rack, site), size=paper_size(request, site))
    return HttpResponse(
        data, content_type="application/pdf", headers={"Content-Disposition": 'inline; filename="rack.pdf"'}
    )


@at_desk()
@require_GET
def rack_xlsx(request: HttpRequest, name: str) -> HttpResponse:
    """The rack as a workbook, as it stands now: its layers and every piece."""
    rack, site = _rack(request, name), site_of(request)
    data = rack_book.write(_book(rack, site))
    return HttpResponse(data, content_type=XLSX,
                        headers={"Content-Disposition": 'attachment; filename="rack.xlsx"'})  # fmt: skip


@at_desk("place")
@require_POST
def aside_add(request: HttpRequest) -> HttpResponse:
    """Add a place for what is laid aside."""
    place = actions.add_aside(asked(request), site_of(request), request.POST.get("name", "")[:80])
    messages.success(request, f"{place} takes what is laid aside now.")
    return redirect("place_list")


def _rack(request: HttpRequest, name: str) -> Place:
    name = name.replace("\0", "/")  # no rack bears either, and a database refuses the one
    return found_or_404(Place.objects.on(site_of(request)).racks(), rack=name)  # type: ignore[no-any-return]


def _layers(rack: Place) -> list[int]:
    return [place.layer for place in places_of(rack) if place.layer]


def _mark(end: End) -> str:
    """Held comes first: that is what whoever reaches for the joint must know."""
    return "held" if end.held else LETTERS.get(end.state, "")


def _picture(rack: Place, ends: list[End]) -> list[LayerEnds]:
    return [
        LayerEnds(f"Layer {layer}",
                  tuple(PipeEnd(end.od_nm, _mark(end)) for end in ends if end.layer == layer))
        for layer in _layers(rack)
    ]  # fmt: skip


def _share(rack: Place, whole: LayerLoad) -> str:
    """How much of its rating the rack carries, in whole percent, rounded up so that 100 is never early."""
    if not rack.rated_kg:
        return ""
    return f"{-(-whole.kg * 100 // rack.rated_kg)} %"


def _notes(whole: LayerLoad, ends: list[End]) -> list[str]:
    notes = [left_out_words(whole)] if whole.not_in_sum else []
    notes += [LABEL_WORDS] if whole.by_label else []
    if any(end.basis == GEOMETRY for end in ends):
        notes.append("Drill collars without a label are reckoned from OD and bore, in steel.")
    return notes


def _sheet(rack: Place, site: Site) -> racksheet.RackSheet:
    ends = ends_on(rack)
    load = load_of([end.as_lying for end in ends], _layers(rack))
    unit, digits = site.length_unit, site.digits

    def row(name: str, one: LayerLoad) -> tuple[str, ...]:
        held = sum(end.held for end in ends if one.layer in (0, end.layer))
        return (name, str(one.count), str(held), Length(one.nm).shown(unit, digits), shown(one.lb),
                shown(one.kg), str(len(one.not_in_sum)))  # fmt: skip

    return racksheet.RackSheet(
        site=f"{site.name} ({site.code})", rack=str(rack),
        printed=timezone.localtime().strftime("%Y-%m-%d %H:%M"), layers=tuple(_picture(rack, ends)),
        heads=("Layer", "Pieces", "Held", f"Length {unit}", "lb", "kg", "Not weighed"),
        rows=(*(row(f"Layer {one.layer}", one) for one in reversed(load.layers)), row("All", load.whole)),
        rating=_rating(rack, load.whole), notes=_said(rack, load.whole, ends), cautions=CAUTIONS_MOVING,
    )  # fmt: skip


def _rating(rack: Place, whole: LayerLoad) -> str:
    if not rack.rated_kg:
        return "The rig's rating of this rack is not entered; there is no usual one."
    return f"Its own rating is {rack.rated_kg:,} kg: {_share(rack, whole)} of it."


def _said(rack: Place, whole: LayerLoad, ends: list[End]) -> tuple[str, ...]:
    """What must be said of the load, the worst first, each once."""
    over = [problem.text for problem in load_problems(str(rack), whole, rack.rated_kg)]
    return tuple(dict.fromkeys([*over, *_notes(whole, ends)]))


def _book(rack: Place, site: Site) -> rack_book.RackBook:
    ends = ends_on(rack)
    load = load_of([end.as_lying for end in ends], _layers(rack))
    lying = tuple(
        rack_book.LyingRow(end.layer, end.painted, end.name, end.tag, end.item, end.nm, end.mlb_ft, end.basis,
                           end.held, STATES[end.state].name)
        for end in ends
    )  # fmt: skip
    return rack_book.RackBook(
        site=f"{site.name} ({site.code})", rack=str(rack), layers=tuple(reversed(load.layers)),
        printed=timezone.localtime().strftime("%Y-%m-%d %H:%M"), whole=load.whole, lying=lying,
        address=settings.ADDRESS + reverse("rack_page", args=[rack.rack]), unit=site.length_unit,
        digits=site.digits, rating=_rating(rack, load.whole), notes=_said(rack, load.whole, ends),
        cautions=CAUTIONS_MOVING,
    )  # fmt: skip
