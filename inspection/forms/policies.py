"""Forms of what a site goes by: an interval, the severity of service, an edition."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms

from inspection.calc.amounts import read_amount, unit_of
from inspection.calc.criteria import schemes
from inspection.calc.rules import CLOCKS, SERVICES, Rule
from inspection.calc.showing import COUNTED
from rack.calc.hours import CLOCK_NAMES
from rack.calc.kinds import KIND_CHOICES
from rack.calc.standing import BASIS_WORDS
from rack.models import Site

WHOSE = [
    ("default", "our own habit: it only tells"), ("maker", "the maker"), ("contract", "the contract"),
    ("company", "the company"), ("law", "the law"),
]  # fmt: skip
SERVICE_WORDS = {"severe": "severe: the low figure", "typical": "typical", "light": "light: the high figure"}
ONLY_WORDS = {"steel": "steel alone", "non-magnetic": "non-magnetic alone",
              "drilled inside": "casing that is drilled inside", "lifting": "lifting gear"}  # fmt: skip


class Day(forms.DateField):
    """A day, by the browser's own calendar or typed as 2026-05-01."""

    def __init__(self, **more: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(widget=widget, input_formats=["%Y-%m-%d"], **more)
        self.error_messages["invalid"] = "Write the day as 2026-05-01."


def _clocks(length_unit: str) -> list[tuple[str, str]]:
    return [(clock, f"{CLOCK_NAMES.get(clock, clock)}, {unit_of(clock, length_unit)}"
             if clock in CLOCK_NAMES else clock) for clock in CLOCKS]  # fmt: skip


class IntervalForm(forms.Form):
    """An interval; amounts are read in the unit of its clock, exact or refused."""

    kind = forms.ChoiceField(
        label="Kind of piece", required=False, choices=[("", "every kind"), *KIND_CHOICES]
    )
    service = forms.ChoiceField(
        label="In service", choices=[("", "any"), *((one, one) for one in SERVICES)], required=False
    )
    only = forms.ChoiceField(
        label="Only for", required=False,
        choices=[("", "all of them"), *((one, ONLY_WORDS[one]) for one in COUNTED)],
    )
    clock = forms.ChoiceField(label="Counted by")
    basis = forms.ChoiceField(label="Since", choices=list(BASIS_WORDS.items()), initial="full")
    due = forms.CharField(label="Due after", max_length=40, help_text="As 250 or 250.5, in the clock's unit.")
    soon = forms.CharField(
        label="Soon after", max_length=40, required=False, help_text="Empty: due less the margin of the site."
    )
    over = forms.CharField(
        label="Overdue after", max_length=40, required=False, help_text="Empty: as soon as it is due."
    )
    authority = forms.ChoiceField(label="Whose word it is", choices=WHOSE, initial="contract")
    source = forms.CharField(
        label="Where it says so", max_length=200, required=False,
        help_text="Contract, manual, regulation, page.",
    )
    from_on = Day(label="From")
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, data: Mapping[str, Any] | None = None, *, site: Site, today: date) -> None:
        super().__init__(data, auto_id="interval_%s")
        self.length_unit = site.length_unit
        self.fields["clock"].choices = _clocks(site.length_unit)  # type: ignore[attr-defined]
        self.fields["from_on"].initial = today

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        for name in ("due", "soon", "over"):
            if "clock" in typed and typed.get(name):
                try:
                    typed[name] = read_amount(typed[name], typed["clock"], self.length_unit)
                except ValueError as wrong:
                    self.add_error(name, str(wrong))
            elif name in typed:
                typed[name] = None
        due, soon, over = typed.get("due"), typed.get("soon"), typed.get("over")
        if not self.errors and due is not None:
            if soon is not None and soon > due:
                self.add_error("soon", "Soon comes before due, or with it.")
            if over is not None and over < due:
                self.add_error("over", "Overdue comes after due, or with it.")
        return typed

    def rule(self) -> Rule:
        """The interval as it was typed. The form is valid."""
        names = ("kind", "service", "only", "clock", "basis", "due", "soon", "over", "authority", "source",
                 "from_on", "note")  # fmt: skip
        return Rule(**{name: self.cleaned_data[name] for name in names}, conf="")


class ServiceForm(forms.Form):
    """How hard the service is, and how early "soon" comes."""

    service = forms.ChoiceField(label="Service", choices=list(SERVICE_WORDS.items()))
    margin = forms.DecimalField(
        label="Soon, % of the interval before due", min_value=0, max_value=90, max_digits=4, decimal_places=1
    )
    from_on = Day(label="From")

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, today: date, now: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(data, auto_id="service_%s", initial={**(now or {}), "from_on": today})

    def margin_pm(self) -> int:
        """The margin in 1/1000. The form is valid."""
        return int(self.cleaned_data["margin"] * 10)


class EditionForm(forms.Form):
    """The edition that a site follows from a day on."""

    scheme = forms.ChoiceField(label="Edition")
    from_on = Day(label="From", help_text="It may lie ahead.")

    def __init__(self, data: Mapping[str, Any] | None = None, *, today: date) -> None:
        super().__init__(data, auto_id="edition_%s", initial={"from_on": today})
        named = [(one.code, f"{one.said}, {one.title}") for one in schemes() if one.kinds]
        self.fields["scheme"].choices = named  # type: ignore[attr-defined]


class BackForm(forms.Form):
    """Why an interval is taken back."""

    reason = forms.CharField(label="Why it is taken back", max_length=200)
