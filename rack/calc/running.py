"""What may go in the hole next and what must come out next: the order of a string that is run."""

from collections.abc import Sequence

from rack.calc.checks import Problem, asks, stops


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


#: So far ahead of the server's clock a hand's clock may be.
AHEAD_S = 600
