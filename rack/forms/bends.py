"""The form of a sharp bend of a well, as a survey or the directional driller gives it."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

from rack.forms.wells import LengthField
from rack.models import Site

#: What it may be given in, and how much of it is one degree in 100 ft (a foot is 0.3048 m).
SEVERITIES = {"deg/100 ft": Fraction(1), "deg/30 m": Fraction(3048, 3000)}


class BendForm(forms.Form):
    """A bend from depth to depth, and how sharp it is."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, site: Site) -> None:
        super().__init__(data, auto_id="bend_%s")
        unit = site.length_unit
        self.fields["from_depth"] = LengthField(unit, label=f"From depth, {unit}")
        self.fields["to_depth"] = LengthField(unit, label=f"To depth, {unit}")
        self.fields["severity"] = forms.CharField(label="How sharp, degrees", max_length=12)
        self.fields["measured"] = forms.ChoiceField(
            label="Measured in", choices=[(name, name) for name in SEVERITIES],
            initial="deg/30 m" if unit == "m" else "deg/100 ft",
        )  # fmt: skip
        self.fields["note"] = forms.CharField(label="Note", max_length=120, required=False)

    def clean_severity(self) -> Fraction:
        typed = str(self.cleaned_data["severity"]).strip().replace(",", ".")
        if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,4})?", typed):
            raise forms.ValidationError("Write degrees like 3.5.")
        return Fraction(typed)

    def mdeg(self) -> int:
        """Thousandths of a degree in 100 ft, rounded once, half up. The form is valid."""
        exact = 1000 * self.cleaned_data["severity"] * SEVERITIES[self.cleaned_data["measured"]]
        return int(exact + Fraction(1, 2))
