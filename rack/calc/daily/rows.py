"""A row of a daily drilling report placed in time: the day by its period, 00:00 as an end is 24:00."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.hours.lines import read_date
from rack.calc.hours.texts import read_clock


@dataclass(frozen=True)
class DailyRow:
    """One row as it stands in the report, all cells as text, "" where there is none.

    `n` is the row's number in the file; `day` the report's date, `period_start` and `period_end` what the
    report covers; `start` and `end` clock times, `from_depth` and `depth` the depth before and at the end.
    """

    n: int
    wellbore: str = ""
    day: str = ""
    period_start: str = ""
    period_end: str = ""
    start: str = ""
    end: str = ""
    from_depth: str = ""
    depth: str = ""
    activity: str = ""
    state: str = ""
    remark: str = ""


@dataclass(frozen=True)
class PlacedRow:
    """A row with its instants, None where unknown; `day` is the first day of its report's period.

    `period` are the two ends of what the report covers, None where nothing says it; `dated` is the
    date that the report bears.
    """

    row: DailyRow
    day: date | None
    from_at: datetime | None
    to_at: datetime | None
    period: tuple[datetime, datetime] | None
    problems: tuple[Problem, ...]
    dated: date | None = None

    @property
    def dated_otherwise(self) -> bool:
        """Whether the report bears another date than the day its period begins on."""
        return self.dated is not None and self.dated != self.day


_INSTANT = re.compile(
    r"(\d{4}-\d{2}-\d{2})(?:[T ](\d{1,2}:\d{2})(?::\d{2}(?:\.\d+)?)?)?(?:Z|[+-]\d\d:?\d\d)?"
)


#: Years in which somebody drilled by the hour and wrote it down; others are slips of a keyboard.
_YEARS = range(1901, 9999)


def _instant(text: str, zone: tzinfo) -> datetime | None:
    found = _INSTANT.fullmatch(text.strip())
    if found is None:
        return None
    try:
        day = date.fromisoformat(found[1])
        return read_clock(found[2] or "00:00", day, zone) if day.year in _YEARS else None
    except ValueError:
        return None


def placed_row(row: DailyRow, zone: tzinfo, *, dated_after: bool = False) -> PlacedRow:
    """Return `row` with its instants in `zone`, the rig's, and what is odd about them.

    The period governs: a report is often dated the day after. Without a period the day is the report's
    date, or the day before it with `dated_after`. A time before the start of the period is the next day's;
    an end not after its start is the next day's, so that a closing 00:00 is 24:00. A time that cannot be
    read is unknown, and it is said. Raises nothing. Source: common practice; 24:00 is the next day's 00:00.
    """
    problems: list[Problem] = []
    where = f"row {row.n}"
    starts, ends = _instant(row.period_start, zone), _instant(row.period_end, zone)
    named = _named_day(row.day)
    day: date | None = named
    if starts is not None:
        day = starts.date()
    elif named is not None and dated_after:
        day = named - timedelta(days=1)
    if day is None:
        problems.append(stops(f"Row {row.n} has no day that can be read.", code="D01", where=where))
        return PlacedRow(row, None, None, None, None, tuple(problems))
    period = _period(day, starts, ends, zone)
    from_at, to_at = _instants(row, day, starts, zone, problems)
    if from_at and to_at and (_utc(from_at) < _utc(period[0]) or _utc(to_at) > _utc(period[1])):
        words = f"{period[0]:%Y-%m-%d %H:%M} to {period[1]:%Y-%m-%d %H:%M}"
        text = f"Row {row.n} does not lie inside its report, {words}. Which is right?"
        problems.append(asks(text, code="D04", where=where))
    return PlacedRow(row, day, from_at, to_at, period, tuple(problems), named)


def _named_day(text: str) -> date | None:
    plain = text.strip()
    try:
        day = read_date(plain[:10] if re.match(r"\d{4}-\d\d-\d\d", plain) else plain)
        return day if day.year in _YEARS else None
    except ValueError:
        return None


def _period(
    day: date, starts: datetime | None, ends: datetime | None, zone: tzinfo
) -> tuple[datetime, datetime]:
    first = starts or datetime.combine(day, time(), zone)
    if ends is None or _utc(ends) <= _utc(first):
        ends = _later(first)
    return first, ends


def _instants(
    row: DailyRow, day: date, starts: datetime | None, zone: tzinfo, problems: list[Problem]
) -> tuple[datetime | None, datetime | None]:
    read: list[datetime | None] = []
    for name, text in (("start", row.start), ("end", row.end)):
        try:
            at = read_clock(text, day, zone)
        except ValueError as wrong:
            at = None
            problems.append(asks(f"Row {row.n}, {name}: {wrong} It is taken as unknown.", code="D02",
                                 where=f"row {row.n}"))  # fmt: skip
        else:
            if at is None:
                problems.append(note(f"Row {row.n} has no {name}; unknown is not zero.", code="D02",
                                     where=f"row {row.n}"))  # fmt: skip
        read.append(at)
    from_at, to_at = read
    if from_at and starts and _wall(from_at) < _wall(starts):
        from_at = _later(from_at)
        to_at = _later(to_at) if to_at else None
    if from_at and to_at and _wall(to_at) <= _wall(from_at):
        to_at = _later(to_at)
        if _wall(to_at) <= _wall(from_at):
            to_at = _later(to_at)
        midnight = (to_at.hour, to_at.minute) == (0, 0)
        if row.start.strip() == row.end.strip() and not midnight:
            text = f"Row {row.n} begins and ends at {row.end.strip()}: a whole day, or no time?"
            problems.append(asks(text, code="D02", where=f"row {row.n}"))
            to_at = None
    return from_at, to_at


def _utc(at: datetime) -> datetime:
    return at.astimezone(UTC)


def _wall(at: datetime) -> datetime:
    return at.replace(tzinfo=None)


def _later(at: datetime) -> datetime:
    return (_wall(at) + timedelta(days=1)).replace(tzinfo=at.tzinfo)


def in_time(rows: Sequence[PlacedRow]) -> tuple[PlacedRow, ...]:
    """Return `rows` by wellbore and by the time they begin; a row without a time stays after the one before.

    `rows` in the order of the file (no unit). Raises nothing. Source: common practice.
    """
    keyed = []
    last: dict[str, datetime] = {}
    for place, row in enumerate(rows):
        well = row.row.wellbore
        at = row.from_at or row.to_at
        last[well] = _utc(at) if at else last.get(well, datetime.min.replace(tzinfo=UTC))
        keyed.append((well, last[well], place, row))
    return tuple(row for *_, row in sorted(keyed, key=lambda one: one[:3]))
