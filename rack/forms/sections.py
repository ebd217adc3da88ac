"""The form of a section of a well."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django import forms

from rack.calc import units
from rack.calc.lengths import Length
from rack.calc.sections import SectionFacts
from rack.calc.specs import inches
from rack.forms.reference import FigureField
from rack.forms.wells import LengthField
from rack.models import Section, Site


class SectionForm(forms.Form):
    """A hole, how deep, in which mud, under which casing. Sizes in inches, depths in the unit of the site."""

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, site: Site, section: Section | None = None
    ) -> None:
        super().__init__(
            data, auto_id=f"section{section.pk if section else ''}_%s", initial=_as_typed(section)
        )
        unit, mud = site.length_unit, units.PRESETS[site.units]["mud"]
        self.fields["name"] = forms.CharField(label="Name of the section", max_length=40)
        self.fields["hole"] = LengthField("in", label="Hole, in")
        self.fields["planned"] = LengthField(unit, label=f"Planned depth, {unit}")
        self.fields["mud"] = FigureField(label=f"Mud, {mud}", quantity="mud", unit=mud)
        self.fields["casing"] = forms.CharField(label="Casing above", max_length=80, required=False)
        self.fields["shoe"] = LengthField(unit, label=f"Its shoe at, {unit}", required=False)
        self.fields["drift"] = LengthField("in", label="What passes it (drift), in", required=False)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def facts(self) -> SectionFacts:
        """What was said. The form is valid."""
        typed = self.cleaned_data
        return SectionFacts(
            typed["name"], typed["hole"].nanometres, typed["planned"].nanometres,
            None if typed["mud"] is None else round(typed["mud"] * 1000), typed["casing"],
            typed["shoe"].nanometres if typed["shoe"] else None,
            typed["drift"].nanometres if typed["drift"] else None,
        )  # fmt: skip


def _as_typed(section: Section | None) -> dict[str, Any]:
    if section is None:
        return {}
    site = section.well.site
    unit, digits = site.length_unit, site.digits
    mud = None
    if section.mud_mppg is not None:
        here = units.factor("mud", "ppg", units.PRESETS[site.units]["mud"])
        mud = f"{float(Fraction(section.mud_mppg, 1000) * here):.6g}"
    shoe = section.casing_shoe_nm
    return {
        "name": section.name, "hole": inches(section.hole_nm), "mud": mud, "casing": section.casing,
        "planned": Length(section.planned_nm).shown(unit, digits).replace(",", ""), "seen": section.version,
        "shoe": None if shoe is None else Length(shoe).shown(unit, digits).replace(",", ""),
        "drift": inches(section.drift_nm) if section.drift_nm else None,
    }  # fmt: skip
