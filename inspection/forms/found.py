"""What was found of one piece: looks, sizes as found and after repair, ends, class, findings with photos."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms import BoundField

from inspection.actions.found import Found, Read, Seen
from inspection.calc.criteria import Scheme
from inspection.calc.effects import Ends
from inspection.calc.entering import (
    STATES_SAID,
    UNITS,
    WORDS,
    Field,
    ends_of,
    fields_for,
    read,
    typed_with_unit,
)
from inspection.calc.methods import Method, methods_for
from inspection.calc.readings import Look
from inspection.forms.head import kept_of, sign_kept
from rack.calc.specs import SpecFacts
from rack.models import Component

FINDINGS = range(3)
#: What is read again after a repair.
_AFTER = frozenset({"wall", "od", "shoulder", "bore", "bench", "tong", "counterbore", "seal", "threads",
                    "lead", "bent"})  # fmt: skip
#: What every look at a piece comes to; the rest is folded away until it is wanted.
_USUAL = frozenset({"wall", "od", "shoulder", "crack", "bent", "seal", "threads", "gauge", "bench_mark"})
_USUAL_METHODS = frozenset({"VT-T", "VT-C", "ODG", "UTW", "EMI", "FLUT", "MPI-D", "UTS", "MPI-F", "PT", "UTC",
                            "DIM1", "DIM2", "DIM3"})  # fmt: skip
_FLAGS = [("", "not said"), ("0", "none found"), ("1", "found")]
_MARKS = [("", "not said"), ("yes", "there"), ("no", "not there")]
_STATES = [("", "not said"), *STATES_SAID.items()]
_PARTS = {"tube": "Tube", "body": "Body", "box": "Box", "pin": "Pin"}


@dataclass(frozen=True)
class Row:
    """One thing of the form: its label, its field as found and after repair."""

    label: str
    help: str
    found: BoundField
    after: BoundField | None


class FoundForm(forms.Form):
    """The fields fit the piece and the scheme it is judged by."""

    unit = forms.ChoiceField(
        label="Sizes without a unit are", choices=[("in", "inches"), ("mm", "millimetres")], required=False,
        help_text="5 1/2, 0.362, 0,362 and 9.2 mm are read wherever they stand.",
    )  # fmt: skip
    given = forms.ChoiceField(label="Class given by the inspector", required=False)
    repaired = forms.BooleanField(
        label="The tube or body was mended (straightened, ground, built up)", required=False
    )
    paint = forms.CharField(
        label="Paint seen", max_length=40, required=False, help_text="As 2 white; 1 yellow."
    )
    remarks = forms.CharField(label="Remarks", max_length=300, required=False)

    def __init__(
        self, data: Any = None, files: Any = None, *, spec: SpecFacts, by: Scheme, **more: Any
    ) -> None:
        super().__init__(data, files, **more)
        self.by, self.asked = by, fields_for(spec, by.code)
        self.methods, self.ends = methods_for(spec), ends_of(spec)
        known: dict[str, Any] = self.fields
        known["given"].choices = [("", "none given"), *((name, name) for name in by.names)]
        for method in self.methods:
            known[f"look-{method.code}"] = _choice(f"{method.code}, {method.name}", _results(method))
        for one in self.asked:
            known[one.name] = _field(one, "as found")
            if one.what in _AFTER:
                known[f"{one.name}-after"] = _field(one, "after repair")
        for end in self.ends:
            for stage, said in (("found", "as found"), ("after", "after repair")):
                known[f"{end}_{stage}"] = _choice(f"{_PARTS[end]}, what is to be done, {said}", _STATES)
        for n in FINDINGS:
            known[f"seen-{n}"] = forms.CharField(label="What was found", max_length=200, required=False)
            known[f"seen-{n}-where"] = forms.CharField(
                label="Where on the piece", max_length=60, required=False
            )
            known[f"seen-{n}-photo"] = forms.FileField(
                label="Photo", required=False, allow_empty_file=True, max_length=200,
                widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png"}),
            )  # fmt: skip
            known[f"seen-{n}-kept"] = forms.CharField(required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        unit: str = typed["unit"] if typed.get("unit") in UNITS else "in"
        self.reads: list[Read] = []
        for one in self.asked:
            for stage, name in (("found", one.name), ("after", f"{one.name}-after")):
                text = typed.get(name) or ""
                try:
                    readings = read(one, text, unit)
                except ValueError as wrong:
                    self.add_error(name, str(wrong))
                    continue
                as_typed = typed_with_unit(text, unit) if one.sort == "size" else text
                self.reads += [Read(each, stage, as_typed[:40]) for each in readings]
        for n in FINDINGS:
            if (typed.get(f"seen-{n}-photo") or typed.get(f"seen-{n}-kept")) and not typed.get(f"seen-{n}"):
                self.add_error(f"seen-{n}", "Say in a few words what the photo shows.")
        return typed

    def keep(self, keep: Any) -> list[Any]:
        """Keep the photos that came, so that none is lost with a form that comes back; what is wrong."""
        data, problems = dict(self.data.items()), []
        self.data = data
        for n in FINDINGS:
            photo = self.files.get(f"seen-{n}-photo")
            if photo:
                kept, wrong = keep(photo)
                problems += wrong
                if kept:
                    data[f"seen-{n}-kept"] = sign_kept(kept)
        return problems

    def found(self, piece: Component) -> Found:
        """What was found as the action takes it; what could not be read is left out."""
        typed = self.cleaned_data
        ends = {f"{end}_{stage}": typed.get(f"{end}_{stage}", "") for end in self.ends
                for stage in ("found", "after")}  # fmt: skip
        seen = [
            Seen(typed[f"seen-{n}"], typed.get(f"seen-{n}-where", ""),
                 kept_of(self.data.get(f"seen-{n}-kept", "")))
            for n in FINDINGS if typed.get(f"seen-{n}")
        ]  # fmt: skip
        return Found(
            piece, tuple(self._looks()), tuple(self.reads), typed.get("given", ""), Ends(**ends),
            typed.get("repaired", False), typed.get("paint", ""), typed.get("remarks", ""), tuple(seen),
        )  # fmt: skip

    def _looks(self) -> Iterator[Look]:
        for method in self.methods:
            result, _, part = (self.cleaned_data.get(f"look-{method.code}") or "").partition(":")
            if result:
                yield Look(method.code, result, part)

    # What the template walks through

    def looks(self) -> Iterator[tuple[bool, list[tuple[Method, BoundField]]]]:
        """The methods that are usual, then those that are rare; each part with whether it is folded."""
        rows = [(method, self[f"look-{method.code}"]) for method in self.methods]
        for rare in (False, True):
            some = [(method, field) for method, field in rows if (method.code not in _USUAL_METHODS) == rare]
            yield rare and not any(said(field) for _, field in some), some

    def groups(self) -> Iterator[tuple[str, bool, bool, list[Row]]]:
        """The sizes part by part, the usual ones and then the rare; each with whether it is folded away."""
        groups: dict[tuple[str, bool], list[Row]] = {}
        for part in dict.fromkeys(one.part for one in self.asked):
            groups |= {(part, False): [], (part, True): []}
        for one in self.asked:
            after = self[f"{one.name}-after"] if one.what in _AFTER else None
            row = Row(one.label, one.help, self[one.name], after)
            groups[one.part, one.what not in _USUAL].append(row)
        for end in self.ends:
            row = Row("What is to be done", "", self[f"{end}_found"], self[f"{end}_after"])
            groups.setdefault((end, False), []).append(row)
        for (part, rare), rows in groups.items():
            if rows:
                typed = any(said(field) for row in rows for field in (row.found, row.after) if field)
                yield _PARTS[part], rare, rare and not typed, rows

    def findings(self) -> list[dict[str, Any]]:
        found = []
        for n in FINDINGS:
            kept = kept_of(self.data.get(f"seen-{n}-kept", "")) if self.is_bound else None
            names = {"what": f"seen-{n}", "where": f"seen-{n}-where", "photo": f"seen-{n}-photo"}
            fields = {key: self[name] for key, name in names.items()}
            found.append({**fields, "hidden": self[f"seen-{n}-kept"], "kept": kept, "n": n + 1})  # fmt: skip
        return found


def said(field: BoundField) -> bool:
    """Whether something was typed or chosen there, or is wrong with it."""
    return bool(field.form.is_bound and field.value()) or bool(field.errors)


def _results(method: Method) -> list[tuple[str, str]]:
    found = [("", "not done"), ("nothing to reject", "nothing to reject"), ("indication", "indication")]
    if any(what.startswith(("connection", "threads")) for what in method.looks_at):
        found += [("indication:box", "indication, box"), ("indication:pin", "indication, pin")]
    return found


def _choice(label: str, choices: list[tuple[str, str]]) -> forms.ChoiceField:
    widget = forms.Select(attrs={"class": "control", "aria-label": label})
    return forms.ChoiceField(label=label, choices=choices, required=False, widget=widget)


def _field(one: Field, stage: str) -> forms.Field:
    label = f"{_PARTS[one.part]}, {one.label[:1].lower()}{one.label[1:]}, {stage}"
    if one.sort == "flag":
        return _choice(label, _FLAGS)
    if one.what == "bench_mark":
        return _choice(label, _MARKS)
    if one.what in ("seal", "threads"):
        return _choice(label, [("", "not said"), *((word, word) for word in WORDS)])
    attrs = {"class": "control figure", "aria-label": label, "autocomplete": "off"}
    if one.sort == "word":
        attrs["class"] = "control"
    return forms.CharField(label=label, max_length=60, required=False, widget=forms.TextInput(attrs=attrs))
