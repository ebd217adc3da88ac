"""One joint whose two readings are apart: the one best explanation, and what to do."""

from rack.calc.lengths import Length
from rack.calc.signatures import as_other_unit, misheard, other_unit, swapped, unit_mixed, whole_slip
from rack.calc.strapped import BothRead, Finding, Terms
from rack.calc.units import UNIT_NAMES

_AGAIN = "Tape it again."


#: What a look at one joint gives: the check's code, why, and what to do.
_Found = tuple[str, str, str] | None


def joint_finding(pair: BothRead, terms: Terms) -> Finding:
    """Return the one best explanation of a joint whose readings are further apart than the gate.

    Code "" where no signature fits. Raises nothing. Source: tally checks T01, T02, T14, T20, T22.
    """
    head = f"{pair.name}: first strap {terms.shown(pair.first)}, second strap {terms.shown(pair.second)}."
    for look in (_of_unit, _of_swap, _of_ear, _of_foot, _of_pin):
        found = look(pair, terms)
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
            why = f"The {which} was read in {UNIT_NAMES[other][1]}: {said}."
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
    if not is_loss(pair.pin, abs(pair.apart), terms) or pair.pin is None:
        return None
    longer = "second" if pair.apart > 0 else "first"
    return "T22", f"They are one pin ({terms.fine(pair.pin)}) apart: the {longer} counted the pin.", _AGAIN


def mixed_in(pair: BothRead, which: str, terms: Terms) -> bool:
    """Say whether the `which` strap ("first" or "second") has this joint in the other unit.

    Raises nothing. Source: tally check T14, common practice.
    """
    right, wrong = (pair.first, pair.second) if which == "second" else (pair.second, pair.first)
    if not terms.outside(pair):
        return False
    return unit_mixed(right, wrong, within=terms.gate, unit=terms.unit, digits=terms.digits)


def is_loss(loss: Length | None, apart: int, terms: Terms) -> bool:
    """Say whether two readings `apart` (nanometres) differ by `loss`, give or take the gate.

    A loss that is not known, or too small to be told from the gate, is none. Raises nothing.
    Source: tally checks T13 and T22, common practice.
    """
    if loss is None or loss <= 2 * terms.gate:
        return False
    return abs(apart - loss.nanometres) <= terms.gate.nanometres
