"""Rows of daily drilling reports as proposed time lines, for a person to accept."""

from rack.calc.daily.choices import CELLS, Choices
from rack.calc.daily.counting import ASK, COUNTED, NOT_COUNTED, Counted
from rack.calc.daily.days import DayCheck
from rack.calc.daily.figures import Figure
from rack.calc.daily.proposing import ActivityCount, Proposal, Proposed, first_answers, propose
from rack.calc.daily.rows import DailyRow
from rack.calc.daily.taking import TAKEN, Taken, TakenRow, cells_of, take

__all__ = [
    "ASK", "CELLS", "COUNTED", "NOT_COUNTED", "TAKEN", "ActivityCount", "Choices", "Counted", "DailyRow",
    "DayCheck", "Figure", "Proposal", "Proposed", "Taken", "TakenRow", "cells_of", "first_answers", "propose",
    "take",
]  # fmt: skip
