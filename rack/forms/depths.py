"""What is asked when the depth of a string is corrected."""

from typing import Any

from django import forms

from rack.calc.lengths import Length
from rack.forms.wells import LengthField
from rack.models import Correction, String

WAYS = [(way, f"{way} than the sum of the joints") for way in ("deeper", "shallower")]


class CorrectionForm(forms.Form):
    """How much is added to the depth in all, and where that comes from."""

    def __init__(self, data: Any = None, *, string: String, accepted: Correction | None = None) -> None:
        super().__init__(data, auto_id="correct_%s", initial=_now(string, accepted))
        unit = string.site.length_unit
        self.fields["length"] = LengthField(unit, label=f"Correction in all, {unit}",
                                            help_text="0 takes a correction away again.")  # fmt: skip
        self.fields["way"] = forms.ChoiceField(label="The bit is", choices=WAYS)
        self.fields["reason"] = forms.CharField(label="Where it comes from", max_length=200)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def nm(self) -> int:
        """The correction of a valid form in nanometres, below zero where it takes away."""
        nm: int = self.cleaned_data["length"].nanometres
        return -nm if self.cleaned_data["way"] == "shallower" else nm


def _now(string: String, accepted: Correction | None) -> dict[str, Any]:
    """Begins as what was accepted of the newest strap out, else as what stands."""
    begins: dict[str, Any] = {"seen": string.version}
    nm = accepted.nm if accepted else string.correction_nm
    if nm:
        begins["length"] = Length(abs(nm)).shown(string.site.length_unit, string.site.digits).replace(",", "")
        begins["way"] = "shallower" if nm < 0 else "deeper"
    if accepted:
        begins["reason"] = f"strap out of the hole, tally {accepted.tally.number}: {accepted.reason}"[:200]
    return begins
