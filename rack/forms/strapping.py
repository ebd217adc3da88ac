"""The head of a strap: the tape and the hands, asked once."""

from django import forms


class HeadForm(forms.Form):
    """A second strap is worth something only with its own hands, so they are asked before it begins."""

    tape = forms.CharField(label="Tape", max_length=40, help_text="The number on its case.")
    reader = forms.CharField(label="Who reads the tape", max_length=60)
    writer = forms.CharField(label="Who writes", max_length=60, required=False)
