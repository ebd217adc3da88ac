"""What is wrong with the time lines of a run: every problem at once, each naming its line."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import pairwise

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.hours.closing_tours import tour_problems
from rack.calc.hours.legs import CLOCK_NAMES, LINE_CLOCKS, Leg, RunFacts, Tour, in_order, seconds_between
from rack.calc.hours.texts import LONGEST_S, QUARTER_S, hours_shown
from rack.calc.lengths import Length

_CP = "common practice"
#: Above this no string turns; a top drive gives 200 to 300 turns a minute (common practice).
MOST_RPM = 400


def leg_problems(
    legs: Sequence[Leg], tours: Sequence[Tour] = (), run: RunFacts | None = None, *, unit: str = "ft"
) -> tuple[Problem, ...]:
    """Return every problem of the lines of one run, in the order of the lines, then what joins them.

    `legs` in any order, `tours` the tours that must close (none: not asked), `run` with the times in and
    out of the hole, None where there is none; depths are written in `unit`. STOPS: lines that overlap, end
    before they begin, lie outside the run, hold more hours than they last, or drill upward. ASKS: tours that
    do not close, depths with a gap, hours that do not fit one another. NOTE: unknown ends and hours, time
    that is no quarter of an hour. Raises ValueError for an unknown unit. Source: trade guide 4 and 12,
    common practice.
    """
    facts = run or RunFacts()
    ordered = in_order(legs)
    found: list[Problem] = []
    for leg in ordered:
        found += _times(leg, facts)
        found += _amounts(leg)
        found += _depth(leg, unit)
    found += _overlaps(ordered)
    found += _depths_between(ordered, unit)
    found += tour_problems(ordered, tours, facts)
    return tuple(found)


def _at(leg: Leg) -> str:
    return f"line {leg.n}"


def _clock(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"


def _times(leg: Leg, run: RunFacts) -> Iterator[Problem]:
    line, where = f"Line {leg.n}", _at(leg)
    lasts = leg.duration_s
    for name, at in (("beginning", leg.from_at), ("end", leg.to_at)):
        if at is None:
            yield note(f"{line}: its {name} is not known; unknown is not zero.", code="H05", where=where)
    if lasts is not None and lasts < 0 and leg.from_at and leg.to_at:
        yield stops(f"{line} ends at {_clock(leg.to_at)}, before it begins at {_clock(leg.from_at)}.",
                    code="H01", where=where)  # fmt: skip
    elif lasts == 0:
        yield note(f"{line} lasts no time at all.", code="H01", where=where)
    elif lasts is not None and lasts > LONGEST_S:
        yield asks(f"{line} lasts {hours_shown(lasts)} h, more than a day: should it be cut at midnight?",
                   code="H14", where=where, measured=hours_shown(lasts), limit="24.00", unit="h",
                   source=_CP)  # fmt: skip
    if run.in_at and leg.from_at and seconds_between(run.in_at, leg.from_at) < 0:
        words = f"before {run.name} went in at {_clock(run.in_at)}"
        yield stops(f"{line} begins at {_clock(leg.from_at)}, {words}.",
                    code="H03", where=where)  # fmt: skip
    if run.out_at and leg.to_at and seconds_between(leg.to_at, run.out_at) < 0:
        words = f"after {run.name} came out at {_clock(run.out_at)}"
        yield stops(f"{line} ends at {_clock(leg.to_at)}, {words}.",
                    code="H03", where=where)  # fmt: skip
    odd = [at for at in (leg.from_at, leg.to_at) if at and (at.minute * 60 + at.second) % QUARTER_S]
    if odd:
        yield note(f"{line}: {' and '.join(f'{at:%H:%M}' for at in odd)} is no quarter of an hour.",
                   code="H10", where=where, source=_CP)  # fmt: skip


def _amounts(leg: Leg) -> Iterator[Problem]:
    line, where, lasts = f"Line {leg.n}", _at(leg), leg.duration_s
    given = {clock: getattr(leg, clock) for clock in LINE_CLOCKS}
    unknown = [CLOCK_NAMES[clock] for clock, amount in given.items() if amount is None]
    if unknown:
        yield note(f"{line}: hours {', '.join(unknown)} are not known; they are not taken as zero.",
                   code="H13", where=where)  # fmt: skip
    if lasts is not None and lasts >= 0:
        for clock, amount in given.items():
            if amount is not None and amount > lasts:
                yield _too_much(leg, CLOCK_NAMES[clock], amount, lasts)
    odd = [CLOCK_NAMES[clock] for clock, amount in given.items() if amount and amount % QUARTER_S]
    if odd:
        yield note(f"{line}: hours {', '.join(odd)} are not in quarters of an hour.", code="H10",
                   where=where, source=_CP)  # fmt: skip
    yield from _together(leg)
    if leg.rpm is not None and (leg.rpm > MOST_RPM or (leg.rpm == 0 and leg.rotating_s)):
        yield asks(f"{line}: {leg.rpm} rpm with {hours_shown(leg.rotating_s or 0)} h rotating; is it right?",
                   code="H12", where=where, measured=str(leg.rpm), limit=str(MOST_RPM), unit="rpm",
                   source=_CP)  # fmt: skip


def _too_much(leg: Leg, name: str, amount: int, lasts: int) -> Problem:
    return stops(
        f"Line {leg.n} has {hours_shown(amount)} h {name} and lasts {hours_shown(lasts)} h.",
        code="H06", where=_at(leg), measured=hours_shown(amount), limit=hours_shown(lasts), unit="h",
        source="addition",
    )  # fmt: skip


def _together(leg: Leg) -> Iterator[Problem]:
    line, where, lasts = f"Line {leg.n}", _at(leg), leg.duration_s
    both = None if leg.rotating_s is None or leg.sliding_s is None else leg.rotating_s + leg.sliding_s
    least = (leg.rotating_s or 0) + (leg.sliding_s or 0)
    more = max(leg.rotating_s or 0, leg.sliding_s or 0)
    if lasts is not None and more <= lasts < least:
        yield _too_much(leg, "rotating and sliding together", least, lasts)
    if leg.bottom_s is not None and both is not None and leg.bottom_s > both:
        yield asks(f"{line} was {hours_shown(leg.bottom_s)} h on bottom but rotated and slid only "
                   f"{hours_shown(both)} h: which is right?", code="H07", where=where,
                   measured=hours_shown(leg.bottom_s), limit=hours_shown(both), unit="h",
                   source=_CP)  # fmt: skip
    if leg.circulating_s is not None and leg.bottom_s is not None and leg.circulating_s < leg.bottom_s:
        yield asks(f"{line} drilled {hours_shown(leg.bottom_s)} h with the pumps on for "
                   f"{hours_shown(leg.circulating_s)} h: circulating takes in drilling. Is it right?",
                   code="H08", where=where, measured=hours_shown(leg.circulating_s),
                   limit=hours_shown(leg.bottom_s), unit="h", source=_CP)  # fmt: skip
    if leg.below_rotary_s is not None and least > leg.below_rotary_s:
        yield asks(f"{line} turned or slid {hours_shown(least)} h, of which only "
                   f"{hours_shown(leg.below_rotary_s)} h below the rotary: is it right?", code="H11",
                   where=where, measured=hours_shown(least), limit=hours_shown(leg.below_rotary_s), unit="h",
                   source=_CP)  # fmt: skip


def _depth(leg: Leg, unit: str) -> Iterator[Problem]:
    if leg.from_nm is None or leg.to_nm is None:
        if leg.bottom_s:
            yield note(f"Line {leg.n} drilled, but a depth is missing: its footage is not known.", code="H05",
                       where=_at(leg))  # fmt: skip
        return
    if leg.to_nm < leg.from_nm and leg.bottom_s:
        words = f"{Length(leg.from_nm).shown(unit, 2)} to {Length(leg.to_nm).shown(unit, 2)} {unit}"
        yield stops(f"Line {leg.n} drills backwards, {words}.", code="H09", where=_at(leg), unit=unit)


def _overlaps(legs: Sequence[Leg]) -> Iterator[Problem]:
    """Each line against the one that reaches furthest before it; a line with one end still has that end."""
    spans: list[tuple[datetime, datetime, Leg]] = []
    for leg in legs:
        begins, ends = leg.from_at or leg.to_at, leg.to_at or leg.from_at
        if begins and ends and seconds_between(begins, ends) >= 0:
            spans.append((begins, ends, leg))
    spans.sort(key=lambda span: (span[0], span[1]))
    reach: tuple[datetime, Leg] | None = None
    for begins, ends, leg in spans:
        if reach and seconds_between(begins, reach[0]) > 0 and leg.duration_s != 0 and not (
            leg.from_at is None and leg.to_at == reach[0]
        ):
            first, second = sorted((reach[1].n, leg.n))
            yield stops(f"Lines {first} and {second} overlap: {_clock(begins)} is before {_clock(reach[0])}.",
                        code="H02", where=_at(leg))  # fmt: skip
        if reach is None or seconds_between(reach[0], ends) > 0:
            reach = (ends, leg)


def _depths_between(legs: Sequence[Leg], unit: str) -> Iterator[Problem]:
    drilled = [leg for leg in legs if leg.bottom_s and (leg.gained_nm or 0) > 0]
    for before, after in pairwise(drilled):
        if before.to_nm is None or after.from_nm is None or before.to_nm == after.from_nm:
            continue
        ended, begun = Length(before.to_nm).shown(unit, 2), Length(after.from_nm).shown(unit, 2)
        words = "goes back" if after.from_nm < before.to_nm else "leaves a gap"
        yield asks(f"The depth {words} between lines {before.n} and {after.n}: {ended} {unit}, then {begun} "
                   f"{unit}. Which is right?", code="H09", where=_at(after), measured=begun, limit=ended,
                   unit=unit, source=_CP)  # fmt: skip
