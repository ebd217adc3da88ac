"""What a tally is for: each purpose with its own words, its straps, and what its order means."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Purpose:
    """One purpose of a tally.

    `words` say on the page for opening one what it is, `order` how its lines run, `mind` what the hands
    must think of. `straps` are wanted unless somebody says otherwise. `in_order`: the lines stand as they
    go in or come out, so that a number out of its turn or a thread that does not fit is asked about.
    `by_stand`: read by the stand and not by the joint.
    """

    code: str
    name: str
    words: str
    order: str
    mind: str
    straps: int = 1
    in_order: bool = False
    by_stand: bool = False


_ALL = (
    Purpose(
        "delivery", "delivery", "what came in, as it is counted and measured", "as the list has them",
        "Count the joints by hand before the truck leaves, and hold the count against the ticket.",
    ),
    Purpose(
        "rack", "rack", "what lies on the rack now", "as they lie",
        "Pipe of another size or thread in the same row is a joint of its own kind: lay it aside.",
    ),
    Purpose(
        "casing", "casing", "what will be run and cemented, two straps unless said otherwise",
        "in the order of running, the shoe first",
        "Count what must be left on the rack when the string is landed; a number not used has a reason.",
        straps=2, in_order=True,
    ),
    Purpose(
        "tubing", "tubing", "what completes the well", "in the order of running, the lowest joint first",
        "Drift every joint; one that fails is laid aside and marked, its line withdrawn with the reason.",
        in_order=True,
    ),
    Purpose(
        "string", "string", "what goes in the hole, from the bit upward", "from the bit upward",
        "A joint picked from another row takes its own line: the number is read as it comes up.",
        in_order=True,
    ),
    Purpose(
        "lay-down", "lay-down", "what comes out and is laid down, single by single", "as they come out",
        "The paint is washed off: a joint is known by its turn only. Number it anew before the next is laid.",
    ),
    Purpose(
        "strap out", "strap out of the hole", "the stands on the way out, each against the sum of its joints",
        "from the bit upward",
        "One reading a stand. What is accepted corrects the depth and never the length of a joint.",
        by_stand=True,
    ),
)  # fmt: skip

PURPOSES: dict[str, Purpose] = {purpose.code: purpose for purpose in _ALL}


def purpose_of(code: str) -> Purpose:
    """Return the purpose with this `code`. Raises ValueError naming the code when there is none.

    Source: trade guide 5.3 and 5.5, common practice.
    """
    try:
        return PURPOSES[code]
    except KeyError:
        raise ValueError(f"a tally is for one of: {', '.join(PURPOSES)}; not for {code!r}") from None
