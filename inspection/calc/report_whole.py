"""A whole inspection report held against itself: head, days, instruments, columns, foot, and every row."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from inspection.calc.methods import equipment_problems, inspector_problems, method_problems
from inspection.calc.report_names import LotJoint, name_problems
from inspection.calc.report_readings import end_state, has_crack, is_bent
from inspection.calc.report_register import copied_rows, unscoped
from inspection.calc.report_rows import class_of, dittos, is_out, row_problems
from inspection.calc.report_typed import TypedReport
from inspection.calc.report_words import same_walls, unnamed, word_problems
from rack.calc.checks import Problem, Severity, asks, note, stops

_CP = "common practice"
_ORDER = {Severity.STOPS: 0, Severity.ASKS: 1, Severity.NOTE: 2}
_RF = re.compile(r"\brf\b|re-?fac", re.I)
_RC = re.compile(r"\brc\b|re-?cut", re.I)
#: Columns whose blank means "not done", with the method that fills them.
_SCANS = {"tube_emi": ("EMI", "emi"), "tube_slip": ("MPI-D", "slip")}
#: More rows alike than this share make one question of the column instead of one a row.
_WHOLE_COLUMN = 80


def report_problems(report: TypedReport, lot: Sequence[LotJoint] = ()) -> list[Problem]:
    """Return every fault that `report` betrays, what stops first; `lot` is what the register holds of it.

    Raises nothing. Source: paper samples; trade guide 2 and 12, common practice; limits as `classify`.
    """
    found = [
        *_head(report),
        *_days(report),
        *name_problems(report, lot),
        *unnamed(report),
        *unscoped(report),
        *_scans(report),
        *_unit_of_walls(report),
    ]
    one_unit = any(problem.code == "unit" for problem in found)
    for joint in report.rows:
        found += [
            problem for problem in (*row_problems(joint, report), *word_problems(joint, report))
            if not (one_unit and problem.code == "unit")
        ]
    found += [*_stencils(report), *dittos(report), *copied_rows(report), *same_walls(report),
              *_foot(report)]
    return sorted(found, key=lambda problem: _ORDER[problem.severity])


def _head(report: TypedReport) -> Iterator[Problem]:
    head = report.head
    if head.spec is None or not report.wall_nm:
        yield asks(
            "The head does not say which pipe it is, size, weight and grade, so that no class can be "
            "checked.",
            code="pipe",
            source=_CP,
        )
    if head.acceptance and not head.scheme:
        yield note(
            f"Acceptance “{head.acceptance[:60]}” names no edition: read as {report.by.said}.",
            code="acceptance",
            source="a category or a class without its document means nothing fixed",
        )
    if not head.inspectors:
        yield asks("The report names no inspector.", code="inspector", source=_CP)
    if head.methods and head.spec is not None:
        yield from method_problems(head.methods, head.spec, wall_nm=report.wall_nm)


def _days(report: TypedReport) -> Iterator[Problem]:
    head = report.head
    first, last = head.first_day or head.last_day, head.last_day or head.first_day
    if first is None or last is None:
        yield asks(
            "The days of the work are not said, so that calibration and levels cannot be checked.",
            code="days",
            source=_CP,
        )
        return
    if last < first:
        yield stops(
            f"The work ended on {last.isoformat()} before it began on {first.isoformat()}.",
            code="days",
            source=_CP,
        )
        return
    for instrument in head.instruments:
        yield from equipment_problems(instrument.name, instrument.due, (first, last))
    for person in head.inspectors:
        found = inspector_problems(person.name, person.level, person.valid_to, last)
        yield from (problem for problem in found if problem.severity is not Severity.NOTE)


def _scans(report: TypedReport) -> Iterator[Problem]:
    """A blank cell of a scan that the scope names, or that is filled elsewhere, is not done."""
    for role, (method, field) in _SCANS.items():
        if role not in report.columns:
            if method in report.head.methods:
                yield asks(
                    f"The scope names {method} and the report has no column for it.",
                    code="scan",
                    where=role,
                    source="a method without result is not looked at",
                )
            continue
        blank = [
            joint
            for joint in report.rows
            if not getattr(joint, field).strip() and not (is_out(joint, report) or has_crack(joint))
        ]
        if not blank or (len(blank) == len(report.rows) and method not in report.head.methods):
            continue
        if len(blank) == len(report.rows):
            yield asks(
                f"The scope names {method} and its column is blank from top to bottom: not done.",
                code="scan",
                where=role,
                source="blank = not done",
            )
            continue
        for joint in blank:
            yield asks(
                f"{joint.said[:1].upper()}{joint.said[1:]}: {method} is blank, so it was not done.",
                code="scan",
                where=joint.where,
                source="blank = not done",
            )


def _unit_of_walls(report: TypedReport) -> Iterator[Problem]:
    """Every wall in millimetres is one fault of the column, not one a row."""
    walls = [joint.wall for joint in report.rows if joint.wall is not None]
    thick = [wall for wall in walls if report.wall_nm and wall.nanometres > 4 * report.wall_nm]
    if len(walls) > 2 and 100 * len(thick) >= _WHOLE_COLUMN * len(walls):
        yield asks(
            "The walls are no inches: millimetres, perhaps. Say so in the mapping.",
            code="unit",
            where="tube_wall",
            source=_CP,
        )


def _stencils(report: TypedReport) -> Iterator[Problem]:
    """Month, last figure of the year, mark, dot, running number: against the row and the days."""
    days = [day for day in (report.head.first_day, report.head.last_day) if day is not None]
    dates = {(day.month, day.year % 10) for day in days}
    for joint in report.rows:
        found = re.fullmatch(r"(\d{1,2})\s+(\d)\s+(\S+)\s+(\S+)\s+(\d+)", " ".join(joint.stencil.split()))
        if not found:
            continue
        if joint.jt.isdecimal() and int(found[5]) != int(joint.jt):
            yield asks(
                f"{joint.said[:1].upper()}{joint.said[1:]} is stencilled no. {found[5]}.",
                code="stencil",
                where=joint.where,
                measured=found[5],
                limit=joint.jt,
                source=_CP,
            )
        if dates and (int(found[1]), int(found[2])) not in dates:
            yield asks(
                f"{joint.said[:1].upper()}{joint.said[1:]} is stencilled {found[1]} {found[2]}, the work was "
                f"in {' and '.join(sorted({f'{m} {y}' for m, y in dates}))}.",
                code="stencil",
                where=joint.where,
                measured=f"{found[1]} {found[2]}",
                source=_CP,
            )


def counted(report: TypedReport) -> dict[str, tuple[int, ...]]:
    """Return what the rows of `report` come to, by what a foot counts: every reading that is right.

    Reface and recut may be counted by joint or by end. Raises nothing. Source: paper samples.
    """
    rows = report.rows
    classes = Counter(class_of(joint.final or joint.cl, report) for joint in rows)
    ends = [(joint, end.cond) for joint in rows for end in (joint.box, joint.pin)]
    tubes = Counter(class_of(joint.cl or joint.final, report) for joint in rows)
    found: dict[str, tuple[int, ...]] = {"inspected": (len(rows),), "bent": (sum(map(is_bent, rows)),)}
    for name in report.by.names:
        found[name] = (classes[name], tubes[name])
    for what, pattern in (("RF", _RF), ("RC", _RC)):
        by_end = [joint.row for joint, cond in ends if pattern.search(cond)]
        every = {*by_end, *(joint.row for joint in rows if pattern.search(joint.remarks))}
        found[what] = (len(by_end), len(set(by_end)), len(every))
    reject = [joint.row for joint, cond in ends if end_state(cond) == "reject"]
    remarked = {joint.row for joint in rows if "dbr" in joint.remarks.lower()}
    found["DBR"] = (len(reject), len({*reject}), len({*reject, *remarked}), classes[report.by.last])
    return found


def _foot(report: TypedReport) -> Iterator[Problem]:
    foot = report.foot
    if not foot.there:
        return
    right = counted(report)
    total = 0
    for what, count in foot.counts:
        if what in report.by.names:
            total += count
        if what in right and count not in right[what]:
            yield asks(
                f"The foot says {count} {what}, the rows come to {right[what][0]}.",
                code="foot",
                where="foot",
                measured=str(count),
                limit=str(right[what][0]),
                source=_CP,
            )
    said = dict(foot.counts)
    named = [what for what in said if what in report.by.names]
    if "inspected" in said and len(named) > 1 and total != said["inspected"]:
        already = any(said[what] not in right.get(what, ()) for what in (*named, "inspected"))
        if not already and total < said["inspected"]:
            yield asks(
                f"The classes of the foot come to {total}, inspected are {said['inspected']}.",
                code="foot",
                where="foot",
                measured=str(total),
                limit=str(said["inspected"]),
                source=_CP,
            )
    if foot.counts and not foot.signed:
        yield note("The foot bears no signature.", code="foot", where="foot", source=_CP)
