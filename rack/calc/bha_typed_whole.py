"""A BHA sheet held against its head: depths, sensor, units; and every check of the sheet at once."""

import re
from collections.abc import Iterator
from datetime import date

from rack.calc.bha_typed import TypedBha, TypedPiece, worst_first
from rack.calc.bha_typed_ends import joints
from rack.calc.bha_typed_hours import clocks, days, read_day, sums
from rack.calc.bha_typed_pieces import bores, kinds, necks, sizes
from rack.calc.bha_typed_rows import counts, cumulative, numbers, start
from rack.calc.bha_typed_tools import bits, taken
from rack.calc.bha_typed_weights import each, foot
from rack.calc.checks import Problem, asks, note
from rack.calc.lengths import ZERO, Length
from rack.calc.units import NM

#: A shoe and the depth in may be told to the foot only.
_NEAR = Length(2 * NM["ft"])
_SENSES = re.compile(r"\b(survey|direct\w*|dni|d&i|mwd|gamma|gyro)\b", re.I)


def sheet_problems(sheet: TypedBha, today: date | None = None) -> tuple[Problem, ...]:
    """Return every fault that the `sheet` betrays, what stops first.

    `today` is the day of the site, None where it is not known. Raises nothing. Source: trade guide 6, 11
    and 12, rules R01 to R31; common practice.
    """
    parts = (
        numbers,
        cumulative,
        counts,
        kinds,
        sizes,
        necks,
        bores,
        taken,
        bits,
        joints,
        each,
        foot,
        clocks,
        sums,
        depths,
        sensors,
        units,
    )
    found = [problem for part in parts for problem in part(sheet)]
    return worst_first([*found, *days(sheet, today), *_run_day(sheet, today)])


def depths(sheet: TypedBha) -> Iterator[Problem]:
    """Yield depths in the head of the `sheet` that cannot be in this order. Raises nothing.

    Source: arithmetic; a hole is drilled below its last shoe.
    """
    start_, end, shoe = sheet.head.depth_in, sheet.head.depth_out, sheet.head.shoe
    if start_ is not None and end is not None and end < start_:
        yield asks(
            f"Depth out {sheet.shown(end)} is less than depth in {sheet.shown(start_)}.",
            code="depth",
            where="head",
            measured=sheet.shown(end),
            limit=sheet.shown(start_),
        )
    if shoe is not None and start_ is not None and start_ < shoe - _NEAR:
        yield asks(
            f"Depth in {sheet.shown(start_)} is above the last shoe at {sheet.shown(shoe)}.",
            code="depth",
            where="head",
            measured=sheet.shown(start_),
            limit=sheet.shown(shoe),
        )
    deepest = max((depth for depth in (start_, end) if depth is not None), default=None)
    lengths = [piece.length for piece in sheet.in_hole if piece.length is not None]
    total = sum(lengths, ZERO)
    if deepest is not None and total > deepest + _NEAR:
        yield asks(
            f"The rows make {sheet.shown(total)}, more than the depth of {sheet.shown(deepest)}.",
            code="depth",
            where="head",
            measured=sheet.shown(total),
            limit=sheet.shown(deepest),
        )


def sensors(sheet: TypedBha) -> Iterator[Problem]:
    """Yield why the head's distance from sensor to bit does not follow from the rows of the `sheet`.

    Raises nothing. Source: addition; trade guide 12.
    """
    said, bottoms = sheet.head.sensor, sheet.bottoms()
    tools = [piece for piece in sheet.in_hole if piece.kind == "mwd"]
    holders = [piece for piece in tools if _SENSES.search(f"{piece.item} {piece.remarks}")]
    surveys = [
        piece
        for piece in holders
        if re.search(r"survey|direct|dni|d&i", f"{piece.item} {piece.remarks}", re.I)
    ]
    if said is None:
        if tools:
            yield note(
                "The head does not say the distance from the sensor to the bit.",
                code="sensor",
                where="head",
                source="R31",
            )
        return
    if not tools:
        if not sheet.missing:
            yield asks(
                f"The head says a sensor {sheet.shown(said)} from the bit, and no measuring tool stands "
                "on the sheet.",
                code="sensor",
                where="head",
                measured=sheet.shown(said),
                source="R31",
            )
        return
    asked = surveys or holders or tools
    offset = next((piece for piece in asked if piece.sensor is not None and piece.row in bottoms), None)
    if offset is not None and offset.sensor is not None:
        right = bottoms[offset.row] + offset.sensor
        if abs(right - said) > sheet.step * 2:
            yield asks(
                f"The head says the sensor {sheet.shown(said)} from the bit; {offset.said} begins at "
                f"{sheet.shown(bottoms[offset.row])} and has it {sheet.shown(offset.sensor)} higher, "
                f"which is {sheet.shown(right)}.",
                code="sensor",
                where=offset.where,
                measured=sheet.shown(said),
                limit=sheet.shown(right),
                source="R31",
            )
        return
    spans = [
        (piece, bottoms[piece.row], bottoms[piece.row] + piece.length)
        for piece in asked
        if piece.row in bottoms and piece.length is not None
    ]
    if not spans or any(low - sheet.step <= said <= high + sheet.step for _, low, high in spans):
        return
    piece, low, high = spans[0]
    yield asks(
        f"The head says the sensor {sheet.shown(said)} from the bit; {piece.said} stands from "
        f"{sheet.shown(low)} to {sheet.shown(high)}{_other(sheet, bottoms, said)}.",
        code="sensor",
        where=piece.where,
        measured=sheet.shown(said),
        limit=f"{sheet.shown(low)} to {sheet.shown(high)}",
        source="R31",
    )


def _other(sheet: TypedBha, bottoms: dict[int, Length], said: Length) -> str:
    """In which other piece the sensor would lie."""
    for piece in sheet.in_hole:
        low = bottoms.get(piece.row)
        if low is not None and piece.length is not None and low < said < low + piece.length:
            return f"; {sheet.shown(said)} lies in {piece.said}"
    return ""


def units(sheet: TypedBha) -> Iterator[Problem]:
    """Yield rows of the `sheet` whose length is told in another unit than the rest.

    A joint of pipe or collar of a third of the others is in metres, perhaps. Raises nothing.
    Source: tally check T14; common practice.
    """
    joints_ = [
        piece
        for piece in sheet.in_hole
        if piece.kind in ("drill_pipe", "heavy_weight", "collar")
        and piece.length is not None
        and piece.count == 1
        and piece.facts.get("short") != "yes"
    ]
    if sheet.unit != "ft" or len(joints_) < 3:
        return
    middle = sorted(_nm(piece) for piece in joints_)[len(joints_) // 2]
    for piece in joints_:
        turned = _nm(piece) * NM["m"] // NM["ft"]
        low, high = sorted((turned, middle))
        if low and high / low < 1.08 and middle / max(_nm(piece), 1) > 2.5:
            yield asks(
                f"{start(piece)} is {sheet.shown(Length(_nm(piece)))} long, its neighbours about "
                f"{sheet.shown(Length(middle))}; metres, perhaps ({sheet.shown(Length(turned))}).",
                code="T14",
                where=piece.where,
                measured=sheet.shown(Length(_nm(piece))),
                limit=sheet.shown(Length(middle)),
                source="T14",
            )


def _nm(piece: TypedPiece) -> int:
    return piece.length.nanometres if piece.length is not None else 0


def _run_day(sheet: TypedBha, today: date | None) -> Iterator[Problem]:
    """The day in the head, where there is one."""
    text = sheet.head.date
    if not text:
        return
    day, doubt = read_day(text)
    if doubt == "ambiguous":
        yield asks(
            f"The head's date “{text[:30]}”: which is the month? Write it as 2025-04-03.",
            code="day",
            where="head",
            measured=text[:30],
        )
    elif day is not None and today is not None and day > today:
        yield asks(
            f"The head's date {day.isoformat()} is still to come.",
            code="day",
            where="head",
            measured=day.isoformat(),
            limit=today.isoformat(),
        )
