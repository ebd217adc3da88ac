"""A string as the rules, the loads and the paper see it: pieces in order from the bit upward (law 6)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rack.calc.lengths import Length
from rack.calc.specs import SpecFacts


@dataclass(frozen=True)
class Link:
    """One piece of a string, or a section by count that has no list yet.

    `ident` is what a sentence calls it ("KD4201", "15 heavy-weight pipe, list to follow"). `length` is the
    length it adds to the depth, of all `count` pieces together, None when it is not known (law 8: unknown
    is not zero). `facts` are the canonical texts of the facts of its own, those noted on the piece over those
    of its specification (`rack.calc.facts`). `pipe_class` is the class as given, "" unknown, with
    `scheme` beside it. `holds` are the reasons of the holds that stand. `due` is "" when nobody keeps it,
    else "fine", "soon", "due" or "over"; `due_by` is whose limit that is ("default", "maker", "contract",
    "company", "law"). `stands` is the state in which a telescoping tool was measured ("open", "closed", "").
    `opened` and `closed` are its two lengths. `elsewhere` names the other string that has it now, or is "".
    """

    ident: str
    spec: SpecFacts
    length: Length | None
    tag: str = ""
    serial: str = ""
    count: int = 1
    named: bool = True
    facts: Mapping[str, str] = field(default_factory=dict)
    pipe_class: str = ""
    scheme: str = ""
    state: str = ""
    holds: tuple[str, ...] = ()
    due: str = ""
    due_by: str = ""
    stands: str = ""
    opened: Length | None = None
    closed: Length | None = None
    elsewhere: str = ""
    key: int = 0


@dataclass(frozen=True)
class Placed:
    """A link with its place in the string: the length below its bottom and below its top, from the bit.

    `bottom` and `top` are None from the first link of unknown length upward.
    """

    n: int
    link: Link
    bottom: Length | None
    top: Length | None


def placed(links: Sequence[Link]) -> tuple[Placed, ...]:
    """Return each link with its distances from the bit, number 1 at the bit.

    `links` from the bit upward. The distances are exact lengths, None above a link whose length is not
    known. Raises nothing. Source: addition; law 6 of this project.
    """
    below: Length | None = Length(0)
    rows = []
    for n, link in enumerate(links, 1):
        top = None if below is None or link.length is None else below + link.length
        rows.append(Placed(n, link, below, top))
        below = top
    return tuple(rows)


def length_of(links: Sequence[Link]) -> Length | None:
    """Return the whole length of a string, None when a length in it is not known.

    `links` in any order; an empty string has the length 0. Raises nothing. Source: addition.
    """
    known = [link.length for link in links if link.length is not None]
    return sum(known, Length(0)) if len(known) == len(links) else None
