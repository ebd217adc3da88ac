"""Forms about a rack: its rating, and places to lay aside."""

from django import forms

MOST_KG = 10_000_000


class RatingForm(forms.Form):
    rated_kg = forms.IntegerField(
        label="Rated load, kg", required=False, min_value=1, max_value=MOST_KG,
        help_text="The rig's own figure for this rack, from its papers; empty while it is not known.",
    )  # fmt: skip


class AsideForm(forms.Form):
    name = forms.CharField(
        label="Name of the place", max_length=40, help_text="Failed the drift; waits for the inspector."
    )
