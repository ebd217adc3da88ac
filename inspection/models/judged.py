"""A recorded inspection judged again from its own readings: the same checks, whenever they are opened."""

from fractions import Fraction

from inspection.calc.classify import Verdict, classify
from inspection.calc.criteria import scheme
from inspection.calc.effects import effective
from inspection.calc.readings import WHATS, Look
from inspection.calc.readings import Reading as CalcReading
from inspection.calc.verdict import inches
from inspection.models.inspections import Inspection, Method, Reading
from rack.calc.specs import spec_from_key


def verdict_of(one: Inspection) -> Verdict:
    """Every check of a recorded inspection, by the scheme and edition under which it was recorded."""
    # Ordered here and not by a question, so that a list may fetch those of all its rows at once.
    readings = [(as_calc(row), row.stage) for row in sorted(one.readings.all(), key=_written)]
    looks = [Look(row.method, row.result, row.part) for row in sorted(one.methods.all(), key=_written)]
    service = one.scope == "service"
    acceptance = one.acceptance if one.acceptance in scheme(one.scheme).names else ""
    return classify(
        effective(readings), spec_from_key(one.component.spec.key), one.scheme, looks=looks,
        scope="visual" if service else one.scope, unused=one.unused, acceptance=acceptance,
        asked=() if service else None,
    )  # fmt: skip


def _written(row: Reading | Method) -> int:
    return row.seq


def as_calc(row: Reading) -> CalcReading:
    """A stored reading as the pure rules take it."""
    return CalcReading(row.what, row.part, row.nm, row.ppm, row.count_n, row.word, row.where)


def as_read(one: Inspection) -> list[tuple[str, str, str, str, str]]:
    """What was read, in words: what, at which part, at which stage, the figure, where on the piece."""
    return [
        (WHATS[row.what].label, row.part, row.get_stage_display(), shown(row), row.where)
        for row in one.readings.order_by("seq")
    ]


def shown(row: Reading) -> str:
    """A reading as it is shown: a size in inches, a share in percent, a count, a word."""
    if row.nm is not None:
        return f"{inches(row.nm)} in"
    if row.ppm is not None:
        return f"{float(Fraction(row.ppm, 10_000)):g} %"
    if row.count_n is not None:
        return str(row.count_n) if row.count_n else "none"
    return row.word
