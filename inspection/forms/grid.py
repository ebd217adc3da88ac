"""The forms before a grid: which pieces, and the head that is said once for all of them."""

import re
from collections.abc import Callable
from typing import Any

from django import forms

from inspection.calc.methods import methods_for
from inspection.forms.head import HeadForm
from inspection.models import Job, JobPiece
from rack.calc.checks import Problem, stops
from rack.calc.kinds import KIND_CHOICES, KINDS
from rack.calc.painted import in_counting_order
from rack.calc.specs import SpecFacts
from rack.calc.states import ON_SITE
from rack.models import Component, Delivery, Place, Site, String
from rack.models.lying import painted_numbers
from rack.models.naming import named

WAYS = (("layer", "everything on a layer"), ("delivery", "everything of a delivery"),
        ("string", "everything in a string"), ("job", "what a job still waits for"),
        ("names", "the pieces that I type"))  # fmt: skip
MOST = 250
MOST_CHOICES = 100


class ChooseForm(forms.Form):
    """Which pieces; they are of one kind, so that they have the same columns."""

    way = forms.ChoiceField(label="Which pieces", choices=WAYS, widget=forms.RadioSelect, initial="layer")
    layer = forms.ModelChoiceField(Place.objects.none(), required=False, empty_label="choose a layer")
    delivery = forms.ModelChoiceField(
        Delivery.objects.none(), required=False, empty_label="choose a delivery"
    )
    string = forms.ModelChoiceField(String.objects.none(), required=False, empty_label="choose a string")
    of_job = forms.ModelChoiceField(
        Job.objects.none(), label="Job", required=False, empty_label="choose a job"
    )
    names = forms.CharField(
        label="Serials, tags or painted numbers", required=False, max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 4}), help_text="One a line, or with commas between.",
    )  # fmt: skip
    kind = forms.ChoiceField(
        label="Kind", required=False, choices=[("", "any, when they are all of one"), *KIND_CHOICES]
    )

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        self.site = site
        known: dict[str, Any] = self.fields
        known["layer"].queryset = Place.objects.on(site).lie_on()
        newest = Delivery.objects.at(site).order_by("-id").values("pk")[:MOST_CHOICES]
        known["delivery"].queryset = Delivery.objects.filter(pk__in=list(newest.values_list("pk", flat=True)))
        known["string"].queryset = String.objects.at(site).filter(ended_at=None).order_by("-number")
        known["of_job"].queryset = Job.objects.at(site).open().order_by("-number")

    def pieces(self) -> tuple[list[Component], list[Problem]]:
        """The pieces in their order and what is wrong with the choice. The form is valid."""
        typed = self.cleaned_data
        way = typed["way"]
        if way == "names":
            names = [name.strip() for name in re.split(r"[,;\n\r\t]+", typed["names"]) if name.strip()]
            if not names:
                return [], [stops("Type the serials, tags or painted numbers.", code="names")]
            found, problems = named(self._here(), names)
            return self._whole(found, problems)
        chosen = typed["of_job" if way == "job" else way]
        if not chosen:
            return [], [stops(f"Choose the {way}.", code=way)]
        ways: dict[str, Callable[[Any], list[Component]]] = {
            "layer": self._on_layer, "delivery": self._of_delivery, "string": self._of_string,
            "job": self._of_job,
        }  # fmt: skip
        return self._whole(ways[way](chosen), [])

    def _here(self) -> Any:
        return Component.objects.at(self.site).select_related("spec", "place", "site")

    def _on_layer(self, layer: Place) -> list[Component]:
        rows = self._here().filter(place=layer, state__in=ON_SITE).order_by("serial_key", "id")
        found = list(rows[: MOST * 4])
        painted = painted_numbers(piece.pk for piece in found)
        return sorted(found, key=lambda piece: in_counting_order(painted.get(piece.pk, "")))

    def _of_delivery(self, delivery: Delivery) -> list[Component]:
        rows = delivery.rows.filter(component__isnull=False).order_by("row_n", "id")
        order = {pk: n for n, pk in enumerate(rows.values_list("component", flat=True)[: MOST * 4])}
        return sorted(self._here().filter(pk__in=list(order)), key=lambda piece: order[piece.pk])

    def _of_string(self, string: String) -> list[Component]:
        members = string.members.now().from_the_bit().values_list("component", flat=True)
        order = {pk: n for n, pk in enumerate(members)}
        return sorted(self._here().filter(pk__in=list(order)), key=lambda piece: order[piece.pk])

    def _of_job(self, job: Job) -> list[Component]:
        waiting = JobPiece.objects.filter(job=job, inspection=None, reason="").order_by("id")
        order = {pk: n for n, pk in enumerate(waiting.values_list("component", flat=True))}
        return sorted(self._here().filter(pk__in=list(order)), key=lambda piece: order[piece.pk])

    def _whole(
        self, found: list[Component], problems: list[Problem]
    ) -> tuple[list[Component], list[Problem]]:
        wanted = self.cleaned_data["kind"]
        if wanted:
            found = [piece for piece in found if piece.spec.kind == wanted]
        if not found and not problems:
            return [], [stops("There is no such piece.", code="empty")]
        kinds: dict[str, int] = {}
        for piece in found:
            kinds[piece.spec.kind] = kinds.get(piece.spec.kind, 0) + 1
        if len(kinds) > 1:
            some = ", ".join(f"{n} {KINDS[kind].name}" for kind, n in kinds.items())
            problems = [*problems, stops(f"They are of several kinds: {some}. Choose the kind.", code="kind")]
        if len(found) > MOST:
            said = f"They are {len(found)}; a grid takes at most {MOST}. Choose them in parts."
            problems = [*problems, stops(said, code="many")]
        return found, problems


class GridHeadForm(HeadForm):
    """The head of a grid: the same for every row, with the methods that were done on all of them."""

    methods = forms.MultipleChoiceField(
        label="Done on every joint, nothing to reject unless its row says so",
        required=False, widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    unit = forms.ChoiceField(
        label="Sizes without a unit are", choices=[("in", "inches"), ("mm", "millimetres")]
    )
    reason = forms.CharField(
        label="Why it is recorded all the same", max_length=150, required=False,
        help_text="Only where the head itself is asked about.",
    )  # fmt: skip

    def __init__(self, *given: Any, spec: SpecFacts, **more: Any) -> None:
        super().__init__(*given, kind=spec.kind, **more)
        fits = [(one.code, f"{one.code}, {one.name}") for one in methods_for(spec)]
        self.fields["methods"].choices = fits  # type: ignore[attr-defined]
