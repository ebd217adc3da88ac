"""Whether the tours of a run close: every minute of each in one line, and no line over the change."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

from rack.calc.checks import Problem, asks, note
from rack.calc.hours.legs import Leg, RunFacts, Tour, seconds_between
from rack.calc.hours.texts import hours_shown

_CP = "tours of 8 or 12 h, common practice"


def tour_problems(legs: Sequence[Leg], tours: Sequence[Tour], run: RunFacts) -> Iterator[Problem]:
    """Yield an ASKS for each of `tours` that does not close, and a NOTE for a line that lies over its change.

    `legs` in order of time; of a tour only what lies between the times in and out of `run` must be covered.
    A line without an end closes nothing: it is said that the tour cannot be judged. Raises nothing.
    Source: tours of 8 or 12 h, common practice.
    """
    covered = [(leg.from_at, leg.to_at) for leg in legs if leg.from_at and leg.to_at]
    for tour in tours:
        begins, ends = tour.from_at, tour.to_at
        if run.in_at and seconds_between(begins, run.in_at) > 0:
            begins = run.in_at
        if run.out_at and seconds_between(run.out_at, ends) > 0:
            ends = run.out_at
        wanted = seconds_between(begins, ends)
        if wanted <= 0:
            continue
        gaps = _gaps(begins, ends, [(a, b) for a, b in covered if a and b])
        missing = sum(seconds_between(a, b) for a, b in gaps)
        if missing:
            yield asks(
                f"Tour {tour.name} does not close: {hours_shown(wanted - missing)} h of "
                f"{hours_shown(wanted)} h are in a line; {_said(gaps)}.{_open_words(legs, begins, ends)}",
                code="H04", where=f"tour {tour.name}", measured=hours_shown(wanted - missing),
                limit=hours_shown(wanted), unit="h", source=_CP,
            )  # fmt: skip
    for leg in legs:
        if leg.from_at and leg.to_at and any(
            seconds_between(leg.from_at, tour.to_at) > 0 and seconds_between(tour.to_at, leg.to_at) > 0
            for tour in tours
        ):
            yield note(f"Line {leg.n} lies over the change of tours; a tour sheet cuts it there.", code="H15",
                       where=f"line {leg.n}", source=_CP)  # fmt: skip


def _gaps(
    begins: datetime, ends: datetime, lines: Sequence[tuple[datetime, datetime]]
) -> list[tuple[datetime, datetime]]:
    """The parts of a time that no line covers; `lines` in any order."""
    gaps, reach = [], begins
    for start, stop in sorted(lines, key=lambda line: line[0].astimezone(UTC)):
        if seconds_between(start, ends) <= 0:
            break
        if seconds_between(reach, start) > 0:
            gaps.append((reach, start))
        if seconds_between(reach, stop) > 0:
            reach = stop
    if seconds_between(reach, ends) > 0:
        gaps.append((reach, ends))
    return gaps


def _said(gaps: Sequence[tuple[datetime, datetime]]) -> str:
    words = [f"{start:%H:%M} to {f'{stop:%H:%M}'.replace('00:00', '24:00')}" for start, stop in gaps]
    more = " and more" if len(words) > 4 else ""
    return f"{', '.join(words[:4])}{more} {'is' if len(words) == 1 else 'are'} in none"


def _open_words(legs: Sequence[Leg], begins: datetime, ends: datetime) -> str:
    for leg in legs:
        at = leg.from_at or leg.to_at
        if at and (leg.from_at is None or leg.to_at is None) and (
            seconds_between(begins, at) >= 0 and seconds_between(at, ends) >= 0
        ):
            return f" Line {leg.n} has an end that is not known."
    return ""
