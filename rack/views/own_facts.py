"""What only its kind has, and its length or lengths, as the page of a piece shows them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rack.actions.facts import current_facts
from rack.calc.checks import Problem
from rack.calc.facts import code_meanings, code_problems, flow_area_worked, read_fact, shown_fact
from rack.calc.figures import figure
from rack.calc.worked import Worked
from rack.forms.own_facts import EndedForm, FactsForm, LengthForm
from rack.models import Component, PieceFact, Strap
from rack.models.lengths import standing_lengths
from rack.models.pieces import noted_facts


@dataclass(frozen=True)
class ShownFact:
    """One fact as it stands on the page; `worked` is what opens behind it."""

    label: str
    text: str
    aside: str = ""
    worked: Worked | None = None


@dataclass(frozen=True)
class Own:
    """All that only this kind has, and what is to be said of it."""

    rows: list[ShownFact]
    problems: list[Problem]


def own_of(one: Component, noted: Mapping[str, PieceFact]) -> Own:
    """The facts of this piece in the order in which its kind declares them; `noted` are its notes."""
    kind, values = one.spec.kind_entry, current_facts(one, noted)
    rows, problems = [], list(code_problems(kind, values))
    for fact in kind.facts:
        value = values.get(fact.name, "")
        if not value:
            continue
        since = noted.get(fact.name)
        aside = f"since {since.since}" if since and since.value == value else ""
        rows.append(ShownFact(fact.label, shown_fact(fact, value), aside))
        if fact.sort == "nozzles" and (area := flow_area_worked(value)):
            rows.append(ShownFact("Total flow area", f"{figure(area.value, 4)} in2", "", area))
        if fact.sort in ("length", "size", "degrees"):
            problems += read_fact(fact, shown_fact(fact, value))[1]
    rows += [
        ShownFact(part.place.capitalize(), f"{part.character}: {part.meaning}", part.mark or part.source)
        for part in code_meanings(kind, values)
    ]
    return Own(rows, problems)


def lengths_of(one: Component) -> list[tuple[str, Strap]]:
    """Both lengths of a tool that telescopes, as far as they are known; nothing for other pieces."""
    if not one.spec.kind_entry.telescopes:
        return []
    known = standing_lengths([one.pk]).get(one.pk, {})
    words = (("open", "Open"), ("closed", "Closed"), ("", "Open or closed not said"))
    return [(label, known[name]) for name, label in words if name in known]


def own_context(one: Component) -> dict[str, Any]:
    """What the page of a piece shows of all this, and its forms."""
    kind = one.spec.kind_entry
    noted = noted_facts(one) if kind.facts else {}
    return {
        "own": own_of(one, noted),
        "both_lengths": lengths_of(one),
        "facts_form": facts_form(one, noted=noted) if kind.facts else None,
        "length_form": LengthForm(kind=kind, site=one.site),
        "ended_form": EndedForm(),
    }


def facts_form(
    one: Component, data: Any = None, *, noted: Mapping[str, PieceFact] | None = None
) -> FactsForm:
    current = current_facts(one, noted)
    return FactsForm(data, kind=one.spec.kind_entry, current=current, version=one.version)
