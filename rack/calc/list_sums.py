"""The sums that a list gives, held against its rows, with the slip that a difference looks like."""

from collections.abc import Sequence

from rack.calc.checks import Problem, asks
from rack.calc.lengths import ZERO, Length
from rack.calc.receiving import ReadRow, Total, and_words
from rack.calc.signatures import neighbours_swapped


def agree(in_file: Length, computed: Length, unit: str, digits: int) -> bool:
    """Say whether two sums are the same in the file's unit and figures; nothing is forgiven beyond those.

    `in_file` and `computed` are exact, `unit` is "ft" or "m", `digits` the figures of the file. Raises
    ValueError for another unit. Source: law 1 of the house.
    """
    return in_file.in_shown_units(unit, digits) == computed.in_shown_units(unit, digits)


def total_line(
    where: str, label: str, in_file: Length | None, rows: Sequence[ReadRow], unit: str, digits: int
) -> Total:
    """Return the file's sum beside the sum of `rows`, in `unit` with the file's `digits`, said in words.

    `where` is sheet and cell, `label` the word beside the sum, `in_file` what it says (None: not
    readable). Raises ValueError for another unit. Source: tally check T08.
    """
    lengths = [row.length for row in rows if row.length is not None]
    computed = sum(lengths, ZERO)
    ours = f"{computed.shown(unit, digits)} {unit} by {len(lengths)} rows"
    missing = len(rows) - len(lengths)
    if missing:
        ours += f", {missing} without a length"
    if in_file is None:
        return Total(
            where, None, computed, f"{label}: the file's figure cannot be read; {ours}.", agrees=False
        )
    said = f"{label}: {in_file.shown(unit, digits)} {unit} in the file, {ours}"
    if agree(in_file, computed, unit, digits):
        return Total(where, in_file, computed, f"{said}: they agree.", agrees=True)
    off = in_file - computed
    more = "more" if off > ZERO else "less"
    text = f"{said}: the file says {abs(off).shown(unit, digits)} {unit} {more}."
    return Total(where, in_file, computed, text + _why(in_file, computed, rows, unit, digits), agrees=False)


def _why(in_file: Length, computed: Length, rows: Sequence[ReadRow], unit: str, digits: int) -> str:
    """Say what the difference looks like: a row left out or counted twice, or figures that changed places."""
    theirs, ours = in_file.in_shown_units(unit, digits), computed.in_shown_units(unit, digits)
    if ours in neighbours_swapped(theirs):
        return f" Digits changed places, perhaps: {computed.shown(unit, digits)}?"
    off = abs(in_file - computed)
    same = [row for row in rows if row.length is not None and agree(row.length, off, unit, digits)]
    if same and len(same) <= 3:
        return f" That is the length of {and_words([f'{row.name} ({row.where})' for row in same])}."
    steps = off.in_shown_units(unit, digits)
    if steps and steps % 9 == 0:
        return " The difference divides by nine: two figures may have changed places."
    return ""


def total_problem(total: Total) -> Problem:
    """Return the question that a sum raises which the rows do not give.

    `total` is a sum that does not agree. Raises nothing. Source: tally check T08.
    """
    return asks(total.text, code="T08", where=total.where, source="tally check T08, common practice")
