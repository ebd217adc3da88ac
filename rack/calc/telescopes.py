"""Tools that telescope: a length open and a length closed, and which of the two a reading is (law 2)."""

import re

from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.units import NM

#: A reading is one of the two known lengths when it is this near to it; a suggestion (common practice).
NEAR = Length(NM["ft"] // 10)


#: How hands write beside a length which of the two it is.
_SAID = {"open": "open", "opened": "open", "o": "open", "extended": "open",
         "closed": "closed", "close": "closed", "c": "closed", "shut": "closed"}  # fmt: skip
_BESIDE = re.compile(r"^(.*[\d'\"a-z])[\s,;(]+([a-z]+)\)?\s*$", re.IGNORECASE | re.DOTALL)


def said_stands(typed: str) -> tuple[str, str]:
    """Return a length as it was typed without the word beside it, and "open", "closed" or "" for that word.

    "31.24 closed" is ("31.24", "closed"), "31 ft 3 in o" is ("31 ft 3 in", "open"); what bears no such word
    comes back as it is. Raises nothing. Source: how tally lists are written; common practice.
    `typed` is any text.
    """
    found = _BESIDE.match(typed)
    stands = _SAID.get(found[2].lower(), "") if found else ""
    return (found[1].rstrip(), stands) if found and stands else (typed, "")


def stands_of(reading: Length, opened: Length | None, closed: Length | None) -> str:
    """Return "open" or "closed" for the known length that `reading` is, "" where it may be either or neither.

    All lengths of the same kind of length; None for a length that is not known. Raises nothing.
    Source: the lengths of this very piece; how near is near is common practice.
    `opened` and `closed` are the lengths that are known.
    """
    known = (("open", opened), ("closed", closed))
    near = [name for name, length in known if length is not None and abs(reading - length) <= NEAR]
    return near[0] if len(near) == 1 else ""


def both_problems(opened: Length | None, closed: Length | None, *, unit: str, digits: int) -> list[Problem]:
    """Return why two lengths cannot be the open and the closed one of a tool; [] where they can.

    `opened` and `closed` of the same kind of length, None for not known; the sentence is in `unit` ("ft"
    or "m") with `digits` figures. Raises ValueError for another unit. Source: geometry.
    """
    if opened is None or closed is None or opened > closed:
        return []
    text = (
        f"Open is {opened.shown(unit, digits)} {unit} and closed {closed.shown(unit, digits)} {unit}; "
        "open is longer than closed. Were the two exchanged?"
    )
    return [stops(text, code="stands", measured=opened.shown(unit, digits), limit=closed.shown(unit, digits))]
