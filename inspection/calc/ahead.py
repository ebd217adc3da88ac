"""What comes due while a planned section is drilled: by its planned hours, and by its planned end.

How the hours of a section will be shared out among the clocks is not known beforehand, so each clock of
hours may run all of them: the safe side.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rack.calc.hours import PIECE_CLOCKS
from rack.calc.standing import EVER, Clock, clock_words, due_before, hours_left

#: The clocks that may run all the hours of a section.
HOUR_CLOCKS: tuple[str, ...] = tuple(clock for clock in PIECE_CLOCKS if clock.endswith("_s"))
#: Nobody plans a section of a year in hours.
MOST_HOURS = 9_999


@dataclass(frozen=True)
class Ahead:
    """A planned section: `hours` whole hours that it takes, `ends_on` the day of its end at the site.

    Raises ValueError for hours below 0 or above `MOST_HOURS`.
    """

    hours: int
    ends_on: date

    def __post_init__(self) -> None:
        if not 0 <= self.hours <= MOST_HOURS:
            raise ValueError(f"hours: {self.hours} is not from 0 to {MOST_HOURS:,}")

    @property
    def seconds(self) -> int:
        """The planned hours in the unit of the clocks."""
        return self.hours * 3600


def earliest_end(today: date, hours: int) -> date:
    """Return the first day on which a section of so many `hours` that begins `today` can end.

    Raises OverflowError past the end of the calendar. Source: 24 hours in a day.
    """
    return today + timedelta(days=-(-hours // 24))


def outs(clocks: Sequence[Clock], due_on: date, ahead: Ahead) -> list[str]:
    """Return why a piece comes due before a planned section ends, a sentence each; none where it does not.

    `clocks` of the piece in any order, `due_on` the date of its row, `ahead` the section. What is due today
    is named too. Raises nothing. Source: model of this project, point 5.
    """
    hours = f"{ahead.hours:,} h planned"
    found = [
        f"{clock_words(clock)}: {hours_left(clock)} h, {hours}"
        for clock in clocks
        if clock.clock in HOUR_CLOCKS and due_before(clock, ahead.seconds)
    ]
    if EVER < due_on <= ahead.ends_on:
        found.append(f"due {due_on:%Y-%m-%d}, the section ends {ahead.ends_on:%Y-%m-%d}")
    return found
