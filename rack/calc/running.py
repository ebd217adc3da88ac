"""What may go in the hole next and what must come out next: the order of a string that is run."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.checks import Problem, asks, stops
from rack.calc.kelly import NOTHING, bit_depth
from rack.calc.lengths import Length


def out_problems(names: Sequence[str], wanted: Sequence[int]) -> list[Problem]:
    """Return why these pieces cannot come out of the hole now; [] where they can.

    `names` are the pieces in the hole from the bit upward, `wanted` the places of those that come out (0 at
    the bit). They must be the topmost ones without a gap. Raises ValueError for a place that is none.
    Source: geometry; the words are common practice.
    """
    if any(place not in range(len(names)) for place in wanted):
        raise ValueError(f"wanted holds a place outside of 0 to {len(names) - 1}")
    left, problems = set(wanted), []
    for place in range(len(names) - 1, -1, -1):
        if not left:
            break
        if place not in left:
            first = names[max(left)]
            problems.append(stops(
                f"Not this one: {names[place]} comes next out of the hole, and {first} stands below it. "
                "Write down first what came out above it, or swap it when it is at the rotary.",
                code="order", where=first, measured=first, limit=names[place],
            ))  # fmt: skip
            break
        left.discard(place)
    return problems


def in_problems(names: Sequence[str], wanted: Sequence[int]) -> list[Problem]:
    """Return what is asked when racked pieces are run in another order than they came out; [] in order.

    `names` are the racked pieces from the bit upward, `wanted` the places of those that are run, in the
    order in which they go in. Raises ValueError for a place that is none. Source: trade guide 4, trips
    reverse the rack, common practice; stands that change places are written down.
    """
    if any(place not in range(len(names)) for place in wanted):
        raise ValueError(f"wanted holds a place outside of 0 to {len(names) - 1}")
    due = list(range(len(wanted)))
    for place, should in zip(wanted, due, strict=True):
        if place != should:
            return [asks(
                f"Not this one: {names[should]} came next by the order in which the string was pulled, and "
                f"{names[place]} is run instead. Say why; the order of the string is written anew.",
                code="order", where=names[place], measured=names[place], limit=names[should],
                source="common practice",
            )]  # fmt: skip
    return []


def time_problems(happened: float, now: float, before: float | None, name: str) -> list[Problem]:
    """Return why a change cannot have happened when it is said to have; [] where it can.

    `happened`, `now` and `before` (the last change of the same piece, None for none) in seconds of one
    clock, `name` the piece to say. Ten minutes ahead are taken: two clocks differ. Raises
    nothing. Source: common practice.
    """
    if happened > now + AHEAD_S:
        return [stops(f"The time typed for {name} is still to come.", code="time", where=name)]
    if before is not None and happened < before:
        return [stops(
            f"The time typed for {name} is before its last change in this string.", code="time", where=name
        )]  # fmt: skip
    return []


@dataclass(frozen=True)
class Hanging:
    """What hangs in the hole: `whole` is the length made up there, `bit` the depth of the bit below the
    rotary table, `unknown` how many pieces, or sections by count, have no known length and are not in it."""

    whole: Length
    bit: Length
    unknown: int


def hanging(
    lengths: Sequence[Length | None], *, stick_up: Length, correction: Length = NOTHING
) -> Hanging:
    """Return how deep a string hangs whose pieces in the hole are these.

    `lengths` of the pieces in the hole, None for not known; `stick_up` is what stands above the rotary table,
    `correction` what a strap out of the hole has put right (may be below zero). While less is made up than
    stands above the table the bit is not below it yet, nor where the correction takes away all of it: 0.
    Raises ValueError as `kelly.bit_depth` does. Source: common practice, depth is the sum of the
    lengths in the hole.
    """
    known = [length for length in lengths if length is not None]
    whole = sum(known, NOTHING)
    at_the_table = whole <= stick_up or (whole - stick_up + correction).nanometres <= 0
    bit = NOTHING if at_the_table else bit_depth(whole, NOTHING, stick_up, correction=correction)
    return Hanging(whole, bit, len(lengths) - len(known))


#: So far ahead of the server's clock a hand's clock may be.
AHEAD_S = 600
