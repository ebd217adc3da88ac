"""Where the bit is: depth as the exact sum of what hangs in the hole, with a top drive or with a kelly.

All lengths are exact; the correction is what a strap out of the hole has put right (it corrects the
depth, not the joints) and may be below zero.
"""

from collections.abc import Iterable, Sequence

from rack.calc.lengths import Length
from rack.calc.worked import Worked

NOTHING = Length(0)
_COMMON = "common practice: depth is the sum of the lengths in the hole"


def _checked(name: str, value: object, *, signed: bool = False) -> Length:
    if not isinstance(value, Length):
        raise ValueError(f"{name}: {value!r} is no length; allowed is a Length of 0 or more")
    if value < NOTHING and not signed:
        raise ValueError(f"{name}: {_text(value)} is below zero; allowed is 0 or more")
    return value


def _all(name: str, lengths: Iterable[Length]) -> list[Length]:
    return [_checked(f"{name}[{index}]", length) for index, length in enumerate(lengths)]


def _sum(lengths: Iterable[Length]) -> Length:
    return sum(lengths, NOTHING)


def _not_above(depth: Length, put_right: Length) -> Length:
    if depth + put_right < NOTHING:
        up = _text(put_right)
        raise ValueError(f"correction: {up} lifts the bit out; allowed is no more up than {_text(depth)}")
    return depth + put_right


def _text(length: Length) -> str:
    return f"{length.shown('ft', 3)} ft ({length.shown('m', 3)} m)"


def bit_depth(
    bha: Length, pipe: Length, stick_up: Length, *, correction: Length = NOTHING
) -> Length:
    """Return the depth of the bit under a top drive: what is made up less what stands above the datum.

    `bha` and `pipe` are the exact lengths below the top drive, `stick_up` what stands above the rotary
    table, all a `Length` of 0 or more; `correction` a `Length` that may be below zero. Raises ValueError
    naming what is no such length, `stick_up` when it is longer than the string, and `correction` when it
    lifts the bit out of the hole. Source: common practice.
    """
    depth: Length = bit_depth_worked(bha, pipe, stick_up, correction=correction).value
    return depth


def bit_depth_worked(
    bha: Length, pipe: Length, stick_up: Length, *, correction: Length = NOTHING
) -> Worked:
    """Return `bit_depth` with formula, inputs and steps.

    `bha`, `pipe`, `stick_up`, `correction` are lengths; ValueError as in `bit_depth`.
    Source: common practice.
    """
    below = _checked("bha", bha) + _checked("pipe", pipe)
    up = _checked("stick_up", stick_up)
    put_right = _checked("correction", correction, signed=True)
    if up > below:
        raise ValueError(f"stick_up: {_text(up)} is too long; allowed is up to the string, {_text(below)}")
    depth = _not_above(below - up, put_right)
    inputs = {"BHA": _text(bha), "pipe": _text(pipe), "stick-up": _text(up), "correction": _text(put_right)}
    steps = (f"{_text(bha)} + {_text(pipe)} - {_text(up)} + {_text(put_right)} = {_text(depth)}",)
    return Worked(depth, "length", "BHA + pipe - stick-up + correction", inputs, steps, _COMMON)


def kelly_down(
    bha: Length, pipe: Length, kelly_parts: Sequence[Length], *, correction: Length = NOTHING
) -> Length:
    """Return the depth of the bit with the kelly all the way down.

    `bha` and `pipe` are exact lengths of 0 or more; `kelly_parts` the lengths of saver sub, lower kelly
    valve and kelly to the kelly-down mark; `correction` a `Length` that may be below zero. Raises
    ValueError naming what is no such length, and `correction` when it lifts the bit out. Source: common
    practice.
    """
    depth: Length = kelly_down_worked(bha, pipe, kelly_parts, correction=correction).value
    return depth


def kelly_down_worked(
    bha: Length, pipe: Length, kelly_parts: Sequence[Length], *, correction: Length = NOTHING
) -> Worked:
    """Return `kelly_down` with formula, inputs and steps.

    `bha`, `pipe`, `kelly_parts`, `correction` are lengths; ValueError as in `kelly_down`.
    Source: common practice.
    """
    below = _checked("bha", bha) + _checked("pipe", pipe)
    parts = _sum(_all("kelly_parts", kelly_parts))
    put_right = _checked("correction", correction, signed=True)
    depth = _not_above(below + parts, put_right)
    inputs = {"BHA": _text(bha), "pipe": _text(pipe), "kelly": _text(parts), "correction": _text(put_right)}
    steps = (f"{_text(bha)} + {_text(pipe)} + {_text(parts)} + {_text(put_right)} = {_text(depth)}",)
    formula = "BHA + pipe + saver sub + lower kelly valve + kelly to the mark + correction"
    return Worked(depth, "length", formula, inputs, steps, _COMMON)


def bit_depth_from_kelly(down: Length, kelly_up: Length) -> Length:
    """Return the depth of the bit while the kelly is part way up.

    `down` is the kelly-down depth and `kelly_up` how far the kelly-down mark stands above the table, both
    a `Length` of 0 or more. Raises ValueError naming what is no such length, or `kelly_up` when it is
    more than the depth. Source: common practice.
    """
    depth, up = _checked("down", down), _checked("kelly_up", kelly_up)
    if up > depth:
        raise ValueError(f"kelly_up: {_text(up)} is too high; allowed is up to kelly down, {_text(depth)}")
    return depth - up


def kelly_downs(
    bha: Length, joints: Sequence[Length], kelly_parts: Sequence[Length], *, correction: Length = NOTHING
) -> tuple[Length, ...]:
    """Return kelly down after each joint, in order of running: the last column of the running sheet.

    `bha` and every one of `joints` and `kelly_parts` is a `Length` of 0 or more; `correction` may be below
    zero. Raises ValueError naming what is no such length. Source: common practice.
    """
    start = kelly_down(bha, NOTHING, kelly_parts, correction=correction)
    return _running(start, _all("joints", joints))


def stand_downs(
    bha: Length, stands: Sequence[Length], stick_up: Length, *, correction: Length = NOTHING
) -> tuple[Length, ...]:
    """Return the depth of the bit at which each stand is drilled down and the next one is made up.

    `bha` and every one of `stands` is a `Length` of 0 or more, `stick_up` what is left above the table at
    a connection; `correction` may be below zero. Raises ValueError naming what is no such length, or
    `stick_up` when it is more than the BHA with the first stand. Source: common practice.
    """
    lengths = _all("stands", stands)
    if not lengths:
        return ()
    first = bit_depth(bha, lengths[0], stick_up, correction=correction)
    return (first, *_running(first, lengths[1:]))


def _running(start: Length, lengths: Sequence[Length]) -> tuple[Length, ...]:
    depths = []
    depth = start
    for length in lengths:
        depth = depth + length
        depths.append(depth)
    return tuple(depths)


def strap_out_correction(counted: Sequence[Length], strapped: Sequence[Length]) -> Length:
    """Return what a strap out of the hole adds to the depth: the stands as strapped less as counted.

    `counted` are the sums of the joints of each stand, `strapped` the reading of the same stands, each a
    `Length` of 0 or more, in the same order. Raises ValueError when their numbers differ, naming both.
    Source: common practice.
    """
    sums, readings = _all("counted", counted), _all("strapped", strapped)
    if len(sums) != len(readings):
        raise ValueError(f"strapped: {len(readings)} stands were read; allowed are the {len(sums)} counted")
    return _sum(readings) - _sum(sums)
