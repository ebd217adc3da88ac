"""The balance by piece: what was received against where it is now, the difference named by serial.

received = in the hole + in the derrick + in the mousehole + on the rack + laid aside + at inspection
+ in repair + in transit + left in the well + lost + returned + scrapped (trade guide 5.4, common
practice). For one site of several, what has gone on to another site stands beside them.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from rack.calc.checks import Problem, stops
from rack.calc.states import ON_SITE, REACHED, STATES


@dataclass(frozen=True)
class Part:
    """One term of the balance: its code, its name, and the states whose pieces it holds."""

    code: str
    name: str
    states: tuple[str, ...]


#: The terms in the order of the sum. Pieces at the site are told apart by the kind of their place.
PARTS: dict[str, Part] = {
    part.code: part
    for part in (
        Part("hole", "in the hole", ("in_string",)),
        Part("derrick", "in the derrick", ("in_derrick",)),
        Part("mousehole", "in the mousehole", ON_SITE),
        Part("rack", "on the rack", ON_SITE),
        Part("aside", "laid aside", ON_SITE),
        Part("inspection", "at inspection", ("at_inspection",)),
        Part("repair", "in repair", ("in_repair",)),
        Part("transit", "in transit", ("in_transit",)),
        Part("left", "left in the well", ("left_in_well",)),
        Part("lost", "lost in hole", ("lost_in_hole",)),
        Part("returned", "returned", ("returned",)),
        Part("scrapped", "scrapped", ("scrapped",)),
        Part("elsewhere", "gone on to another site", ()),
    )
}
#: Pieces that no term holds: at the site by their state, and on no rack and not laid aside.
UNPLACED = "unplaced"
#: Kinds of place that hold pieces of the site, each a term of its own name; no other kind does.
AT_SITE = ("rack", "aside", "mousehole")
_BY_STATE = {state: code for code, part in PARTS.items() if part.states != ON_SITE for state in part.states}


def part_of(state: str, place_kind: str) -> str:
    """Return the code of the term that holds a piece, UNPLACED for none and "" for one still on order.

    `state` is a code of `STATES`, `place_kind` the kind of its place, "" without one. Raises ValueError
    for an unknown state. Source: trade guide 5.4, common practice.
    """
    if state not in STATES:
        raise ValueError(f"there is no state {state!r}; there are: {', '.join(STATES)}")
    if state in ON_SITE:
        return place_kind if place_kind in AT_SITE else UNPLACED
    return _BY_STATE.get(state, "")


def is_shown(code: str, count: int) -> bool:
    """Return whether a term stands on the page: it holds something, or something can lead to it.

    The mousehole is empty most of the time, and stands there only while it is not.

    `count` is how many it holds. Raises KeyError for an unknown code. Source: common practice.
    `code` is that of the term.
    """
    return bool(count or (code != "mousehole" and set(PARTS[code].states) & set(REACHED)))


@dataclass(frozen=True)
class Balance:
    """The sum: how many were received, how many each term holds, and what is left over."""

    received: int
    parts: Mapping[str, int]

    @property
    def accounted(self) -> int:
        """How many pieces all the terms hold together."""
        return sum(self.parts.values())

    @property
    def difference(self) -> int:
        """Received less accounted for: over 0 pieces are missing, under 0 there are too many."""
        return self.received - self.accounted

    @property
    def closes(self) -> bool:
        return self.difference == 0


def balance(received: int, counted: Iterable[tuple[str, str, int]], elsewhere: int = 0) -> Balance:
    """Return the balance from counts: (state, kind of place, how many), any pair as often as it comes.

    `received` is how many were ever received, `elsewhere` how many of them have gone on to another site.
    What no term holds is left over in `difference`. Raises ValueError for an unknown state or a count
    under 0. Source: trade guide 5.4, common practice.
    The counts are `counted`.
    """
    parts = dict.fromkeys(PARTS, 0)
    parts["elsewhere"] = elsewhere
    for state, kind, count in counted:
        if count < 0:
            raise ValueError(f"{STATES[state].name}: {count} pieces cannot be counted")
        code = part_of(state, kind)
        if code in parts:
            parts[code] += count
    return Balance(received, parts)


@dataclass(frozen=True)
class Missing:
    """Where sets of pieces disagree: received and in no term, in a term and never received, in several."""

    nowhere: tuple[str, ...]
    never_received: tuple[str, ...]
    twice: tuple[tuple[str, tuple[str, ...]], ...]

    def __bool__(self) -> bool:
        return bool(self.nowhere or self.never_received or self.twice)


def missing(received: Collection[str], parts: Mapping[str, Collection[str]]) -> Missing:
    """Return the pieces by name that make a balance fail, even one whose totals agree.

    `received` and each term are names that are unique (serial with tag). A joint lost and a joint found
    cancel in the totals, never here. Raises nothing. Source: trade guide 5.3, a serial balance that is
    not 0 is a joint left out.
    `parts` holds the names by the code of their term.
    """
    held: Counter[str] = Counter(name for names in parts.values() for name in set(names))
    there = set(received)
    return Missing(
        nowhere=tuple(sorted(there - set(held))),
        never_received=tuple(sorted(set(held) - there)),
        twice=tuple(
            (name, tuple(code for code, names in parts.items() if name in set(names)))
            for name in sorted(name for name, count in held.items() if count > 1)
        ),
    )


def missing_problems(found: Missing) -> list[Problem]:
    """Return each difference as a sentence that names its piece.

    Takes what `missing` returned; raises nothing. Source: trade guide 5.4, common practice.
    `found` is what `missing` returned.
    """
    problems = [
        stops(f"{name} was received and is nowhere: on no rack, not laid aside, not away.", code="missing",
              where=name) for name in found.nowhere
    ]  # fmt: skip
    problems += [
        stops(f"{name} is counted here and was never received.", code="over", where=name)
        for name in found.never_received
    ]
    problems += [
        stops(f"{name} is counted twice: {' and '.join(PARTS[code].name for code in codes)}.", code="twice",
              where=name) for name, codes in found.twice
    ]  # fmt: skip
    return problems
