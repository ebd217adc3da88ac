"""Choosing several pieces in one go: a layer, from one painted number to another, or a typed list."""

import re
from typing import Any

from django import forms
from django.db.models import QuerySet

from rack.calc.checks import Problem, stops
from rack.calc.painted import from_to, in_counting_order
from rack.calc.states import ON_SITE
from rack.models import Component, Place, Site, Tally
from rack.models.lying import painted_numbers
from rack.models.naming import named

WAYS = (("layer", "everything on a layer"), ("numbers", "joints from one painted number to another"),
        ("names", "the pieces that I type"))  # fmt: skip
MOST = 2000
MOST_TALLIES = 100


class PiecesForm(forms.Form):
    """Which pieces. `pieces()` says which they are and what is wrong, every problem at once."""

    way = forms.ChoiceField(label="Which pieces", choices=WAYS, widget=forms.RadioSelect, initial="layer")
    layer = forms.ModelChoiceField(
        Place.objects.none(), label="On layer", required=False, empty_label="choose a layer"
    )
    tally = forms.ModelChoiceField(
        Tally.objects.none(), label="Or as on tally", required=False, empty_label="no tally",
        help_text="Then painted numbers are in the order of the tally.",
    )  # fmt: skip
    first = forms.CharField(label="From painted number", max_length=20, required=False)
    last = forms.CharField(label="To painted number", max_length=20, required=False)
    names = forms.CharField(
        label="Serials, tags or painted numbers", required=False, max_length=40_000,
        widget=forms.Textarea(attrs={"rows": 4}), help_text="One a line, or with commas between.",
    )  # fmt: skip

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        self.site = site
        fields: dict[str, Any] = self.fields
        fields["layer"].queryset = Place.objects.on(site).lie_on()
        tallies = Tally.objects.at(site).order_by("-number")
        fields["tally"].queryset = tallies.filter(number__gt=_newest(tallies) - MOST_TALLIES)
        fields["tally"].label_from_instance = _tally_words

    def pieces(self) -> tuple[list[Component], list[Problem]]:
        """The pieces in order and what is wrong with the choice. The form is valid."""
        typed = self.cleaned_data
        if typed["way"] == "names":
            return self._by_names(typed["names"])
        if typed["way"] == "numbers":
            return self._by_numbers()
        if not typed["layer"]:
            return [], [stops("Choose the layer.", code="layer")]
        return self._enough(self._on_layer(typed["layer"]))

    def _here(self) -> "QuerySet[Component]":
        return Component.objects.at(self.site).select_related("spec", "place", "site")

    def _on_layer(self, layer: Place) -> list[Component]:
        rows = self._here().filter(place=layer, state__in=ON_SITE).order_by("serial_key", "id")
        return list(rows[: MOST + 1])

    def _by_names(self, text: str) -> tuple[list[Component], list[Problem]]:
        names = [name.strip() for name in re.split(r"[,;\n\r\t]+", text) if name.strip()]
        if not names:
            return [], [stops("Type the serials, tags or painted numbers.", code="names")]
        layer = self.cleaned_data["layer"]
        pieces = self._here().filter(place=layer) if layer else self._here()
        return named(pieces, names)

    def _by_numbers(self) -> tuple[list[Component], list[Problem]]:
        typed = self.cleaned_data
        first, last = typed["first"].strip(), typed["last"].strip() or typed["first"].strip()
        problems = [] if first else [stops("Type the painted number it begins with.", code="numbers")]
        if not typed["layer"] and not typed["tally"]:
            problems.append(stops("Choose the layer, or the tally, that the numbers are on.", code="layer"))
        if problems:
            return [], problems
        numbered = self._of_tally(typed["tally"]) if typed["tally"] else self._of_layer(typed["layer"])
        places, wrong = from_to([number for number, _ in numbered], first, last)
        untied = [numbered[place][0] for place in places if numbered[place][1] is None]
        wrong += tuple(
            stops(f"Joint {number} of the tally is tied to no piece yet.", code="untied", where=number)
            for number in untied
        )
        return [piece for place in places if (piece := numbered[place][1])], list(wrong)

    def _of_layer(self, layer: Place) -> list[tuple[str, Component | None]]:
        pieces = self._on_layer(layer)
        painted = painted_numbers(piece.pk for piece in pieces)
        numbered = [(painted[piece.pk], piece) for piece in pieces if piece.pk in painted]
        return sorted(numbered, key=lambda pair: in_counting_order(pair[0]))

    def _of_tally(self, tally: Tally) -> list[tuple[str, Component | None]]:
        lines = tally.lines.standing().in_order().select_related("component__spec", "component__place")
        return [(line.painted, line.component) for line in lines if line.painted]

    def _enough(self, pieces: list[Component]) -> tuple[list[Component], list[Problem]]:
        if not pieces:
            return [], [stops("Nothing lies there.", code="empty")]
        if len(pieces) > MOST:
            return [], [stops(f"More than {MOST:,} pieces lie there; move them in parts.", code="many")]
        return pieces, []


class MovingForm(PiecesForm):
    """Which pieces, and where to."""

    place = forms.ModelChoiceField(Place.objects.none(), label="To", empty_label="choose a layer")

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, site=site, **more)
        self.fields["place"].queryset = Place.objects.on(site).lie_on()  # type: ignore[attr-defined]


def _newest(tallies: "QuerySet[Tally]") -> int:
    newest = tallies.first()
    return newest.number if newest else 0


def _tally_words(tally: Tally) -> str:
    return f"{tally}: {tally.title}" if tally.title else str(tally)
