"""Rows of daily drilling reports as proposed time lines, for a person to accept."""

from rack.calc.daily.counting import ASK, COUNTED, NOT_COUNTED, Counted
from rack.calc.daily.days import DayCheck
from rack.calc.daily.figures import Figure
from rack.calc.daily.proposing import ActivityCount, Proposal, Proposed, first_answers, propose
from rack.calc.daily.rows import DailyRow

__all__ = [
    "ASK", "COUNTED", "NOT_COUNTED", "ActivityCount", "Counted", "DailyRow", "DayCheck", "Figure", "Proposal",
    "Proposed", "first_answers", "propose",
]  # fmt: skip
