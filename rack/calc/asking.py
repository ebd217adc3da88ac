"""A single reading against its batch: what looks so odd that the hand is asked, and the likely slip.

Fewer than 2 in 100 true readings may be asked about, so a reading is only odd when it is far from
the middle of the batch *and* nothing like it has been read: two suppliers in one delivery are not
an error. All limits here are suggestions (common practice).
"""

from collections.abc import Sequence
from fractions import Fraction
from statistics import median_low

from rack.calc.checks import Problem, asks
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.signatures import as_other_unit, neighbours_swapped, other_unit, said_otherwise
from rack.calc.units import NM, UNIT_NAMES

_FT = NM["ft"]

#: Wide doors of drill pipe and heavy-weight, pins off, in feet (trade guide 11, a suggestion).
DOORS_FT = ((18, 24), (28, 33), (39, 48))
#: Casing from the shortest range 1 to the longest range 3, in feet (table of ranges, confidence A).
CASING_FT = ((16, 48),)
#: A reading that another source has for this very joint within so much is no slip of the hand: 0.10 ft.
_KNOWN = _FT // 10
#: Nothing on a rack is shorter or longer than this, in nanometres; common practice.
_SHORTEST, _LONGEST = _FT // 10, 100 * _FT

#: A batch says nothing before it has this many readings.
ENOUGH = 5
_MANY = 10
#: How far off the middle a reading may be, and how near another reading must be to vouch for it.
_OFF = 3 * _FT // 2
_ALIKE = _FT // 2
#: Among pups one vouches for another from further off.
_ALIKE_SHORT = _FT

_SOURCE = "common practice (tally check T07); a suggestion"


def question(
    reading: Length, batch: Sequence[Length], *, kind: str, unit: str, digits: int,
    known: Length | None = None,
) -> list[Problem]:
    """Return what to ask about `reading` before it is taken: nothing, or one ASKS with the likely slip.

    `batch` are the other readings of the same strap (never of the other one: blindness), judged from
    5 on; `kind` is a code of KINDS, or "" where it is not known: drill pipe is also held against its
    wide doors, casing against its ranges. `known` is the length that the sender's list or the register
    has for this very joint (never the other strap): a reading within 0.10 ft of it is not asked about. The
    sentence is in `unit` with `digits` figures; its code is the slip it guesses: T01, T02, T14, T20, or T07
    for none. Raises ValueError for another unit.
    Source: tally check T07 and trade guide 11, suggestions; common practice.
    """
    judge = _Judge(batch, kind, unit, digits)
    odd = judge.odd(reading.nanometres)
    if not odd or (known is not None and abs(reading - known).nanometres <= _KNOWN):
        return []
    code, guess = judge.guess(reading)
    shown = f"{reading.shown(unit, digits)} {unit}"
    return [
        asks(
            f"{shown} {odd}. {guess}",
            code=code,
            measured=reading.shown(unit, digits),
            limit=judge.limit(),
            unit=unit,
            source=_SOURCE,
        )
    ]


class _Judge:
    """A batch, ready to be asked whether a length fits into it."""

    def __init__(self, batch: Sequence[Length], kind: str, unit: str, digits: int) -> None:
        self.readings = sorted(length.nanometres for length in batch)
        self.unit, self.digits = unit, digits
        entry = KINDS.get(kind)
        self.doors: tuple[tuple[int, int], ...] = ()
        if entry and (entry.by_doors or entry.in_casing):
            self.doors = DOORS_FT if entry.by_doors else CASING_FT
        self.enough = len(self.readings) >= ENOUGH
        self.middle = median_low(self.readings) if self.enough else 0
        self.off = self._off() if self.enough else 0

    def _off(self) -> int:
        """How far off the middle is far: 1.5 ft, or four robust sigma where the batch is that wide."""
        spread = median_low(sorted(abs(each - self.middle) for each in self.readings))
        return max(_OFF, 4 * 14_826 * spread // 10_000)

    def odd(self, nanometres: int) -> str:
        """Say what is odd about a length as the second half of a sentence, "" for nothing."""
        if not _SHORTEST <= nanometres <= _LONGEST:
            return "is no length of a joint" if nanometres < _SHORTEST else "is longer than any joint"
        near = min((abs(each - nanometres) for each in self.readings), default=_LONGEST)
        if near <= (_ALIKE_SHORT if self._is_short(nanometres) else _ALIKE):
            return ""
        if self.enough and abs(nanometres - self.middle) > self._reach():
            off = self._text(abs(nanometres - self.middle))
            return f"is {off} off the middle of this batch ({self._text(self.middle)})"
        if self.doors and not any(low * _FT <= nanometres <= high * _FT for low, high in self.doors):
            return f"is outside {self.limit_of_doors()}"
        return ""

    def _is_short(self, nanometres: int) -> bool:
        """Say whether a length is half of the others' or less: pups come in many lengths, each a few."""
        return self.enough and 2 * nanometres <= self.middle

    def _reach(self) -> int:
        """How far from the middle the next reading may be; less in a large batch that lies close."""
        if len(self.readings) < _MANY:
            return self.off
        span = self.readings[-1] - self.readings[0]
        return min(self.off, span + max(_ALIKE, span))

    def guess(self, reading: Length) -> tuple[str, str]:
        """Return the code and the words of the slip that would bring the reading where it belongs."""
        found = [
            (abs(nanometres - self.middle) if self.enough else 0, place, code, words, nanometres)
            for place, (code, words, nanometres) in enumerate(self._slips(reading))
            if nanometres > 0 and self._fits(nanometres)
        ]
        if not found:
            return "T07", "Is it another kind of joint? Tape it again if it is not."
        _, _, code, words, nanometres = min(found)
        return code, f"{words}, perhaps: {Length(nanometres).shown(self.unit, self.digits)}?"

    def _fits(self, nanometres: int) -> bool:
        if self.odd(nanometres):
            return False
        if not self.enough:
            return bool(self.doors)
        return self.readings[0] - _ALIKE <= nanometres <= self.readings[-1] + _ALIKE

    def _slips(self, reading: Length) -> list[tuple[str, str, int]]:
        steps = reading.in_shown_units(self.unit, self.digits)
        whole = 10**self.digits
        made: list[tuple[str, str, int | Fraction]] = [
            ("T01", "Digits changed places", self._nm(each)) for each in neighbours_swapped(steps)
        ]
        other = as_other_unit(reading, self.unit)
        if other is not None:
            name = UNIT_NAMES[other_unit(self.unit)][1].capitalize()
            made.append(("T14", f"{name} in a list in {UNIT_NAMES[self.unit][1]}", round(other)))
        heard = said_otherwise(steps, self.digits)
        made += [("T20", "Teen and ty misheard", self._nm(each)) for each in heard]
        made.append(("T07", "A figure is missing", self._nm(steps * 10)))
        made.append(("T07", "A figure too many", self._nm(steps // 10)))
        one, many = UNIT_NAMES[self.unit]
        made += [("T02", f"A whole {one} out", self._nm(steps + by * whole)) for by in (-1, 1)]
        made += [("T02", f"Ten {many} out", self._nm(steps + by * whole)) for by in (-10, 10)]
        return [(code, words, int(nanometres)) for code, words, nanometres in made]

    def _nm(self, steps: int) -> Fraction:
        return Fraction(steps * NM[self.unit], 10**self.digits)

    def _text(self, nanometres: int) -> str:
        return f"{Length(nanometres).shown(self.unit, self.digits)} {self.unit}"

    def limit_of_doors(self) -> str:
        """The doors in words: "18 to 24, 28 to 33 or 39 to 48 ft"."""
        digits = 0 if self.unit == "ft" else self.digits
        ends = [[Length(foot * _FT).shown(self.unit, digits) for foot in door] for door in self.doors]
        spans = [" to ".join(door) for door in ends]
        return " or ".join(filter(None, [", ".join(spans[:-1]), spans[-1]])) + f" {self.unit}"

    def limit(self) -> str:
        """The limit that was used, as text for the problem."""
        if self.enough:
            return f"{Length(self._reach()).shown(self.unit, self.digits)} off the middle"
        return self.limit_of_doors() if self.doors else ""
