"""One joint whose two readings are apart: the one best explanation, and what to do."""

from bisect import bisect_left
from collections.abc import Sequence
from statistics import median_low

from rack.calc.lengths import Length
from rack.calc.signatures import as_other_unit, misheard, other_unit, swapped, unit_mixed, whole_slip
from rack.calc.strapped import BothRead, Finding, Terms
from rack.calc.units import NM, UNIT_NAMES

_AGAIN = "Tape it again."
#: So many joints must agree before the long ones are told from them; so many are named.
_ENOUGH_AGREED, _NAMED = 3, 6
#: A long joint is longer than 4 in 5 of the others, and so much longer than the middle one.
_LONGER = Length(3 * NM["ft"])
#: How much a thread protector that was left on adds (tally check T21, common practice).
PROTECTOR = (Length(NM["ft"] // 10), Length(4 * NM["ft"] // 10))


#: What a look at one joint gives: the check's code, why, and what to do.
_Found = tuple[str, str, str] | None


def joint_finding(pair: BothRead, terms: Terms, *, protector: bool = True) -> Finding:
    """Return the one best explanation of a joint whose readings are further apart than the gate.

    `protector` says whether a protector that was left on may be the explanation.
    Code "" where no signature fits. Raises nothing. Source: tally checks T01, T02, T14, T20 to T22.
    `pair` is the joint as both straps read it, `terms` the unit, figures and gate.
    """
    head = f"{pair.name}: {terms.first} {terms.shown(pair.first)}, {terms.second} {terms.shown(pair.second)}."
    for look in (_of_unit, _of_swap, _of_ear, _of_foot, _of_pin, _of_protector):
        found = look(pair, terms) if protector or look is not _of_protector else None
        if found:
            code, why, do = found
            return Finding(code, (pair.line,), f"{head} {why}", do, pair.first, pair.second)
    apart = terms.shown(abs(Length(pair.apart)))
    why = f"They are {apart} {terms.unit} apart, the gate is {terms.shown(terms.gate)}."
    return Finding("", (pair.line,), f"{head} {why}", _AGAIN, pair.first, pair.second)


def _of_unit(pair: BothRead, terms: Terms) -> _Found:
    for which in ("first", "second"):
        if mixed_in(pair, which, terms):
            wrong = pair.first if which == "first" else pair.second
            meant = as_other_unit(wrong, terms.unit)
            other = other_unit(terms.unit)
            said = f"{terms.shown(wrong)} {other} is {terms.shown(Length(round(meant or 0)))} {terms.unit}"
            why = f"The {terms.called(which)} was read in {UNIT_NAMES[other][1]}: {said}."
            return "T14", why, "Ask which tape was used, and tape it again."
    return None


def _of_swap(pair: BothRead, terms: Terms) -> _Found:
    if swapped(terms.steps(pair.first), terms.steps(pair.second)):
        return "T01", "Digits changed places.", _AGAIN
    return None


def _of_ear(pair: BothRead, terms: Terms) -> _Found:
    heard = misheard(terms.steps(pair.first), terms.steps(pair.second), terms.digits)
    if not heard:
        return None
    why = f"{heard[0]} and {heard[1]} sound alike and were misheard."
    return "T20", why, "Tape it again; the writer repeats each reading."


def _of_foot(pair: BothRead, terms: Terms) -> _Found:
    whole = whole_slip(terms.steps(pair.first), terms.steps(pair.second), terms.digits)
    if not whole:
        return None
    one, many = UNIT_NAMES[terms.unit]
    by = f"one {one}" if whole == 1 else f"ten {many}"
    return "T02", f"They are exactly {by} apart: the tape was read at the wrong mark.", _AGAIN


def _of_pin(pair: BothRead, terms: Terms) -> _Found:
    if pair.pin is None or not is_loss(pair.pin, abs(pair.apart), terms._replace(gate=terms.near)):
        return None
    longer = terms.called("second" if pair.apart > 0 else "first")
    return "T22", f"They are one pin ({terms.fine(pair.pin)}) apart: the {longer} counted the pin.", _AGAIN


def _of_protector(pair: BothRead, terms: Terms) -> _Found:
    if not PROTECTOR[0] <= abs(Length(pair.apart)) <= PROTECTOR[1]:
        return None
    longer = terms.called("second" if pair.apart > 0 else "first")
    by = f"{terms.shown(abs(Length(pair.apart)))} {terms.unit}"
    why = f"The {longer} is longer by {by}, the length of a thread protector: was it left on?"
    return "T21", why, "Take the protectors off and tape it again."


def long_joints(apart: Sequence[BothRead], agreed: Sequence[BothRead], terms: Terms) -> Finding | None:
    """Return T23 where whole feet (or metres) are wrong on the longest joints only, else None.

    `apart` are the joints outside the gate, `agreed` all others. A joint longer than the tape is taken
    in two pulls, and the ends are added wrong. Raises nothing. Source: tally check T23, common practice.
    `terms` are the unit, figures and gate.
    """
    one, many = UNIT_NAMES[terms.unit]
    slips = [(pair, _whole(pair, terms)) for pair in apart]
    slips = [(pair, whole) for pair, whole in slips if whole]
    if not slips or len(agreed) < _ENOUGH_AGREED:
        return None
    lengths = sorted(max(pair.first, pair.second) for pair in agreed)
    shortest = min(min(pair.first, pair.second) for pair, _ in slips)
    if shortest - median_low(lengths) < _LONGER or 5 * bisect_left(lengths, shortest) < 4 * len(lengths):
        return None
    if len(slips) == 1 and slips[0][1] == 1:
        return None  # a tape read at the wrong mark happens to a long joint too
    by = ", ".join(
        f"{_low(pair.name)} {whole} {one if whole == 1 else many} ({terms.shown(pair.first)} and "
        f"{terms.shown(pair.second)})"
        for pair, whole in slips[:_NAMED]
    )
    more = f" and {len(slips) - _NAMED} more" if len(slips) > _NAMED else ""
    words = (
        f"Only the longest joints are whole {many} apart: {by}{more}. They are longer than the tape, "
        "and its ends were added wrong."
    )
    do = "Take a tape that is longer than the joint and tape them again."
    return Finding("T23", tuple(pair.line for pair, _ in slips), words, do)


def _whole(pair: BothRead, terms: Terms) -> int:
    """By how many whole feet (or metres) two readings are apart, 0 where it is no whole number."""
    whole, rest = divmod(abs(terms.steps(pair.first) - terms.steps(pair.second)), 10**terms.digits)
    return 0 if rest else whole


def _low(name: str) -> str:
    return name[0].lower() + name[1:]


def mixed_in(pair: BothRead, which: str, terms: Terms) -> bool:
    """Say whether the `which` strap ("first" or "second") has this joint in the other unit.

    Raises nothing. Source: tally check T14, common practice.
    `pair` is the joint as both straps read it, `terms` the unit, figures and gate.
    """
    right, wrong = (pair.first, pair.second) if which == "second" else (pair.second, pair.first)
    if not terms.outside(pair):
        return False
    return unit_mixed(right, wrong, within=terms.gate, unit=terms.unit, digits=terms.digits)


def is_loss(loss: Length | None, apart: int, terms: Terms) -> bool:
    """Say whether two readings `apart` (nanometres) differ by `loss`, give or take the gate.

    A loss that is not known, or too small to be told from the gate, is none. Raises nothing.
    Source: tally checks T13 and T22, common practice.
    `terms` are the unit, figures and gate.
    """
    if loss is None or loss <= 2 * terms.gate:
        return False
    return abs(apart - loss.nanometres) <= terms.gate.nanometres
