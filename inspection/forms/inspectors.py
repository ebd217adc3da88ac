"""The form that adds an inspector."""

from django import forms


class InspectorForm(forms.Form):
    name = forms.CharField(label="Name", max_length=80)
    company = forms.CharField(label="Company", max_length=80, required=False)
    level = forms.CharField(label="Level", max_length=40, required=False, help_text="Level II or III.")
    valid_to = forms.DateField(
        label="Level is good to", required=False, input_formats=["%Y-%m-%d", "%d.%m.%Y"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
