"""The lengths of a whole list judged at once: against the stated range, the wide doors and their own batch.

`straps.question` asks about one reading among its batch. A list has a thousand of them, so that only
those which stand alone or outside the doors are put to it, and it answers the same.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from rack.calc.asking import DOORS_FT
from rack.calc.checks import Problem, asks
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length
from rack.calc.lookup import rows as table_rows
from rack.calc.receiving import ReadRow
from rack.calc.specs import SpecFacts
from rack.calc.straps import question
from rack.calc.units import NM

_Range = tuple[str, tuple[int, int] | None]

#: Range -> doors in feet, pins off, of drill pipe and heavy-weight (trade guide 11, a suggestion).
_DOORS = dict(zip(("R1", "R2", "R3"), DOORS_FT, strict=True))
#: How near another reading must be to vouch for one, as `straps.question` has it.
_ALIKE = NM["ft"] // 2
_ENOUGH = 5
_DIGITS = {"ft": 2, "in": 2, "m": 3, "cm": 1, "mm": 0}


def shown_digits(unit: str) -> int:
    """Return the figures after the point that a length in `unit` is written with on a list.

    Raises nothing. Source: common practice.
    """
    return _DIGITS[unit]


def range_doors(spec: SpecFacts) -> tuple[int, int] | None:
    """Return the shortest and longest joint of the stated range in feet, None where nothing is stated.

    Drill pipe goes by the wide doors of trade guide 11 (a suggestion, the table is the tube without
    its tool joints), casing by the table "ranges".
    `spec` says kind and range. Raises nothing. Source: trade guide 11; table "ranges".
    """
    kind = KINDS.get(spec.kind)
    if kind and kind.by_doors:
        return _DOORS.get(spec.range)
    for row in table_rows("ranges"):
        if (
            kind
            and kind.in_casing
            and row["product"] == "casing"
            and row["range"] == spec.range
            and spec.range
        ):
            return int(row["min_ft"]), int(row["max_ft"])
    return None


def length_problems(rows: Sequence[ReadRow]) -> dict[int, list[Problem]]:
    """Return, by place in `rows`, what to ask about lengths that no such joint has, or not in this batch.

    Rows are of one batch when kind and diameter are the same. Fewer than 2 in 100 true readings may
    be asked about (law 9): a reading that others are like is asked about only outside the doors.
    Raises nothing. Source: tally checks T01, T07 and T14, common practice.
    """
    batches: dict[tuple[str, int], list[int]] = defaultdict(list)
    for at, row in enumerate(rows):
        if row.length is not None:
            batches[(row.spec.kind, row.spec.od_nm) if row.spec else ("", 0)].append(at)
    found: dict[int, list[Problem]] = {}
    for (kind, _), places in batches.items():
        readings = sorted(rows[at].length.nanometres for at in places)  # type: ignore[union-attr]
        most = _range_of_most(readings)
        for at in places:
            asked = _asked(rows[at], kind, readings, most)
            if asked:
                found[at] = asked
    return found


def _asked(row: ReadRow, kind: str, readings: list[int], most: _Range) -> list[Problem]:
    length, unit = row.length, row.length_unit or "ft"
    assert length is not None  # only rows with a length are in a batch
    digits = shown_digits(unit)
    if _vouched(length.nanometres, readings):
        by_doors = kind in KINDS and KINDS[kind].by_doors
        asked = question(length, [], kind=kind, unit=unit, digits=digits) if by_doors else []
    else:
        others = [Length(each) for each in _without(readings, length.nanometres)]
        asked = question(length, others, kind=kind, unit=unit, digits=digits)
    return _as_one(_range_problem(row, length, most, digits), asked)


def _as_one(by_range: list[Problem], asked: list[Problem]) -> list[Problem]:
    """Return one question of two: what the range says, with the slip that the batch suggests."""
    if not by_range or not asked:
        return by_range or asked
    _, _, guess = asked[0].text.partition(". ")
    return [replace(by_range[0], text=f"{by_range[0].text} {guess}".strip(), code=asked[0].code)]


def _range_problem(row: ReadRow, length: Length, most: _Range, digits: int) -> list[Problem]:
    """Return the question about a length that the stated range, or that of the others, does not have."""
    unit = row.length_unit or "ft"
    doors = range_doors(row.spec) if row.spec else None
    stated = row.spec.range if row.spec and doors else ""
    if doors is None and row.spec and row.spec.kind in KINDS and KINDS[row.spec.kind].by_doors:
        stated, doors = most
        if _door_of(length.nanometres) is None:
            return []  # outside every door: the question about the doors says it
    if doors is None or doors[0] * NM["ft"] <= length.nanometres <= doors[1] * NM["ft"]:
        return []
    number = stated.removeprefix("R")
    whose = "The list says" if row.spec and row.spec.range else "The other joints are"
    shown = f"{length.shown(unit, digits)} {unit}" + (
        f" ({length.shown('ft', 2)} ft)" if unit != "ft" else ""
    )
    text = (
        f"{shown} is no length of a Range {number} joint, "
        f"{doors[0]} to {doors[1]} ft. {whose} Range {number}."
    )
    return [
        asks(
            text,
            code="T07",
            where=row.where,
            measured=length.shown("ft", 2),
            unit="ft",
            limit=f"{doors[0]} to {doors[1]}",
            source="trade guide 11, a suggestion",
        )
    ]


def _range_of_most(readings: list[int]) -> _Range:
    """Return the range that nine of ten readings belong to, nothing where they are mixed or too few."""
    if len(readings) >= _ENOUGH:
        for name, doors in _DOORS.items():
            inside = sum(1 for each in readings if _door_of(each) == name)
            if 10 * inside >= 9 * len(readings) or inside == len(readings) - 1:
                return name, doors
    return "", None


def _door_of(nanometres: int) -> str | None:
    for name, (low, high) in _DOORS.items():
        if low * NM["ft"] <= nanometres <= high * NM["ft"]:
            return name
    return None


def _vouched(nanometres: int, readings: list[int]) -> bool:
    """Say whether another reading of the batch is within half a foot of this one."""
    at = bisect_left(readings, nanometres)
    near = [readings[place] for place in (at - 1, at + 1) if 0 <= place < len(readings)]
    return any(abs(each - nanometres) <= _ALIKE for each in near)


def _without(readings: list[int], nanometres: int) -> list[int]:
    at = bisect_left(readings, nanometres)
    return readings[:at] + readings[at + 1 :]
