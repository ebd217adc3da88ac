"""How long a piece turned inside a sharp bend of the well, and how many times, while a line was drilled."""

from dataclasses import dataclass
from fractions import Fraction

from rack.calc.hours.cutting import END, START, share_of, span
from rack.calc.hours.legs import Leg, Membership


@dataclass(frozen=True)
class Bend:
    """An interval of a well that bends sharply: from depth to depth below the datum, in whole nanometres.

    Raises ValueError for an interval that does not go down.
    """

    from_nm: int
    to_nm: int

    def __post_init__(self) -> None:
        if not 0 <= self.from_nm < self.to_nm:
            raise ValueError(f"a bend goes down from a depth: {self.from_nm} to {self.to_nm} does not")


@dataclass(frozen=True)
class Turned:
    """What a piece did inside a bend: seconds `spent` there, seconds `turning`, and `revolutions`.

    Whatever is None is not known, and unknown is not zero (law 8).
    """

    spent_s: int | None = 0
    turning_s: int | None = 0
    revolutions: int | None = 0


def turned_in(
    leg: Leg, stay: Membership, bend: Bend, *, from_bit_nm: int | None, length_nm: int | None
) -> Turned:
    """Return what a piece did inside `bend` while `leg` was drilled, by even progress of the bit.

    `stay` says when it was in; `from_bit_nm` is the length below its lower end and `length_nm` its own, both
    whole nanometres. It is in the bend while any part of it is. Seconds and revolutions are rounded once at
    each end, so that lines cut in two add up. Time turned is the string's (`rotating_s`), revolutions are
    time turned x `rpm`; what a motor turns below it is not counted. What cannot be told is None. Raises
    nothing. Source: cycles = 60 x rpm x hours, trade guide 4; even progress, common practice.
    """
    found = None if from_bit_nm is None or length_nm is None else _within(leg, bend, from_bit_nm, length_nm)
    if found is not None and found[0] >= found[1]:
        return Turned()
    there = span(leg, stay)
    if there is not None and there.begins >= there.ends:
        return Turned()
    if there is None or found is None:
        return Turned(None, 0 if leg.rotating_s == 0 else None, 0 if leg.rotating_s == 0 else None)
    begins, ends = max(found[0], there.begins), min(found[1], there.ends)
    if begins >= ends:
        return Turned()
    cycles = None if leg.rotating_s is None or leg.rpm is None else leg.rotating_s * leg.rpm
    return Turned(
        _part(leg.duration_s, begins, ends),
        _part(leg.rotating_s, begins, ends),
        0 if leg.rotating_s == 0 else _part(cycles, begins / 60, ends / 60),
    )


def _part(amount: int | None, begins: Fraction, ends: Fraction) -> int | None:
    return None if amount is None else share_of(amount, ends) - share_of(amount, begins)


def _within(leg: Leg, bend: Bend, from_bit: int, length: int) -> tuple[Fraction, Fraction] | None:
    """The part of the line during which the piece reaches into the bend, None without the depths."""
    if leg.from_nm is None or leg.to_nm is None:
        return None
    low, high = bend.from_nm + from_bit, bend.to_nm + from_bit + length
    moved = leg.to_nm - leg.from_nm
    if moved == 0:
        return (START, END) if low < leg.from_nm < high else (START, START)
    if high <= min(leg.from_nm, leg.to_nm) or low >= max(leg.from_nm, leg.to_nm):
        return START, START
    one, other = Fraction(low - leg.from_nm, moved), Fraction(high - leg.from_nm, moved)
    return max(min(one, other), START), min(max(one, other), END)
