"""Whether the days of a daily report close: no gap, no overlap, no day left out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from rack.calc.checks import Problem, asks, note
from rack.calc.daily.rows import PlacedRow
from rack.calc.hours.legs import seconds_between
from rack.calc.hours.texts import hours_shown

_CP = "a day of a report has 24 h (23 or 25 when the clocks change), common practice"


@dataclass(frozen=True)
class DayCheck:
    """One report day of one wellbore: its rows, whole seconds `covered` of `length_s`, and what is wrong."""

    wellbore: str
    day: date
    rows: int
    covered_s: int
    length_s: int
    problems: tuple[Problem, ...]

    @property
    def closes(self) -> bool:
        """Whether every minute of the day stands in exactly one row."""
        return not self.problems and self.covered_s == self.length_s


def days_of(rows: Sequence[PlacedRow]) -> tuple[DayCheck, ...]:
    """Return the report days of `rows` by wellbore and date, each with its gaps and overlaps.

    `rows` in any order; a row without a time closes nothing. Raises nothing. Source: common practice.
    """
    found: dict[tuple[str, date], list[PlacedRow]] = {}
    for row in rows:
        if row.day is not None and row.period is not None:
            found.setdefault((row.row.wellbore, row.day), []).append(row)
    return tuple(_day(well, day, there) for (well, day), there in sorted(found.items()))


def missing_days(days: Sequence[DayCheck]) -> tuple[Problem, ...]:
    """Return a NOTE for each stretch of days that no row speaks of, between the first and the last of a well.

    `days` as `days_of` gives them. Raises nothing. Source: common practice.
    """
    problems = []
    for before, after in zip(days, days[1:], strict=False):
        if before.wellbore == after.wellbore and (after.day - before.day).days > 1:
            first, last = before.day + timedelta(days=1), after.day - timedelta(days=1)
            words = first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"
            problems.append(note(f"{before.wellbore}: no row speaks of {words}.", code="D22", where=words))
    return tuple(problems)


def _day(wellbore: str, day: date, rows: Sequence[PlacedRow]) -> DayCheck:
    periods = [row.period for row in rows if row.period]
    begins, ends = periods[0]
    spans = sorted(
        ((row.from_at, row.to_at, row.row.n) for row in rows if row.from_at and row.to_at),
        key=lambda span: (span[0].astimezone(UTC), span[1].astimezone(UTC), span[2]),
    )
    problems = list(_overlaps(wellbore, day, spans))
    gaps, covered = _covered(begins, ends, spans)
    length = seconds_between(begins, ends)
    if gaps:
        open_rows = [str(row.row.n) for row in rows if not (row.from_at and row.to_at)]
        more = f" Rows without both times: {', '.join(open_rows[:6])}." if open_rows else ""
        problems.append(asks(
            f"{wellbore or 'The well'}, {day.isoformat()} does not close: {hours_shown(covered)} h of "
            f"{hours_shown(length)} h are in a row; {', '.join(gaps[:4])} not.{more}",
            code="D20", where=day.isoformat(), measured=hours_shown(covered), limit=hours_shown(length),
            unit="h", source=_CP))  # fmt: skip
    return DayCheck(wellbore, day, len(rows), covered, length, tuple(problems))


def _overlaps(
    wellbore: str, day: date, spans: Sequence[tuple[datetime, datetime, int]]
) -> Iterator[Problem]:
    reach: tuple[datetime, int] | None = None
    for begins, ends, n in spans:
        if reach and seconds_between(begins, reach[0]) > 0:
            yield asks(f"{wellbore or 'The well'}, {day.isoformat()}: rows {min(reach[1], n)} and "
                       f"{max(reach[1], n)} overlap from {begins:%H:%M}.", code="D21", where=f"row {n}",
                       source=_CP)  # fmt: skip
        if reach is None or seconds_between(reach[0], ends) > 0:
            reach = (ends, n)


def _covered(
    begins: datetime, ends: datetime, spans: Sequence[tuple[datetime, datetime, int]]
) -> tuple[list[str], int]:
    """The gaps of a day in words and the seconds that stand in a row; overlaps count once."""
    gaps, reach, open_s = [], begins, 0
    for start, stop, _ in spans:
        stop = stop if seconds_between(stop, ends) > 0 else ends
        if seconds_between(reach, start) > 0:
            until = start if seconds_between(start, ends) > 0 else ends
            if seconds_between(reach, until) > 0:
                gaps.append(_words(reach, until))
                open_s += seconds_between(reach, until)
        if seconds_between(reach, stop) > 0:
            reach = stop
    if seconds_between(reach, ends) > 0:
        gaps.append(_words(reach, ends))
        open_s += seconds_between(reach, ends)
    return gaps, seconds_between(begins, ends) - open_s


def _words(first: datetime, last: datetime) -> str:
    end = f"{last:%H:%M}"
    return f"{first:%H:%M} to {'24:00' if end == '00:00' else end}"
