"""A third list, the sender's or the mill's, beside two straps: which of them it bears out, in words.

It decides nothing: the steel is taped again, or a person accepts the difference with a reason.
"""

from collections.abc import Sequence
from dataclasses import replace

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.strapped import BothRead, Finding, Terms
from rack.calc.straps import StrapLine, compare
from rack.calc.units import NM

#: How near to the list a strap must be that it bears out, and how far off a good strap may lie from a
#: list that was made elsewhere with another tape (common practice, a suggestion).
NEAR = Length(5 * NM["ft"] // 100)
LIST_GATE = Length(NM["ft"] // 10)


def bears_out(pair: BothRead, listed: Length | None, terms: Terms, *, called: str = "the list") -> Finding:
    """Return in words which of two straps of one joint a third length bears out; NOTE, code "".

    `listed` is the third list's length, None where it has none; `called` what it is called. It bears out
    the strap that it is near to (0.05 ft) and the other is not. Raises nothing. Source: trade guide 5.3
    (the sum against the supplier's list), common practice.
    `pair` is the joint as both straps read it, `terms` the unit, figures and gate.
    """
    again = "Tape it again."
    if listed is None:
        return _said(pair, f"{pair.name}: {called} has no length for it.", again)
    head = f"{pair.name}: {called} has {terms.shown(listed)} {terms.unit}"
    to_first, to_second = (abs(listed.nanometres - each.nanometres) for each in (pair.first, pair.second))
    nearer, farther = min(to_first, to_second), max(to_first, to_second)
    if nearer > NEAR.nanometres:
        return _said(pair, f"{head} and bears out neither strap.", again)
    if farther <= NEAR.nanometres or farther - nearer <= terms.gate.nanometres:
        return _said(pair, f"{head}, as near to both straps: it settles nothing.", again)
    right, wrong = ("first", "second") if to_first < to_second else ("second", "first")
    lengths = {"first": terms.shown(pair.first), "second": terms.shown(pair.second)}
    words = (
        f"{head} and bears out the {terms.called(right)} ({lengths[right]}), "
        f"not the {terms.called(wrong)} ({lengths[wrong]})."
    )
    return _said(pair, words, "Tape it again to settle it; the list alone changes no reading.")


def _said(pair: BothRead, words: str, do: str) -> Finding:
    return Finding("", (pair.line,), words, do, pair.first, pair.second, Severity.NOTE)


def against_list(
    listed: Sequence[StrapLine], strap: Sequence[StrapLine], *, unit: str, digits: int
) -> list[Finding]:
    """Return what a strap and the sender's list say of each other: T01 to T03, T13, T14, T20 to T23.

    Both hold the same joints in the same order; those that either lacks are left aside. Within 0.10 ft
    they agree. Lines count from 0 in `strap`. Raises ValueError for another unit. Source: trade guide 5.3
    and the tally checks, with the wider gate of a list made elsewhere (common practice).
    `listed` are the lines of the sender's list; what is shown is in `unit` with `digits` figures.
    """
    both = [
        (place, one, other)
        for place, (one, other) in enumerate(zip(listed, strap, strict=True))
        if one.length is not None and other.length is not None
    ]
    found = compare(
        [one for _, one, _ in both],
        [other for _, _, other in both],
        gate=LIST_GATE,
        unit=unit,
        digits=digits,
        called=("sender's list", "strap"),
    )
    return [replace(each, lines=tuple(both[n][0] for n in each.lines)) for each in found.findings]
