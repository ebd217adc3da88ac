"""The head of an inspection: said once, remembered for the next piece of the same session."""

import re
from datetime import date
from typing import Any

from django import forms
from django.core import signing
from django.utils import timezone

from inspection.actions.found import Head, Kept
from inspection.calc.criteria import scheme, schemes_for
from inspection.models import Inspector, Job
from inspection.models.facts import scheme_for
from inspection.models.jobs import SCOPE_CHOICES
from rack.models import Site

SALT = "inspection.kept"
REPORT_TYPES = ".pdf,.jpg,.jpeg,.png,.xlsx,.csv"
DAY_FORMATS = ["%Y-%m-%d", "%d.%m.%Y"]
_DUE = re.compile(
    r"^(?P<name>.*?)[\s,;:]*(?:calibrated to|cal\.?|to|until|due)?[\s,;:]*(?P<day>\d{4}-\d{2}-\d{2})$"
)
_DAYLIKE = re.compile(r"\b\d{1,4}[./-]\d{1,2}[./-]\d{2,4}\b")
MOST_EQUIPMENT = 20


class HeadForm(forms.Form):
    """What is said once: the day, the scope, whose word, which report."""

    on = forms.DateField(
        label="Day of the inspection", input_formats=DAY_FORMATS,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    hour = forms.TimeField(
        label="Hour", required=False, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text="Where it turned on that day too: without the hour all of that day counts as run since.",
    )  # fmt: skip
    scope = forms.ChoiceField(label="Scope", choices=SCOPE_CHOICES, initial="full")
    scheme = forms.ChoiceField(label="Scheme and edition", required=False)
    acceptance = forms.ChoiceField(
        label="Accepted to class", required=False,
        help_text="What a look without figures proves: nothing to reject at this class.",
    )  # fmt: skip
    inspector = forms.ModelChoiceField(Inspector.objects.none(), required=False, empty_label="not named")
    company = forms.CharField(label="Company", max_length=80, required=False)
    report_no = forms.CharField(label="Report number", max_length=60, required=False)
    equipment = forms.CharField(
        label="Equipment", required=False, max_length=1500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="One a line, with the last day of its calibration: UT-7; 2026-12-31",
    )  # fmt: skip
    job = forms.ModelChoiceField(Job.objects.none(), required=False, empty_label="no job")
    report = forms.FileField(
        label="The company's report", required=False, allow_empty_file=True, max_length=200,
        help_text="PDF, JPEG, PNG, XLSX or CSV, up to 20 MB.",
        widget=forms.FileInput(attrs={"accept": REPORT_TYPES}),
    )  # fmt: skip
    report_kept = forms.CharField(required=False, widget=forms.HiddenInput)
    without_report = forms.BooleanField(label="Leave the report off", required=False)

    def __init__(
        self, data: Any = None, files: Any = None, *, site: Site, kind: str = "", **more: Any
    ) -> None:
        super().__init__(data, files, **more)
        self.site, self.kind = site, kind
        known: dict[str, Any] = self.fields
        if kind:
            names = [name for one in schemes_for(kind) for name in one.names]
            codes = [(one.code, f"{one.said}{'' if one.computed else ', class as given'}")
                     for one in schemes_for(kind)]  # fmt: skip
            known["scheme"].choices = [("", "as the site follows"), *codes]
            known["acceptance"].choices = [("", "not said"), *((name, name) for name in dict.fromkeys(names))]
        else:
            del self.fields["scheme"], self.fields["acceptance"]
        known["inspector"].queryset = Inspector.objects.at(site)
        known["job"].queryset = Job.objects.at(site).open().order_by("-number")
        if not known["job"].queryset.exists():
            del self.fields["job"]
        kept = self.kept_report()
        if kept is None:
            del self.fields["without_report"]
        else:
            known["report"].help_text = f"{kept.name} is kept; another file takes its place."

    def clean_on(self) -> date:
        typed: date = self.cleaned_data["on"]
        if typed > timezone.localdate(timezone=self.site.zone):
            raise forms.ValidationError("That day is still to come: nothing was looked at yet.")
        if typed.year < 1950:
            raise forms.ValidationError("Look at the year again.")
        return typed

    def clean_equipment(self) -> list[tuple[str, str]]:
        try:
            return read_equipment(self.cleaned_data["equipment"])
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        accepted, on = typed.get("acceptance"), typed.get("on")
        if accepted and on:
            code = typed.get("scheme") or scheme_for(self.site, self.kind, on)
            if accepted not in scheme(code).names:
                said = (
                    f"{scheme(code).said} has no class {accepted}; there are {', '.join(scheme(code).names)}."
                )
                self.add_error("acceptance", said)
        return typed

    def kept_report(self) -> Kept | None:
        """The report that was handed in before, "" where it is to be left off."""
        text = self.data.get("report_kept", "") if self.is_bound else self.initial.get("report_kept", "")
        return kept_of(text) if not self.data.get("without_report") else None

    def keep_report(self, kept: Kept) -> None:
        """Bring a report back with the form, so that it need not be chosen again."""
        data = self.data.copy()  # type: ignore[attr-defined]
        data["report_kept"] = sign_kept(kept)
        self.data = data
        self.fields["report"].help_text = f"{kept.name} is kept; another file takes its place."

    def head(self, report: Kept | None) -> Head:
        """The head as the action takes it; the form is valid."""
        typed = self.cleaned_data
        return Head(
            typed["on"], typed["scope"], typed.get("scheme", ""), typed.get("acceptance", ""),
            typed["inspector"], typed["company"], typed["report_no"],
            tuple((name, date.fromisoformat(day) if day else None) for name, day in typed["equipment"]),
            typed.get("job"), report, typed["hour"],
        )  # fmt: skip

    def remembered(self, report: Kept | None) -> dict[str, str]:
        """What the next page of this session begins with; the form is valid."""
        typed = self.cleaned_data
        lines = [f"{name}; {day}" if day else name for name, day in typed["equipment"]]
        return {
            "on": typed["on"].isoformat(), "hour": f"{typed['hour']:%H:%M}" if typed["hour"] else "",
            "scope": typed["scope"], "scheme": typed.get("scheme", ""),
            "acceptance": typed.get("acceptance", ""), "company": typed["company"],
            "report_no": typed["report_no"], "equipment": "\n".join(lines),
            "inspector": str(typed["inspector"].pk) if typed["inspector"] else "",
            "job": str(typed["job"].pk) if typed.get("job") else "",
            "report_kept": sign_kept(report) if report else "",
        }  # fmt: skip


def read_equipment(text: str) -> list[tuple[str, str]]:
    """Each line as a name and the ISO day to which it is calibrated, "" where none is said."""
    found = []
    for line in (one.strip() for one in text.splitlines() if one.strip()):
        match = _DUE.match(line)
        if match and match["name"].strip():
            day = match["day"]
            try:
                date.fromisoformat(day)
            except ValueError:
                raise ValueError(f"{line[:60]}: {day} is no day of the calendar.") from None
            found.append((match["name"].strip(), day))
        elif match or _DAYLIKE.search(line):
            raise ValueError(f"{line[:60]}: write it as a name and a day, like UT-7; 2026-12-31")
        else:
            found.append((line, ""))
    if len(found) > MOST_EQUIPMENT:
        raise ValueError(f"At most {MOST_EQUIPMENT} instruments are named; {len(found)} are.")
    return found


def sign_kept(kept: Kept) -> str:
    """A kept file as a text that comes back with the form and cannot be changed on the way."""
    return signing.dumps([kept.digest, kept.name, kept.media], salt=SALT)


def kept_of(text: str) -> Kept | None:
    """The file that `sign_kept` wrote; None for anything else."""
    try:
        digest, name, media = signing.loads(text, salt=SALT)
    except (signing.BadSignature, ValueError, TypeError):
        return None
    return Kept(digest, name, media)
