"""Straps for tests: forty invented joints, as they were read and as they were misread."""

from collections.abc import Sequence

from rack.calc.lengths import Length
from rack.calc.straps import Comparison, StrapLine, compare
from rack.calc.units import NM

HUNDREDTH = NM["ft"] // 100
#: Forty invented joints, no two neighbours alike.
BASE = [3100 + (49 * n * n + 2 * n) % 97 for n in range(1, 41)]


def lines(steps: Sequence[int | None], *, unit: str = "ft", **facts: Length) -> list[StrapLine]:
    """A strap of whole hundredths; painted 1, 2, 3 ..."""
    step = NM[unit] // 100
    return [
        StrapLine(str(number), None if each is None else Length(each * step), **facts)
        for number, each in enumerate(steps, start=1)
    ]


def compared(
    second: Sequence[int | None], first: Sequence[int | None] = BASE, *, unit: str = "ft", **facts: Length
) -> Comparison:
    return compare(lines(first, unit=unit, **facts), lines(second, unit=unit, **facts), unit=unit, digits=2)


def changed(**at: int) -> list[int]:
    """BASE with other readings: changed(j31=3162)."""
    steps = list(BASE)
    for name, reading in at.items():
        steps[int(name[1:]) - 1] = reading
    return steps


def codes(comparison: Comparison) -> list[str]:
    return [finding.code for finding in comparison.findings]
