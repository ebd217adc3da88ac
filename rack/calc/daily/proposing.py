"""Daily-report rows as proposed time lines: what is counted, what is not, and why; a person accepts them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, tzinfo
from types import MappingProxyType

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.daily import words
from rack.calc.daily.counting import ASK, NOT_COUNTED, Counted, Depths, Judged, judged
from rack.calc.daily.days import DayCheck, days_of, missing_days
from rack.calc.daily.figures import Figure, depth_nm, depth_reached, depths_in, flow_in, rpm_in
from rack.calc.daily.rows import DailyRow, PlacedRow, in_time, placed_row
from rack.calc.hours.legs import LINE_CLOCKS, Leg
from rack.calc.hours.totals import Amount, sum_of
from rack.calc.units import NM, nm_per

#: Faster than this nobody drills for a whole row: 150 m an hour (common practice).
FASTEST_NM_H = 150 * NM["m"]


@dataclass(frozen=True)
class Proposal:
    """One row as a proposed time line; nothing is stored before a person accepts it.

    `leg` is the line, an amount None where a person must say it, and None as a whole where the row cannot be
    placed in time. `counted` says by the line's clocks how much, at most how much and why. `verdict` is
    "counted", "not counted" or "to be said", `work` what the row did, `why` its rotation in a sentence.
    """

    row: DailyRow
    day: date | None
    leg: Leg | None
    verdict: str
    work: str
    why: str
    counted: Mapping[str, Counted]
    rpm: Figure | None
    flow: Figure | None
    problems: tuple[Problem, ...]

    @property
    def lasts_s(self) -> int | None:
        """Whole seconds that the row lasts, None where that is not known."""
        return None if self.leg is None else self.leg.duration_s


@dataclass(frozen=True)
class ActivityCount:
    """The rows of one activity as coded: how many, how long they last, and what was proposed of them."""

    activity: str
    rows: int
    counted: int
    not_counted: int
    to_be_said: int
    lasts: Amount
    rotating: Amount


@dataclass(frozen=True)
class Proposed:
    """A whole report: its lines in the order of the file, its days, and what they come to.

    `rotating` is what is proposed for certain and whether that is all; `at_most_s` takes the rows that a
    person must answer as whole. Whole seconds.
    """

    lines: tuple[Proposal, ...]
    days: tuple[DayCheck, ...]
    problems: tuple[Problem, ...]
    activities: tuple[ActivityCount, ...]
    rotating: Amount
    at_most_s: int

    @property
    def open_days(self) -> tuple[DayCheck, ...]:
        """The days that do not close."""
        return tuple(day for day in self.days if not day.closes)


def propose(
    rows: Sequence[DailyRow], zone: tzinfo, *, unit: str = "m", dated_after: bool = False
) -> Proposed:
    """Return `rows` of daily reports as proposed time lines, with the days that do not close.

    `zone` is the rig's, `unit` that of the depth column ("m" or "ft"; a remark's own unit governs in it),
    `dated_after` says that reports without a period are dated the day after the work. No row is left out:
    one that cannot be placed or judged stands with its problems. Raises ValueError for an unknown unit.
    Source: table hours_basis and words seen in daily reports, common practice.
    """
    nm_per(unit)
    placed = [placed_row(row, zone, dated_after=dated_after) for row in rows]
    found: dict[int, Proposal] = {}
    reached: dict[str, Depths] = {}
    for one in in_time(placed):
        before = reached.get(one.row.wellbore, Depths())
        proposal, after = _proposal(one, before, unit)
        reached[one.row.wellbore] = after
        found[id(one)] = proposal
    lines = tuple(found[id(one)] for one in placed)
    days = days_of(placed)
    problems = [problem for day in days for problem in day.problems]
    problems += [*missing_days(days), *_twice(placed), *_dated(placed)]
    rotating = sum_of(line.counted["rotating_s"].s for line in lines)
    at_most = sum(line.counted["rotating_s"].most_s or 0 for line in lines)
    return Proposed(lines, days, tuple(problems), _activities(lines), rotating, at_most)


def _proposal(one: PlacedRow, before: Depths, unit: str) -> tuple[Proposal, Depths]:
    """One row and the depths after it; `before` has the depth at the end of the row before."""
    row, problems = one.row, list(one.problems)
    text = words.folded(row.remark)
    column = depth_nm(row.depth, unit, near=before.end)
    if row.depth.strip() and column is None:
        problems.append(asks(f"Row {row.n}: “{row.depth.strip()[:20]}” is no depth; it is taken as unknown.",
                             code="D13", where=f"row {row.n}"))  # fmt: skip
    from_nm, to_nm = _depths(row, text, column, before, unit, problems)
    lasts = Leg(one.from_at, one.to_at).duration_s
    judgement = judged(row, lasts, Depths(before.end, to_nm if to_nm is not None else column, before.deepest))
    problems += judgement.problems
    turned = judgement.counted_or_open
    rpm, flow = rpm_in(text) if turned else None, flow_in(text)
    leg = _leg(one, judgement, from_nm, to_nm, rpm)
    if leg is not None:
        problems += _too_fast(row, leg)
    end = column if column is not None else to_nm
    deep = max((nm for nm in (before.deepest, to_nm, column) if nm is not None), default=None)
    proposal = Proposal(
        row, one.day, leg, judgement.verdict, judgement.work, _sentence(judgement),
        judgement.clocks, rpm, flow, tuple(problems),
    )  # fmt: skip
    return proposal, Depths(None, end if end is not None else before.end, deep)


def _depths(
    row: DailyRow, text: str, column: int | None, before: Depths, unit: str, problems: list[Problem]
) -> tuple[int | None, int | None]:
    """Depths from and to of a row: those of its words where it has a pair, else the columns."""
    near = column or before.end
    pairs = depths_in(text, unit, near=near)
    to_nm = pairs[-1][1] if pairs else column
    from_nm = pairs[0][0] if pairs else depth_nm(row.from_depth, unit, near=near)
    if not column and to_nm is None:
        to_nm = depth_reached(text, unit, near=near)
    if from_nm is None:
        from_nm = before.end
    if pairs and column is not None and column not in {nm for pair in pairs for nm in pair} and (
        abs(column - pairs[-1][1]) > 30 * NM["m"]
    ):
        problems.append(note(f"Row {row.n}: its depth column says {row.depth.strip()}, its words end "
                             "elsewhere; the words govern.", code="D14", where=f"row {row.n}"))  # fmt: skip
    return from_nm, to_nm


def _leg(
    one: PlacedRow, judgement: Judged, from_nm: int | None, to_nm: int | None, rpm: Figure | None
) -> Leg | None:
    if one.from_at is None and one.to_at is None:
        return None
    amounts = {clock: judgement.clocks[clock].s for clock in LINE_CLOCKS}
    turns = rpm.middle if rpm else None
    return Leg(one.from_at, one.to_at, from_nm, to_nm, **amounts, rpm=turns, n=one.row.n)


def _too_fast(row: DailyRow, leg: Leg) -> Iterable[Problem]:
    gained, bottom = leg.gained_nm, leg.bottom_s
    if bottom and gained is not None and gained * 3600 > FASTEST_NM_H * bottom:
        yield asks(f"Row {row.n} drills faster than 150 m in an hour: are its depths or its code right?",
                   code="D15", where=f"row {row.n}", limit="150", unit="m/h",
                   source="common practice")  # fmt: skip
    if bottom and gained is not None and gained < 0:
        yield asks(f"Row {row.n} drills upward: are its depths right?", code="D15", where=f"row {row.n}")


def _sentence(judgement: Judged) -> str:
    rotating = judgement.clocks["rotating_s"]
    heads = {ASK: "Rotation to be said", NOT_COUNTED: "Rotation not counted"}
    head = heads.get(judgement.verdict, "Rotation counted" if rotating.s else "Sliding counted")
    return f"{head}: {rotating.why}."


def _dated(rows: Sequence[PlacedRow]) -> Iterable[Problem]:
    """One note for the file, not one a row: a report is often dated the day after its work."""
    other = [one for one in rows if one.dated_otherwise]
    if other and other[0].dated and other[0].day:
        yield note(
            f"{len(other):,} of {len(rows):,} rows bear another date than their day: row {other[0].row.n} "
            f"is dated {other[0].dated.isoformat()} and tells of {other[0].day.isoformat()}. "
            "The period governs.",
            code="D03", where=f"row {other[0].row.n}")  # fmt: skip


def _twice(rows: Sequence[PlacedRow]) -> Iterable[Problem]:
    seen: dict[tuple[object, ...], int] = {}
    for one in rows:
        row = one.row
        key = (row.wellbore, one.from_at, one.to_at, row.activity, row.remark)
        if one.from_at is not None and key in seen:
            yield stops(f"Rows {seen[key]} and {row.n} are one and the same: take one of them.", code="D23",
                        where=f"row {row.n}")  # fmt: skip
        seen.setdefault(key, row.n)


def _activities(lines: Sequence[Proposal]) -> tuple[ActivityCount, ...]:
    found: dict[str, list[Proposal]] = {}
    for line in lines:
        found.setdefault(" ".join(line.row.activity.casefold().split()), []).append(line)
    counts = [
        ActivityCount(
            activity,
            len(there),
            sum(line.verdict not in (ASK, NOT_COUNTED) for line in there),
            sum(line.verdict == NOT_COUNTED for line in there),
            sum(line.verdict == ASK for line in there),
            sum_of(line.lasts_s for line in there),
            sum_of(line.counted["rotating_s"].s for line in there),
        )
        for activity, there in found.items()
    ]
    return tuple(sorted(counts, key=lambda count: (-count.rows, count.activity)))


def first_answers(lines: Iterable[Proposal]) -> Mapping[int, tuple[str, ...]]:
    """Return, by row number, the clocks of `lines` for which a person must say how long: "rotating_s" ...

    Rows that need no answer are left out. Raises nothing. Source: law 8 of the house, unknown is not zero.
    """
    found = {
        line.row.n: tuple(clock for clock in LINE_CLOCKS if line.counted[clock].s is None) for line in lines
    }
    return MappingProxyType({n: clocks for n, clocks in found.items() if clocks})
