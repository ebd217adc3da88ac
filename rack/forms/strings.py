"""Forms about strings: their head, what goes in the hole, what comes out."""

from collections.abc import Mapping
from typing import Any

from django import forms

from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.forms.choosing import WAYS, PiecesForm
from rack.forms.wells import LengthField
from rack.models import Component, Place, Plan, Section, Site, String, Well
from rack.models.ahead import left_of_plan
from rack.models.unloading import specs_here

STANDS = ((1, "singles"), (2, "stands of two"), (3, "stands of three"), (4, "stands of four"))
#: The way of making up what the plan of a string has next.
PLAN = "plan"
STAYS = (("left_in_well", "run and left in the well"), ("lost_in_hole", "lost in the hole"))


class WhenField(forms.DateTimeField):
    """A moment by the clock of the site; nothing typed means now."""

    def __init__(self, **more: Any) -> None:
        widget = forms.DateTimeInput(format="%Y-%m-%dT%H:%M", attrs={"type": "datetime-local"})
        super().__init__(widget=widget, required=False, **more)
        self.error_messages["invalid"] = "Write the time as 2026-05-01 14:20."


class StringForm(forms.Form):
    """The head of a string."""

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        site: Site,
        string: String | None = None,
        plan: Plan | None = None,
    ) -> None:
        begins = {"stand_n": 3} | ({"well": plan.well_id, "section": plan.section_id} if plan else {})
        super().__init__(data, auto_id="head_%s", initial=_head(string) if string else begins)
        unit = site.length_unit
        wells = Well.objects.at(site).order_by("-rig_from", "name")
        sections = (
            Section.objects.filter(well__site=site).select_related("well").order_by("well", "planned_nm")
        )
        self.fields["well"] = forms.ModelChoiceField(wells, label="Well", empty_label="choose the well")
        self.fields["section"] = forms.ModelChoiceField(
            sections, label="Section", required=False, empty_label="not said"
        )
        self.fields["title"] = forms.CharField(label="Name", max_length=120, required=False)
        self.fields["stand_n"] = forms.TypedChoiceField(label="Racked as", choices=STANDS, coerce=int)
        self.fields["stick_up"] = LengthField(
            unit,
            label=f"Stick-up above the rotary, {unit}",
            required=False,
            help_text="Nothing typed is none.",
        )
        self.fields["kelly"] = LengthField(
            unit,
            label=f"Kelly with its saver sub, {unit}",
            required=False,
            help_text="Blank with a top drive.",
        )
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, required=False)


def _head(string: String) -> dict[str, Any]:
    unit, digits = string.site.length_unit, string.site.digits
    shown = {
        name: None if nm is None else _shown(nm, unit, digits)
        for name, nm in (("stick_up", string.stick_up_nm), ("kelly", string.kelly_nm))
    }
    return {"well": string.well_id, "section": string.section_id, "title": string.title,
            "stand_n": string.stand_n, "seen": string.version, **shown}  # fmt: skip


def _shown(nm: int, unit: str, digits: int) -> str:
    return Length(nm).shown(unit, digits).replace(",", "")


def _said(form: forms.Form, site: Site) -> None:
    """What every change is asked: when, at which depth, and why where the program asks."""
    unit = site.length_unit
    form.fields["at"] = WhenField(label="When", help_text="Blank means now.")
    form.fields["depth"] = LengthField(unit, label=f"Depth of the bit, {unit}", required=False)
    form.fields["reason"] = forms.CharField(
        label="Remark, or why all the same", max_length=200, required=False
    )


class SaidForm(forms.Form):
    """What is said of a change."""

    def __init__(self, data: Any = None, *, string: String, **more: Any) -> None:
        super().__init__(data, **more)
        self.string = string
        _said(self, string.site)


class JoinForm(PiecesForm):
    """Which pieces are made up, lowest first."""

    def __init__(self, data: Any = None, *, string: String, **more: Any) -> None:
        super().__init__(data, site=string.site, auto_id="join_%s", **more)
        self.string = string
        self.fields["way"].initial = "names"
        if string.plan_id:
            ways = [*WAYS, (PLAN, "the next ones of the plan")]
            self.fields["way"] = forms.ChoiceField(
                label="Which pieces", choices=ways, widget=forms.RadioSelect, initial=PLAN
            )
            self.fields["of_plan"] = forms.IntegerField(
                label="How many of the plan, from the next", min_value=1, max_value=1000, required=False
            )
            self.order_fields(["way", "of_plan"])
        _said(self, string.site)

    def pieces(self) -> tuple[list[Component], list[Problem]]:
        """The pieces in order and what is wrong with the choice; what is typed comes before the plan."""
        typed = self.cleaned_data
        if typed["way"] != PLAN:
            return super().pieces()
        if typed["names"].strip():
            return self._by_names(typed["names"])
        if not typed["of_plan"]:
            return [], [stops("Say how many of the plan go in, or type the pieces.", code="of_plan")]
        return self._of_plan(typed["of_plan"])

    def _of_plan(self, count: int) -> tuple[list[Component], list[Problem]]:
        """The next ones of the plan; each among them that cannot go in is said, with what can be done."""
        left = left_of_plan(self.string)
        if len(left) < count:
            return [], [stops(f"The plan has {len(left)} more; {count} were typed.", code="of_plan")]
        return [piece for item in left[:count] for piece in item.pieces], [
            stops(f"{item.name} of the plan cannot go in: {item.stopped}. Go past it with a reason under "
                  "The plan, or make up another in its place by its name.", code="R20", where=item.name)
            for item in left[:count] if item.stopped
        ]  # fmt: skip


class TopForm(SaidForm):
    """How many from the top."""

    count = forms.IntegerField(label="How many from the top", min_value=1, max_value=300)


class BackForm(TopForm):
    """A stand on its way to the derrick."""

    side = forms.CharField(label="Side", max_length=12)
    row = forms.IntegerField(label="Row", min_value=1, max_value=60)


class AgainForm(SaidForm):
    """What is run from the derrick: the next, or what is named."""

    count = forms.IntegerField(label="How many, from the next", min_value=1, max_value=300, required=False)
    names = forms.CharField(
        label="Or these, lowest first",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class DownForm(AgainForm):
    """What is laid down, and where."""

    count = forms.IntegerField(
        label="How many from the top", min_value=1, max_value=300, required=False,
        help_text="From the derrick when nothing hangs in the hole.",
    )  # fmt: skip
    names = forms.CharField(
        label="Or these", required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, data: Any = None, *, string: String, **more: Any) -> None:
        super().__init__(data, string=string, **more)
        places = Place.objects.on(string.site).lie_on()
        self.fields["place"] = forms.ModelChoiceField(places, label="Laid on", empty_label="choose a place")


class SwapForm(SaidForm):
    """One piece for another."""

    out = forms.CharField(label="Comes out", max_length=60)
    new = forms.CharField(label="Goes in", max_length=60)

    def __init__(self, data: Any = None, *, string: String, **more: Any) -> None:
        super().__init__(data, string=string, **more)
        places = Place.objects.on(string.site).lie_on()
        self.fields["place"] = forms.ModelChoiceField(places, label="The old one is laid on")


class StayForm(SaidForm):
    """What stays below."""

    names = forms.CharField(label="Which pieces", max_length=4000, widget=forms.Textarea(attrs={"rows": 2}))
    state = forms.ChoiceField(label="It is", choices=STAYS)


class ReadyForm(forms.Form):
    """A joint that is made ready in the mousehole."""

    piece = forms.CharField(label="Piece", max_length=60, help_text="Tag, serial or painted number.")
    reason = forms.CharField(label="Remark, or why all the same", max_length=200, required=False)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, auto_id="ready_%s")


class CountInForm(forms.Form):
    """Pieces that go in by count, their list to follow."""

    def __init__(self, data: Any = None, *, string: String) -> None:
        super().__init__(data, auto_id="countin_%s")
        site = string.site
        self.fields["spec"] = forms.ModelChoiceField(specs_here(site), label="Of", empty_label="choose what")
        self.fields["count"] = forms.IntegerField(label="How many", min_value=1, max_value=1000)
        self.fields["length"] = LengthField(
            site.length_unit, label=f"Their length together, {site.length_unit}", required=False
        )


class NameForm(forms.Form):
    """The list that followed: which pieces they are, lowest first."""

    counted = forms.IntegerField(widget=forms.HiddenInput)
    names = forms.CharField(label="They are, lowest first", max_length=40_000, required=False,
                            widget=forms.Textarea(attrs={"rows": 3}))  # fmt: skip
    reason = forms.CharField(label="Remark, or why all the same", max_length=200, required=False)
