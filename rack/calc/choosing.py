"""Joints for a string, in the order in which the rack is unloaded: what is taken, what is put aside, and why.

Pipe comes off layer by layer, the top one first, from the catwalk side; nobody digs for one joint. A joint
that lies on the way and must not go is put aside, and each one costs a handling (trade guide 12).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.lengths import Length
from rack.calc.rules.standing import REJECTED

#: Classes of drill pipe from the best down; used pipe is taken down to the lowest that is asked for.
LADDER = ("new", "class 1", "premium", "class 2", "class 3")


@dataclass(frozen=True)
class Lying:
    """One joint on the rack: `key` of its own, `lot` its specification, and where it lies.

    `layer` counts from the bottom, `along` is its place from the catwalk side, 0 first. `length` is what
    it adds to the depth, None when not known; `pipe_class` the class as given, "" unknown. `held` are the
    reasons of its holds, `left` the whole hours until its clocks are due, None while nobody keeps them.
    `elsewhere` names another open plan that has it. `due_why` says by what it is due first, and `overdue`
    that it is past that already.
    """

    key: int
    name: str
    lot: str
    rack: str
    layer: int
    along: int
    length: Length | None
    pipe_class: str = ""
    held: tuple[str, ...] = ()
    left: int | None = None
    elsewhere: str = ""
    state: str = "accepted"
    due_why: str = ""
    overdue: bool = False


@dataclass(frozen=True)
class Want:
    """One section of pipe: the lot, how much of it, the lowest class, and the hours it must be good for.

    `length` is what it must at least reach, None for as many as `count` says; `class_wanted` "" for any.
    """

    lot: str
    length: Length | None = None
    count: int | None = None
    class_wanted: str = ""
    hours: int | None = None


@dataclass(frozen=True)
class Taken:
    """A joint on its way: taken or put aside, why, and its number in the order of unloading (from 1)."""

    lying: Lying
    taken: bool
    why: str
    n: int


@dataclass(frozen=True)
class Choice:
    """What comes off the rack in order, what it makes, and what stays for the well after.

    `short` is what is missing of the wanted length (0 for nothing), `missing` of the wanted count.
    """

    want: Want
    rows: tuple[Taken, ...]
    length: Length
    short: Length
    missing: int
    left_n: int
    left_length: Length

    @property
    def taken(self) -> tuple[Taken, ...]:
        """The joints that go."""
        return tuple(row for row in self.rows if row.taken)

    @property
    def aside(self) -> tuple[Taken, ...]:
        """The joints that are handled and do not go."""
        return tuple(row for row in self.rows if not row.taken)

    @property
    def handled_each(self) -> Fraction:
        """How many joints are handled for each that goes; 0 where none goes."""
        return Fraction(len(self.rows), len(self.taken)) if self.taken else Fraction(0)


def unloading_order(lying: Sequence[Lying]) -> tuple[Lying, ...]:
    """Return the joints as they come off: rack by rack, the top layer first, from the catwalk side.

    `lying` in any order. Raises nothing. Source: trade guide 12, common practice.
    """
    return tuple(sorted(lying, key=lambda one: (one.rack, -one.layer, one.along, one.key)))


def class_problem(given: str, wanted: str) -> str:
    """Return why a class as `given` does not do where `wanted` is the lowest, "" where it does.

    Both are words of `LADDER`, "" for unknown and for any. An unknown class does not do: unknown never
    passes. Raises ValueError for a wanted class that is none. Source: law 8; the ladder is trade guide 1.1.
    """
    if not wanted:
        return ""
    if wanted not in LADDER:
        raise ValueError(f"wanted: {wanted!r} is no class; there are {', '.join(LADDER)}")
    if given.lower() not in LADDER:
        return f"it is {given}, not {wanted}" if given else f"its class is not known, {wanted} is asked for"
    worse = LADDER.index(given.lower()) > LADDER.index(wanted)
    return f"it is {given}, {wanted} is asked for" if worse else ""


def why_aside(one: Lying, want: Want) -> str:
    """Return why the joint `one` that lies on the way does not go for `want`, "" where it goes.

    Raises ValueError as `class_problem` does. Source: law 8 and trade guide 12, common practice.
    """
    if one.lot != want.lot:
        return "another lot"
    if one.held:
        return f"held: {'; '.join(one.held)}"
    if one.pipe_class.lower() in REJECTED:
        return f"it is {one.pipe_class}"
    if one.overdue:
        return f"overdue: {one.due_why}" if one.due_why else "overdue"
    if one.length is None:
        return "its length is not known"
    if one.elsewhere:
        return f"it is in {one.elsewhere}"
    if want.hours is not None and one.left is not None and one.left < want.hours:
        when = f"due in {one.left} h" if one.left > 0 else "due now"
        why = f" ({one.due_why})" if one.due_why and one.left <= 0 else ""
        return f"{when}, {want.hours} h are planned{why}"
    return class_problem(one.pipe_class, want.class_wanted)


def choose(lying: Sequence[Lying], want: Want) -> Choice:
    """Return what comes off the rack for `want`, in the order of unloading, each with why.

    `lying` is everything on the racks, in any order: the joints of other lots above those wanted are handled
    too. Whole joints are taken until `want.length` is reached or `want.count` are there. Joints below the
    last that goes are not handled. Raises ValueError for a want without length and count, or with a class
    that is none. Source: trade guide 12, common practice.
    """
    if want.length is None and want.count is None:
        raise ValueError("want: say a length or a count")
    reached, got = Length(0), 0
    rows: list[Taken] = []
    last = 0
    racks = {one.rack for one in lying if one.lot == want.lot}
    for one in unloading_order([one for one in lying if one.rack in racks]):
        if _enough(want, reached, got):
            break
        why = why_aside(one, want)
        if not why and one.length is not None:
            reached, got = reached + one.length, got + 1
            rows.append(Taken(one, True, _why_taken(one, want), len(rows) + 1))
            last = len(rows)
        else:
            rows.append(Taken(one, False, why, len(rows) + 1))
    rows = rows[:last] if last else []
    used = {row.lying.key for row in rows if row.taken}
    rest = [one for one in lying if one.lot == want.lot and one.key not in used and not why_aside(one, want)]
    short = Length(0) if want.length is None else max(want.length - reached, Length(0))
    return Choice(
        want, tuple(rows), reached, short, max((want.count or 0) - got, 0), len(rest),
        sum((one.length for one in rest if one.length is not None), Length(0)),
    )  # fmt: skip


def _enough(want: Want, reached: Length, got: int) -> bool:
    by_length = want.length is None or reached >= want.length
    return by_length and (want.count is None or got >= want.count)


def _why_taken(one: Lying, want: Want) -> str:
    words = f"{one.rack} layer {one.layer}, next from the catwalk"
    if want.class_wanted:
        words += f", {one.pipe_class}"
    return words


def alternatives(lying: Sequence[Lying], want: Want) -> tuple[Choice, ...]:
    """Return the choice for every lot on the racks that could make `want`, the fewest put aside first.

    `lying` is everything on the racks; `want.lot` is what is preferred and comes first of equal ones. Lots
    of which nothing goes are left away. Raises ValueError as `choose` does. Source: common practice.
    """
    lots = dict.fromkeys(one.lot for one in lying)
    found = [choose(lying, Want(lot, want.length, want.count, want.class_wanted, want.hours)) for lot in lots]
    able = [one for one in found if one.taken]
    return tuple(sorted(able, key=lambda one: (
        one.short.nanometres, one.missing, one.want.lot != want.lot, len(one.aside), one.want.lot
    )))  # fmt: skip
