"""What a piece of a BHA sheet is in words, where its weight comes from, and how the weights add up."""

from collections.abc import Sequence
from dataclasses import replace

from rack.calc.bha_lines import BhaLine
from rack.calc.bodies import AS_GIVEN, Figure
from rack.calc.figures import figure
from rack.calc.specs import SpecFacts, describe
from rack.calc.units import NM
from rack.calc.worked import Worked

#: Where a weight a foot comes from when the specification says it.
GIVEN = "as given"
_MANY = 1000


def item_words(spec: SpecFacts) -> str:
    """Return what a piece is in words: a tool by its OD and bore, pipe by its label weight.

    `spec` is any specification. Raises ValueError for a kind that is none. Source: common practice.
    """
    pipe = spec.kind in ("drill_pipe", "heavy_weight", "casing", "tubing")
    return describe(spec if pipe else replace(spec, weight_mlb_ft=0, up_conn="", down_conn=""))


def weight_words(weight: Figure) -> str:
    """Return where a `weight` in lb/ft comes from, "" where it is not known.

    Raises nothing. Source: that of its working.
    """
    if weight.worked is None:
        return ""
    return GIVEN if weight.worked.formula == AS_GIVEN else weight.worked.source


def weight_worked(lines: Sequence[BhaLine]) -> Worked | None:
    """Return what `lines` weigh in air in lb, opened: lines that weigh the same a foot in one step.

    Weights are lb/ft, lengths ft; what is not weighed is named and left out. None when nothing is weighed.
    Raises nothing. Source: length x weight a foot, each with its own source.
    """
    groups: list[list[BhaLine]] = []
    for line in lines:
        if groups and _same(groups[-1][-1], line):
            groups[-1].append(line)
        else:
            groups.append([line])
    total, inputs, steps = 0, {}, []
    for group in groups:
        name = _numbers(group)
        if group[0].mlb is None:
            inputs[name] = "no length" if group[0].nm is None else "not weighed"
            continue
        mlb = sum(line.mlb or 0 for line in group)
        total += mlb
        feet, foot = sum(line.nm or 0 for line in group) / NM["ft"], figure(group[0].mlb_ft / _MANY)
        inputs[name] = f"{foot} lb/ft, {group[0].weight_from}"
        steps.append(f"{name}: {feet:,.2f} ft x {foot} lb/ft = {_pounds(mlb)} lb")
    if not steps:
        return None
    steps.append(f"sum = {_pounds(total)} lb")
    return Worked(total / _MANY, "lb", "sum of length x weight a foot", inputs, tuple(steps),
                  "addition; each weight a foot with its own source")  # fmt: skip


def _same(one: BhaLine, other: BhaLine) -> bool:
    kept = one.mlb_ft, one.weight_from, one.mlb is None, one.nm is None
    return kept == (other.mlb_ft, other.weight_from, other.mlb is None, other.nm is None)


def _numbers(group: Sequence[BhaLine]) -> str:
    return f"no. {group[0].n}" if len(group) == 1 else f"no. {group[0].n} to {group[-1].n}"


def _pounds(mlb: int) -> str:
    return f"{(2 * mlb + _MANY) // (2 * _MANY):,}"
