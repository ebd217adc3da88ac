"""Forms about runs: its head, its time lines, its end, and what happened meanwhile."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms

from rack.calc.bits import BIT_TYPES
from rack.calc.happenings import HAPPENINGS
from rack.calc.hours import BY_JOINT, WHOLE_RUN
from rack.forms.strings import WhenField
from rack.forms.wells import DayField, LengthField
from rack.models import Run, Section, Site, String

#: The lines of a tour that are typed at once; more are pasted.
TOUR_LINES = 6
MOST_TEXT = 200_000
#: How workbooks of both kinds begin.
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
CREDITED = ((WHOLE_RUN, "the whole run, the safe side"), (BY_JOINT, "by joint, from when it joined"))
#: The columns of the grid, their headings and how wide the figures are.
GRID = (
    ("from", "From"), ("to", "To"), ("from_depth", "From depth"), ("to_depth", "To depth"),
    ("rotating", "Rotating h"), ("sliding", "Sliding h"), ("circulating", "Circulating h"),
    ("bottom", "On bottom h"), ("below_rotary", "Below rotary h"), ("rpm", "rpm"),
)  # fmt: skip


class RunForm(forms.Form):
    """The head of a run."""

    def __init__(self, data: Any = None, *, site: Site, string: String | None = None) -> None:
        super().__init__(data, initial={"string": string and string.pk, "drill_pipe": WHOLE_RUN})
        unit = site.length_unit
        running = String.objects.at(site).running().order_by("-number")
        sections = Section.objects.filter(well__site=site).select_related("well")
        self.fields["string"] = forms.ModelChoiceField(
            running, label="String", empty_label="choose the string"
        )
        self.fields["bit_no"] = forms.CharField(
            label="Bit no.", max_length=12, required=False, help_text="5, or 5RR1 when it goes in again."
        )
        self.fields["bha_no"] = forms.CharField(label="BHA no.", max_length=12, required=False)
        self.fields["run_no"] = forms.CharField(label="Run no.", max_length=12, required=False)
        self.fields["section"] = forms.ModelChoiceField(
            sections.order_by("well", "planned_nm"), label="Section", required=False, empty_label="not said"
        )
        self.fields["in_at"] = WhenField(label="Went in")
        self.fields["in_depth"] = LengthField(unit, label=f"Begins at depth, {unit}", required=False)
        self.fields["drill_pipe"] = forms.ChoiceField(
            label="Drill pipe is credited", choices=CREDITED, help_text="Printed beside the hours."
        )
        self.fields["reason"] = forms.CharField(label="Why all the same", max_length=200, required=False)


class LinesForm(forms.Form):
    """Time lines of a tour, typed in the grid or pasted below it, or a CSV file."""

    day = DayField(label="Day of the first line")
    pasted = forms.CharField(
        label="Or pasted, with its headings", required=False, max_length=MOST_TEXT,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="From, To, From depth, To depth, Rotating, Sliding, Circulating, On bottom, Below rotary.",
    )  # fmt: skip
    table = forms.FileField(label="Or a CSV file", required=False)
    reason = forms.CharField(label="Remark, or why all the same", max_length=200, required=False)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Any = None, files: Any = None, *, run: Run, day: date, begins: str = "") -> None:
        super().__init__(data, files, auto_id="lines_%s", initial={"day": day, "seen": run.version})
        self.begins = begins

    def clean_table(self) -> Any:
        table = self.cleaned_data["table"]
        if table and table.size > MOST_TEXT:
            raise forms.ValidationError(
                f"The file has {table.size:,} bytes; time lines of up to {MOST_TEXT:,} are read at once."
            )
        if table:
            begins = table.read(4)
            table.seek(0)
            if begins in _WORKBOOKS:
                raise forms.ValidationError("This is a workbook: save it as CSV, or paste its cells.")
        return table

    def rows(self) -> list[list[dict[str, str]]]:
        """The grid as it is shown: what was typed, else blank; the first line begins where the last ended."""
        return [
            [
                {"name": f"{role}-{n}", "label": f"{words}, line {n + 1}", "value": self._cell(role, n)}
                for role, words in GRID
            ]
            for n in range(TOUR_LINES)
        ]

    def _cell(self, role: str, n: int) -> str:
        if self.is_bound:
            return str(self.data.get(f"{role}-{n}", ""))[:40]
        return self.begins if (role, n) == ("from", 0) else ""

    def text(self) -> str:
        """What the reader of pasted lines reads: the file, else what was pasted, else the grid."""
        table = self.cleaned_data["table"]
        if table:
            data = table.read(MOST_TEXT)
            try:
                return str(data.decode("utf-8-sig"))
            except UnicodeDecodeError:
                return str(data.decode("latin-1"))
        if self.cleaned_data["pasted"].strip():
            return str(self.cleaned_data["pasted"])
        typed = [[" ".join(self._cell(role, n).split()) for role, _ in GRID] for n in range(TOUR_LINES)]
        lines = [cells for cells in typed if any(cells[1:])]
        return "\n".join("\t".join(cells) for cells in [[words for _, words in GRID], *lines])


class EndForm(forms.Form):
    """The bit is out."""

    def __init__(self, data: Any = None, *, run: Run, pulled: Mapping[str, str]) -> None:
        super().__init__(data, auto_id="end_%s", initial={"seen": run.version, "bit_type": "fixed cutter"})
        unit = run.string.site.length_unit
        self.fields["out_at"] = WhenField(label="Came out")
        self.fields["out_depth"] = LengthField(unit, label=f"Depth it reached, {unit}", required=False)
        self.fields["reason_pulled"] = forms.ChoiceField(
            label="Why it was pulled", required=False,
            choices=[("", "not said"), *((code, f"{code}, {words}") for code, words in pulled.items())],
        )  # fmt: skip
        self.fields["bit_type"] = forms.ChoiceField(
            label="Kind of bit", choices=[(one, one) for one in BIT_TYPES]
        )
        self.fields["dull"] = forms.CharField(
            label="Dull grade", max_length=80, required=False, help_text="Eight columns: 1-2-WT-A-X-I-NO-TD."
        )
        self.fields["connections"] = forms.IntegerField(
            label="Connections made", required=False, min_value=0, max_value=10_000,
            help_text="Blank counts the joints that came one by one.",
        )  # fmt: skip
        self.fields["reason"] = forms.CharField(
            label="Remark, or why all the same", max_length=200, required=False
        )
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, required=False)


class EventForm(forms.Form):
    """Something happened to the string, or to pieces that are named."""

    def __init__(self, data: Any = None, *, site: Site) -> None:
        super().__init__(data, auto_id="event_%s")
        units = dict.fromkeys(unit for one in HAPPENINGS.values() for unit in one.units)
        self.fields["kind"] = forms.ChoiceField(
            label="What happened", choices=[(one.code, one.name) for one in HAPPENINGS.values()]
        )
        self.fields["from_at"] = WhenField(label="When", help_text="Blank means now.")
        self.fields["to_at"] = WhenField(label="Until")
        self.fields["depth"] = LengthField(
            site.length_unit, label=f"Depth of the bit, {site.length_unit}", required=False
        )
        self.fields["amount"] = forms.IntegerField(
            label="How much", required=False, min_value=0, max_value=10**9, help_text="Hits, pull, torque."
        )
        self.fields["unit"] = forms.ChoiceField(
            label="Counted in", required=False, choices=[("", "nothing"), *((one, one) for one in units)]
        )
        self.fields["names"] = forms.CharField(
            label="Only these pieces", required=False, max_length=4000,
            widget=forms.Textarea(attrs={"rows": 2}), help_text="Blank: every piece in the hole then.",
        )  # fmt: skip
        self.fields["note"] = forms.CharField(label="Note", max_length=200, required=False)
        self.fields["reason"] = forms.CharField(label="Why all the same", max_length=200, required=False)


class BackForm(forms.Form):
    """A line, an event or the end of a run is taken back."""

    row = forms.IntegerField(required=False, min_value=1, max_value=10**15)
    reason = forms.CharField(max_length=200, required=False)
