"""Forms about a daily report: the file or the pasted rows, how it is read, one row changed by hand."""

from collections.abc import Mapping
from typing import Any

from django import forms

from rack.calc.daily import CELLS, Choices
from rack.forms.wells import DayField

MOST_BYTES = 20 * 1024 * 1024
MOST_TEXT = 500_000
#: What each cell of a row is called; hours as in the grid of a tour.
CELL_WORDS = (
    "Day", "From", "To", "From depth", "To depth", "Rotating h", "Sliding h", "Circulating h", "On bottom h",
    "Below rotary h", "rpm",
)  # fmt: skip


class ReportForm(forms.Form):
    """A report as a file, or its rows as they were copied."""

    file = forms.FileField(
        label="The report", required=False,
        help_text="CSV, TSV, TXT, XLSX, XLS, ODS or JSON, with a column for from, to, activity or remark.",
    )  # fmt: skip
    pasted = forms.CharField(
        label="Or its rows, pasted with their headings", required=False, max_length=MOST_TEXT, strip=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="Date, From, To, Depth, Activity, Remark.",
    )  # fmt: skip

    def clean_file(self) -> object:
        file = self.cleaned_data["file"]
        if file and file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The file has {file.size / 1e6:.0f} MB; a report of up to {MOST_BYTES // 1024 // 1024} MB "
                "is read."
            )
        return file

    def clean(self) -> dict[str, Any]:
        found: dict[str, Any] = super().clean() or self.cleaned_data
        if not self.errors and not found.get("file") and not found.get("pasted", "").strip():
            raise forms.ValidationError("Choose the file of the report, or paste its rows.")
        return found

    def handed_in(self) -> tuple[bytes, str, str]:
        """The bytes, their name and their media type; a file goes before what was pasted."""
        file = self.cleaned_data["file"]
        if file:
            return file.read(), file.name[:200], (file.content_type or "")[:100]
        return self.cleaned_data["pasted"].encode(), "pasted rows.txt", "text/plain"


class ChoicesForm(forms.Form):
    """How a report is read: which wellbore, which days, what its depths and dates mean."""

    def __init__(self, data: Any = None, *, choices: Choices, wellbores: tuple[tuple[str, int], ...]) -> None:
        begins = {name: getattr(choices, name)
                  for name in ("wellbore", "unit", "dated_after", "day", "first", "last")}  # fmt: skip
        super().__init__(data, initial=begins, auto_id="read_%s")
        self.choices = choices
        self.fields["wellbore"] = forms.ChoiceField(
            label="Rows of", required=False,
            choices=[(name, f"{name} ({n:,})") for name, n in wellbores] or [("", "the file names none")],
        )  # fmt: skip
        self.fields["first"] = DayField(label="From report day", required=False)
        self.fields["last"] = DayField(label="To report day", required=False)
        self.fields["unit"] = forms.ChoiceField(
            label="Depths are in", choices=[("m", "metres"), ("ft", "feet")],
            help_text="A remark that names its unit governs.",
        )  # fmt: skip
        self.fields["day"] = DayField(label="Day of rows that name none", required=False)
        self.fields["dated_after"] = forms.BooleanField(
            label="The report bears the date of the day after", required=False
        )

    def chosen(self) -> Choices:
        """The choices as they were set; what was done to rows by hand stays."""
        old = self.choices
        return Choices(**self.cleaned_data, out=old.out, back=old.back, changed=old.changed)


class RowForm(forms.Form):
    """One row of a report as a time line, each cell as it is typed on a tour sheet."""

    def __init__(self, data: Any = None, *, cells: Mapping[str, str]) -> None:
        super().__init__(data, initial=dict(cells), auto_id="row_%s")
        for cell, words in zip(CELLS, CELL_WORDS, strict=True):
            self.fields[cell] = forms.CharField(label=words, max_length=40, required=False)
