"""Forms about wells and their datum."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms

from rack.calc.datums import OVER
from rack.calc.lengths import Length
from rack.models import Site, Well


class DayField(forms.DateField):
    """A day, by the browser's own calendar or typed as 2026-05-01."""

    def __init__(self, **more: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(widget=widget, input_formats=["%Y-%m-%d"], **more)
        self.error_messages["invalid"] = "Write the day as 2026-05-01."


class LengthField(forms.CharField):
    """A length in the unit of the site; what cannot be read is said in a sentence."""

    def __init__(self, unit: str, **more: Any) -> None:
        super().__init__(max_length=40, **more)
        self.unit = unit

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        try:
            return Length.parse(text, self.unit)
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None


class WellForm(forms.Form):
    name = forms.CharField(label="Name of the well", max_length=60)
    slot = forms.CharField(label="Slot", max_length=20, required=False)
    rig_from = DayField(label="Rig came on", required=False)
    rig_to = DayField(label="Rig left on", required=False)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Mapping[str, Any] | None = None, *, well: Well | None = None) -> None:
        names = ("name", "slot", "rig_from", "rig_to")
        now = {name: getattr(well, name) for name in names} | {"seen": well.version} if well else {}
        super().__init__(data, auto_id="well_%s", initial=now)


class DatumForm(forms.Form):
    """One measurement of a datum, lengths in the unit of the site."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, site: Site, today: date) -> None:
        super().__init__(data, auto_id="datum_%s")
        unit = site.length_unit
        self.fields["name"] = forms.CharField(
            label="Datum", max_length=40, initial="RKB", help_text="What depths are counted from."
        )
        self.fields["height"] = LengthField(unit, label=f"Height, {unit}")
        self.fields["over"] = forms.ChoiceField(label="Counted", choices=list(OVER.items()))
        self.fields["water"] = LengthField(unit, label=f"Water depth, {unit}", required=False)
        self.fields["shoulder"] = LengthField(
            unit, label=f"Datum to landing shoulder, {unit}", required=False
        )
        self.fields["measured_on"] = DayField(label="Measured on", initial=today)
        self.fields["measured_by"] = forms.CharField(label="Measured by", max_length=60)
