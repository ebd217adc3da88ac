"""Depths worked out beforehand: where the bit will be with each joint or stand that goes in next."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length


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
    hangs: Length, coming: Sequence[tuple[str, Length | None]], *, kelly: Length | None = None
) -> tuple[Ahead, ...]:
    """Return where the bit will be as each of the pieces or stands to come goes in.

    `hangs` is the depth of the bit now, `coming` the name and the length of each that goes in next, in
    order, None for a length that is not known; `kelly` the length below the kelly-down mark, None with a
    top drive. The stick-up that the depth now allows for is kept. Raises nothing. Source: common practice,
    depth is the sum of the lengths in the hole.
    """
    rows: list[Ahead] = []
    depth: Length | None = hangs
    for name, length in coming:
        depth = None if depth is None or length is None else depth + length
        down = None if depth is None or kelly is None else depth + kelly
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
