"""Strap out of the hole: each stand against the sum of its joints, and what the differences look like.

What is accepted corrects the depth, never a joint.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median_low

from rack.calc.lengths import ZERO, Length
from rack.calc.signatures import swapped, whole_slip
from rack.calc.strapped import GATE, Finding, Terms
from rack.calc.units import NM, UNIT_NAMES

#: A stand may read so much off for each joint in it: the gate of two good straps (trade guide 5.3).
_EACH = GATE.nanometres
#: Differences are one constant when 4 in 5 lie this close together.
_STEADY = Length(5 * NM["ft"] // 100)
#: A joint may be so much longer or shorter than the one it is taken for.
LIKE_A_JOINT = Length(3 * NM["ft"] // 2)
_LEAST = 3
#: The accuracy that is quoted for a driller's depth, one part in (S28).
QUOTED = 1000


@dataclass(frozen=True)
class StandRead:
    """One stand: its `number` from the bit, what it is called, the lengths of its joints, what was read."""

    number: int
    name: str
    joints: tuple[Length, ...]
    read: Length

    @property
    def summed(self) -> Length:
        return sum(self.joints, ZERO)

    @property
    def apart(self) -> int:
        """Read less summed, in nanometres."""
        return self.read.nanometres - self.summed.nanometres


@dataclass(frozen=True)
class Judgement:
    """What all stands say: `looks` "one joint", "constant", "scattered" or "nothing", in `words`.

    `summed` and `read` are of the stands that were read; their difference is what may be accepted.
    `findings` name stands, their `lines` are places in the list of stands, from 0.
    """

    looks: str
    words: str
    summed: Length
    read: Length
    findings: tuple[Finding, ...]

    @property
    def apart(self) -> Length:
        """What would be added to the depth: read less summed."""
        return self.read - self.summed


def judge(stands: Sequence[StandRead], unit: str, digits: int) -> Judgement:
    """Return what the readings of `stands` say against the sums of their joints.

    One joint too many or too few in a stand is named (T15), and so are figures that changed places and
    whole feet. Else the differences are one constant (4 in 5 within 0.05 ft of each other), nothing (each
    within 0.02 ft a joint) or scattered. Raises ValueError for another unit. Source: trade guide 5.4 and
    tally check T15; the limits are common practice, suggestions.
    What is shown is in `unit` ("ft" or "m") with `digits` figures.
    """
    terms = Terms(Length(_EACH), unit, digits, "joints", "stand")
    summed = sum((each.summed for each in stands), ZERO)
    read = sum((each.read for each in stands), ZERO)
    findings = tuple(
        found for place, each in enumerate(stands) if (found := _of_stand(place, each, terms)) is not None
    )
    joints = [found for found in findings if found.code == "T15"]
    if not stands:
        looks, words = "nothing", "No stand was read yet."
    elif joints:
        looks = "one joint"
        words = f"At {len(joints)} of {_count(stands)} it looks like one joint, which no honest error is."
    else:
        looks, words = _steady(stands, terms) or _small(stands) or _scattered(stands, terms)
    if stands:
        words += f" {_in_all(summed, read, terms)}"
    return Judgement(looks, words, summed, read, findings)


def _count(stands: Sequence[StandRead]) -> str:
    return f"{len(stands)} stand{'' if len(stands) == 1 else 's'}"


def _of_stand(place: int, stand: StandRead, terms: Terms) -> Finding | None:
    apart = abs(Length(stand.apart))
    if apart.nanometres <= _EACH * len(stand.joints):
        return None
    head = f"{stand.name}: joints {terms.shown(stand.summed)}, read {terms.shown(stand.read)}."
    if any(abs(apart - joint) <= LIKE_A_JOINT for joint in stand.joints):
        if stand.apart > 0:
            why = f"It reads a joint ({terms.shown(apart)} {terms.unit}) more: one is missing on the list."
        else:
            why = f"It reads a joint ({terms.shown(apart)} {terms.unit}) less: one on the list is not in it."
        return Finding("T15", (place,), f"{head} {why}", "Count the joints of the stand and read it again.")
    one, other = terms.steps(stand.summed), terms.steps(stand.read)
    if whole_slip(one, other, terms.digits):
        many = UNIT_NAMES[terms.unit][1]
        why = f"They are one or ten whole {many} apart: the tape was read at the wrong mark."
        return Finding("T02", (place,), f"{head} {why}", "Read the stand again.")
    if swapped(one, other):
        return Finding("T01", (place,), f"{head} Digits changed places.", "Read the stand again.")
    return None


def _steady(stands: Sequence[StandRead], terms: Terms) -> tuple[str, str] | None:
    if len(stands) < _LEAST:
        return None
    middle = median_low([each.apart for each in stands])
    some = [each for each in stands if abs(each.apart - middle) <= _STEADY.nanometres]
    mean = Fraction(sum(each.apart for each in some), len(some))
    allowed = Fraction(_EACH * sum(len(each.joints) for each in some), len(some))
    if 5 * len(some) < 4 * len(stands) or abs(mean) <= allowed:
        return None
    by = f"{terms.fine(Length(round(abs(mean))))} {'longer' if mean > 0 else 'shorter'}"
    words = (
        f"Each stand reads about {by} than its joints, nearly the same on {len(some)} of {_count(stands)}: "
        "a constant (the mark, the tape or what is lost in make-up), not a joint."
    )
    return "constant", words


def _small(stands: Sequence[StandRead]) -> tuple[str, str] | None:
    if any(abs(each.apart) > _EACH * len(each.joints) for each in stands):
        return None
    return "nothing", f"No stand is further off than good tapes are ({_count(stands)})."


def _scattered(stands: Sequence[StandRead], terms: Terms) -> tuple[str, str]:
    far = max(stands, key=lambda each: abs(each.apart))
    largest = f"{terms.shown(abs(Length(far.apart)))} {terms.unit}"
    words = (
        f"The differences are neither a joint nor one constant; the largest is {largest} at "
        f"{far.name[0].lower()}{far.name[1:]}. Read the far ones again."
    )
    return "scattered", words


def _in_all(summed: Length, read: Length, terms: Terms) -> str:
    apart = Length(read.nanometres - summed.nanometres)
    sign = "+" if apart.nanometres > 0 else "−" if apart.nanometres < 0 else ""
    outside = abs(apart.nanometres) * QUOTED > summed.nanometres
    against = "more than" if outside else "within"
    return (
        f"In all {terms.shown(read)} {terms.unit} read against {terms.shown(summed)}: {sign}"
        f"{terms.shown(abs(apart))}, {against} the 0.1 % that is quoted for a driller's depth."
    )
