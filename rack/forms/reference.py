"""Forms of the reference pages: what is picked, by address, and what the office adds to a table."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from django import forms

from rack.calc import bits, units
from rack.calc.bits import SCHEMES
from rack.calc.lookup import SOURCES, Catalogue, Row, number, rows
from rack.calc.reference.casing import PRODUCTS, THREADS, pipes
from rack.calc.reference.connection import BODIES
from rack.calc.tubes import PIPE_CLASSES
from rack.models import Site

#: The US unit that calc takes, by quantity.
CALC_UNITS = units.PRESETS["us"]


class FigureField(forms.CharField):
    """A figure as people write it: "6.5", "6,5", "6-1/2", "80 %". Gives a float, None when left empty.

    With a `quantity` it is typed in the unit of the site and given in the unit that calc takes.
    """

    def __init__(self, *, quantity: str = "", unit: str = "", **more: Any) -> None:
        super().__init__(**{"required": False, "max_length": 20, **more})
        self.quantity, self.unit = quantity, unit
        self.widget.attrs |= {"inputmode": "decimal", "class": "figure", "autocomplete": "off"}

    def clean(self, value: Any) -> float | None:
        text = super().clean(value).replace(",", ".").replace("%", "").strip()
        try:
            exact = number(text)
        except ValueError:
            raise forms.ValidationError(f"{value!r} is no figure; write it like 6.5 or 6-1/2.") from None
        if exact is None:
            return None
        if self.quantity:
            exact *= units.factor(self.quantity, self.unit, CALC_UNITS[self.quantity])
        return float(exact)


class PickForm(forms.Form):
    """A form whose choices stand in the address. Fields that take a unit say the site's."""

    #: argument of calc -> the field it was typed in, for the sentence that calc answers with.
    ARGUMENTS: dict[str, str] = {}

    def __init__(self, data: Any = None, *, site: Site, catalogue: Catalogue) -> None:
        super().__init__(data)
        self.site, self.catalogue = site, catalogue
        for field in self.fields.values():
            if isinstance(field, FigureField) and field.quantity:
                field.unit = units.PRESETS[site.units][field.quantity]
                field.label = f"{field.label}, {field.unit}"

    def check(self, ask: Callable[[], object]) -> bool:
        """Whether calc takes it; what it answers else stands beside the field."""
        try:
            ask()
        except ValueError as wrong:
            self.refuse(wrong)
            return False
        return True

    def refuse(self, wrong: ValueError) -> None:
        """Put the sentence of calc beside the field that it is about; what was typed stays."""
        argument, _, words = str(wrong).partition(": ")
        field = self.ARGUMENTS.get(argument)
        if field:
            self.add_error(field, f"{words}.")
        else:
            self.add_error(None, f"{wrong}.")


class PipeForm(PickForm):
    pipe = forms.ChoiceField(label="Size and label weight")
    grade = forms.ChoiceField(label="Grade")
    pipe_class = forms.ChoiceField(
        label="Class", choices=[(name, name) for name in PIPE_CLASSES], required=False
    )
    wall_left = FigureField(label="Or measured wall, % of nominal", help_text="Governs over the class.")
    connection = forms.CharField(
        label="Connection", required=False, max_length=40,
        help_text="Empty: the one the table names.", widget=forms.TextInput(attrs={"list": "threads"}),
    )  # fmt: skip
    od = FigureField(label="Tool joint outside, in")
    bore = FigureField(label="Tool joint bore, in")
    mud = FigureField(label="Mud weight", quantity="mud")
    pull = FigureField(label="Pull", quantity="force")
    torque = FigureField(label="Torque", quantity="torque")
    length = FigureField(label="Length", quantity="length")

    ARGUMENTS = {
        "od_in": "od", "bore_in": "bore", "connection": "connection", "wall_left": "wall_left",
        "mud_ppg": "mud", "pull_lb": "pull", "torque_ft_lb": "torque", "length_ft": "length",
        "grade": "grade",
    }  # fmt: skip

    def __init__(self, data: Any = None, *, site: Site, catalogue: Catalogue) -> None:
        super().__init__(data, site=site, catalogue=catalogue)
        fields: dict[str, Any] = self.fields
        fields["pipe"].choices = [*_drill_pipes(catalogue), ("Heavy-weight", _heavy(catalogue))]
        fields["grade"].choices = [(row["grade"], row["grade"]) for row in catalogue.rows("grades")]


def pipe_code(row: Row) -> str:
    """How a row of drill pipe stands in an address: "5/19.50"."""
    return f"{row['size'].replace('/', '.')}/{row['nominal_weight_lb_ft']}"


def heavy_code(row: Row) -> str:
    return f"hw/{row['size'].replace('/', '.')}"


def _drill_pipes(catalogue: Catalogue) -> list[tuple[str, list[tuple[str, str]]]]:
    groups: dict[str, list[tuple[str, str]]] = {}
    for row in sorted(catalogue.rows("drill_pipe"), key=_by_size):
        words = f"{row['size']} in {row['nominal_weight_lb_ft']} lb/ft"
        groups.setdefault(f"{row['size']} in", []).append((pipe_code(row), words))
    return list(groups.items())


def _by_size(row: Row) -> tuple[Fraction, Fraction]:
    return number(row["od_in"]) or Fraction(0), number(row["nominal_weight_lb_ft"]) or Fraction(0)


def _heavy(catalogue: Catalogue) -> list[tuple[str, str]]:
    return [(heavy_code(row), f"{row['size']} in heavy-weight") for row in catalogue.rows("heavyweight")]


class ConnectionForm(PickForm):
    connection = forms.CharField(
        label="Connection", max_length=40, help_text="Any spelling: NC50, 4-1/2 IF, 6-5/8 API Reg.",
        widget=forms.TextInput(attrs={"list": "threads", "autocomplete": "off"}),
    )  # fmt: skip
    body = forms.ChoiceField(label="On a", choices=[(name, name) for name in BODIES], required=False)
    od = FigureField(label="Outside diameter, in")
    bore = FigureField(label="Bore, in")
    factor = FigureField(label="Compound's friction factor", help_text="As on the can; empty is 1.0.")
    arm = FigureField(label="Tong arm", quantity="length")
    other = forms.CharField(
        label="Does it make up with", required=False, max_length=40,
        widget=forms.TextInput(attrs={"list": "threads", "autocomplete": "off"}),
    )  # fmt: skip

    ARGUMENTS = {
        "od_in": "od", "bore_in": "bore", "connection": "connection", "compound_factor": "factor",
        "arm_ft": "arm", "torque_ft_lb": "arm",
    }  # fmt: skip


class CasingForm(PickForm):
    pipe = forms.ChoiceField(label="Size and weight")
    grade = forms.ChoiceField(label="Grade")
    thread = forms.ChoiceField(label="Thread")
    range = forms.ChoiceField(
        label="Range", choices=[("", "any"), ("R1", "R1"), ("R2", "R2"), ("R3", "R3")], required=False
    )

    ARGUMENTS = {"grade": "grade", "thread": "thread", "name": "range"}

    def __init__(self, data: Any = None, *, site: Site, catalogue: Catalogue) -> None:
        super().__init__(data, site=site, catalogue=catalogue)
        self.pipes = {
            f"{one.product}/{one.size.replace('/', '.')}/{one.weight_lb_ft:g}": one
            for product in PRODUCTS for one in pipes(product, catalogue)
        }  # fmt: skip
        fields: dict[str, Any] = self.fields
        fields["pipe"].choices = [(product.capitalize(), self._labels(product)) for product in PRODUCTS]
        fields["grade"].choices = [(row["grade"], row["grade"]) for row in catalogue.rows("casing_grades")]
        fields["thread"].choices = [
            (product.capitalize(), [(name, name) for name in THREADS[product]]) for product in PRODUCTS
        ]

    def _labels(self, product: str) -> list[tuple[str, str]]:
        return [(code, one.label) for code, one in self.pipes.items() if one.product == product]


class BitForm(PickForm):
    bit = forms.ChoiceField(label="Bit", choices=[(name, name) for name in bits.BIT_TYPES])
    size = FigureField(label="Size, in", required=True, help_text="12-1/4, 8-1/2, 8.5")
    nozzles = forms.CharField(
        label="Nozzles, 32nds of an inch", required=False, max_length=80, help_text="3x16 2x18"
    )
    code = forms.CharField(label="Classification code", required=False, max_length=20, help_text="517G, M323")
    scheme = forms.ChoiceField(
        label="How a fixed-cutter code is read", required=False,
        choices=[(name, name or "not at all: it is kept as it stands") for name in SCHEMES],
    )  # fmt: skip
    dull = forms.CharField(label="Dull grade", required=False, max_length=60, help_text="1-2-WT-A-E-I-NO-TD")

    ARGUMENTS = {"size_in": "size", "text": "nozzles", "nozzles_32nds": "nozzles", "scheme": "scheme"}


class OfficeRowForm(forms.Form):
    """A row of one table, a field a column, and where it comes from."""

    def __init__(self, data: Any = None, *, table: str, initial: Row | None = None) -> None:
        super().__init__(data, initial=dict(initial or {}))
        key = SOURCES[table].key
        for column in rows(table)[0]:
            if column in ("source", "conf", "note"):
                continue
            words = "Part of what names the entry." if column in key else ""
            self.fields[column] = forms.CharField(
                label=label_of(column), required=False, max_length=200, help_text=words
            )
        self.fields["note"] = forms.CharField(label="Note", required=False, max_length=200)
        self.fields["source"] = forms.CharField(
            label="Where it comes from", max_length=200,
            help_text="The maker's sheet or the standard: name, number, date.",
        )  # fmt: skip

    @property
    def cells(self) -> dict[str, str]:
        return {name: text for name, text in self.cleaned_data.items() if name != "source"}


_UNITS = (
    ("_lb_ft", "lb/ft"), ("_in_per_ft", "in/ft"), ("_ft_lb", "ft-lb"), ("_klbf", "1000 lbf"), ("_lbf", "lbf"),
    ("_psi", "psi"), ("_in2", "in2"), ("_in3", "in3"), ("_in", "in"), ("_ft", "ft"), ("_mm", "mm"),
    ("_m", "m"), ("_lb", "lb"), ("_deg", "degrees"), ("_ppg", "ppg"), ("_pcf", "lb/ft3"), ("_sg", "SG"),
)  # fmt: skip
#: Columns whose unit does not stand at the end.
_NAMED = {
    "approx_weight_lb_ft_with_joints": ("weight with joints", "lb/ft"),
    "tube_tensile_lb_55ksi": ("tension at 55 ksi", "lb"), "formula_tensile": ("the same by formula", "lb"),
    "tube_torsion_ft_lb_55ksi": ("torsion at 55 ksi", "ft-lb"),
    "formula_torsion": ("the same by formula", "ft-lb"),
    "tool_joint_od": ("tool joint OD", "in"), "tool_joint_id": ("tool joint ID", "in"),
    "tj_od": ("tool joint OD", "in"), "tj_id": ("tool joint ID", "in"),
    "tj_length_L_in": ("its length", "in"),
    "nominal_weight": ("label weight", "lb/ft"), "nominal_weight_lb_ft": ("label weight", "lb/ft"),
}  # fmt: skip
#: Words of the columns that are letters, and how they are read.
_SAID = {
    "od": "OD", "id": "ID", "tj": "tool joint", "bsr": "ratio", "srg": "groove", "dia": "diameter",
    "bf": "factor", "stc": "STC", "ltc": "LTC", "btc": "BTC", "nue": "NUE", "eue": "EUE",
    "tpi": "threads per inch", "approx": "about",
}  # fmt: skip


def heading(column: str) -> tuple[str, str]:
    """The name of a column in words, and its unit ("" where the column has none of its own)."""
    if column in _NAMED:
        return _NAMED[column]
    for ending, unit in _UNITS:
        if column.endswith(ending):
            return _words(column.removesuffix(ending)), unit
    return _words(column), ""


def _words(column: str) -> str:
    return " ".join(_SAID.get(word, word) for word in column.split("_"))


def label_of(column: str) -> str:
    """A column as the head of a table or the label of a field: "Wall, in"."""
    words = ", ".join(part for part in heading(column) if part)
    return words[:1].upper() + words[1:]
