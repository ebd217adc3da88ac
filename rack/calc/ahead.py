"""Depths worked out beforehand: where the bit will be with each joint or stand that goes in next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from rack.calc.kelly import NOTHING, kelly_down
from rack.calc.lengths import Length
from rack.calc.running import hanging
from rack.calc.stands import LIKE_A_JOINT, QUOTED
from rack.calc.units import NM

#: What is shorter is a sub or a pup, and no joint that somebody forgets to count.
_A_JOINT = Length(15 * NM["ft"])
#: So close to a known length a difference is that length.
_LIKE_A_CONSTANT = Length(NM["ft"] // 10)
#: A stand of four, missed or counted twice.
_MOST_JOINTS = 4


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
        down = None if kelly is None else _kelly_down(so_far, kelly, correction)
        rows.append(Ahead(name, length, depth, down))
    return tuple(rows)


def _kelly_down(whole: Length, kelly: Length, correction: Length) -> Length:
    """The depth with the kelly down; at the table where the correction takes away all of it."""
    if (whole + kelly + correction).nanometres <= 0:
        return NOTHING
    return kelly_down(whole, NOTHING, [kelly], correction=correction)


@dataclass(frozen=True)
class Against:
    """The string against the driller's depth: the difference and what it looks like, in a sentence."""

    apart: Length
    looks: str
    words: str


def against_driller(
    ours: Length, driller: Length, joints: Sequence[Length], *, near: Length,
    constants: Mapping[str, Length] = MappingProxyType({}),
) -> Against:  # fmt: skip
    """Return the difference of the driller's depth from the string's, and what it looks like.

    `ours` is the depth by the string, `driller` the depth that the driller has, `joints` the lengths of the
    pieces in the hole, of which those of 15 ft and more are joints; `constants` what may be taken twice or
    not at all, by its name ("the stick-up"). `looks` is "nothing" within `near`; "a constant" within 0.10 ft
    of one of them; "a joint" within 1.5 ft of one joint, or of two to four average ones (driller deeper: too
    often counted, shallower: left out); "nothing" within one part in 1,000 of the depth, the accuracy that is
    quoted for a driller's depth; else "a constant". Raises nothing. Source: trade guide 5.4 and tally checks
    of this project; the limits are common practice, suggestions.
    """
    apart = driller - ours
    size = abs(apart)
    if size <= near:
        return Against(apart, "nothing", "The two agree.")
    for name, length in constants.items():
        if length.nanometres and abs(size - length) <= _LIKE_A_CONSTANT:
            how = "taken differently, or twice" if apart.nanometres > 0 else "taken differently, or left out"
            return Against(apart, "a constant", f"It is no joint: it is as long as {name}, {how}.")
    pipe = [joint for joint in joints if joint >= _A_JOINT]
    many = _joints_in(size, pipe)
    if many:
        what = "one joint" if many == 1 else f"{many} joints"
        said = "counts {} that the string has not" if apart.nanometres > 0 else "misses {}"
        exactly = any(abs(joint - size) <= near for joint in pipe)
        words = "It is the length of" if many == 1 and exactly else "It looks like"
        who = f"the driller {said.format(what)}, or the other way"
        return Against(apart, "a joint", f"{words} {what}: {who}. Count the pipe that is left.")
    if size.nanometres * QUOTED <= ours.nanometres:
        good = f"no more than one part in {QUOTED:,} of the depth, as good as such depths are quoted to be"
        return Against(apart, "nothing", f"It is {good}: neither a joint nor a constant.")
    return Against(
        apart, "a constant",
        "It is no joint: a datum, a stick-up or a kelly taken differently, or pipe that was never taped.",
    )  # fmt: skip


def _joints_in(size: Length, pipe: Sequence[Length]) -> int:
    """How many joints a difference looks like; 0 for none."""
    if any(abs(joint - size) <= LIKE_A_JOINT for joint in pipe):
        return 1
    if not pipe:
        return 0
    mean = Length(sum(joint.nanometres for joint in pipe) // len(pipe))
    few = range(2, _MOST_JOINTS + 1)
    return next((n for n in few if abs(mean * n - size) <= LIKE_A_JOINT), 0)
