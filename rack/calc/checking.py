"""Everything that one tally betrays of itself, beside the register and beside the sender's list."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from rack.calc import registered
from rack.calc.arbiter import NEAR, against_list
from rack.calc.lengths import ZERO, Length
from rack.calc.one_strap import Read, equal_neighbours, inch_tape, standing_alone
from rack.calc.purposes import Purpose
from rack.calc.registered import Group, Known
from rack.calc.sampling import Sample, average_test, sample
from rack.calc.strapped import Finding, StrapLine, Terms


@dataclass(frozen=True)
class TallyFacts:
    """One tally as the checks see it; all rows are its standing lines in order.

    `strap` are the readings that hold, `second` those of a second strap and `listed` those of the list
    called `list_name`, both empty where there is none. `code` draws the sample.
    """

    purpose: Purpose
    terms: Terms
    reads: Sequence[Read]
    known: Sequence[Known]
    strap: Sequence[StrapLine]
    second: Sequence[StrapLine] = ()
    listed: Sequence[StrapLine] = ()
    list_name: str = ""
    groups: Sequence[Group] = ()
    struck_off: Collection[int] = ()
    code: str = ""


def checks(facts: TallyFacts) -> list[Finding]:
    """Return every finding of this tally: of the whole list first, then of single joints in order.

    `facts` is the tally as it stands; two straps are compared elsewhere. Raises ValueError for a unit
    that is none. Source: tally checks T05 to T07, T09 to T11, T16, T17, T19, and those of `against_list`.
    """
    found = [
        *registered.repainted(facts.known),
        *registered.twice(facts.known),
        *registered.recut(facts.known),
        *registered.threads(facts.known, facts.purpose),
        *registered.out_of_turn(facts.known, facts.purpose),
    ]
    if not facts.purpose.by_stand:
        found += registered.balance(facts.known, facts.groups, facts.purpose, struck_off=facts.struck_off)
        found += _of_lengths(facts)
    return sorted(found, key=lambda each: (len(each.lines) == 1, each.lines[:1]))


def _of_lengths(facts: TallyFacts) -> list[Finding]:
    tape = inch_tape(facts.reads, facts.terms)
    found = [tape] if tape else []
    found += equal_neighbours(facts.reads, facts.terms, vouched=_alike_elsewhere(facts))
    alone = standing_alone(_with_others(facts), facts.terms)
    beside = [] if facts.second or not facts.listed else _beside_list(facts)
    told = {line for each in beside for line in each.lines if len(each.lines) == 1}
    found += [each for each in alone if each.lines[0] not in told]  # the list knows better what it was
    total = _total([line.length for line in facts.listed])
    average = average_test(sample_of(facts), total, facts.list_name, facts.terms)
    return [*found, *beside, *([average] if average else [])]


def _with_others(facts: TallyFacts) -> list[Read]:
    """The readings, each with what the list, else the second strap, has for the same joint."""
    reads = list(facts.reads)
    for lines in (facts.second, facts.listed):  # the list last: it goes before the second strap
        if len(lines) == len(reads):
            reads = [replace(read, known=line.length or read.known)
                     for read, line in zip(reads, lines, strict=True)]  # fmt: skip
    return reads


def _beside_list(facts: TallyFacts) -> list[Finding]:
    return against_list(facts.listed, facts.strap, unit=facts.terms.unit, digits=facts.terms.digits)


def sample_of(facts: TallyFacts) -> Sample | None:
    """Return twenty joints drawn by the code of `facts`, None while a joint is unread or they are too few.

    Raises nothing. Source: tally check T09.
    """
    lengths = [line.length for line in facts.strap]
    read = [length for length in lengths if length is not None]
    return sample(read, facts.code) if len(read) == len(lengths) else None


def _alike_elsewhere(facts: TallyFacts) -> set[int]:
    """Places whose pair with the next another list has alike too, so that they are two joints."""
    places: set[int] = set()
    for lines, within in ((facts.second, facts.terms.gate), (facts.listed, NEAR)):
        for place, (one, other) in enumerate(zip(lines, lines[1:], strict=False)):
            if one.length is None or other.length is None:
                continue
            if abs(one.length.nanometres - other.length.nanometres) <= within.nanometres:
                places.add(place)
    return places


def _total(lengths: Sequence[Length | None]) -> Length | None:
    known = [length for length in lengths if length is not None]
    return sum(known, ZERO) if known and len(known) == len(lengths) else None
