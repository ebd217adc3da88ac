"""Time lines that were pasted or come as CSV: each read by its heading, each with its problems."""

import csv
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from types import MappingProxyType
from typing import Any

from rack.calc.checks import Problem, note, stops
from rack.calc.hours.headings import TimeHeading, time_heading
from rack.calc.hours.legs import Leg, seconds_between
from rack.calc.hours.texts import read_clock, read_hours_text
from rack.calc.lengths import Length

#: The columns that are read, in the order of a tour sheet.
READ_COLUMNS: tuple[str, ...] = (
    "date", "from", "to", "from_depth", "to_depth", "rotating", "sliding", "circulating", "bottom",
    "below_rotary", "rpm",
)  # fmt: skip
_HOURS = {"rotating": "rotating_s", "sliding": "sliding_s", "circulating": "circulating_s",
          "bottom": "bottom_s", "below_rotary": "below_rotary_s"}  # fmt: skip
MOST_LINES = 5_000
_DAY_FIRST = re.compile(r"(\d{1,2})([./-])(\d{1,2})[./-](\d{4})")


@dataclass(frozen=True)
class ReadLine:
    """One pasted line: `row` as numbered in the text, what was `typed`, its `leg` or None, its problems."""

    row: int
    typed: Mapping[str, str]
    leg: Leg | None
    problems: tuple[Problem, ...]


def read_time_lines(
    text: str, zone: tzinfo, *, day: date | None = None, unit: str = "ft"
) -> tuple[ReadLine, ...]:
    """Return the time lines of a pasted `text` or a CSV, in its order, each with every problem.

    The first line with two known headings ("from", "to", "rotating" ...) is the heading; cells are cut at
    tabs, semicolons, bars or commas. `zone` is the site's; `day` the day of the first line where no column
    gives a date, after which an earlier time is the next day. Depths count in `unit` unless the heading
    names one. An empty cell is unknown, not zero; 24:00 and a closing 00:00 are the next day's 00:00.
    Raises ValueError for a text without headings, without a day, or of more than 5,000 lines.
    Source: trade guide 12, common practice.
    """
    rows = [(at, line) for at, line in enumerate(str(text).splitlines(), 1) if line.strip()]
    if len(rows) > MOST_LINES:
        raise ValueError(f"{len(rows):,} lines were pasted; {MOST_LINES:,} are the most at a time.")
    headed = next(
        ((place, sign, heads) for place, (_, line) in enumerate(rows[:40]) if (heads := _headings(line)) and
         (sign := heads[0])), None)  # fmt: skip
    if headed is None:
        raise ValueError("No headings were found: the first line names the columns, like from, to, rotating.")
    place, sign, (_, columns) = headed[0], headed[1], headed[2]
    if day is None and not any(column.role == "date" for column in columns):
        raise ValueError("The lines have no date, and no day was given for the first of them.")
    reader = _Reader(columns, zone, day, unit)
    return tuple(reader.read(at, _cells(line, sign)) for at, line in rows[place + 1 :])


def _cells(line: str, sign: str) -> list[str]:
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=sign))]
    except (csv.Error, StopIteration):
        return [cell.strip() for cell in line.split(sign)]


def _headings(line: str) -> tuple[str, list[TimeHeading]] | None:
    best: tuple[str, list[TimeHeading]] | None = None
    for sign in "\t;|,":
        columns = [time_heading(cell) for cell in _cells(line, sign)]
        known = len({column.role for column in columns} - {"", "remark"})
        if known >= 2 and (best is None or known > len({column.role for column in best[1]} - {"", "remark"})):
            best = (sign, columns)
    return best


class _Reader:
    """Reads line after line; remembers the day, because a sheet without dates goes past midnight."""

    def __init__(self, columns: Sequence[TimeHeading], zone: tzinfo, day: date | None, unit: str) -> None:
        self.columns, self.zone, self.day, self.unit = columns, zone, day, unit
        self.last: datetime | None = None

    def read(self, row: int, cells: list[str]) -> ReadLine:
        typed: dict[str, str] = {}
        units: dict[str, str] = {}
        for column, cell in zip(self.columns, cells, strict=False):
            if column.role and column.role not in typed:
                typed[column.role], units[column.role] = cell, column.unit
        problems: list[Problem] = []
        where = f"row {row}"
        if any(cells[len(self.columns) :]):
            words = f"Row {row} has {len(cells)} cells under {len(self.columns)} headings"
            problems.append(stops(f"{words}: is a decimal comma in it?", code="H30", where=where))
        facts: dict[str, Any] = {}
        self._instants(typed, facts, problems, where)
        for role, name in (("from_depth", "from_nm"), ("to_depth", "to_nm")):
            if typed.get(role):
                self._try(facts, problems, where, name, self._depth, typed[role], units[role])
        for role, name in _HOURS.items():
            if typed.get(role):
                ending = " min" if units[role] == "min" else ""
                self._try(facts, problems, where, name, read_hours_text, typed[role] + ending)
        if typed.get("rpm"):
            self._try(facts, problems, where, "rpm", _whole_number, typed["rpm"])
        stopped = any(problem.severity == "STOPS" for problem in problems)
        leg = None if stopped else Leg(**facts, n=row)
        return ReadLine(row, MappingProxyType(typed), leg, tuple(problems))

    def _depth(self, text: str, unit: str) -> int:
        return Length.parse(text, unit or self.unit).nanometres

    @staticmethod
    def _try(
        facts: dict[str, Any], problems: list[Problem], where: str, name: str,
        read: Callable[..., object], *given: object,
    ) -> None:  # fmt: skip
        try:
            facts[name] = read(*given)
        except ValueError as wrong:
            problems.append(stops(f"R{where[1:]}: {wrong}", code="H30", where=where))

    def _instants(
        self, typed: Mapping[str, str], facts: dict[str, Any], problems: list[Problem], where: str
    ) -> None:
        if typed.get("date"):
            try:
                self.day, self.last = read_date(typed["date"]), None
            except ValueError as wrong:
                problems.append(stops(f"R{where[1:]}: {wrong}", code="H30", where=where))
                return
        if self.day is None:
            problems.append(stops(f"R{where[1:]}: no day is known for it.", code="H30", where=where))
            return
        self._try(facts, problems, where, "from_at", read_clock, typed.get("from", ""), self.day, self.zone)
        self._try(facts, problems, where, "to_at", read_clock, typed.get("to", ""), self.day, self.zone)
        begins, ends = facts.get("from_at"), facts.get("to_at")
        try:
            if isinstance(begins, datetime):
                if self.last and not typed.get("date") and seconds_between(begins, self.last) > 0:
                    self.day += timedelta(days=1)
                    begins = _next_day(begins)
                    ends = _next_day(ends) if isinstance(ends, datetime) else None
                self.last = begins
            if isinstance(begins, datetime) and isinstance(ends, datetime) and _wall(ends) <= _wall(begins):
                ends = _next_day(ends)
                if (ends.hour, ends.minute) != (0, 0):
                    problems.append(note(f"R{where[1:]}: its end is taken as the next day's {ends:%H:%M}.",
                                         code="H31", where=where))  # fmt: skip
        except OverflowError:
            problems.append(stops(f"R{where[1:]}: its day is past the end of the calendar.", code="H30",
                                  where=where))  # fmt: skip
        facts["from_at"], facts["to_at"] = begins, ends


def _wall(at: datetime) -> datetime:
    return at.replace(tzinfo=None)


def _next_day(at: datetime) -> datetime:
    return (_wall(at) + timedelta(days=1)).replace(tzinfo=at.tzinfo)


def _whole_number(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 4):
        raise ValueError(f"“{text[:40]}” is no whole number of turns a minute.")
    return int(text)


def read_date(text: str) -> date:
    """Return the date written in `text`: "2026-11-25", "25.11.2026", "25 Nov 2026".

    Raises ValueError with a sentence for what is no date, and for "05/06/2026", which two countries read as
    two days. Source: common practice.
    """
    plain = " ".join(text.split())
    if found := _DAY_FIRST.fullmatch(plain):
        first, second = int(found[1]), int(found[3])
        if found[2] == "/" and first <= 12 and second <= 12 and first != second:
            raise ValueError(f"“{plain}” could be two days; write it as 2026-06-05.")
        month_first = found[2] == "/" and second > 12
        plain = f"{found[4]}-{first if month_first else second:02d}-{second if month_first else first:02d}"
    for form in ("%Y-%m-%d", "%d %b %Y", "%d %B %Y", "%d-%b-%Y", "%d-%b-%y"):
        try:
            return datetime.strptime(plain, form).date()  # noqa: DTZ007
        except ValueError:
            continue
    raise ValueError(f"“{text[:40].strip()}” is no date; write it as 2026-11-25.")
