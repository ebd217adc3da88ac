"""The form by which pipe is pulled for a plan."""

from typing import Any

from django import forms

from rack.calc.choosing import LADDER
from rack.forms.wells import LengthField
from rack.models import Plan
from rack.models.unloading import lots_on


class PullForm(forms.Form):
    """Which pipe, how much of it, the lowest class, and the hours it must be good for."""

    def __init__(self, data: Any = None, *, plan: Plan, **more: Any) -> None:
        super().__init__(data, auto_id="pull_%s", **more)
        unit = plan.site.length_unit
        self.lots = lots_on(plan.site)
        self.fields["lot"] = forms.ChoiceField(
            label="Which pipe", choices=[(str(one.pk), str(one)) for one in self.lots]
        )
        self.fields["length"] = LengthField(unit, label=f"Length to reach, {unit}", required=False)
        self.fields["count"] = forms.IntegerField(
            label="Or how many", min_value=1, max_value=3000, required=False
        )
        self.fields["class_wanted"] = forms.ChoiceField(
            label="Lowest class",
            choices=[("", "any, also unknown"), *[(one, one) for one in LADDER]],
            required=False,
        )
        self.fields["hours"] = forms.IntegerField(
            label="Hours planned", min_value=0, max_value=5000, required=False
        )
        self.fields["shared"] = forms.BooleanField(label="Also what another plan has", required=False)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if not self.errors and typed.get("length") is None and not typed.get("count"):
            self.add_error("length", "Say a length or a count.")
        return typed
