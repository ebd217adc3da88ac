"""Forms of jobs: what is booked for which day, which pieces, and why one was not looked at."""

import re
from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone

from inspection.models.booking import BOOKABLE, places_of
from inspection.models.jobs import SCOPE_CHOICES
from rack.calc.checks import Problem
from rack.calc.kinds import KIND_CHOICES
from rack.models import Component, Place, Site
from rack.models.naming import named

#: So many days ahead are proposed when nothing is chosen: the inspector comes once.
AHEAD = 30


class ProposalForm(forms.Form):
    """What is proposed: everything that falls due until a day, of a kind, on a layer."""

    until = forms.DateField(label="Due until", required=False, widget=forms.DateInput({"type": "date"}))
    kind = forms.ChoiceField(label="Kind", choices=[("", "every kind"), *KIND_CHOICES], required=False)
    place = forms.ModelChoiceField(
        Place.objects.none(), label="Where it lies", required=False, empty_label="everywhere"
    )

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        self.fields["place"].queryset = places_of(site)  # type: ignore[attr-defined]

    def chosen(self) -> dict[str, Any]:
        """What is chosen, or what is usual."""
        typed = self.cleaned_data if self.is_valid() else {}
        until = typed.get("until") or timezone.localdate() + timedelta(days=AHEAD)
        return {"until": until, "kind": typed.get("kind", ""), "place": typed.get("place")}


class JobForm(forms.Form):
    """The head of a job."""

    on = forms.DateField(label="The inspector comes on", widget=forms.DateInput({"type": "date"}))
    scope = forms.ChoiceField(label="What is looked at", choices=SCOPE_CHOICES)
    company = forms.CharField(label="Company", max_length=80, required=False)
    where = forms.CharField(label="Where", max_length=80, required=False, help_text="On the rack, shed 2 ...")
    note = forms.CharField(
        label="Note", max_length=200, required=False, help_text="Printed on the pick list."
    )


class NamesForm(forms.Form):
    """Pieces by the names that are typed."""

    names = forms.CharField(
        label="Serials, tags or painted numbers", required=False, max_length=40_000,
        widget=forms.Textarea(attrs={"rows": 4}), help_text="One a line, or with commas between.",
    )  # fmt: skip

    def pieces(self, site: Site) -> tuple[list[Component], list[Problem]]:
        """Which pieces of a site are named, and every name that means none or several."""
        names = [text.strip() for text in re.split(r"[,;\n]", self.cleaned_data["names"]) if text.strip()]
        return named(Component.objects.at(site).filter(state__in=BOOKABLE), names) if names else ([], [])


class WhyNotForm(forms.Form):
    reason = forms.CharField(label="Why the ticked ones were not looked at", max_length=200)
