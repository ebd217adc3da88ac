"""Forms about receiving a list."""

from django import forms

from rack.calc.kinds import LENGTH_KINDS
from rack.calc.receiving import ROLE_UNITS, ROLES, Column, Mapping, SheetMapping
from rack.models import Place, Site

MOST_BYTES = 20 * 1024 * 1024


class UploadForm(forms.Form):
    file = forms.FileField(
        label="The list",
        help_text="CSV, TSV, TXT, XLSX, XLS or ODS, as the sender made it: any delimiter, encoding or "
        "decimal mark, one list or blocks side by side.",
    )
    place = forms.ModelChoiceField(Place.objects.none(), label="Received on", empty_label="choose a place")
    sender = forms.CharField(label="Sender", max_length=80, required=False)
    owner = forms.CharField(
        label="Owner", max_length=60, required=False, help_text="Who owns the pieces, if not the rig."
    )
    ticket = forms.CharField(label="Delivery ticket", max_length=60, required=False)
    order_no = forms.CharField(label="Order", max_length=60, required=False)
    truck = forms.CharField(label="Truck or boat", max_length=60, required=False)
    hand_count = forms.IntegerField(
        label="Counted by hand",
        min_value=0,
        max_value=100_000,
        required=False,
        help_text="How many pieces were counted as they landed; held against the rows of the list.",
    )

    def __init__(self, *args: object, site: Site) -> None:
        super().__init__(*args)  # type: ignore[arg-type]
        layers = Place.objects.on(site).lie_on()
        self.fields["place"].queryset = layers  # type: ignore[attr-defined]

    def clean_file(self) -> object:
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                f"The file has {file.size / 1e6:.0f} MB; a list of up to {MOST_BYTES // 1024 // 1024} MB "
                "is read."
            )
        return file


class MappingForm(forms.Form):
    """How the file is read: what each column is, its unit, and what the list does not say itself."""

    length_unit = forms.ChoiceField(
        label="Lengths without a unit are in",
        required=False,
        choices=[
            ("", "as the list says"),
            ("ft", "feet"),
            ("m", "metres"),
            ("in", "inches"),
            ("mm", "millimetres"),
        ],
    )
    length_kind = forms.ChoiceField(
        label="Lengths were taken",
        required=False,
        choices=[
            ("", "as usual for the kind"),
            *((name, f"{name}: {words}") for name, words in LENGTH_KINDS.items()),
        ],
    )
    decimal = forms.ChoiceField(
        label="Decimal mark",
        required=False,
        choices=[("", "each figure by itself"), (".", "point"), (",", "comma")],
    )
    default_item = forms.CharField(
        label="Item where a row does not say",
        max_length=120,
        required=False,
        help_text="5 in 19.50 S-135 NC50 Range 2 drill pipe",
    )

    def __init__(self, data: object, *, mapping: Mapping) -> None:
        self.mapping = mapping
        words = {
            name: getattr(mapping, name) for name in ("length_unit", "length_kind", "decimal", "default_item")
        }
        super().__init__(data, initial=words)  # type: ignore[arg-type]
        for n, sheet in enumerate(mapping.sheets):
            for column in sheet.columns:
                self._add_column(n, column)

    def _add_column(self, n: int, column: Column) -> None:
        name = column.heading or f"column {column.index + 1}"
        self.fields[f"role-{n}-{column.index}"] = forms.ChoiceField(
            label=name, choices=list(ROLES.items()), initial=column.role, required=False
        )
        units = sorted({unit for some in ROLE_UNITS.values() for unit in some})
        self.fields[f"unit-{n}-{column.index}"] = forms.ChoiceField(
            label=f"Unit of {name}",
            choices=[("", "not said"), *((unit, unit) for unit in units)],
            initial=column.unit,
            required=False,
        )

    def columns(self) -> list[tuple[str, list[tuple[str, forms.BoundField, forms.BoundField]]]]:
        """Per sheet: its name and, for each column, its heading with the two fields."""
        return [
            (
                sheet.sheet,
                [
                    (column.heading, self[f"role-{n}-{column.index}"], self[f"unit-{n}-{column.index}"])
                    for column in sheet.columns
                ],
            )
            for n, sheet in enumerate(self.mapping.sheets)
        ]

    def corrected(self) -> Mapping:
        """The mapping as the person set it; a unit that does not fit its column is dropped."""
        data = self.cleaned_data
        sheets = tuple(
            SheetMapping(
                sheet.sheet,
                sheet.heading_row,
                sheet.last_heading_row,
                tuple(_column(data, n, column) for column in sheet.columns),
            )
            for n, sheet in enumerate(self.mapping.sheets)
        )
        return Mapping(
            sheets, data["length_unit"], data["length_kind"], data["decimal"], data["default_item"]
        )


def _column(data: dict[str, str], n: int, column: Column) -> Column:
    role = data.get(f"role-{n}-{column.index}", "")
    unit = data.get(f"unit-{n}-{column.index}", "")
    return Column(column.index, column.heading, role, unit if unit in ROLE_UNITS.get(role, ()) else "")
