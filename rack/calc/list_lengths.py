"""Slips that the lengths of a whole list show together: equal neighbours, and an inch tape read as tenths."""

import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from fractions import Fraction

from rack.calc.checks import Problem, asks
from rack.calc.lengths import ZERO, Length
from rack.calc.outliers import shown_digits
from rack.calc.receiving import ReadRow, and_words
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

#: Tally check T05: equal neighbours are asked about where chance gives them in fewer batches than this.
_RARE = Fraction(1, 100)
#: Tally check T19: a batch of so many readings.
_TAPE_BATCH = 10


def equal_neighbours(rows: Sequence[ReadRow]) -> dict[int, list[Problem]]:
    """Return, by place in `rows`, the question about equal lengths one after the other.

    Asked only where the chance that a batch as long and as wide as this one has such neighbours is
    under 1 in 100: two equal readings in a fine unit, three in a coarse one. Raises nothing.
    Source: tally check T05, common practice.
    """
    batches: dict[tuple[str, SpecFacts | None, str], list[int]] = defaultdict(list)
    for at, row in enumerate(rows):
        if row.length is not None:
            batches[row.sheet, row.spec, row.length_unit].append(at)
    found: dict[int, list[Problem]] = {}
    for (_, _, unit), places in batches.items():
        figures = max((_figures(rows[at]) for at in places), default=0)
        steps = {at: _steps(rows[at], unit, figures) for at in places}
        for run in _runs(places, steps):
            chance = _chance(list(steps.values()), len(run))
            if len(run) > 1 and chance < _RARE:
                found |= {at: [_equal(rows, run, at)] for at in run}
    return found


def _steps(row: ReadRow, unit: str, figures: int) -> int:
    assert row.length is not None
    return row.length.in_shown_units(unit or "ft", max(figures, shown_digits(unit or "ft")))


def _figures(row: ReadRow) -> int:
    found = re.search(r"[.,](\d{1,5})\D*$", row.typed.get("length", ""))
    return len(found[1]) if found else 0


def _runs(places: Sequence[int], steps: dict[int, int]) -> list[list[int]]:
    """Return the places of equal readings in rows that follow each other; a run of one is no run."""
    runs: list[list[int]] = []
    for at in places:
        if runs and runs[-1][-1] == at - 1 and steps[runs[-1][-1]] == steps[at]:
            runs[-1].append(at)
        else:
            runs.append([at])
    return [run for run in runs if len(run) > 1]


def _chance(readings: Sequence[int], run: int) -> Fraction:
    """Return an upper bound of the chance of a run of so many equal readings somewhere in the batch."""
    count = len(readings)
    span = max(readings) - min(readings) + 1
    counts = Counter(readings)
    pairs = sum(times * (times - 1) for times in counts.values()) - run * (run - 1)
    alike = max(Fraction(1, span), Fraction(max(pairs, 0), max(count * (count - 1), 1)))
    return (count - run + 1) * alike ** (run - 1)


def _equal(rows: Sequence[ReadRow], run: Sequence[int], at: int) -> Problem:
    others = and_words([rows[other].where for other in run if other != at])
    length, unit = rows[at].length, rows[at].length_unit or "ft"
    assert length is not None
    shown = f"{length.shown(unit, shown_digits(unit))} {unit}"
    text = f"{shown} stands in {others} just beside too: one joint measured twice, or equal by chance?"
    return asks(text, code="T05", where=rows[at].where, source="tally check T05, common practice")


def inch_tape(rows: Sequence[ReadRow]) -> list[Problem]:
    """Return the question whether a tape in feet and inches was read as feet and tenths, or nothing.

    Ten readings or more in feet whose figures after the point are never over 11, or only one, are
    asked about once for the list, with the sum that the inches would give. Raises nothing.
    Source: tally check T19, common practice.
    `rows` are those of the list.
    """
    parts = []
    for row in rows:
        typed = row.typed.get("length", "").strip()
        if row.length is None or row.length_unit != "ft":
            continue
        found = re.fullmatch(r"(\d{1,2})(?:[.,](\d{1,2}))?\s*(?:ft|')?", typed)
        if not found:
            return []
        parts.append((int(found[1]), found[2] or ""))
    fractions = [after for _, after in parts]
    if len(parts) < _TAPE_BATCH or len(set(fractions)) < 3:
        return []
    in_inches = all(int(after or 0) <= 11 for after in fractions)
    one_figure = all(len(after) <= 1 for after in fractions)
    if not in_inches and not one_figure:
        return []
    why = "only one figure" if one_figure else "never more than 11"
    as_inches = sum((Length(feet * NM["ft"] + int(after or 0) * NM["in"]) for feet, after in parts), ZERO)
    as_tenths = sum((row.length for row in rows if row.length and row.length_unit == "ft"), ZERO)
    text = (
        f"The {len(parts)} lengths in feet have {why} after the point: was an inch tape read as tenths "
        f"(31.06 for 31 ft 6 in)? The sum is {as_tenths.shown('ft', 2)} ft as typed "
        f"and would be {as_inches.shown('ft', 2)} ft. Which tape was it?"
    )
    return [asks(text, code="T19", source="tally check T19, common practice")]
