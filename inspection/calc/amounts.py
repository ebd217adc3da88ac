"""Amounts of a clock as they are typed into a rule: hours, days, runs, feet; exact or refused."""

import re
from fractions import Fraction

from inspection.calc.due import amount
from inspection.calc.rules import CLOCKS, Rule
from rack.calc.kinds import kind_of
from rack.calc.lengths import Length
from rack.calc.standing import BASIS_WORDS
from rack.calc.typed import fold

#: The largest amount that is taken, in the unit that is typed: more than any piece lives.
MOST = {"h": 1_000_000, "days": 36_500, "months": 1200, "times": 10_000_000}
_UNITS = {"runs_n": "times", "connections_n": "times", "hits_n": "times", "days": "days", "months": "months"}
_FIGURE = re.compile(r"([0-9]{1,9})(?:[.,]([0-9]{1,6}))?")
_WORDS = re.compile(r"(?:h|hrs?|hours?|d|days?|months?|runs?|trips?|connections?|hits?|times)\.?$")


def unit_of(clock: str, length_unit: str = "ft") -> str:
    """Return what an amount of `clock` is typed in: "h", "days", "months", "times", or the `length_unit`.

    Raises ValueError for an unknown clock. Source: the clocks of this project.
    """
    if clock not in CLOCKS:
        raise ValueError(f"clock: {clock!r} is none of {', '.join(CLOCKS)}")
    return length_unit if clock == "footage_nm" else _UNITS.get(clock, "h")


def read_amount(text: str, clock: str, length_unit: str = "ft") -> int:
    """Return the amount written in `text` in the whole unit of `clock`: seconds, days, months, times, nm.

    "250", "250.5", "250,5" and "250 h" are hours; lengths are read in `length_unit`. Raises ValueError with
    a sentence for what is no amount, is 0, is no whole second or no whole number, is more than any piece
    lives, or may mean two things ("1,500"). Source: an hour is 3600 s; exact or refused, law 2 of the house.
    """
    unit = unit_of(clock, length_unit)
    shown = "".join(letter for letter in str(text)[:40] if letter.isprintable()).strip()
    if unit == length_unit:
        exact = Length.parse(text, length_unit).nanometres
        if not 0 < exact < 2**62:
            raise ValueError(f"“{shown}” is no length that is drilled.")
        return exact
    plain = _WORDS.sub("", fold(text).strip().lower()).strip() if shown else ""
    found = _FIGURE.fullmatch(plain)
    if found is None:
        raise ValueError(f"“{shown}” is no amount in {unit}: write it as {'250.5' if unit == 'h' else '30'}.")
    if "," in plain and len(found[2]) == 3:
        either = f"{found[1]}{found[2]} or {found[1]}.{found[2]}"
        raise ValueError(f"“{shown}” may mean two things: write {either}.")
    figure = Fraction(f"{found[1]}.{found[2] or 0}")
    exact_amount = figure * (3600 if unit == "h" else 1)
    if exact_amount.denominator != 1:
        whole = "second: write it in hours like 250.5" if unit == "h" else "number"
        raise ValueError(f"“{shown}” is no whole {whole}.")
    if not 0 < figure <= MOST[unit]:
        raise ValueError(f"“{shown}”: write more than 0 and at most {MOST[unit]:,} {unit}.")
    return exact_amount.numerator


def interval_words(rule: Rule) -> str:
    """Return `rule` in one line: "drill pipe: 1,500 h rotating since the last full inspection, by contract".

    Amounts in the clock's own unit. Raises nothing. Source: none needed.
    """
    kind = kind_of(rule.kind).name if rule.kind else "every kind"
    narrower = [f"only {rule.only}"] if rule.only else []
    narrower += [f"{rule.service} service"] if rule.service else []
    whose = "our own" if rule.authority == "default" else f"by {rule.authority}"
    limit = f"{amount(rule.clock, rule.due)} {BASIS_WORDS[rule.basis]}"
    return f"{', '.join([kind, *narrower])}: {limit}, {whose}, from {rule.from_on:%Y-%m-%d}"
