"""Forms about a casing plan: its head, a part that is put in, what is done with chosen rows."""

from typing import Any

from django import forms

from rack.calc.casing_parts import JOINT, PARTS
from rack.calc.lengths import Length
from rack.models import Site, Well


class LengthField(forms.CharField):
    """A length as it is typed, read in the unit of the tally; whole nanometres or None."""

    def __init__(self, **more: Any) -> None:
        super().__init__(max_length=40, **{"required": False, **more})
        self.unit = "ft"

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return Length.parse(text, self.unit).nanometres
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None


class _InUnit(forms.Form):
    """Lengths without a unit are in that of the tally, which stands beside the field."""

    def __init__(self, data: Any = None, *, unit: str, **more: Any) -> None:
        super().__init__(data, **more)
        for one in self.fields.values():
            if isinstance(one, LengthField):
                one.unit = unit
                one.label = f"{one.label}, {unit}"


class CasingHeadForm(_InUnit):
    """The head of a plan."""

    string = forms.CharField(
        label="String", max_length=120, required=False, help_text="9-5/8 in 47 lb/ft L-80 BTC R3."
    )
    well = forms.ModelChoiceField(
        Well.objects.none(), label="Well", required=False, empty_label="not kept here",
        help_text="Its datum comes with it.",
    )
    well_said = forms.CharField(label="Other well", max_length=60, required=False,
                                help_text="By name, when it is not in the list.")  # fmt: skip
    datum = forms.CharField(label="Depths are from", max_length=20, initial="RKB", required=False,
                            help_text="When no well is chosen.")  # fmt: skip
    shoulder_nm = LengthField(
        label="Datum to landing shoulder",
        help_text="Empty: as the well's datum says. For a liner: depth of its top.",
    )
    measured_on = forms.DateField(
        label="Measured on", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    measured_by = forms.CharField(label="Measured by", max_length=60, required=False)
    hole_nm = LengthField(label="Hole depth")
    off_bottom_nm = LengthField(label="Shoe wanted off bottom", help_text="Usual are 10 to 30 ft.")
    track_n = forms.IntegerField(label="Joints in the shoe track", required=False, min_value=0, max_value=20)
    loss_nm = LengthField(
        label="Make-up loss of a pin", help_text="Empty: as the tables say for each joint."
    )
    loss_source = forms.CharField(label="The loss comes from", max_length=120, required=False)

    def __init__(self, data: Any = None, *, unit: str, site: Site, **more: Any) -> None:
        super().__init__(data, unit=unit, **more)
        choose: forms.ModelChoiceField = self.fields["well"]  # type: ignore[assignment]
        choose.queryset = Well.objects.at(site).order_by("name")

    def clean_datum(self) -> str:
        return self.cleaned_data["datum"] or "RKB"


class PartForm(_InUnit):
    """A part of the string, or a joint that was found."""

    kind = forms.ChoiceField(
        label="What", choices=[*((code, kind.name) for code, kind in PARTS.items()), (JOINT, "joint found")]
    )
    name = forms.CharField(
        label="Name or number", max_length=20, required=False,
        help_text="Empty: FS, FC, MK as lists write it.",
    )
    length_nm = LengthField(label="Length", help_text="As the joints are taken; its pin comes off after.")
    words = forms.CharField(label="In words", max_length=80, required=False)
    serial = forms.CharField(label="Serial", max_length=60, required=False)
    before = forms.CharField(label="Below joint or part", max_length=20, required=False,
                             help_text="Empty: on top of all.")
    no_pin = forms.BooleanField(label="Its pin stands in no box", required=False)
    loss_nm = LengthField(label="Its own make-up loss")
    cut_off_nm = LengthField(label="Cut off above the slips")
    locked = forms.BooleanField(label="Thread-locked", required=False)

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        kind = typed.get("kind", "")
        if kind == "slips" and typed.get("length_nm") is None:
            typed["length_nm"] = 0
        if not typed.get("name"):
            if kind == JOINT:
                self.add_error("name", "Type the painted number of the joint: 36A.")
            elif kind in PARTS:
                typed["name"] = PARTS[kind].mark
        return typed


CHOSEN = (
    ("run", "to run"), ("spare", "spare"), ("out", "left out"), ("away", "left out, not on the rack"),
    ("below", "put below"), ("drifted", "tick drift"), ("threads", "tick threads"),
    ("locked", "tick thread-lock"), ("undrifted", "untick drift"), ("unthreads", "untick threads"),
    ("unlocked", "untick thread-lock"), ("centralizers", "set centralizers"), ("take", "take part out"),
)


class ChosenForm(_InUnit):
    """What is done with the rows that are ticked, or with those that are named: "1 to 31, 36A"."""

    what = forms.ChoiceField(label="Do", choices=CHOSEN)
    names = forms.CharField(label="Also joints", max_length=400, required=False,
                            help_text="Named: 1 to 31, 36A.")
    reason = forms.CharField(label="Reason", max_length=200, required=False)
    before = forms.CharField(label="Below", max_length=20, required=False,
                             help_text="Empty: on top of all.")
    centralizer = forms.CharField(label="Centralizer", max_length=40, required=False, help_text="bow, rigid")
    count = forms.IntegerField(label="On each", required=False, min_value=0, max_value=20, initial=1)
    from_pin_nm = LengthField(label="From the pin")


class ListsForm(forms.Form):
    """Two lists as somebody read them off the steel; nothing of them is stored."""

    rack = forms.CharField(
        label="On the rack when landed", required=False, max_length=20_000, widget=forms.Textarea,
        help_text="Every number or serial that lies there, by comma or line.",
    )
    run = forms.CharField(
        label="Into the hole, in order", required=False, max_length=20_000, widget=forms.Textarea,
        help_text="Every joint from the bottom up, without the parts.",
    )
    total = forms.CharField(label="Total of the other list", required=False, max_length=40)


class TypedSheetForm(forms.Form):
    file = forms.FileField(label="The sheet", help_text="CSV or XLSX. It is read and not kept.")
