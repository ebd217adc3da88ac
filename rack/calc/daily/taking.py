"""A daily report for one run: which of its rows become time lines, which do not, and why."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo

from rack.calc.checks import Problem, stops
from rack.calc.daily.choices import CELLS, Choices
from rack.calc.daily.counting import ASK
from rack.calc.daily.days import DayCheck, missing_days
from rack.calc.daily.proposing import Proposal, propose
from rack.calc.daily.rows import DailyRow
from rack.calc.hours.legs import LINE_CLOCKS, Leg, RunFacts, in_order, seconds_between
from rack.calc.hours.lines import read_time_lines
from rack.calc.hours.totals import Amount, sum_of
from rack.calc.units import nm_per

TAKEN, LEFT_OUT = "taken", "left out"
#: Clocks in the order in which a row is named after them: the string turned before it slid or pumped.
_NAMED = (("rotating_s", "rotating"), ("sliding_s", "sliding"), ("circulating_s", "circulating"))


@dataclass(frozen=True)
class TakenRow:
    """One row of a report and its fate. `leg` is the line it becomes, as a person changed it or as proposed.

    `why` says what of its rotation is counted or not; `why_left` why it is left out, "" where it is taken.
    """

    proposal: Proposal
    leg: Leg | None
    fate: str
    why_left: str
    by_hand: bool
    problems: tuple[Problem, ...]

    @property
    def row(self) -> DailyRow:
        return self.proposal.row

    @property
    def taken(self) -> bool:
        return self.fate == TAKEN

    @property
    def why(self) -> str:
        return "Changed by hand." if self.by_hand else self.proposal.why

    @property
    def kind(self) -> str:
        """What it is proposed as: "rotating", "rotating and sliding", "nothing", "to be said" ..."""
        if self.leg is None or (self.proposal.verdict == ASK and not self.by_hand):
            return "to be said" if self.leg else "nothing"
        named = [word for clock, word in _NAMED if getattr(self.leg, clock)]
        if len(named) > 1:
            named = [word for word in named if word != "circulating"]  # turning takes it in
        return " and ".join(named) or "nothing"

    @property
    def amounts(self) -> tuple[tuple[str, int | None, str], ...]:
        """By the line's clocks: which, whole seconds (None = unknown), and why."""
        if self.leg is None:
            return ()
        return tuple(
            (clock, getattr(self.leg, clock), "" if self.by_hand else self.proposal.counted[clock].why)
            for clock in LINE_CLOCKS
        )


@dataclass(frozen=True)
class Taken:
    """A whole report for one run: every row in the order of the file, the days, what it comes to.

    `wellbores` are those in the file with their rows, `choices` those that were used, blanks filled in.
    """

    rows: tuple[TakenRow, ...]
    days: tuple[DayCheck, ...]
    problems: tuple[Problem, ...]
    wellbores: tuple[tuple[str, int], ...]
    choices: Choices

    @property
    def taken(self) -> tuple[TakenRow, ...]:
        return tuple(row for row in self.rows if row.taken)

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The time lines in the order of time, each with the number of its row."""
        return in_order([row.leg for row in self.taken if row.leg])

    @property
    def open_days(self) -> tuple[DayCheck, ...]:
        return tuple(day for day in self.days if not day.closes)

    def total(self, clock: str) -> Amount:
        """Return what the taken rows come to on `clock`, one of the line's clocks, in whole seconds.

        Raises AttributeError for an unknown clock. Source: addition.
        """
        return sum_of(getattr(row.leg, clock) for row in self.taken if row.leg)

    @property
    def row_problems(self) -> tuple[Problem, ...]:
        """What the taken rows ask or stop, row by row."""
        return tuple(problem for row in self.taken for problem in row.problems)


def take(
    rows: Sequence[DailyRow], zone: tzinfo, choices: Choices, *, file_unit: str = "", site_unit: str = "ft",
    run: RunFacts | None = None, there: Sequence[Leg] = (),
) -> Taken:  # fmt: skip
    """Return what of `rows` becomes time lines of `run`, a pure function of the file and the `choices`.

    `zone` is the rig's, `file_unit` the unit that the file names for depths ("" = metres), `site_unit` that
    in which a person types, `there` the lines that the run has already. A row is left out that is of another
    wellbore, of other days, cannot be placed in time, stands twice, lies outside the run or in a line that
    is there; a person takes it in or leaves others out. Raises ValueError for an unknown unit. Source:
    common practice.
    """
    wells = Counter(row.wellbore for row in rows if row.wellbore)
    facts = run or RunFacts()
    used = replace(
        choices,
        wellbore=choices.wellbore or (wells.most_common(1)[0][0] if wells else ""),
        unit=choices.unit or file_unit or "m",
    )
    nm_per(site_unit)
    dated = [replace(row, day=used.day.isoformat()) if used.day and not _dated(row) else row for row in rows]
    proposed = propose(dated, zone, unit=used.unit, dated_after=used.dated_after)
    twice = {one.where: one.text for one in proposed.problems if one.code == "D23"}
    found = tuple(
        _row(line, used, zone, site_unit, facts, there, twice.get(f"row {line.row.n}", ""))
        for line in proposed.lines
    )
    spans = {row.proposal.day for row in found if row.taken and row.proposal.day}
    days = tuple(
        day for day in proposed.days
        if spans and _same(day.wellbore, used.wellbore) and min(spans) <= day.day <= max(spans)
    )  # fmt: skip
    problems = [problem for day in days if day.day in spans for problem in day.problems]
    problems += [*missing_days(days), *(one for one in proposed.problems if one.code == "D03")]
    return Taken(found, days, tuple(problems), tuple(wells.most_common()), used)


def _dated(row: DailyRow) -> bool:
    return bool(row.day.strip() or row.period_start.strip())


def _same(wellbore: str, wanted: str) -> bool:
    return not wellbore or wellbore == wanted


def _row(
    line: Proposal, choices: Choices, zone: tzinfo, site_unit: str, run: RunFacts, there: Sequence[Leg],
    twice: str,
) -> TakenRow:  # fmt: skip
    n, leg, problems = line.row.n, line.leg, line.problems
    typed = choices.changed.get(n)
    if typed is not None:
        # Whoever typed the row has answered what was asked about it.
        leg, problems = read_cells(n, typed, zone, site_unit)
    left = _why_left(line, leg, choices, run, there, twice)
    if n in choices.out:
        left = "left out by hand"
    elif n in choices.back and leg is not None:
        left = ""
    return TakenRow(line, leg, LEFT_OUT if left else TAKEN, left, typed is not None, problems)


def read_cells(
    n: int, cells: Mapping[str, str], zone: tzinfo, unit: str
) -> tuple[Leg | None, tuple[Problem, ...]]:
    """Return the line that a person typed for row `n`, None where something in it cannot be read.

    `cells` by the names of `CELLS`, read as pasted time lines are: in `zone`, depths in `unit`. Raises
    nothing. Source: trade guide 12, common practice.
    """
    if not cells.get("from", "").strip() and not cells.get("to", "").strip():
        words = f"Row {n}: neither its beginning nor its end is written; leave it out, or write one of them."
        return None, (stops(words, code="H30", where=f"row {n}"),)
    text = "\n".join("\t".join(row) for row in (
        [cell.replace("_", " ") for cell in CELLS],
        # A straight quote would be taken for that of a CSV; the round one is read as inches all the same.
        [" ".join(cells.get(cell, "").replace('"', "\u201d").split()) for cell in CELLS],
    ))  # fmt: skip
    (read,) = read_time_lines(text, zone, unit=unit)
    problems = tuple(
        replace(one, text=one.text.replace("Row 2", f"Row {n}", 1), where=f"row {n}") for one in read.problems
    )
    return (replace(read.leg, n=n) if read.leg else None), problems


def cells_of(leg: Leg | None, zone: tzinfo, depth: "Mapping[int, str]") -> dict[str, str]:
    """Return `leg` as the cells that a person changes; what is unknown is blank.

    `zone` is the rig's; `depth` gives the text of each depth in nanometres. Raises nothing. Source: 24:00 is
    the next day's 00:00, a rule of this house.
    """
    if leg is None:
        return {}
    begins, ends = (at.astimezone(zone) if at else None for at in (leg.from_at, leg.to_at))
    first = begins or ends
    midnight = ends is not None and (ends.hour, ends.minute) == (0, 0)
    hours = {name: getattr(leg, f"{name}_s") for name in ("rotating", "sliding", "circulating", "bottom",
                                                          "below_rotary")}  # fmt: skip
    return {
        "date": f"{first:%Y-%m-%d}" if first else "",
        "from": f"{begins:%H:%M}" if begins else "",
        "to": "" if ends is None else "24:00" if midnight else f"{ends:%H:%M}",
        "from_depth": depth[leg.from_nm] if leg.from_nm is not None else "",
        "to_depth": depth[leg.to_nm] if leg.to_nm is not None else "",
        **{name: "" if s is None else f"{s // 3600}:{s // 60 % 60:02d}" for name, s in hours.items()},
        "rpm": "" if leg.rpm is None else str(leg.rpm),
    }


def _why_left(
    line: Proposal, leg: Leg | None, choices: Choices, run: RunFacts, there: Sequence[Leg], twice: str
) -> str:
    """Why a row is left out before a person says anything, "" where it is taken."""
    if not _same(line.row.wellbore, choices.wellbore):
        return f"it is of {line.row.wellbore}"
    if leg is None:
        return "it cannot be placed in time"
    if line.day and choices.first and line.day < choices.first:
        return f"it is of a day before {choices.first.isoformat()}"
    if line.day and choices.last and line.day > choices.last:
        return f"it is of a day after {choices.last.isoformat()}"
    if twice:
        return twice
    return _outside(leg, run) or _already(leg, there)


def _outside(leg: Leg, run: RunFacts) -> str:
    begins, ends = leg.from_at or leg.to_at, leg.to_at or leg.from_at
    if run.in_at and begins and _before(begins, run.in_at):
        clock = f"{run.in_at:%Y-%m-%d %H:%M}"
        if ends and _before(run.in_at, ends):
            return f"it begins before {run.name} went in at {clock}; change its times to take the rest of it"
        return f"it is before {run.name} went in at {clock}"
    if run.out_at and ends and _before(run.out_at, ends):
        clock = f"{run.out_at:%Y-%m-%d %H:%M}"
        if begins and _before(begins, run.out_at):
            return f"it ends after {run.name} came out at {clock}; change its times to take the part before"
        return f"it is after {run.name} came out at {clock}"
    return ""


def _already(leg: Leg, there: Iterable[Leg]) -> str:
    begins, ends = leg.from_at or leg.to_at, leg.to_at or leg.from_at
    for one in there:
        first, last = one.from_at or one.to_at, one.to_at or one.from_at
        if begins is None or ends is None or first is None or last is None:
            continue
        if (_before(begins, last) and _before(first, ends)) or (begins, ends) == (first, last):
            return "its time stands in a line of this run already"
    return ""


def _before(one: datetime, other: datetime) -> bool:
    return seconds_between(one, other) > 0
