"""What two straps tell together: first what is wrong with the whole list, then joint by joint."""

from collections.abc import Sequence
from fractions import Fraction
from statistics import median_low

from rack.calc.joints import is_loss, joint_finding, long_joints, mixed_in
from rack.calc.lengths import Length
from rack.calc.shifts import shifted, unread
from rack.calc.signatures import other_unit
from rack.calc.strapped import BothRead, Finding, Pair, Terms, read_twice
from rack.calc.units import UNIT_NAMES

#: A pattern is the list's, not a joint's, when at least this many joints and 4 in 5 show it.
_LEAST, _LEAST_CONSTANT = 3, 5


def find(
    pairs: Sequence[Pair], terms: Terms, *, revisions: tuple[int, int] | None = None
) -> tuple[Finding, ...]:
    """Return everything that is wrong between two straps, the whole list's first, then by line.

    `pairs` are the lines side by side, `terms` the gate, unit and figures, `revisions` the numbers of
    the lists the straps were taken on. Returns nothing when all is within the gate. Raises nothing.
    Source: tally checks T01 to T04, T12 to T14, T20 to T23; common practice.
    """
    found = [*_stale(revisions)]
    read = read_twice(pairs)
    if any(all(pair.lengths[strap] is None for pair in pairs) for strap in (0, 1)):
        return tuple(found)  # one strap has not begun; that is no error
    explained: set[int] = set()
    whole = _mixed(read, terms) or _pinned(read, terms) or _constant(read, terms)
    shift = None if whole else shifted(pairs, terms)
    if whole:
        found.append(whole)
        explained.update(whole.lines)
    if shift:
        found += shift.findings
        read = shift.read
    else:
        found += unread(pairs)
    open_still = [pair for pair in read if terms.outside(pair) and pair.line not in explained]
    long = long_joints(open_still, [pair for pair in read if not terms.outside(pair)], terms)
    if long:
        found.append(long)
        open_still = [pair for pair in open_still if pair.line not in long.lines]
    return (*found, *_each(open_still, terms, len(read)))


def _each(pairs: Sequence[BothRead], terms: Terms, read: int) -> list[Finding]:
    """Joint by joint; a protector is left on one joint or two, what many joints show is none."""
    found = [joint_finding(pair, terms) for pair in pairs]
    if sum(each.code == "T21" for each in found) <= max(2, read // 10):
        return found
    return [
        joint_finding(pair, terms, protector=False) if each.code == "T21" else each
        for pair, each in zip(pairs, found, strict=True)
    ]


def _stale(revisions: tuple[int, int] | None) -> list[Finding]:
    if revisions is None or revisions[0] == revisions[1]:
        return []
    first, second = revisions
    words = f"The first strap was taken on list {first}, the second on list {second}."
    do = f"Withdraw the copies of list {min(revisions)} and check what changed since."
    return [Finding("T12", (), words, do)]


def _most(some: Sequence[BothRead], read: Sequence[BothRead], least: int) -> bool:
    return len(some) >= least and 5 * len(some) >= 4 * len(read)


def _lines(pairs: Sequence[BothRead]) -> tuple[int, ...]:
    return tuple(pair.line for pair in pairs)


def _mixed(read: Sequence[BothRead], terms: Terms) -> Finding | None:
    """T14 over the whole list: one strap is in metres where the list is in feet, or the reverse."""
    for which, other in (("second", "first"), ("first", "second")):
        some = [pair for pair in read if mixed_in(pair, which, terms)]
        if _most(some, read, _LEAST):
            name, wanted = UNIT_NAMES[other_unit(terms.unit)][1], UNIT_NAMES[terms.unit][1]
            wrong, right = terms.called(which), terms.called(other)
            words = (
                f"The {wrong} is in {name} where the list is in {wanted}: "
                f"{len(some)} of {len(read)} joints agree with the {right} when its numbers are taken so."
            )
            do = f"Ask which tape was used, and enter the {wrong} in {name}."
            return Finding("T14", _lines(some), words, do)
    return None


def _pinned(read: Sequence[BothRead], terms: Terms) -> Finding | None:
    """T13: every joint is longer in one strap by what is lost when it is made up."""
    for what in ("pin", "loss"):
        for longer, shorter, sign in (("second", "first", 1), ("first", "second", -1)):
            some = [pair for pair in read if is_loss(getattr(pair, what), sign * pair.apart, terms)]
            if not _most(some, read, _LEAST):
                continue
            losses = {getattr(pair, what) for pair in some}
            more, less = terms.called(longer), terms.called(shorter)
            called = "pin" if what == "pin" else "make-up loss"
            size = f" ({terms.fine(losses.pop())})" if len(losses) == 1 else ""
            words = (
                f"The {more} is longer than the {less} by the {called}{size} on {len(some)} of "
                f"{len(read)} joints: {_who_lost(what, more, less)}."
            )
            do = "Ask how each strap was taken, take the loss off once, and correct the kind of length."
            return Finding("T13", _lines(some), words, do)
    return None


def _who_lost(what: str, longer: str, shorter: str) -> str:
    if what == "pin":
        return f"the {longer} counted the pin and the {shorter} did not"
    return f"the {longer} did not take it off, or the {shorter} took it off twice"


def _constant(read: Sequence[BothRead], terms: Terms) -> Finding | None:
    """T03: all joints differ by nearly the same, because one tape was not held at its zero."""
    if len(read) < _LEAST_CONSTANT:
        return None
    middle = median_low([pair.apart for pair in read])
    some = [pair for pair in read if abs(pair.apart - middle) <= terms.gate.nanometres]
    mean = Fraction(sum(pair.apart for pair in some), len(some))
    if not _most(some, read, _LEAST_CONSTANT) or abs(mean) <= terms.gate.nanometres:
        return None
    by = f"{terms.fine(Length(round(abs(mean))))} {'longer' if mean > 0 else 'shorter'}"
    words = (
        f"The {terms.second} reads {by} than the {terms.first}, nearly the same on {len(some)} of "
        f"{len(read)} joints: one tape was not held at its zero (burned foot, bent hook or ring)."
    )
    do = "Check both tapes at zero, then tape a sample of 5 joints again."
    return Finding("T03", _lines(some), words, do)
