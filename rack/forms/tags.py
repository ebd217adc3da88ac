"""How tags are to be printed."""

from django import forms


class TagForm(forms.Form):
    start = forms.IntegerField(
        label="Start at label",
        min_value=1,
        max_value=21,
        initial=1,
        required=False,
        help_text="1 to 21, counted along the rows: where the first free label of the page is.",
    )
    copies = forms.IntegerField(
        label="Labels for each piece",
        min_value=1,
        max_value=4,
        initial=1,
        required=False,
        help_text="One is enough on a rack.",
    )

    def clean_start(self) -> int:
        return self.cleaned_data["start"] or 1

    def clean_copies(self) -> int:
        return self.cleaned_data["copies"] or 1
