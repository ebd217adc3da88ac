"""The lines of two straps, paired: what is compared, and what a comparison finds."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import NamedTuple

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.units import NM, nm_per

#: How far two good straps of one joint may be apart: 0.02 ft (trade guide 5.3, common practice).
GATE = Length(2 * NM["ft"] // 100)


@dataclass(frozen=True)
class StrapLine:
    """One line as one strap has it: its painted number and the length read, None for unread.

    `pin` is the pin of the joint's connection, `loss` its make-up loss, None for not known; `kind`
    is how the length was taken, a key of LENGTH_KINDS.
    """

    painted: str
    length: Length | None
    pin: Length | None = None
    loss: Length | None = None
    kind: str = "pins off"


@dataclass(frozen=True)
class Finding:
    """One thing that the comparison of two straps found.

    `code` is the tally check it looks like ("T01"), "" for a difference without a known signature.
    `lines` count from 0. `words` say what was found and `do` what to do about it, in sentences;
    `first` and `second` are the readings where the finding is of one joint; `severity` says whether a
    tally asks for a reason before it closes with it.
    """

    code: str
    lines: tuple[int, ...]
    words: str
    do: str
    first: Length | None = None
    second: Length | None = None
    severity: Severity = Severity.ASKS


@dataclass(frozen=True)
class Pair:
    """What the two straps have on one line, None where a strap has no such line.

    `line` counts from 0 in the first list; lines that only the second list has count on from its end.
    """

    line: int
    first: StrapLine | None
    second: StrapLine | None

    @property
    def name(self) -> str:
        """What the line is called in a sentence: "Joint 36A", or "Line 7" where nothing is painted."""
        painted = next((each.painted for each in (self.first, self.second) if each and each.painted), "")
        return f"Joint {painted}" if painted else f"Line {self.line + 1}"

    @property
    def lengths(self) -> tuple[Length | None, Length | None]:
        """Both readings, None for unread."""
        return (self.first.length if self.first else None, self.second.length if self.second else None)

    def lost(self, what: str) -> Length | None:
        """The joint's "pin" or make-up "loss", from whichever strap knows it.

        `what` is "pin" or "loss". Raises AttributeError for another word. Source: house style.
        """
        for each in (self.first, self.second):
            if each:
                found: Length | None = getattr(each, what)
                if found is not None:
                    return found
        return None


@dataclass(frozen=True)
class BothRead:
    """A joint that both straps have read."""

    line: int
    name: str
    first: Length
    second: Length
    pin: Length | None = None
    loss: Length | None = None

    @property
    def apart(self) -> int:
        """Second less first, in nanometres."""
        return self.second.nanometres - self.first.nanometres


class Terms(NamedTuple):
    """How two lists are judged: the gate, the unit and figures in which readings are shown, their names."""

    gate: Length
    unit: str
    digits: int
    first: str = "first strap"
    second: str = "second strap"

    def called(self, which: str) -> str:
        """What one of the two lists is called in a sentence: "first" is "first strap", or "list".

        `which` is "first" or "second". Raises nothing. Source: house style.
        """
        return self.first if which == "first" else self.second

    def shown(self, length: Length) -> str:
        """A length as it is read, without its unit.

        `length` is exact. Raises ValueError as `Length.shown` does. Source: law 1 of the house.
        """
        return length.shown(self.unit, self.digits)

    def fine(self, length: Length) -> str:
        """A length with one more figure and its unit, for pins and averages.

        `length` is exact. Raises ValueError as `Length.shown` does. Source: law 1 of the house.
        """
        return f"{length.shown(self.unit, self.digits + 1)} {self.unit}"

    @property
    def near(self) -> Length:
        """How far two good straps of one joint may be apart, also where the gate of a list is wider."""
        step = Length(nm_per(self.unit) // 10**self.digits)
        return min(self.gate, max(GATE, step))

    def steps(self, length: Length) -> int:
        """A length in steps of the last shown figure.

        `length` is exact. Raises ValueError as `Length.shown` does. Source: law 1 of the house.
        """
        return length.in_shown_units(self.unit, self.digits)

    def outside(self, pair: BothRead) -> bool:
        """Whether the readings of one joint are further apart than the gate.

        `pair` is one joint as both read it. Raises ValueError as `Length.shown` does. Source: trade guide
        5.3.
        """
        return abs(pair.apart) > self.gate.nanometres


def pair_up(first: Sequence[StrapLine], second: Sequence[StrapLine]) -> list[Pair]:
    """Put the lines of two straps side by side, in order.

    By painted number where every line has its own and most are in both lists, else by place.
    Raises nothing. Source: trade guide 5.2, the number is text; common practice.
    `first` and `second` are the lines of the two straps.
    """
    if not _by_painted(first, second):
        return [Pair(line, one, other) for line, (one, other) in enumerate(zip_longest(first, second))]
    in_second = {each.painted: each for each in second}
    in_first = {each.painted for each in first}
    pairs = [Pair(line, each, in_second.get(each.painted)) for line, each in enumerate(first)]
    line, after = len(first), 0
    for each in second:
        if each.painted in in_first:
            after = 1 + next(place for place, pair in enumerate(pairs) if pair.second is each)
        else:
            pairs.insert(after, Pair(line, None, each))
            line, after = line + 1, after + 1
    return pairs


def _by_painted(first: Sequence[StrapLine], second: Sequence[StrapLine]) -> bool:
    here, there = [[each.painted for each in strap] for strap in (first, second)]
    if here == there or "" in here or "" in there:
        return False
    alone = len(set(here)) == len(here) and len(set(there)) == len(there)
    return alone and 2 * len(set(here) & set(there)) >= max(len(here), len(there))


def read_twice(pairs: Sequence[Pair]) -> list[BothRead]:
    """Return the lines that both straps have read, in order. Raises nothing. Source: none needed.

    `pairs` are the lines in order.
    """
    found = []
    for pair in pairs:
        one, other = pair.lengths
        if one is not None and other is not None:
            found.append(BothRead(pair.line, pair.name, one, other, pair.lost("pin"), pair.lost("loss")))
    return found
