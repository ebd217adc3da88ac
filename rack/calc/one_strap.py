"""What one list of lengths betrays of itself: a joint taped twice, one that stands alone, an inch tape."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.asking import DOORS_FT, question
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.strapped import Finding, Terms
from rack.calc.units import NM, nm_per

#: A batch smaller than this does not tell how often two joints are alike, nor which tape it was.
_ENOUGH_ALIKE, _ENOUGH_TAPE = 15, 10
#: Neighbours alike are asked about where that happens to fewer than one pair in so many.
_RARE = 100
#: How near another reading must be to vouch for one (as `asking.question` has it).
_VOUCHES = NM["ft"] // 2
#: A batch that lies closer than this has figures of its own; they tell nothing of the tape.
_SPREAD = NM["ft"]
#: So many joints standing alone are judged; a list with more of them is no batch.
_MOST = 50


@dataclass(frozen=True)
class Read:
    """One joint as a list has it: its name, its length (None: unread), what it is, whether a person has
    confirmed the reading. Joints with one `batch` text are judged together. `known` is what the sender's
    list or the register has for this very joint."""

    name: str
    length: Length | None
    kind: str = ""
    batch: str = ""
    confirmed: bool = False
    known: Length | None = None


def chance_alike(lengths: Sequence[Length], unit: str, digits: int) -> Fraction:
    """Return the chance that two joints of this batch read the same to the last figure.

    Counted from all pairs of `lengths` at most five figures apart in `unit` with `digits` figures, so
    that one double does not speak for itself; a pair is added on the safe side. 1 for fewer than two
    readings. Raises ValueError for another unit. Source: tally check T05, computed.
    """
    steps = sorted(length.in_shown_units(unit, digits) for length in lengths)
    count = len(steps)
    if count < 2:
        return Fraction(1)
    near, start = 0, 0
    for place, step in enumerate(steps):
        while step - steps[start] > 5:
            start += 1
        near += place - start
    return Fraction(near + 1, 11 * (count * (count - 1) // 2))


def equal_neighbours(reads: Sequence[Read], terms: Terms, *, vouched: Collection[int] = ()) -> list[Finding]:
    """Return T05 for neighbours that read the same where that is rare in their batch, else nothing.

    `vouched` are places (from 0) whose pair with the next one another list has alike too: they are two
    joints. `terms` give the unit and figures. Raises ValueError for another unit.
    Source: tally check T05, common practice.
    `reads` are those of one strap, in order.
    """
    lengths = [read.length for read in reads if read.length is not None]
    if len(lengths) < _ENOUGH_ALIKE or chance_alike(lengths, terms.unit, terms.digits) * _RARE >= 1:
        return []
    found = []
    for place, (one, other) in enumerate(zip(reads, reads[1:], strict=False)):
        if one.length is None or other.length is None or place in vouched:
            continue
        if terms.steps(one.length) != terms.steps(other.length) or (one.confirmed and other.confirmed):
            continue
        words = (
            f"{one.name} and {_low(other.name)} both read {terms.shown(one.length)} {terms.unit}, which two "
            "neighbours of this batch seldom do: one joint taped twice?"
        )
        do = "Walk the rack and count; tape the second of the two again."
        found.append(Finding("T05", (place, place + 1), words, do))
    return found


def standing_alone(reads: Sequence[Read], terms: Terms) -> list[Finding]:
    """Return T07, or the slip it looks like, for readings that nothing in their batch is like.

    Judged by the whole batch, so that the first readings of a strap are judged too; what a person has
    confirmed is not asked about again. Raises ValueError for another unit. Source: tally check T07.
    `reads` are those of one strap, in order; `terms` give the unit and figures.
    """
    batches: dict[str, list[int]] = defaultdict(list)
    for place, read in enumerate(reads):
        if read.length is not None:
            batches[read.batch].append(place)
    found = []
    for places in batches.values():
        ordered = sorted(read.length for read in (reads[place] for place in places) if read.length)
        alone = [place for place in places if _alone(reads[place], ordered)]
        if len(alone) > max(_MOST, len(places) // 5):
            continue
        found += [each for place in alone for each in _asked(place, reads, ordered, terms)]
    return sorted(found, key=lambda each: each.lines)


def _alone(read: Read, ordered: Sequence[Length]) -> bool:
    assert read.length is not None
    if read.confirmed:
        return False
    length = read.length.nanometres
    doors = DOORS_FT if read.kind in KINDS and KINDS[read.kind].by_doors else ()
    if doors and not any(low * NM["ft"] <= length <= high * NM["ft"] for low, high in doors):
        return True
    at = bisect_left(ordered, read.length)
    near = (ordered[place] for place in (at - 1, at + 1) if 0 <= place < len(ordered))
    return not any(abs(each.nanometres - length) <= _VOUCHES for each in near)


def _asked(place: int, reads: Sequence[Read], ordered: Sequence[Length], terms: Terms) -> Iterable[Finding]:
    read = reads[place]
    assert read.length is not None
    others = list(ordered)
    others.pop(bisect_left(others, read.length))
    for problem in question(
        read.length, others, kind=read.kind, unit=terms.unit, digits=terms.digits, known=read.known
    ):
        yield Finding(problem.code, (place,), f"{read.name}: {problem.text}", "Tape it again, or confirm it.")


def inch_tape(reads: Sequence[Read], terms: Terms) -> Finding | None:
    """Return T19 where the figures after the point look like inches, None otherwise.

    Asked only of feet with two figures, of ten readings or more that spread over a foot: 31 ft 6 in was
    written 31.06 (never over 11) or 31.6 (one figure only). Raises nothing. Source: tally check T19.
    `reads` are those of one strap; `terms` give the unit and figures.
    """
    lengths = [read.length for read in reads if read.length is not None]
    if terms.unit != "ft" or terms.digits != 2 or len(lengths) < _ENOUGH_TAPE:
        return None
    if max(lengths).nanometres - min(lengths).nanometres < _SPREAD:
        return None
    step = Fraction(nm_per(terms.unit), 10**terms.digits)
    if any(length.nanometres % step for length in lengths):
        return None  # typed in another unit, not written as feet and hundredths
    hundredths = [terms.steps(length) % 100 for length in lengths]
    if all(figure <= 11 for figure in hundredths):
        why = "the figures after the point are never over 11: feet and inches written as hundredths"
    elif all(figure % 10 == 0 for figure in hundredths):
        why = "there is only one figure after the point: feet and inches written as tenths"
    else:
        return None
    words = f"On all {len(lengths)} joints {why}, perhaps."
    return Finding("T19", (), words, "Ask which tape was used: one in inches, or one in tenths.")


def _low(name: str) -> str:
    return name[0].lower() + name[1:]
