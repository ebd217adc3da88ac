"""A casing running tally as somebody typed it: its rows held against its head and its foot."""

import re
from collections.abc import Iterator

from rack.calc.casing_checks import names
from rack.calc.casing_typed import TypedSheet, chain, lengths, losses, numbers
from rack.calc.checks import Problem, Severity, asks, note, stops
from rack.calc.lengths import ZERO
from rack.calc.names import key_of
from rack.calc.straps import StrapLine, compare

_GRADE = re.compile(r"\b([A-Z]{1,2})-?(\d{2,3})\b")


def sheet_problems(sheet: TypedSheet) -> list[Problem]:
    """Return every fault that the `sheet` betrays, what stops first. Raises nothing.

    Source: tally checks T01 to T18, rule R28, trade guide 5.5 and 11; common practice.
    """
    parts = (numbers, chain, losses, lengths, _straps, _track, _marker, _counts, _shoe, _centralizers,
             _drift, _clock, _grades)
    found = [problem for part in parts for problem in part(sheet)]
    rank = {Severity.STOPS: 0, Severity.ASKS: 1, Severity.NOTE: 2}
    return sorted(found, key=lambda problem: rank[problem.severity])


def _straps(sheet: TypedSheet) -> Iterator[Problem]:
    """The two straps against each other, by the signatures of slips."""
    rows = [row for row in sheet.rows if row.kind == "joint" and row.first and row.second]
    if not rows:
        return
    kind = sheet.kind or "threads on"
    first = [StrapLine(row.name, row.first, kind=kind) for row in rows]
    second = [StrapLine(row.name, row.second, kind=kind) for row in rows]
    for found in compare(first, second, unit=sheet.unit, digits=sheet.digits).findings:
        where = rows[found.lines[0]] if found.lines and found.lines[0] < len(rows) else None
        yield asks(f"{found.words} {found.do}".strip(), code=found.code,
                   where=f"row {where.row}" if where else "", source=found.code)


def _track(sheet: TypedSheet) -> Iterator[Problem]:
    kinds = [row.kind for row in sheet.ran]
    if not kinds:
        return
    if "shoe" not in kinds:
        yield asks("No shoe stands on the sheet.", code="R28", source="R28")
    elif kinds[0] != "shoe":
        yield stops(f"The shoe does not go in first: {sheet.ran[0].said} stands below it.", code="R28",
                    where=f"row {sheet.ran[0].row}", source="R28")
    if "collar" not in kinds:
        if sheet.has_foot or sheet.track is not None and len(kinds) > sheet.track + 2:
            yield asks("No float collar stands on the sheet.", code="R28", source="R28")
        return
    collar = kinds.index("collar")
    track = sheet.ran[: collar + 1]
    joints = sum(row.kind == "joint" for row in track)
    if "shoe" in kinds and kinds.index("shoe") > collar:
        yield stops("The float collar stands below the shoe.", code="R28", source="R28")
    if sheet.track is not None and joints != sheet.track:
        yield asks(f"The head says {sheet.track} joints of shoe track; {joints} stand{'s' * (joints == 1)} "
                   "between shoe and float collar.", code="R28", where=f"row {sheet.ran[collar].row}",
                   source="R28")
    free = [row.said for row in track if not row.locked]
    if free and len(free) < len(track):
        yield asks(f"In the shoe track {names(free)} {'is' if len(free) == 1 else 'are'} not marked as "
                   "thread-locked.", code="R28", source="R28")


def _marker(sheet: TypedSheet) -> Iterator[Problem]:
    if not sheet.marker_after:
        return
    ran = sheet.ran
    wanted = key_of(sheet.marker_after)
    place = next((n for n, row in enumerate(ran) if key_of(row.name) == wanted and row.kind == "joint"), None)
    marks = [n for n, row in enumerate(ran) if row.kind == "marker"]
    if not marks:
        if place is not None or sheet.has_foot:
            yield stops(f"The marker after joint {sheet.marker_after} is not on the sheet.", code="T11",
                        source="T11")
        return
    if place is None:
        yield asks(f"The marker shall stand after joint {sheet.marker_after}, which did not run.", code="T11",
                   source="T11")
    elif place + 1 not in marks:
        below = ran[marks[0] - 1].said if marks[0] else "nothing"
        yield stops(f"The marker is out of place: it shall stand after joint {sheet.marker_after} and stands "
                    f"after {below}.", code="T11", where=f"row {ran[marks[0]].row}", source="T11")


def _counts(sheet: TypedSheet) -> Iterator[Problem]:
    """T10: received = to run + spare + left out; and what must lie on the rack."""
    ran = [row for row in sheet.ran if row.kind == "joint"]
    if sheet.to_run is not None and sheet.to_run != len(ran):
        yield stops(f"The foot says {sheet.to_run} joints run; {len(ran)} stand on the sheet.", code="T10",
                    measured=str(len(ran)), limit=str(sheet.to_run), source="T10")
    by_rows = {key_of(row.name) for row in sheet.rows if row.left and row.kind == "joint"}
    left_names = by_rows | {key_of(name) for name in sheet.left_names}
    left = sheet.left_out if sheet.left_out is not None else len(left_names)
    if sheet.left_out is not None and left_names and len(left_names) != sheet.left_out:
        yield stops(f"The foot says {sheet.left_out} left out; {len(left_names)} are named.", code="T10",
                    source="T10")
    spare = sheet.spare if sheet.spare is not None else len(sheet.spare_names) or None
    run = sheet.to_run if sheet.to_run is not None else len(ran)
    if sheet.received is not None and spare is not None and run + spare + left != sheet.received:
        yield stops(f"{run} run, {spare} spare and {left} left out make {run + spare + left}; "
                    f"{sheet.received} were received.", code="T10", measured=str(run + spare + left),
                    limit=str(sheet.received), source="T10")
    rack = sheet.on_rack if sheet.on_rack is not None else len(sheet.rack_names) or None
    if rack is not None and spare is not None and rack != spare + left:
        yield stops(f"{rack} shall lie on the rack when landed; {spare} spare and {left} left out make "
                    f"{spare + left}.", code="T10", measured=str(rack), limit=str(spare + left), source="T10")
    elif rack is not None and spare is None and sheet.received is not None and run + rack != sheet.received:
        yield stops(f"{run} run and {rack} on the rack make {run + rack}; {sheet.received} were received.",
                    code="T10", measured=str(run + rack), limit=str(sheet.received), source="T10")
    if sheet.on_rack is not None and sheet.rack_names and sheet.on_rack != len(sheet.rack_names):
        yield stops(f"{sheet.on_rack} on the rack are counted and {len(sheet.rack_names)} named.", code="T10",
                    source="T10")
    numbers_run = {key_of(row.name) for row in ran}
    both = [name for name in dict.fromkeys((*sheet.rack_names, *sheet.spare_names, *sheet.left_names))
            if key_of(name) in numbers_run]
    if both:
        yield stops(f"{names(both)} stand{'s' * (len(both) == 1)} both in the hole and outside it.",
                    code="T10", where=names(both), source="T10")


def _shoe(sheet: TypedSheet) -> Iterator[Problem]:
    last, said = sheet.last, sheet.total
    if said is not None and last is not None and said != last:
        yield stops(f"The foot's total is {sheet.shown(said)}, the last running total {sheet.shown(last)}.",
                    code="T08", source="T08")
    whole = said if said is not None else last
    if sheet.shoe is not None and sheet.datum is not None and whole is not None:
        right = whole + sheet.datum
        if sheet.shoe != right:
            apart = sheet.shoe - right
            why = ""
            if abs(apart) == sheet.datum:
                why = " The datum was left away." if apart < ZERO else " The datum was taken twice."
            yield stops(f"The shoe depth {sheet.shown(sheet.shoe)} is not the sum: {sheet.shown(whole)} and "
                        f"{sheet.shown(sheet.datum)} from the datum make {sheet.shown(right)}.{why}",
                        code="T18", measured=sheet.shown(sheet.shoe), limit=sheet.shown(right), source="T18")
    elif sheet.shoe is not None and sheet.datum is None:
        yield asks("The shoe depth cannot be checked: no datum stands on the sheet.", code="T18",
                   source="T18")
    if sheet.shoe is not None and sheet.hole is not None and sheet.shoe > sheet.hole:
        yield asks(f"The shoe at {sheet.shown(sheet.shoe)} would stand below the hole of "
                   f"{sheet.shown(sheet.hole)}.", code="hole")
    landing = sheet.landing
    if landing is None:
        landing = next((row.eff for row in sheet.rows if row.kind == "landing"), None)
    if None not in (sheet.stick_up, landing, sheet.datum):
        assert sheet.stick_up is not None and landing is not None and sheet.datum is not None
        if sheet.stick_up != landing - sheet.datum:
            yield stops(f"The stick-up {sheet.shown(sheet.stick_up)} is not the landing joint of "
                        f"{sheet.shown(landing)} less {sheet.shown(sheet.datum)}: "
                        f"{sheet.shown(landing - sheet.datum)}.", code="T18", source="T18")


def _centralizers(sheet: TypedSheet) -> Iterator[Problem]:
    gone = [row.said for row in sheet.rows if row.left and row.centralizers]
    if gone:
        yield stops(f"A centralizer stands on {names(gone)}, which did not run.", code="centralizer",
                    where=names(gone))
    there = {key_of(row.name) for row in sheet.ran}
    lost = [name for name in sheet.centralizer_names if key_of(name) not in there]
    if lost:
        yield stops(f"A centralizer is said to sit on joint {names(lost)}, which is not in the hole.",
                    code="centralizer", where=names(lost))
    counted = sum(row.centralizers or 0 for row in sheet.ran)
    if sheet.centralizers is not None and sheet.centralizers != counted:
        yield stops(f"The foot says {sheet.centralizers} centralizers; {counted} stand on the joints run.",
                    code="centralizer", measured=str(counted), limit=str(sheet.centralizers))


def _drift(sheet: TypedSheet) -> Iterator[Problem]:
    if not sheet.has_drift:
        return
    joints = [row for row in sheet.ran if row.kind == "joint"]
    bare = [row.said for row in joints if not row.drift]
    if bare:
        yield asks(f"Run without a drift tick: {names(bare)}.", code="drift", where=names(bare))


def _clock(sheet: TypedSheet) -> Iterator[Problem]:
    """Midnight is no fault, going back is."""
    before = None
    for row in sheet.rows:
        if row.minutes is None:
            continue
        if before is not None and row.minutes < before and (row.minutes - before) % 1440 > 720:
            yield asks(f"The time goes back at {row.said}: {_time(before)} to {_time(row.minutes)}.",
                       code="time", where=f"row {row.row}")
        before = row.minutes


def _time(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _grades(sheet: TypedSheet) -> Iterator[Problem]:
    """The odd joint, in its column or hidden under a ditto and named in the remarks alone."""
    head = {key_of("".join(found)) for found in _GRADE.findall(sheet.string.upper())}
    for row in sheet.ran:
        if row.kind != "joint":
            continue
        grade = key_of(row.grade)
        if grade and head and grade not in head:
            yield asks(f"{row.said.capitalize()} is {row.grade}; the string is {sheet.string}.", code="grade",
                       where=f"row {row.row}")
        named = {key_of("".join(found)) for found in _GRADE.findall(row.remarks.upper())} - {grade}
        known = {one for one in named if one[0] in "HJKNLCTPQM" and len(one) in (3, 4)}
        if grade and known and not known & head:
            yield note(f"{row.said.capitalize()}: the remark names {names(sorted(known))}, the column "
                       f"{row.grade}.", code="grade", where=f"row {row.row}")


