"""What the specification of a piece implies, as the page of the piece shows it."""

from dataclasses import dataclass

from rack.calc.reference import implied
from rack.models import Component
from rack.models.reference import catalogue
from rack.views.opening import Shown, ShownPart, shown, shown_parts


@dataclass(frozen=True)
class ShownImplied:
    """The strengths as rows of a table, a cell a class, and the parts below it."""

    classes: tuple[str, ...]
    rows: tuple[tuple[str, tuple[tuple[str, "Said"], ...]], ...]
    parts: list[ShownPart]
    sentences: tuple[str, ...]
    mark: str


@dataclass(frozen=True)
class Said(Shown):
    """A figure of the table, with the words that name it to a listener: "Tension, premium"."""

    said: str = ""


def implied_of(piece: Component) -> ShownImplied:
    """Work out what this piece's specification implies, from the tables as they are in force now."""
    found = implied(piece.spec.as_facts, catalogue())
    columns = [(column.name, [shown(one, piece.site) for one in column.figures]) for column in found.columns]
    labels = [one.label for one in columns[0][1]] if columns else []
    rows = tuple(
        (label, tuple((name, _said(figures[n], name)) for name, figures in columns))
        for n, label in enumerate(labels)
    )
    parts = shown_parts(found.parts, piece.site)
    return ShownImplied(tuple(name for name, _ in columns), rows, parts, found.sentences, found.mark)


def _said(one: Shown, name: str) -> Said:
    return Said(one.label, one.text, one.worked, one.mark, one.aside, f"{one.label}, {name}")
