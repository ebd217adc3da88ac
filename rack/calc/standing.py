"""Clocks against their limits: what is soon, due and over, by plain comparison; inspection sets the limits.

The same rule as the set-based update that runs when hours are posted: pages, tests and the audit use this.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rack.calc.hours import CLOCK_NAMES, PIECE_CLOCKS, Amount, amount_shown

#: "Already": earlier than any date of a rig.
EVER = date(1900, 1, 1)
#: "No limit": later than any date of a rig.
NEVER = date(9999, 12, 31)
#: What is left where there is no limit; a whole number that both databases hold.
NO_LIMIT = 2**62
#: The marks of zero that a clock may have (law 7).
BASES: tuple[str, ...] = ("new", "rental", "service", "visual", "connections", "tube", "full")
BASIS_WORDS: dict[str, str] = {
    "new": "since new",
    "rental": "on this hire",
    "service": "since service",
    "visual": "since the last visual look",
    "connections": "since the last look at the connections",
    "tube": "since the last look at the tube",
    "full": "since the last full inspection",
}
OVERDUE, DUE, SOON, FINE = "overdue", "due", "soon", "fine"
#: The states from the worst down.
STANDINGS: tuple[str, ...] = (OVERDUE, DUE, SOON, FINE)


@dataclass(frozen=True)
class Clock:
    """One clock of a piece against one mark of zero.

    `clock` is one of the ledger's clocks, `basis` one of `BASES`. `total` is what it has run in all, `zero`
    what it showed at the mark, in the clock's own unit (whole seconds, nanometres, times). `known` is false
    where it ran an unknown time since the mark. `soon`, `due` and `over` are amounts since the mark, None
    where there is no such limit. Raises ValueError for an unknown clock or basis, TypeError for what is no
    whole number.
    """

    clock: str
    basis: str
    total: int
    zero: int = 0
    known: bool = True
    soon: int | None = None
    due: int | None = None
    over: int | None = None

    def __post_init__(self) -> None:
        if self.clock not in PIECE_CLOCKS:
            raise ValueError(f"clock: {self.clock!r} is no clock; there are {', '.join(PIECE_CLOCKS)}")
        if self.basis not in BASES:
            raise ValueError(f"basis: {self.basis!r} is no mark of zero; there are {', '.join(BASES)}")
        for name in ("total", "zero", "soon", "due", "over"):
            value = getattr(self, name)
            if type(value) is not int and not (value is None and name in ("soon", "due", "over")):
                raise TypeError(f"{name}: {value!r} is no whole number")

    @property
    def run(self) -> int:
        """What the clock has run since its mark, at least that where it is not known."""
        return self.total - self.zero


@dataclass(frozen=True)
class Days:
    """The limits by days that inspection wrote: three dates, `EVER` already, `NEVER` no limit."""

    soon_on: date = NEVER
    due_on: date = NEVER
    over_on: date = NEVER


@dataclass(frozen=True)
class Standing:
    """The three dates on the piece's row, and what they say today: "overdue", "due", "soon" or "fine"."""

    soon_on: date
    due_on: date
    over_on: date
    state: str


def _left(clock: Clock, limit: int | None) -> int:
    if limit is None:
        return NO_LIMIT
    return limit - clock.run if clock.known else 0


def left(clock: Clock) -> int:
    """Return what is left of `clock` until it is due, in its own unit; zero or less = due.

    `NO_LIMIT` where it has no due limit. A clock that has one and whose history is not known has 0 left:
    unknown is not zero. Raises nothing. Source: model of this project, points 3 and 4; law 8.
    """
    return _left(clock, clock.due)


def dates(clocks: Sequence[Clock], days: Days) -> tuple[date, date, date]:
    """Return soon_on, due_on and over_on of a piece: EVER as soon as a clock is out, else the date by days.

    `clocks` of the piece in any order, `days` the dates that inspection wrote. A clock whose history is not
    known is soon and due where it has such a limit; overdue only when what is known of it is past that
    limit. Raises nothing. Source: model of this project, points 3 and 4.
    """
    soon = any(_left(clock, clock.soon) <= 0 for clock in clocks)
    due = any(left(clock) <= 0 for clock in clocks)
    over = any(clock.over is not None and clock.run >= clock.over for clock in clocks)
    return (
        EVER if soon else days.soon_on,
        EVER if due else days.due_on,
        EVER if over else days.over_on,
    )


def state_on(soon_on: date, due_on: date, over_on: date, today: date) -> str:
    """Return "overdue", "due", "soon" or "fine" for the three dates of a row, by three comparisons.

    `soon_on`, `due_on` and `over_on` are the dates of the row, `today` the local date at the piece's site:
    midnight costs nothing. Raises nothing. Source: model of this project, point 4.
    """
    if over_on <= today:
        return OVERDUE
    if due_on <= today:
        return DUE
    return SOON if soon_on <= today else FINE


def mark(holds: int, judged: str, dates: tuple[date, date, date], today: date) -> tuple[str, str]:
    """Return the shape and the word that a piece is shown with: held, else overdue, due, soon or fine.

    `holds` is how many holds stand, `judged` the scheme that it is judged by ("" for none: then nothing is
    due and nothing is said, ("", "")), `dates` soon_on, due_on and over_on, `today` the local date at its
    site. Raises nothing. Source: law 5 of the house, holds and due are two facts.
    """
    if holds:
        return "held", "held"
    state = state_on(*dates, today)
    if state == FINE:
        return ("fine", FINE) if judged else ("", "")
    return ("over" if state == OVERDUE else state), state


def standing(clocks: Sequence[Clock], days: Days, today: date) -> Standing:
    """Return the standing of a piece: the three dates of its row and what they say today.

    `clocks` in any order, `days` the dates that inspection wrote, `today` the local date at the piece's
    site. Holds are another fact. Raises nothing. Source: model of this project, points 3 and 4.
    """
    soon_on, due_on, over_on = dates(clocks, days)
    return Standing(soon_on, due_on, over_on, state_on(soon_on, due_on, over_on, today))


def first_out(clocks: Sequence[Clock]) -> Clock | None:
    """Return the clock that is due first: the least left of its limit as a part of it; None without limits.

    `clocks` in any order; of two equal ones the first by name. A limit of zero or less is out already.
    Raises nothing. Source: law 7 of this project, due is the first to run out.
    """
    limited = [clock for clock in clocks if clock.due is not None]
    if not limited:
        return None
    return min(limited, key=_urgency)


def _urgency(clock: Clock) -> tuple[bool, float, str, str]:
    limit = clock.due or 0
    return left(clock) > 0, left(clock) / limit if limit > 0 else 0.0, clock.clock, clock.basis


def due_before(clock: Clock, planned: int) -> bool:
    """Say whether `clock` comes due while it runs `planned` more, in its own unit (a section to be drilled).

    Raises nothing. Source: model of this project, point 5: due before the section ends = left <= planned.
    """
    return left(clock) <= planned


def hours_run(clock: Clock, *, unit: str = "ft", digits: int = 2) -> str:
    """Return what `clock` has run since its mark as it is read: "12.50", "at least 12.50" if not all known.

    Hours and lengths with `digits` figures, lengths in `unit`. Raises ValueError for other digits or units.
    Source: law 8 of the house, unknown is not zero.
    """
    return amount_shown(clock.clock, Amount(clock.run, clock.known), unit=unit, digits=digits)


def hours_left(clock: Clock, *, unit: str = "ft", digits: int = 2) -> str:
    """Return what is left of `clock` as it is read, as a part of a sentence; "" where there is no limit.

    "37.50 left of 150.00", "4.25 past 150.00", "unknown: due, the limit is 150.00". Hours and lengths with
    `digits` figures, lengths in `unit`. Raises ValueError for other digits or units. Source: law 8 of the
    house; model of this project, point 4.
    """
    if clock.due is None:
        return ""
    limit = amount_shown(clock.clock, Amount(clock.due), unit=unit, digits=digits)
    rest = clock.due - clock.run
    shown = amount_shown(clock.clock, Amount(abs(rest)), unit=unit, digits=digits)
    if rest < 0:
        return f"{'' if clock.known else 'at least '}{shown} past {limit}"
    if not clock.known:
        return f"unknown: due, the limit is {limit}"
    return f"{shown} left of {limit}"


def clock_words(clock: Clock) -> str:
    """Return what `clock` counts, for a heading or a sentence: "rotating since the last full inspection".

    Raises nothing. Source: the names of clocks and marks of this project.
    """
    return f"{CLOCK_NAMES[clock.clock]} {BASIS_WORDS[clock.basis]}"
