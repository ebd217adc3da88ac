"""Forms of an inspection company's report: the file, its head, its columns, its spellings, its lot."""

from collections.abc import Sequence
from typing import Any

from django import forms

from inspection.calc.criteria import Scheme, schemes_for
from inspection.calc.report_mapping import ROLES, ColumnRole, ReportMapping
from inspection.exchange.report_head import HEAD_NAMES
from inspection.models.jobs import SCOPE_CHOICES
from inspection.models.lots import lot_choices
from rack.models import Site

MOST_BYTES = 20 * 1024 * 1024
UNITS = ("in", "mm", "cm", "ft", "m")
_LABELS = {
    "company": "Company", "number": "Report number", "job": "Job ticket", "order": "Order", "place": "Place",
    "first": "First day", "last": "Last day", "inspectors": "Inspectors", "pipe": "Pipe",
    "connection": "Connection", "joint": "Tool joint, new", "hardband": "Hardband", "scope": "Scope",
    "acceptance": "Acceptance", "addendum": "Addendum", "equipment": "Equipment",
}  # fmt: skip
_HELPS = {
    "first": "2026-03-12 where the report may mean two days.",
    "inspectors": "Name, level, until when; a semicolon between two of them.",
    "pipe": '5" 19.50# S-135 Range 2', "joint": "OD x bore: 6 5/8 x 2 3/4",
    "scope": "The methods: visual tube and connections, UT wall, EMI ...",
    "acceptance": "Document, edition and class: API RP 7G-2:2009, Premium",
    "equipment": "Each with the day its calibration runs out; a semicolon between.",
}  # fmt: skip


class ReportForm(forms.Form):
    file = forms.FileField(
        label="The report", max_length=200, allow_empty_file=True,
        help_text="CSV, TXT, XLSX, XLS or ODS as the company made it, up to 20 MB.",
    )  # fmt: skip

    def clean_file(self) -> object:
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The file has {file.size / 1e6:.0f} MB; up to {MOST_BYTES // 1024 // 1024} MB are read."
            )
        return file


class HeadForm(forms.Form):
    """The head as it was read; what a person changes takes the place of what stands there."""

    scheme = forms.ChoiceField(label="Classes are read by", required=False)
    scope_of = forms.ChoiceField(label="Recorded as an inspection of", required=False)

    def __init__(
        self, data: Any = None, *, texts: dict[str, str], kind: str, scheme: str, scope: str
    ) -> None:
        super().__init__(data, prefix="head", initial={**texts, "scheme": scheme, "scope_of": scope})
        known: dict[str, Any] = self.fields
        for name in HEAD_NAMES:
            wide = name in ("inspectors", "scope", "equipment")
            known[name] = forms.CharField(
                label=_LABELS[name], required=False, max_length=600 if wide else 300,
                help_text=_HELPS.get(name, ""),
                widget=forms.Textarea(attrs={"rows": 2}) if wide else forms.TextInput(),
            )  # fmt: skip
        known["scheme"].choices = [(one.code, one.said) for one in schemes_for(kind)]
        known["scope_of"].choices = SCOPE_CHOICES
        self.order_fields([*HEAD_NAMES, "scheme", "scope_of"])

    def said(self, texts: dict[str, str]) -> dict[str, str]:
        """What is otherwise than the file says."""
        typed = {name: " ".join(self.cleaned_data[name].split()) for name in HEAD_NAMES}
        return {name: text for name, text in typed.items() if text != " ".join(texts[name].split())}


class ColumnsForm(forms.Form):
    """What each column is, and its unit."""

    def __init__(self, data: Any = None, *, mapping: ReportMapping) -> None:
        super().__init__(data, prefix="col")
        self.mapping = mapping
        known: dict[str, Any] = self.fields
        for one in mapping.columns:
            known[f"role-{one.index}"] = forms.ChoiceField(
                label=one.heading, choices=[("", "not read"), *ROLES.items()], initial=one.role,
                required=False,
            )  # fmt: skip
            known[f"unit-{one.index}"] = forms.ChoiceField(
                label=f"Unit of {one.heading}", choices=[("", "as usual"), *((unit, unit) for unit in UNITS)],
                initial=one.unit, required=False,
            )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        roles = [role for name, role in typed.items() if name.startswith("role-") and role]
        for role in sorted({role for role in roles if roles.count(role) > 1}):
            self.add_error(None, f"Two columns are said to be the {ROLES[role]}; only one can be.")
        if not {"jt", "serial", "painted"} & set(roles):
            self.add_error(None, "Say which column names the joint: number, serial or painted number.")
        return typed

    def rows(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        """Each column with its two fields."""
        return [(one.heading, self[f"role-{one.index}"], self[f"unit-{one.index}"])
                for one in self.mapping.columns]  # fmt: skip

    def corrected(self) -> ReportMapping:
        """The mapping as the person set it."""
        data = self.cleaned_data
        return ReportMapping(self.mapping.heading_row, tuple(
            ColumnRole(one.index, data.get(f"role-{one.index}", ""), one.heading,
                       data.get(f"unit-{one.index}", ""))
            for one in self.mapping.columns
        ))  # fmt: skip


class WordsForm(forms.Form):
    """What each word for a class means in the scheme."""

    def __init__(
        self, data: Any = None, *, words: Sequence[str], by: Scheme, settled: dict[str, str]
    ) -> None:
        super().__init__(data, prefix="word")
        self.words = list(words)
        known: dict[str, Any] = self.fields
        for n, word in enumerate(self.words):
            known[f"{n}"] = forms.ChoiceField(
                label=f"“{word}” is", choices=[("", "not said"), *((name, name) for name in by.names)],
                initial=settled.get(word, ""), required=False,
            )  # fmt: skip

    def settled(self) -> dict[str, str]:
        return {word: self.cleaned_data[f"{n}"] for n, word in enumerate(self.words)
                if self.cleaned_data.get(f"{n}")}  # fmt: skip


class LotForm(forms.Form):
    """What was sent to be inspected, so that what has no row is missed; and which sheet is read."""

    lot = forms.ChoiceField(label="The lot", required=False,
                            help_text="A joint of it without a row is listed.")  # fmt: skip
    sheet = forms.ChoiceField(label="Sheet", required=False)

    def __init__(self, data: Any = None, *, site: Site, sheets: Sequence[str] = (), **more: Any) -> None:
        super().__init__(data, **more)
        known: dict[str, Any] = self.fields
        known["lot"].choices = [("", "not known: the whole site"), *lot_choices(site)]
        if len(sheets) > 1:
            known["sheet"].choices = [(name, name) for name in sheets]
        else:
            del known["sheet"]
