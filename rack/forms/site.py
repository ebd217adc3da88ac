"""The form of a site's settings."""

from datetime import time
from typing import Any

from django import forms

from rack.calc.hours import TOUR_HOURS
from rack.models import Site


class SiteForm(forms.Form):
    """Where the report day begins and how long a tour is."""

    report_day = forms.TimeField(
        label="The report day begins at", input_formats=["%H:%M"],
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        help_text="By the clock of the site; 00:00, 05:00 and 06:00 are usual.",
    )  # fmt: skip
    tour_hours = forms.TypedChoiceField(
        label="A tour has", coerce=int, choices=[(hours, f"{hours} hours") for hours in TOUR_HOURS]
    )

    def __init__(self, data: Any = None, *, site: Site) -> None:
        begins = time(site.report_day_s // 3600, site.report_day_s // 60 % 60)
        super().__init__(data, initial={"report_day": begins, "tour_hours": site.tour_hours})
        self.fields["report_day"].error_messages["invalid"] = "Write the time as 06:00."

    def report_day_s(self) -> int:
        """Seconds after midnight by the wall clock."""
        at: time = self.cleaned_data["report_day"]
        return at.hour * 3600 + at.minute * 60
