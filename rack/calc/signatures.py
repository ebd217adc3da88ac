"""How a hand goes wrong with one reading: digits that change places, a wrong foot, a misheard number.

A reading is taken here as it is shown: whole steps of the last figure, 31.26 with 2 digits is 3126.
"""

from fractions import Fraction

from rack.calc.lengths import Length
from rack.calc.units import NM

#: Spoken pairs that the ear takes for one another, their differences are 17, 26 ... 71.
TEENS = {teen: 10 * (teen - 10) for teen in range(13, 20)}

#: The unit that is mistaken for this one on a pipe rack.
_MISTAKEN = {"ft": "m", "m": "ft"}


def swapped(one: int, other: int) -> bool:
    """Say whether two digits of `one` that change places make `other`; 3126 and 3162 do.

    Both are readings in shown steps, 0 or more. The difference of such a pair is always a multiple
    of 9. Raises nothing. Source: tally check T01, computed.
    """
    if one == other or (one - other) % 9:
        return False
    width = len(str(max(one, other)))
    here, there = f"{one:0{width}d}", f"{other:0{width}d}"
    apart = [place for place in range(width) if here[place] != there[place]]
    return len(apart) == 2 and here[apart[0]] == there[apart[1]] and here[apart[1]] == there[apart[0]]


def neighbours_swapped(reading: int) -> list[int]:
    """Return what `reading` (shown steps) becomes when two neighbouring digits change places, in order.

    Raises nothing. Source: tally check T01, computed.
    """
    text = f"{reading:04d}"
    made = []
    for place in range(len(text) - 1):
        other = int(text[:place] + text[place + 1] + text[place] + text[place + 2 :])
        if other != reading:
            made.append(other)
    return made


def whole_slip(one: int, other: int, digits: int) -> int:
    """Return 1 or 10 where the readings are exactly that many whole feet (or metres) apart, else 0.

    Both are in shown steps with `digits` figures after the point. Raises nothing.
    Source: tally check T02, common practice.
    `one` and `other` are the two readings.
    """
    whole, rest = divmod(abs(one - other), 10**digits)
    return whole if not rest and whole in (1, 10) else 0


def misheard(one: int, other: int, digits: int) -> tuple[int, int] | None:
    """Return the pair that was misheard, (15, 50), where one reading says the teen and one the ty.

    Both are in shown steps with `digits` figures. The pair may stand in the last two figures, in
    the hundredths or before the point; all else must be equal. Raises nothing.
    Source: tally check T20, computed.
    `one` and `other` are the two readings.
    """
    for place in sorted({0, max(digits - 2, 0), digits}):
        for teen in _teens_at(one, place):
            if one - (teen - TEENS[teen]) * 10**place == other:
                return teen, TEENS[teen]
        for teen in _teens_at(other, place):
            if other - (teen - TEENS[teen]) * 10**place == one:
                return teen, TEENS[teen]
    return None


def _teens_at(reading: int, place: int) -> list[int]:
    spoken = reading // 10**place % 100
    return [spoken] if spoken in TEENS else []


def said_otherwise(reading: int, digits: int) -> list[int]:
    """Return what `reading` (shown steps) may have been where a teen was heard for a ty or the reverse.

    `digits` are the figures after the point. Raises nothing. Source: tally check T20, computed.
    """
    ties = {ty: teen for teen, ty in TEENS.items()}
    made = []
    for place in sorted({0, digits}):
        spoken = reading // 10**place % 100
        heard = TEENS.get(spoken, ties.get(spoken))
        if heard is not None:
            made.append(reading + (heard - spoken) * 10**place)
    return made


def other_unit(unit: str) -> str:
    """Return the unit that gets mixed up with `unit` on a rack: "m" for "ft" and the reverse, else "".

    Raises nothing. Source: tally check T14, common practice.
    """
    return _MISTAKEN.get(unit, "")


def as_other_unit(reading: Length, unit: str) -> Fraction | None:
    """Return the nanometres of a reading whose number was really of the other unit, None for no such unit.

    9.62 in a list in feet, taken as metres, is 9,620,000,000. Exact. Raises nothing.
    Source: tally check T14, common practice.
    `reading` was taken as `unit`, "ft" or "m".
    """
    other = other_unit(unit)
    return Fraction(reading.nanometres * NM[other], NM[unit]) if other else None


def unit_mixed(right: Length, wrong: Length, *, within: Length, unit: str, digits: int) -> bool:
    """Say whether `wrong` is `right` read in the other unit: 9.62 beside 31.56 in a list in feet.

    `within` is how far two good straps may be apart; half a last figure of the other unit comes on
    top, because that is how far its number was rounded. Raises nothing.
    Source: tally check T14, common practice.
    `unit` is that of the list, `digits` its figures.
    """
    meant = as_other_unit(wrong, unit)
    if meant is None or not wrong.nanometres:
        return False
    rounding = Fraction(NM[other_unit(unit)], 2 * 10**digits)
    return abs(meant - right.nanometres) <= within.nanometres + rounding
