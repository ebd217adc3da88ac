"""The head of a pencil sheet that is typed in: whose hands, which tape, when, and its photograph."""

import datetime as dt
from typing import Any

from django import forms
from django.utils import timezone

from rack.models import Site

NOON = dt.time(12)


class SheetHeadForm(forms.Form):
    date = forms.DateField(
        label="Date on the sheet", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=["%Y-%m-%d", "%d.%m.%Y", "%m/%d/%Y"],
    )
    at = forms.TimeField(
        label="Time", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        input_formats=["%H:%M"],
    )
    list_n = forms.IntegerField(
        label="List", required=False, min_value=1, max_value=99999,
        help_text="The number at the foot of the printed sheet; empty for a sheet of one's own.",
    )
    tape = forms.CharField(label="Tape", max_length=40)
    reader = forms.CharField(label="Who read the tape", max_length=60)
    writer = forms.CharField(label="Who wrote", max_length=60, required=False)
    photo = forms.FileField(
        label="Photo of the sheet", required=False, allow_empty_file=True, max_length=200,
        help_text="JPEG, PNG, HEIC or PDF, up to 20 MB. It is kept with the tally.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/heic,application/pdf"}),
    )

    def __init__(self, data: Any = None, files: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, files, **more)
        self.site = site

    def clean_date(self) -> dt.date:
        typed: dt.date = self.cleaned_data["date"]
        today = timezone.localdate(timezone=self.site.zone)
        if typed > today:
            raise forms.ValidationError("That day is still to come; type the date that stands on the sheet.")
        if (today - typed).days > 3660:
            raise forms.ValidationError("That is more than ten years ago; look at the year again.")
        return typed

    def made_at(self) -> dt.datetime:
        """When the sheet was written, by the clock of the site; noon where no time stands on it."""
        typed = self.cleaned_data
        return dt.datetime.combine(typed["date"], typed["at"] or NOON, tzinfo=self.site.zone)

    def hands(self) -> str:
        return ", ".join(name for name in (self.cleaned_data["reader"], self.cleaned_data["writer"]) if name)
