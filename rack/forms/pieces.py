"""Forms about one piece, and about racks."""

from collections.abc import Mapping
from typing import Any

from django import forms

from rack.calc.states import STATES, by_hand
from rack.models import MarkKind, Place, Site


class HoldForm(forms.Form):
    reason = forms.CharField(label="Why", max_length=200, help_text="Slip cut, box end; damaged seal; bent.")


class NewHoldForm(HoldForm):
    """A new hold, with a photo of what was seen where there is one."""

    photo = forms.FileField(
        label="Photo", required=False, allow_empty_file=True, max_length=200,
        help_text="JPEG, PNG, HEIC or PDF, up to 20 MB.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/heic,application/pdf"}),
    )  # fmt: skip


class MoveForm(forms.Form):
    place = forms.ModelChoiceField(Place.objects.none(), label="To", empty_label="choose a layer")

    def __init__(self, data: Mapping[str, Any] | None = None, *, site: Site) -> None:
        super().__init__(data)
        self.fields["place"].queryset = Place.objects.on(site).lie_on()  # type: ignore[attr-defined]


class ReasonForm(MoveForm):
    """The same, once the rack has asked: with the reason that is stored."""

    reason = forms.CharField(label="Why it goes there all the same", max_length=300, required=False)


class NameForm(forms.Form):
    what = forms.ChoiceField(label="What", choices=MarkKind.choices, initial=MarkKind.PAINTED)
    text = forms.CharField(label="Number or name", max_length=60)


class StateForm(forms.Form):
    state = forms.ChoiceField(label="Becomes")

    def __init__(self, data: Mapping[str, Any] | None = None, *, now: str) -> None:
        super().__init__(data)
        self.fields["state"].choices = [(code, STATES[code].name) for code in by_hand(now)]  # type: ignore[attr-defined]


class RackForm(forms.Form):
    name = forms.CharField(label="Name of the rack", max_length=40)
    layers = forms.IntegerField(label="Layers", min_value=1, max_value=30, initial=3)
    rated_kg = forms.IntegerField(
        label="Rated load, kg",
        required=False,
        min_value=1,
        max_value=10_000_000,
        help_text="The rig's own figure for this rack; there is no usual one.",
    )
