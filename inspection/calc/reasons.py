"""Why a piece is due, opened: every limit that holds of it, what stands against it, and whose it is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inspection.calc.due import NO_REPORT, ClockLimit, DayLimit, Due
from rack.calc.checks import Severity
from rack.calc.hours import Amount, amount_shown
from rack.calc.lookup import CONFIDENCE
from rack.calc.standing import (
    BASIS_WORDS,
    EVER,
    NEVER,
    OVERDUE,
    STANDINGS,
    Clock,
    Days,
    clock_words,
    first_out,
    hours_left,
    hours_run,
    left,
    standing,
    state_on,
)

#: Whose a limit is, in words.
WHOSE = {"default": "our default, common practice", "maker": "the maker", "contract": "the contract",
         "company": "the company", "law": "the law"}  # fmt: skip


@dataclass(frozen=True)
class Reason:
    """One limit as it is read. `shape` and `word` are its state; `said` pairs of label and figure."""

    shape: str
    word: str
    what: str
    said: tuple[tuple[str, str], ...]
    whose: str
    severity: Severity
    source: str
    conf: str


def reasons(
    due: Due, clocks: Mapping[tuple[str, str], Clock], today: date, *, unit: str = "ft", digits: int = 2
) -> list[Reason]:
    """Return every limit in `due`, the worst first.

    `clocks` are those of the register by (clock, basis): one that is missing is not known. `today` is the
    local date at the site; lengths are shown in `unit` with `digits` figures, hours with as many. Raises
    ValueError for other digits or units. Source: the limits' own.
    """
    found = [
        _by_clock(limit, clocks.get((limit.clock, limit.basis)), unit, digits) for limit in due.clocks
    ]
    found += [_by_days(limit, today) for limit in due.days]
    order = {_shape(state): n for n, state in enumerate(STANDINGS)}
    return sorted(found, key=lambda one: order[one.shape])


def _shape(state: str) -> str:
    return "over" if state == OVERDUE else state


def _by_clock(limit: ClockLimit, kept: Clock | None, unit: str, digits: int) -> Reason:
    run = kept or Clock(limit.clock, limit.basis, 0, known=False)
    clock = Clock(
        limit.clock, limit.basis, run.total, run.zero, known=run.known and limit.known,
        soon=limit.soon, due=limit.due, over=limit.over,
    )  # fmt: skip
    state = standing([clock], Days(), EVER).state
    said = [("Since zero", _with_unit(limit.clock, hours_run(clock, unit=unit, digits=digits), unit))]
    for name, amount in (("Soon", limit.soon), ("Due", limit.due), ("Overdue", limit.over)):
        shown = amount_shown(limit.clock, Amount(amount), unit=unit, digits=digits)
        said.append((name, _with_unit(limit.clock, shown, unit)))
    said.append(("Stands", left_shown(clock, unit=unit, digits=digits)))
    words = clock_words(clock)
    return _reason(state, words[:1].upper() + words[1:], said, limit)


def left_shown(clock: Clock, *, unit: str = "ft", digits: int = 2) -> str:
    """Return what is left of `clock` with its unit: "12.50 past 250.00 h"; "" where there is no limit.

    Lengths in `unit`, hours and lengths with `digits` figures. Raises ValueError for others.
    Source: the register's own clocks.
    """
    text = hours_left(clock, unit=unit, digits=digits)
    return _with_unit(clock.clock, text, unit) if text else ""


def why_shown(
    why: str, clocks: Sequence[Clock], *, by_clock: bool, unit: str = "ft", digits: int = 2
) -> str:  # fmt: skip
    """Return why a piece is due in a line: the clock that is out first, else `why` as the row keeps it.

    `by_clock` says that a clock and no date made it so. `clocks` of the piece in any order, lengths in
    `unit`, hours and lengths with `digits` figures. Raises ValueError for others. Source: due is the first
    to run out (law 7).
    """
    first = first_out(clocks) if by_clock else None
    if first is None or (left(first) > 0 and (first.soon is None or first.run < first.soon)):
        return why
    if not first.known and why.startswith(NO_REPORT):
        return why
    if not first.known and first.due is not None and first.run < first.due:
        limit = amount_shown(first.clock, Amount(first.due), unit=unit, digits=digits)
        return f"{clock_words(first)}: not known, the limit is {_with_unit(first.clock, limit, unit)}"
    return f"{clock_words(first)}: {left_shown(first, unit=unit, digits=digits)}"


def _with_unit(clock: str, text: str, unit: str) -> str:
    return f"{text} h" if clock.endswith("_s") else f"{text} {unit}" if clock.endswith("_nm") else text


def _by_days(limit: DayLimit, today: date) -> Reason:
    state = state_on(limit.soon_on, limit.due_on, limit.over_on, today)
    zero = NO_REPORT if limit.from_on == EVER else f"{(today - limit.from_on).days:,} days"
    said = [("Since zero", zero)]
    said += [(name, _day(day)) for name, day in
             (("Soon", limit.soon_on), ("Due", limit.due_on), ("Overdue", limit.over_on))]  # fmt: skip
    said.append(("Says", limit.why))
    return _reason(state, f"Days {BASIS_WORDS[limit.basis]}", said, limit)


def _day(day: date) -> str:
    """A day, or that it is past all days or none."""
    return "already" if day == EVER else "never" if day == NEVER else day.isoformat()


def _reason(state: str, what: str, said: list[tuple[str, str]], limit: ClockLimit | DayLimit) -> Reason:
    return Reason(
        _shape(state), state, what, tuple(said), WHOSE.get(limit.authority, limit.authority),
        limit.severity, limit.source, CONFIDENCE.get(limit.conf, limit.conf),
    )  # fmt: skip
