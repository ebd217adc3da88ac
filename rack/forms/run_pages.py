"""What the pages about hours are asked for: which pieces, which clock, grouped by what, at which moment."""

from typing import Any

from django import forms

from rack.calc.hours import CLOCK_NAMES, PIECE_CLOCKS
from rack.calc.kinds import KINDS
from rack.forms.wells import LengthField
from rack.models import Clock, Component, Site, String, Well

#: So many strings are offered, those that run and the newest that ended.
MOST_STRINGS = 60
GROUPINGS = (
    ("piece", "piece"), ("spec", "specification"), ("delivery", "lot, as delivered"), ("well", "well"),
)  # fmt: skip


class LimitsForm(forms.Form):
    """Whose hours are held against their limits."""

    def __init__(self, data: Any = None, *, site: Site) -> None:
        super().__init__(data)
        strings = String.objects.at(site).select_related("well").order_by("-ended_at", "-number")
        self.fields["string"] = forms.ModelChoiceField(
            String.objects.at(site), required=False, label="String", empty_label="any",
            to_field_name="number",
        )  # fmt: skip
        self.fields["string"].choices = [  # type: ignore[attr-defined]
            ("", "any"), *((one.number, str(one)) for one in strings[:MOST_STRINGS])
        ]
        self.fields["kind"] = forms.ChoiceField(
            required=False, label="Kind", choices=[("", "any"), *_kinds(site)]
        )
        clocks = [(clock, CLOCK_NAMES[clock]) for clock in PIECE_CLOCKS]
        self.fields["clock"] = forms.ChoiceField(
            required=False, label="Clock", choices=[("", "with a limit, else the kind's own"), *clocks]
        )


def _kinds(site: Site) -> list[tuple[str, str]]:
    """The kinds of which a piece of the site has run."""
    ran = Clock.objects.filter(component__site=site).order_by().values("component")
    there = Component.objects.filter(pk__in=ran).order_by().values_list("spec__kind", flat=True).distinct()
    here = set(there)
    return [(code, kind.name) for code, kind in KINDS.items() if code in here]


class TotalsForm(forms.Form):
    """By what hours and footage are added up, and of what."""

    def __init__(self, data: Any = None, *, site: Site) -> None:
        super().__init__(data)
        self.fields["by"] = forms.ChoiceField(required=False, label="Each", choices=GROUPINGS)
        wells = Well.objects.filter(site=site).order_by("name")
        self.fields["well"] = forms.ModelChoiceField(
            wells, required=False, label="Well", empty_label="every well"
        )
        self.fields["kind"] = forms.ChoiceField(
            required=False, label="Kind", choices=[("", "every kind"), *_kinds(site)]
        )


class ThenForm(forms.Form):
    """The moment at which a string is looked at, or the depth that the bit first reached then."""

    def __init__(self, data: Any = None, *, site: Site) -> None:
        super().__init__(data)
        # To the second, or a change that is stepped to would lie after the moment that is sent again.
        widget = forms.DateTimeInput(
            format="%Y-%m-%dT%H:%M:%S", attrs={"type": "datetime-local", "step": "1"}
        )
        self.fields["at"] = forms.DateTimeField(
            required=False, label="At", widget=widget,
            error_messages={"invalid": "Write the time as 2026-05-01 14:20."},
        )  # fmt: skip
        unit = site.length_unit
        self.fields["depth"] = LengthField(
            unit, required=False, label=f"Or when the bit first reached, {unit}"
        )
