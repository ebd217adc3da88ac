"""A fact of the specification that was noted on a piece is that of the specification it has now."""

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter

from rack.auditing.difference import Difference
from rack.calc.facts import facts_of_spec
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from rack.models import PieceFact

_COLUMNS = ("component__tag", "component__spec__kind", "component__spec__facts", "name", "value")


def facts_of_specifications(using: str) -> Iterator[Difference]:
    """Hold the newest standing note of each such fact to the piece's specification, a piece at a time."""
    rows = PieceFact.objects.using(using).standing().order_by("component", "id")
    for (tag, kind, facts), noted in groupby(rows.values_list(*_COLUMNS).iterator(), itemgetter(0, 1, 2)):
        names = {fact.name for fact in KINDS[kind].facts if fact.of == "spec"}
        newest = {name: value for *_, name, value in noted if name in names}
        there = facts_of_spec(SpecFacts(kind=kind, facts=facts)) if newest else {}
        for name, value in newest.items():
            if there.get(name, "") != value:
                yield Difference(f"the piece with tag {tag}", f"{name} of its specification",
                                 there.get(name, ""), value)  # fmt: skip
