"""Forms about accounts and sites."""

from typing import Any
from zoneinfo import available_timezones

from django import forms

from rack.calc.units import PRESETS
from rack.models import Role

_UNIT_WORDS = {
    "us": "US: feet, inches, lb/ft",
    "metric": "metric: metres, inches for pipe sizes",
    "mixed": "mixed: metres for lengths, lb/ft for weights",
}
_PASSWORD_HELP = "At least ten letters or digits, and not a usual one."


def _password(label: str = "Password") -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=200,
        strip=False,
        help_text=_PASSWORD_HELP,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class AccountForm(forms.Form):
    full_name = forms.CharField(label="Name", max_length=150)
    username = forms.RegexField(
        r"^[\w.@+-]+$",
        label="Name to sign in with",
        max_length=150,
        error_messages={"invalid": "Use letters, digits and . @ + - _ only, without blanks."},
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )
    role = forms.ChoiceField(label="Role", choices=Role.choices)
    password = _password()


class RoleForm(forms.Form):
    role = forms.ChoiceField(label="Role", choices=Role.choices)


class PasswordForm(forms.Form):
    password = _password("New password")


class BeginForm(forms.Form):
    """The first account, site and rack of an empty database."""

    code = forms.CharField(
        label="Code from the console",
        max_length=40,
        help_text="The program printed it when it was started, so that nobody else can begin here.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    full_name = forms.CharField(label="Your name", max_length=150)
    username = forms.RegexField(
        r"^[\w.@+-]+$",
        label="Name to sign in with",
        max_length=150,
        error_messages={"invalid": "Use letters, digits and . @ + - _ only, without blanks."},
    )
    password = _password()
    site_name = forms.CharField(label="Rig or yard", max_length=80)
    site_code = forms.RegexField(
        r"^[A-Za-z0-9-]+$",
        label="Its short code",
        max_length=20,
        error_messages={"invalid": "Use letters, digits and hyphens only."},
    )
    tz = forms.CharField(
        label="Time zone",
        initial="UTC",
        help_text="A name such as Europe/Oslo or America/Chicago.",
    )
    units = forms.ChoiceField(
        label="Units", choices=[(code, _UNIT_WORDS.get(code, code)) for code in PRESETS]
    )
    rack = forms.CharField(label="First rack", max_length=40, initial="R1")
    layers = forms.IntegerField(label="Its layers", min_value=1, max_value=30, initial=3)

    def clean_tz(self) -> Any:
        name = self.cleaned_data["tz"].strip()
        if name not in available_timezones():
            raise forms.ValidationError(f"There is no time zone {name}; write it as Europe/Oslo or UTC.")
        return name
