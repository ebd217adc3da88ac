"""Forms about a tally: its head, its lines, its end."""

from typing import Any

from django import forms

from rack.calc.kinds import LENGTH_KINDS
from rack.calc.purposes import PURPOSES
from rack.calc.tally import COLUMNS
from rack.models import Component, Delivery, Place, Site, Spec, Tally

LINES_FROM = (
    ("numbers", "numbers, pieces are tied later"),
    ("empty", "nothing: the list grows while it is strapped"),
    ("layer", "the pieces of a layer"),
    ("delivery", "the pieces of a delivery"),
    ("tally", "the joints of a closed tally, in its order"),
    ("rack", "what the rack list showed"),
)


def specs_at(site: Site) -> Any:
    """What the pieces of this site are made to."""
    here = Component.objects.at(site).order_by().values("spec")
    return Spec.objects.filter(pk__in=here).order_by("kind", "pk")


def layers_at(site: Site) -> Any:
    """Where pieces can lie here: layers and other places, not whole racks."""
    return Place.objects.on(site).lie_on()


class TallyForm(forms.Form):
    """The head of a tally, asked once, and what its lines are made from."""

    purpose = forms.ChoiceField(
        label="For", choices=[(one.code, f"{one.name}: {one.words}") for one in PURPOSES.values()],
        widget=forms.RadioSelect, initial="rack",
    )
    title = forms.CharField(
        label="Title", max_length=120, required=False, help_text="What the sheet is headed."
    )
    kind = forms.ChoiceField(
        label="How the lengths are taken", widget=forms.RadioSelect, initial="pins off",
        choices=[(name, f"{name}: {words}") for name, words in LENGTH_KINDS.items()],
    )
    straps_wanted = forms.TypedChoiceField(
        label="Straps", coerce=int, widget=forms.RadioSelect, required=False, empty_value=None, initial="",
        choices=[
            ("", "as usual for its purpose: casing two, all else one (common practice)"), (1, "one"),
            (2, "two: the second by other hands, who do not see the first"),
        ],
    )
    column = forms.TypedChoiceField(
        label="Lines in a column", coerce=int, initial=10, choices=[(n, str(n)) for n in COLUMNS],
        required=False, empty_value="10", help_text="Ten is usual. A page holds 50, or 40 in columns of 20.",
    )
    tape = forms.CharField(label="Tape", max_length=40, help_text="The number on its case.")
    reader = forms.CharField(label="Who reads the tape", max_length=60)
    writer = forms.CharField(label="Who writes", max_length=60, required=False)
    lines_from = forms.ChoiceField(
        label="Begin with", choices=LINES_FROM, widget=forms.RadioSelect, initial="numbers"
    )
    layer = forms.ModelChoiceField(
        Place.objects.none(), label="Layer", required=False, empty_label="choose a layer"
    )
    delivery = forms.ModelChoiceField(
        Delivery.objects.none(), label="Delivery", required=False, empty_label="choose a delivery"
    )
    like = forms.ModelChoiceField(
        Tally.objects.none(), label="Closed tally", required=False, empty_label="choose a tally",
        help_text="Such as the string's own, when it is strapped out of the hole.",
    )
    first = forms.CharField(
        label="First painted number", max_length=20, required=False,
        help_text="For pieces: empty keeps the numbers painted on them, where each has its own; else from 1.",
    )
    count = forms.IntegerField(
        label="How many numbers", required=False, min_value=1, max_value=500,
        help_text="Only when it begins with numbers.",
    )
    spec = forms.ModelChoiceField(
        Spec.objects.none(), label="What the joints are", required=False, empty_label="not said yet",
        help_text="Only for lines without a piece: what a reading is judged by and what is lost in make-up.",
    )
    rack_query = forms.CharField(required=False, max_length=400, widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, site: Site, initial: Any = None, shown: str = "") -> None:
        super().__init__(data, initial=initial)
        fields: dict[str, Any] = self.fields
        fields["layer"].queryset = layers_at(site)
        came = Delivery.objects.standing().filter(site=site).select_related("file")
        fields["delivery"].queryset = came.order_by("-id")
        fields["like"].queryset = Tally.objects.at(site).filter(open=False).order_by("-number")
        fields["spec"].queryset = specs_at(site)
        fields["lines_from"].choices = [
            (code, f"{words}: {shown}" if code == "rack" else words)
            for code, words in LINES_FROM if code != "rack" or shown
        ]

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or self.cleaned_data
        wanted = {
            "layer": ("layer", "Choose the layer whose pieces are strapped."),
            "delivery": ("delivery", "Choose the delivery that is strapped."),
            "tally": ("like", "Choose the closed tally whose joints these are."),
            "numbers": ("count", "Say how many numbers the list begins with."),
        }.get(typed.get("lines_from", ""))
        if wanted and not typed.get(wanted[0]) and wanted[0] not in self.errors:
            self.add_error(wanted[0], wanted[1])
        return typed


class NumbersForm(forms.Form):
    first = forms.CharField(
        label="From", max_length=20, required=False, help_text="Empty: the number after the last one."
    )
    count = forms.IntegerField(label="How many", min_value=1, max_value=500)


class PiecesForm(forms.Form):
    names = forms.CharField(
        label="Serials, tags or painted numbers", max_length=8000, required=False, widget=forms.Textarea,
        help_text="One a line, in the order they lie.",
    )
    layer = forms.ModelChoiceField(
        Place.objects.none(), label="Or every piece of a layer", required=False, empty_label="no layer"
    )

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        self.fields["layer"].queryset = layers_at(site)  # type: ignore[attr-defined]


class InsertForm(forms.Form):
    painted = forms.CharField(label="New number", max_length=20, help_text="Such as 36A.")
    before = forms.CharField(label="In front of joint", max_length=60)


class SwapForm(forms.Form):
    one = forms.CharField(label="Joint", max_length=60)
    other = forms.CharField(label="changes places with joint", max_length=60)


class WithdrawForm(forms.Form):
    line = forms.CharField(label="Joint", max_length=60)
    reason = forms.CharField(label="Why", max_length=200, help_text="Bent; not on the rack; written twice.")


class TieForm(forms.Form):
    line = forms.CharField(label="Joint", max_length=60)
    piece = forms.CharField(label="is the piece", max_length=60, help_text="Serial, tag or painted number.")


class AdoptForm(forms.Form):
    spec = forms.ModelChoiceField(
        Spec.objects.none(), label="All of them are", empty_label="choose what they are"
    )
    place = forms.ModelChoiceField(Place.objects.none(), label="They lie on", empty_label="choose a layer")

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        fields: dict[str, Any] = self.fields
        fields["spec"].queryset = specs_at(site)
        fields["place"].queryset = layers_at(site)


class ReasonForm(forms.Form):
    reason = forms.CharField(label="Why", max_length=200)
