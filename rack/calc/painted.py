"""Painted numbers are text: 36, 36A, R-7; the next one is worked out from the last."""

import re
from collections.abc import Sequence

from rack.calc.checks import Problem, stops
from rack.calc.names import key_of


def number_after(painted: str) -> str:
    """Return the painted number that follows `painted`: "36" -> "37", "36A" -> "37", "R-09" -> "R-10".

    Takes the text of the last line, "" for none, and returns text; after a text without any digit
    the count starts at "1". Raises nothing. Source: common practice.
    """
    match = re.match(r"^(.*?)(\d+)\D*$", painted)
    if not match:
        return "1"
    head, digits = match.groups()
    return f"{head}{int(digits) + 1:0{len(digits)}d}"


def order_of(painted: str) -> tuple[tuple[int, str], ...]:
    """Return a key that puts painted numbers in the order of counting: 2 before 10, 36A behind 36.

    `painted` is any text. Raises nothing. Source: trade guide 5.2, the number is text.
    """
    parts = re.split(r"(\d+)", painted.upper())
    return tuple((int(part), "") if part.isdecimal() else (0, part) for part in parts if part)


def same_number(one: str, other: str) -> bool:
    """Say whether `one` and `other` are the same number as painted: noughts before it, blanks and small
    letters are no difference. Raises nothing. Source: common practice.
    """
    return order_of(re.sub(r"[\s.#-]", "", one)) == order_of(re.sub(r"[\s.#-]", "", other))


_GROUP_WORDS = re.compile(r"^\s*(?:lines?|joints?|stand)\b[\s:]*", re.IGNORECASE)
_TO = re.compile(r"\s*(?:\bto\b|\.\.+|[-–—])\s*", re.IGNORECASE)


def group_ends(text: str, known: Sequence[str]) -> tuple[str, str]:
    """Return the first and last painted number of a group as it is typed: "1-3", "lines 1 to 3", "7".

    `known` are the numbers on the tally, in order; a hyphen that is part of a number stays in it. The group
    is all that lies between its ends. Raises ValueError with the sentence where `text` names none, or leaves
    a joint out. Source: common practice.
    """
    typed = _GROUP_WORDS.sub("", text).strip()
    if not typed:
        raise ValueError('Say which joints the stand is, such as "1-3".')
    if typed in known:
        return typed, typed
    named = [part.strip() for part in typed.split(",")] if "," in typed else _ends_of(typed, known)
    for name in named:
        if name not in known:
            raise ValueError(f"There is no joint {name or 'without number'} on this tally.")
    places = [known.index(name) for name in named]
    if "," in typed and sorted(places) != list(range(min(places), max(places) + 1)):
        raise ValueError(f"The joints of a stand follow each other; {typed} leaves one out.")
    return known[min(places)], known[max(places)]


def _ends_of(typed: str, known: Sequence[str]) -> list[str]:
    """The two numbers of a range; the hyphen at which both halves are numbers of the tally parts them."""
    parts = [(typed[: cut.start()], typed[cut.end() :]) for cut in _TO.finditer(typed)]
    for one, other in parts:
        if one in known and other in known:
            return [one, other]
    return list(parts[0]) if parts else [typed]


def in_counting_order(text: str) -> list[tuple[int, str]]:
    """Return what a painted number is sorted by: 2 before 10, 36A behind 36, R-7 among the letters.

    `text` is any text; returns a list that compares with others of its kind; raises nothing. Source:
    common practice.
    """
    return [(int(part), "") if part.isdecimal() else (0, part) for part in re.split(r"(\d+)", text) if part]


def from_to(names: Sequence[str], first: str, last: str) -> tuple[tuple[int, ...], tuple[Problem, ...]]:
    """Return which of `names` lie from `first` to `last`, as their places in the list, and what is wrong.

    `names` are painted numbers in the order in which they count (a tally's lines, or a layer sorted by
    `in_counting_order`); both ends are included and compared without regard to blanks and capitals. A
    number that is not there or stands there twice is a STOPS, and nothing is chosen then. Raises
    nothing. Source: common practice.
    """
    keys = [key_of(name) for name in names]
    problems = []
    for asked in dict.fromkeys((first, last)):
        there = keys.count(key_of(asked))
        if not there:
            problems.append(stops(f"No joint there is painted {asked}.", code="unknown", where=asked))
        elif there > 1:
            problems.append(stops(f"{there} joints there are painted {asked}; choose them by serial.",
                                  code="twice", where=asked))  # fmt: skip
    if problems:
        return (), tuple(problems)
    start, end = keys.index(key_of(first)), keys.index(key_of(last))
    if start > end:
        return (), (stops(f"{first} comes behind {last} there; type the lower number first.", code="order"),)
    return tuple(range(start, end + 1)), ()
