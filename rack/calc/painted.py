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
