"""A recorded inspection judged again from what was stored of it, so that every check can be opened."""

from collections.abc import Iterable

from inspection.calc.classify import Verdict, classify
from inspection.calc.criteria import scheme
from inspection.calc.effects import Ends, effective
from inspection.calc.readings import Look
from inspection.calc.readings import Reading as CalcReading
from inspection.models.inspections import Inspection, Method, Reading
from rack.calc.specs import spec_from_key


def verdict_of(row: Inspection, looks: Iterable[Method], readings: Iterable[Reading]) -> Verdict:
    """The checks of a stored inspection, as its readings, looks and scheme make them."""
    by, service = scheme(row.scheme), row.scope == "service"
    return classify(
        effective((as_read(one), one.stage) for one in readings), spec_from_key(row.component.spec.key), by,
        looks=[Look(one.method, one.result, one.part) for one in looks],
        scope="visual" if service else row.scope, unused=row.unused,
        acceptance=row.acceptance if row.acceptance in by.names else "", asked=() if service else None,
    )  # fmt: skip


def as_read(row: Reading) -> CalcReading:
    """A stored reading as it judges."""
    return CalcReading(row.what, row.part, row.nm, row.ppm, row.count_n, row.word, row.where)


def ends_of(row: Inspection) -> Ends:
    """Box and pin of a stored inspection."""
    return Ends(row.box_found, row.box_after, row.pin_found, row.pin_after)
