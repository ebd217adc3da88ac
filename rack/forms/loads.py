"""Forms about loads that are sent: what it is, what is put on it, what came at the other end."""

from typing import Any

from django import forms

from rack.calc.loadlist import PROTECTORS
from rack.forms.choosing import PiecesForm
from rack.models import LoadWhy, Place, Site


class LoadForm(forms.Form):
    """The head of a load."""

    why = forms.ChoiceField(label="Why it goes", choices=LoadWhy.choices, widget=forms.RadioSelect,
                            initial=LoadWhy.RETURN)  # fmt: skip
    to_site = forms.ModelChoiceField(
        Site.objects.none(), label="To which site", required=False, empty_label="a place outside"
    )
    to = forms.CharField(
        label="Or where to, and to whom", max_length=120, required=False,
        help_text="The owner's yard, the inspection shop: name and place.",
    )  # fmt: skip
    carrier = forms.CharField(label="Truck or boat", max_length=80, required=False)
    remark = forms.CharField(label="Remark", max_length=300, required=False,
                             help_text="Printed on the list.")  # fmt: skip

    def __init__(self, data: Any = None, *, site: Site, **more: Any) -> None:
        super().__init__(data, **more)
        others = Site.objects.open().exclude(pk=site.pk).order_by("code")
        fields: dict[str, Any] = self.fields
        fields["to_site"].queryset = others
        if not others.exists():  # one site alone sends to nobody but the outside
            del fields["to_site"]
            fields["why"].choices = [pair for pair in LoadWhy.choices if pair[0] != LoadWhy.SITE]


class PutForm(PiecesForm):
    """Which pieces, in which lift, with which protectors."""

    lift = forms.CharField(label="Lift or bundle", max_length=30)
    protectors = forms.ChoiceField(label="Protectors", choices=list(PROTECTORS.items()), required=False)
    damage = forms.CharField(label="Damage, if any", max_length=200, required=False,
                             help_text="Stands on the list of each of these pieces.")  # fmt: skip


class BackForm(forms.Form):
    reason = forms.CharField(label="Why it is taken back", max_length=300)


class UndoForm(forms.Form):
    """An arrival that was written down by mistake; `arrival` is the newest that the page showed."""

    arrival = forms.IntegerField(min_value=1, max_value=2**63 - 1, widget=forms.HiddenInput)
    undo_reason = forms.CharField(label="Why the arrival is taken back", max_length=300)


class CameForm(forms.Form):
    """What came at the other end: everything, or what is ticked in the list and what is typed."""

    everything = forms.BooleanField(label="Everything on the list came", required=False)
    names = forms.CharField(
        label="Or type what came", required=False, max_length=40_000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Serials, tags or painted numbers, one a line. A name that is not on the list is over.",
    )  # fmt: skip
    place = forms.ModelChoiceField(Place.objects.none(), label="Laid on", empty_label="choose a layer")
    remark = forms.CharField(label="Remark", max_length=300, required=False)
    reason = forms.CharField(label="Why, if the rack would be over its rating", max_length=300,
                             required=False)  # fmt: skip

    def __init__(self, data: Any = None, *, site: Site | None, **more: Any) -> None:
        super().__init__(data, **more)
        fields: dict[str, Any] = self.fields
        if site is None:  # outside: nothing of ours to lay it on
            del fields["place"], fields["reason"]
            return
        places = Place.objects.on(site).lie_on()
        fields["place"].queryset = places
        if not Place.objects.on(site).filter(rated_kg__isnull=False).exists():
            del fields["reason"]
