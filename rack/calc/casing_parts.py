"""What a casing string is made of beside its joints, and what each part does to the length."""

from dataclasses import dataclass

JOINT = "joint"

#: Where an item of the plan goes: into the hole, kept back in case, or not at all.
ROLES: dict[str, str] = {"run": "to run", "spare": "spare", "out": "left out"}


@dataclass(frozen=True)
class PartKind:
    """One kind of part. `mark` is what the lists write for it.

    `pins` says how many of its pins stand in a box and lose length there. `above`: it stands above
    the landing shoulder and counts for the landing only. `hangs`: the string hangs on it.
    `cuts`: what stands above it is cut off.
    """

    code: str
    name: str
    mark: str
    pins: int = 1
    above: bool = False
    hangs: bool = False
    cuts: bool = False


_ALL = (
    PartKind("shoe", "float shoe, box up", "FS", pins=0),
    PartKind("collar", "float collar", "FC"),
    PartKind("stage", "stage collar", "SC"),
    PartKind("marker", "marker joint", "MK"),
    PartKind("pup", "pup joint", "PUP"),
    PartKind("crossover", "crossover", "XO"),
    PartKind("hanger", "casing hanger", "HGR", hangs=True),
    PartKind("slips", "slips, the rest is cut off", "SLIPS", pins=0, hangs=True, cuts=True),
    PartKind("liner_hanger", "liner hanger", "LH", hangs=True),
    PartKind("running_tool", "running tool", "RT", pins=0, above=True),
    PartKind("landing", "landing joint", "LJ", above=True),
    PartKind("other", "other part", "PART"),
)
PARTS: dict[str, PartKind] = {kind.code: kind for kind in _ALL}

#: The part on which a liner hangs: it lands at the top of the liner, not in the shoulder of the well.
HUNG_BELOW = "liner_hanger"

#: Kinds of piece that are parts of a string and no joints of it, where a line of the tally is one.
PART_OF_PIECE: dict[str, str] = {
    "float_shoe": "shoe", "float_collar": "collar", "stage_collar": "stage", "marker_joint": "marker",
    "pup_joint": "pup", "hanger": "hanger", "liner_hanger": "liner_hanger", "landing_collar": "other",
}


def part_kind(code: str) -> PartKind:
    """Return the kind of part that `code` names. Raises ValueError for another. Source: trade guide 12."""
    try:
        return PARTS[code]
    except KeyError:
        raise ValueError(f"there is no part called {code!r}; there are: {', '.join(PARTS)}") from None
