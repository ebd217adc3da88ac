"""Forms about what only one kind of piece has, and about the length of one piece alone."""

from collections.abc import Mapping
from typing import Any

from django import forms

from rack.calc.checks import Severity
from rack.calc.facts import read_fact, shown_fact
from rack.calc.kinds import LENGTH_KINDS, Fact, Kind
from rack.models import Site


class FactsForm(forms.Form):
    """A field for each fact that the kind has, and none besides, filled with what is known."""

    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, kind: Kind, current: Mapping[str, str], version: int
    ) -> None:
        super().__init__(data, auto_id="fact_%s", initial={"seen": version})
        self.kind = kind
        self.current = dict(current)
        self.changed: dict[str, str] = {}
        for fact in kind.facts:
            self.fields[fact.name] = _field(fact, self.current.get(fact.name, ""))

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        for fact in self.kind.facts:
            text = typed.get(fact.name, "")
            text = ("yes" if text else "") if fact.sort == "yes" else str(text)
            value, problems = read_fact(fact, text)
            for problem in problems:
                if problem.severity is Severity.STOPS and fact.name in typed:
                    self.add_error(fact.name, problem.text)
            if value != self.current.get(fact.name, ""):
                self.changed[fact.name] = text
        if not self.errors and not self.changed:
            self.add_error(None, "Nothing was changed.")
        return typed


def _field(fact: Fact, value: str) -> forms.Field:
    measured = fact.sort in ("size", "length", "degrees")
    label = f"{fact.label}, {fact.unit}" if measured else fact.label
    more: dict[str, Any] = {"label": label, "required": fact.required, "help_text": fact.help}
    if fact.sort == "choice":
        choices = [("", "not known"), *((choice, choice) for choice in fact.choices)]
        return forms.ChoiceField(choices=choices, initial=value, **more)
    if fact.sort == "yes":
        return forms.BooleanField(initial=value == "yes", **more)
    shown = shown_fact(fact, value).removesuffix(f" {fact.unit}") if measured else value
    return forms.CharField(max_length=80, initial=shown, **more)


class LengthForm(forms.Form):
    """The length of one piece read alone; open and closed for a tool that telescopes."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, kind: Kind, site: Site) -> None:
        super().__init__(data, auto_id="length_%s")
        self.kind = kind
        unit = site.length_unit
        if kind.telescopes:
            self._field("open", f"Length open, {unit}", required=False)
            self._field("closed", f"Length closed, {unit}", required=False)
            self.fields["holds"] = forms.ChoiceField(
                label="Holds in the hole", choices=[("open", "open"), ("closed", "closed")],
                help_text="Open in tension above the neutral point, closed in compression.",
            )  # fmt: skip
        else:
            self._field("length", f"Length, {unit}", required=True)
        self.fields["kind"] = forms.ChoiceField(
            label="Taken as", choices=[(name, f"{name}: {LENGTH_KINDS[name]}") for name in kind.lengths]
        )
        self.fields["tape"] = forms.CharField(label="Tape", max_length=40, required=False)
        self.fields["hands"] = forms.CharField(label="Hands", max_length=160, required=False)

    def _field(self, name: str, label: str, *, required: bool) -> None:
        self.fields[name] = forms.CharField(label=label, max_length=40, required=required)

    def ask(self) -> None:
        """Offer the yes to what the reading asks."""
        self.fields["sure"] = forms.BooleanField(label="It reads so", required=False)


class EndedForm(forms.Form):
    reason = forms.CharField(
        label="What was done", max_length=200, help_text="Pin recut; box refaced 1/32 in."
    )

    def __init__(self, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, auto_id="ended_%s")
