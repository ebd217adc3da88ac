"""A bit: gauge, pin and nozzles by its size, its classification code and its dull grade read."""

from dataclasses import dataclass
from fractions import Fraction

from rack.calc import bits
from rack.calc.checks import Problem
from rack.calc.lookup import Catalogue
from rack.calc.losses import SHIPPED
from rack.calc.reference.parts import Gathering, Part, words_of
from rack.calc.worked import Worked


@dataclass(frozen=True)
class BitPick:
    """A bit: its family, size in inches, and as typed its nozzles, code (and how it is read) and grade."""

    bit_type: str
    size_in: float
    nozzles: str = ""
    code: str = ""
    scheme: str = ""
    dull: str = ""


@dataclass(frozen=True)
class Reading:
    """A code that was read: its heading, its parts as (place, character, meaning, mark), its questions."""

    title: str
    parts: tuple[tuple[str, str, str, str], ...]
    problems: tuple[Problem, ...]


def gauge_part(bit_type: str, size_in: float, catalogue: Catalogue = SHIPPED) -> Part:
    """Return how far a new bit may be off its gauge, in inches, and the pin its size usually has.

    `bit_type` is one of `bits.BIT_TYPES`, `size_in` the nominal size in inches, `catalogue` holds the
    office's own rows. Raises nothing: what no band of the table holds becomes a sentence. Source: table
    "bits".
    """
    found = Gathering(f"By size, {bit_type}")
    found.add("May be under its size when new", lambda: _gauge(bit_type, size_in, "under_in", catalogue))
    found.add("May be over its size when new", lambda: _gauge(bit_type, size_in, "over_in", catalogue))
    found.add("Usual pin", lambda: _pin(bit_type, size_in, catalogue), "the pin itself decides")
    return found.part()


def _gauge(bit_type: str, size_in: float, side: str, catalogue: Catalogue) -> Worked:
    found = bits.gauge_tolerance(bit_type, size_in, catalogue=catalogue)
    value: Fraction = getattr(found, side)
    inputs = {"bit": bit_type, "size": f"{size_in:g} in"}
    steps = (f"{value} in", *([found.note] if found.note else []))
    source = words_of({"source": found.source, "conf": found.conf})
    return Worked(float(value), "in", "as it stands in table bits", inputs, steps, source)


def _pin(bit_type: str, size_in: float, catalogue: Catalogue) -> Worked:
    found = bits.pin_by_size(bit_type, size_in, catalogue=catalogue)
    words = " or ".join(found.threads)
    steps = [words, "sources differ" if found.sources_differ else "", found.note]
    inputs = {"bit": bit_type, "size": f"{size_in:g} in"}
    source = words_of({"source": found.source, "conf": found.conf})
    return Worked(
        words, "", "as it stands in table bits", inputs, tuple(step for step in steps if step), source
    )


def bit_parts(
    pick: BitPick, catalogue: Catalogue = SHIPPED
) -> tuple[tuple[Part, ...], tuple[Reading, ...]]:
    """Return the figures of a bit, and its code and grade as they were read.

    `pick` has its size in inches, `catalogue` holds the office's own rows. Raises ValueError naming what
    cannot be: a size out of range, nozzles that cannot be read, an unknown scheme.
    Source: table "bits", table "dull".
    """
    bits.gauge_tolerance(pick.bit_type, pick.size_in, catalogue=catalogue)
    parts = [gauge_part(pick.bit_type, pick.size_in, catalogue)]
    if pick.nozzles:
        worked = bits.total_flow_area_in2_worked(bits.read_nozzles(pick.nozzles))
        found = Gathering("Nozzles")
        found.put("Total flow area", worked)
        parts.append(found.part())
    return tuple(parts), _readings(pick, catalogue)


def _readings(pick: BitPick, catalogue: Catalogue) -> tuple[Reading, ...]:
    found = []
    if pick.code:
        code = bits.read_code(pick.code, pick.scheme, catalogue=catalogue)
        lines = tuple((part.place, part.character, part.meaning, part.mark) for part in code.parts)
        found.append(Reading(f"Code {code.raw}", lines, code.problems))
    if pick.dull:
        dull = bits.read_dull(pick.dull, pick.bit_type, catalogue=catalogue)
        lines = tuple((column.name, column.code, column.meaning, "") for column in dull.columns)
        found.append(Reading(f"Dull grade {dull.raw}", lines, dull.problems))
    return tuple(found)
