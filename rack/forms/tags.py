"""How tags are to be printed: on which labels, from which one on, and where a printer needs them moved."""

from collections.abc import Mapping
from typing import Any

from django import forms

from rack.calc.checks import Problem, Severity
from rack.calc.labels import Grid, adjusted, grid_problems
from rack.forms.wells import LengthField

#: The fields that say how, not which pieces: an address that is changed keeps the others.
HOW = ("grid", "start", "copies", "list_class", "left", "top", "pitch_x", "pitch_y", "test")
CLASSES = [("shown", "as the list gave it, with its bands"), ("left out", "not on the tag")]
_AS_IT_IS = "Empty: as the grid has it."


class TagForm(forms.Form):
    """`layout` after a clean form: the grid as it will be printed; `notes` what to mind of it."""

    layout: Grid
    notes: list[Problem]

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, grids: Mapping[str, Grid], usual: str, modules: int
    ) -> None:  # fmt: skip
        super().__init__(data, initial={"grid": usual})
        self.grids, self.usual, self.modules = grids, usual, modules
        self.notes = []
        names = [(name, _name(grid)) for name, grid in grids.items()]
        self.fields["grid"] = forms.ChoiceField(label="Labels", choices=names, required=False)
        self.fields["start"] = forms.IntegerField(
            label="Start at label", min_value=1, initial=1, required=False,
            help_text="Counted along the rows: where the first free label of the page is. On a roll 1.",
        )  # fmt: skip
        self.fields["copies"] = forms.IntegerField(
            label="Labels for each piece", min_value=1, max_value=4, initial=1, required=False,
            help_text="One is enough on a rack.",
        )  # fmt: skip
        self.fields["list_class"] = forms.ChoiceField(
            label="Class", choices=CLASSES, required=False,
            help_text="A list's class is no inspection, and the tag says so.",
        )  # fmt: skip
        for field, label, words in (
            ("left", "Left margin", f"mm, or write 0.28 in. {_AS_IT_IS}"), ("top", "Top margin", _AS_IT_IS),
            ("pitch_x", "From label to label across", f"Edge to the same edge. {_AS_IT_IS}"),
            ("pitch_y", "From label to label down", _AS_IT_IS),
        ):
            self.fields[field] = LengthField("mm", label=label, required=False, help_text=words)

    def clean_grid(self) -> str:
        return self.cleaned_data["grid"] or self.usual

    def clean_start(self) -> int:
        return self.cleaned_data["start"] or 1

    def clean_copies(self) -> int:
        return self.cleaned_data["copies"] or 1

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        grid = self.grids.get(typed.get("grid", ""))
        if grid is None:
            return typed
        names = ("left", "top", "pitch_x", "pitch_y")
        self.layout = adjusted(grid, **{name: typed.get(name) for name in names})
        for problem in grid_problems(self.layout, self.modules):
            if problem.severity is Severity.STOPS:
                self.add_error(_field(problem.where, typed), problem.text)
            else:
                self.notes.append(problem)
        if typed.get("start", 1) > grid.a_page:
            self.add_error("start", f"{grid.name} has labels 1 to {grid.a_page}.")
        return typed


def _field(where: str, typed: Mapping[str, Any]) -> str | None:
    """The field that a problem is said at: where only the margin was changed, the margin and no pitch."""
    margin = {"pitch_x": "left", "pitch_y": "top"}.get(where, where)
    if typed.get(where) is None and typed.get(margin) is not None:
        where = margin
    return where if where in HOW else None


def _name(grid: Grid) -> str:
    size = f"{grid.label_w.shown('mm', 1)} x {grid.label_h.shown('mm', 1)} mm"
    return f"{grid.name}, {size}" + (", one a page" if grid.on_roll else f", {grid.a_page} a page")
