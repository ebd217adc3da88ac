"""Depths worked out beforehand: where the bit will be with each joint or stand that goes in next."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.kelly import NOTHING, kelly_down
from rack.calc.lengths import Length
from rack.calc.running import hanging


@dataclass(frozen=True)
class Ahead:
    """One joint or stand to come: what it is called, its length, and the depth of the bit when it is down.

    `depth` is None from the first piece of unknown length on. `kelly_down` is the depth with the kelly all
    the way down on it, None without a kelly.
    """

    name: str
    length: Length | None
    depth: Length | None
    kelly_down: Length | None


def depths_ahead(
    whole: Length, coming: Sequence[tuple[str, Length | None]], *, stick_up: Length,
    kelly: Length | None = None, correction: Length = NOTHING,
) -> tuple[Ahead, ...]:  # fmt: skip
    """Return where the bit will be as each of the pieces or stands to come goes in.

    `whole` is the length made up in the hole now, `coming` the name and the length of each that goes in
    next, in order, None for a length that is not known. `stick_up` is what stands above the rotary table at
    a connection; with the kelly all the way down nothing of the string does, so it counts for the depth and
    not for kelly down. `kelly` is the length to the kelly-down mark, None with a top drive; `correction`
    what a strap out has put right. Raises ValueError as `kelly.bit_depth` does. Source: common practice.
    """
    rows: list[Ahead] = []
    so_far: Length | None = whole
    for name, length in coming:
        so_far = None if so_far is None or length is None else so_far + length
        if so_far is None:
            rows.append(Ahead(name, length, None, None))
            continue
        depth = hanging([so_far], stick_up=stick_up, correction=correction).bit
        down = None if kelly is None else kelly_down(so_far, NOTHING, [kelly], correction=correction)
        rows.append(Ahead(name, length, depth, down))
    return tuple(rows)


@dataclass(frozen=True)
class Against:
    """The string against the driller's depth: the difference and what it looks like, in a sentence."""

    apart: Length
    looks: str
    words: str


def against_driller(ours: Length, driller: Length, joints: Sequence[Length], *, near: Length) -> Against:
    """Return the difference of the driller's depth from the string's, and what it looks like.

    `ours` is the depth by the string, `driller` the depth that the driller has, `joints` the lengths of the
    joints in the hole. Within `near` it is nothing; within `near` of one joint it is that joint, counted once
    too often (driller deeper) or left out (driller shallower); else it is told as it is. Raises nothing.
    Source: tally checks of this project, common practice.
    """
    apart = driller - ours
    size = abs(apart)
    if size <= near:
        return Against(apart, "nothing", "The two agree.")
    closest = min(joints, key=lambda joint: abs(joint - size), default=None)
    if closest is not None and abs(closest - size) <= near:
        how = "counts one joint that the string has not" if apart.nanometres > 0 else "misses one joint"
        return Against(
            apart, "a joint", f"It is the length of one joint: the driller {how}, or the other way."
        )
    return Against(
        apart, "a constant",
        "It is no joint: a datum, a stick-up or a kelly taken differently, or pipe that was never taped.",
    )  # fmt: skip
