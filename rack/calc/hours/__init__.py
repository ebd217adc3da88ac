"""A run's hours: read, checked, shared out to the pieces that turned, added up and opened."""

from rack.calc.hours.checking import leg_problems
from rack.calc.hours.cutting import Span, cuts, share_of, span
from rack.calc.hours.doglegs import Bend, Turned, turned_in
from rack.calc.hours.legs import (
    CLOCK_NAMES,
    LINE_CLOCKS,
    PIECE_CLOCKS,
    TOUR_HOURS,
    Leg,
    Membership,
    RunFacts,
    Tour,
    in_order,
    seconds_between,
    tours_between,
)
from rack.calc.hours.lines import READ_COLUMNS, ReadLine, read_time_lines
from rack.calc.hours.opening import share_worked
from rack.calc.hours.rules import (
    BY_JOINT,
    POLICIES,
    POLICY_WORDS,
    WHOLE_RUN,
    Rule,
    policy_for,
    rule_for,
    rules,
    turning,
    worn_kinds,
)
from rack.calc.hours.sharing import LEG_CLOCKS, Part, Share, earned, footage_of, parts, share
from rack.calc.hours.texts import QUARTER_S, hours_shown, read_clock, read_hours_text
from rack.calc.hours.then import drilled_at, had_joined, reached_at
from rack.calc.hours.totals import (
    Amount,
    RunShare,
    add_up,
    amount_shown,
    balance,
    connections_made,
    run_totals,
    share_run,
    sum_of,
)

__all__ = [
    "BY_JOINT", "CLOCK_NAMES", "LEG_CLOCKS", "LINE_CLOCKS", "PIECE_CLOCKS", "POLICIES", "POLICY_WORDS",
    "QUARTER_S", "READ_COLUMNS", "TOUR_HOURS", "WHOLE_RUN", "Amount", "Bend", "Leg", "Membership",
    "Part", "ReadLine", "Rule", "RunFacts", "RunShare", "Share", "Span", "Tour", "Turned", "add_up",
    "amount_shown", "balance", "connections_made", "cuts", "drilled_at", "earned", "footage_of",
    "had_joined", "hours_shown",
    "in_order", "leg_problems", "parts", "policy_for", "reached_at", "read_clock", "read_hours_text",
    "read_time_lines", "rule_for", "rules", "run_totals", "seconds_between", "share", "share_of",
    "share_run", "share_worked", "span", "sum_of", "tours_between", "turned_in", "turning",
    "worn_kinds",
]  # fmt: skip
