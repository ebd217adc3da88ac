"""Forms about planned strings: what is wanted of one, what goes in, what is answered to a rule."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

from rack.calc import units
from rack.calc.lengths import Length
from rack.calc.specs import inches
from rack.calc.wishes import ASSEMBLIES, CLASSES, ROCKS, WHOSE, Wishes
from rack.forms.choosing import PiecesForm
from rack.forms.reference import FigureField
from rack.forms.wells import DayField, LengthField
from rack.models import Plan, Section, Site, Well
from rack.models.unloading import specs_here

_ROCK_WORDS = {"": "not said", "soft": "soft to medium", "hard": "hard"}
_ASSEMBLY_WORDS = {"": "not said", "packed": "packed hole", "pendulum": "pendulum"}
#: Whole amounts kept, by field of the wishes: quantity of the site and how many of it are one lb, ppg.
_FIGURES = {"mud_mppg": ("mud", 1000), "bit_weight_lb": ("force", 1), "pull_lb": ("force", 1)}


NO_WISHES = Wishes()


class PlanForm(forms.Form):
    """The head of a plan and what is wanted of it."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, site: Site, plan: Plan | None = None,
                 wishes: Wishes = NO_WISHES) -> None:  # fmt: skip
        super().__init__(data, auto_id="plan_%s", initial=_initial(site, plan, wishes))
        unit = site.length_unit
        wells = Well.objects.at(site).order_by("-rig_from", "name")
        sections = (
            Section.objects.filter(well__site=site).select_related("well").order_by("well", "planned_nm")
        )
        add = self.fields
        add["title"] = forms.CharField(label="Name of the plan", max_length=120)
        add["well"] = forms.ModelChoiceField(wells, label="Well", required=False, empty_label="not said")
        add["section"] = forms.ModelChoiceField(
            sections, label="Section", required=False, empty_label="not said",
            help_text="Gives hole, mud and the casing above.",
        )  # fmt: skip
        add["depth"] = LengthField(unit, label=f"Depth to reach, {unit}", required=False)
        add["reserve"] = LengthField(unit, label=f"Reserve of pipe over it, {unit}", required=False)
        for name, label in (
            ("mud_mppg", "Mud"),
            ("bit_weight_lb", "Weight on bit"),
            ("pull_lb", "Overpull wanted"),
        ):
            quantity = _FIGURES[name][0]
            shown = units.PRESETS[site.units][quantity]
            add[name] = FigureField(label=f"{label}, {shown}", quantity=quantity, unit=shown)
        add["hours"] = forms.IntegerField(label="Hours planned", min_value=0, max_value=5000, required=False)
        add["inclination_deg"] = forms.IntegerField(
            label="Inclination, degrees", min_value=0, max_value=89, required=False
        )
        add["class_wanted"] = forms.ChoiceField(label="Lowest class", choices=[(one, one) for one in CLASSES])
        add["class_by"] = forms.ChoiceField(label="Asked for by", choices=list(WHOSE.items()))
        add["rock"] = forms.ChoiceField(
            label="Rock", choices=[(r, _ROCK_WORDS[r]) for r in ROCKS], required=False
        )
        add["assembly"] = forms.ChoiceField(
            label="Assembly", choices=[(a, _ASSEMBLY_WORDS[a]) for a in ASSEMBLIES], required=False
        )
        add["passes"] = forms.CharField(label="Must let through, in", max_length=20, required=False)
        for name, label in (("sour", "Sour service"), ("float_wanted", "A float near the bit is asked for"),
                            ("stress_relief_wanted", "Stress relief is asked for")):  # fmt: skip
            add[name] = forms.BooleanField(label=label, required=False)
        add["seen"] = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def clean_passes(self) -> int | None:
        text = self.cleaned_data["passes"]
        if not text:
            return None
        try:
            return Length.parse(text, "in").nanometres
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def wishes(self) -> Wishes:
        """What was asked for, in whole amounts. The form is valid."""
        typed = self.cleaned_data
        figures = {
            name: None if typed[name] is None else round(typed[name] * of)
            for name, (_, of) in _FIGURES.items()
        }
        return Wishes(
            depth_nm=typed["depth"].nanometres if typed["depth"] else None,
            reserve_nm=typed["reserve"].nanometres if typed["reserve"] else 0,
            hours=typed["hours"], inclination_deg=typed["inclination_deg"] or 0,
            class_wanted=typed["class_wanted"], class_by=typed["class_by"], rock=typed["rock"],
            assembly=typed["assembly"], passes_nm=typed["passes"], sour=typed["sour"],
            float_wanted=typed["float_wanted"], stress_relief_wanted=typed["stress_relief_wanted"], **figures,
        )  # fmt: skip


def _initial(site: Site, plan: Plan | None, wishes: Wishes) -> dict[str, Any]:
    unit, digits = site.length_unit, site.digits
    initial: dict[str, Any] = {
        name: getattr(wishes, name)
        for name in (
            "hours", "inclination_deg", "class_wanted", "class_by", "rock", "assembly", "sour",
            "float_wanted", "stress_relief_wanted",
        )
    }  # fmt: skip
    for name, nm in (("depth", wishes.depth_nm), ("reserve", wishes.reserve_nm or None)):
        initial[name] = None if nm is None else Length(nm).shown(unit, digits).replace(",", "")
    for name, (quantity, of) in _FIGURES.items():
        kept = getattr(wishes, name)
        if kept is not None:
            here = units.PRESETS[site.units][quantity]
            us = units.PRESETS["us"][quantity]
            initial[name] = f"{float(Fraction(kept, of) * units.factor(quantity, us, here)):.6g}"
    initial["passes"] = inches(wishes.passes_nm) if wishes.passes_nm else None
    if plan:
        initial |= {
            "title": plan.title,
            "well": plan.well_id,
            "section": plan.section_id,
            "seen": plan.version,
        }
    return initial


class PutForm(PiecesForm):
    """Which pieces go into a plan, and under which line."""

    def __init__(
        self, data: Any = None, *, plan: Plan, below: list[tuple[str, str]], **more: Any
    ) -> None:
        super().__init__(data, site=plan.site, auto_id="put_%s", **more)
        self.fields["way"].initial = "names"
        self.fields["below"] = forms.ChoiceField(
            label="Where", choices=[("", "on top"), *below], required=False
        )


class CountForm(forms.Form):
    """So many pieces of one specification, their list to follow."""

    def __init__(self, data: Any = None, *, site: Site) -> None:
        super().__init__(data, auto_id="count_%s")
        self.fields["spec"] = forms.ModelChoiceField(
            specs_here(site), label="Of", empty_label="choose what"
        )
        self.fields["count"] = forms.IntegerField(label="How many", min_value=1, max_value=1000)
        self.fields["length"] = LengthField(
            site.length_unit, label=f"Their length together, {site.length_unit}", required=False
        )


class YesForm(forms.Form):
    """A yes to what a rule asks."""

    code = forms.CharField(max_length=20, widget=forms.HiddenInput)
    where = forms.CharField(max_length=120, required=False, widget=forms.HiddenInput)
    reason = forms.CharField(label="Why it is taken all the same", max_length=300)
    holds_for = forms.RegexField(r"^(lot|delivery):\d{1,18}$", label="It holds for", required=False)
    ends_on = DayField(label="Until", required=False)
