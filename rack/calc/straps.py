"""Two straps of one tally held against each other: what is wrong with the whole list, then joint by joint.

A total that agrees clears nothing: two errors can cancel, so every joint outside the gate is named.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from rack.calc.asking import question
from rack.calc.findings import find
from rack.calc.lengths import ZERO, Length
from rack.calc.strapped import GATE, Finding, StrapLine, Terms, pair_up, read_twice
from rack.calc.units import nm_per

__all__ = ["GATE", "Comparison", "Finding", "StrapLine", "compare", "question"]


@dataclass(frozen=True)
class Comparison:
    """Two straps compared.

    `differing` are the lines, from 0, whose readings are further apart than `gate`, as they stand.
    `mean_nm` and `spread_nm` are mean and standard deviation of second less first over all lines
    read twice, None where there are none. `totals_agree` when the sums of all readings are at most
    one shown figure apart; `cancels` when they do although joints differ.
    """

    findings: tuple[Finding, ...]
    differing: tuple[int, ...]
    count_first: int
    count_second: int
    mean_nm: int | None
    spread_nm: int | None
    total_first: Length
    total_second: Length
    totals_agree: bool
    cancels: bool
    gate: Length
    words: str


def compare(
    first: Sequence[StrapLine],
    second: Sequence[StrapLine],
    *,
    gate: Length = GATE,
    unit: str,
    digits: int,
    revisions: tuple[int, int] | None = None,
    called: tuple[str, str] = ("first strap", "second strap"),
) -> Comparison:
    """Compare two straps of one tally, lines in order; return every finding with what to do.

    Lines belong together by their painted numbers where these are known and differ between the
    lists, else by their place. Differences and signatures are judged in `unit` with `digits` figures,
    so that the gate is never finer than one shown figure. `revisions` are the numbers of the lists
    that the two straps were taken on, where they are known; `called` is what the two are in a sentence.
    Raises ValueError for another unit or
    digits. Source: trade guide 5.3 and tally checks T01 to T04, T12 to T14, T20 to T23; common practice.
    `first` and `second` are the lines of the two straps, `gate` is how far they may lie apart.
    """
    step = Fraction(nm_per(unit), 10**digits)
    terms = Terms(max(gate, Length(int(step))), unit, digits, *called)
    pairs = pair_up(first, second)
    read = read_twice(pairs)
    apart = [pair for pair in read if terms.outside(pair)]
    total_first, total_second = (
        sum((line.length for line in strap if line.length is not None), ZERO) for strap in (first, second)
    )
    agree = abs(total_second.nanometres - total_first.nanometres) <= step
    mean, spread = _mean_and_spread([pair.apart for pair in read])
    return Comparison(
        findings=find(pairs, terms, revisions=revisions),
        differing=tuple(pair.line for pair in apart),
        count_first=sum(line.length is not None for line in first),
        count_second=sum(line.length is not None for line in second),
        mean_nm=mean,
        spread_nm=spread,
        total_first=total_first,
        total_second=total_second,
        totals_agree=agree,
        cancels=agree and bool(apart),
        gate=terms.gate,
        words=_summary(len(read), [pair.name for pair in apart], terms.shown(total_first) if agree else ""),
    )


def _mean_and_spread(apart: Sequence[int]) -> tuple[int | None, int | None]:
    if not apart:
        return None, None
    total, count = sum(apart), len(apart)
    mean = (2 * abs(total) + count) // (2 * count)
    spread = isqrt(count * sum(each * each for each in apart) - total**2) // count
    return (-mean if total < 0 else mean), spread


def _summary(read: int, names: Sequence[str], agreed: str) -> str:
    if not read:
        return "No joint was read twice."
    if not names:
        return f"The two straps agree on every joint read twice ({read})."
    listed = ", ".join(name.removeprefix("Joint ") for name in names[:10])
    more = f" and {len(names) - 10} more" if len(names) > 10 else ""
    words = f"{len(names)} of {read} joints {'differs' if len(names) == 1 else 'differ'}: {listed}{more}."
    if agreed:
        words += f" The totals agree ({agreed}), but that clears nothing: the errors cancel."
    return words
