"""The kinds of piece: one entry each says its ends, how it is measured and what it carries.

To add a kind, add an entry to `KINDS`; pages, search and receiving read this table.
"""

from dataclasses import dataclass

#: How a length was taken, in the hands' words (trade guide 11, common practice).
LENGTH_KINDS = {
    "pins off": "box face to pin shoulder, the pin is not counted",
    "threads on": "face of coupling to end of pin, make-up loss still to come off",
    "threads off": "face of coupling to the make-up mark on the pin",
    "overall, tool": "end to end, the pin is counted",
}

SHOULDERED = ("pins off", "overall, tool")
COUPLED = ("threads on", "threads off")
TOOL = ("overall, tool", "pins off")


@dataclass(frozen=True)
class Kind:
    """One kind of piece.

    `up` and `down` are the usual genders of the ends ("" = either or none). `lengths` are the
    kinds of length it may be measured by, the usual one first. `by_doors`: a reading is judged
    against the wide doors of drill pipe. `family`: "shouldered" or "coupled", which decides what
    is lost when two pieces are made up. `words` are what lists call it, lower case, longest first.
    """

    code: str
    name: str
    plural: str
    family: str
    up: str
    down: str
    lengths: tuple[str, ...]
    words: tuple[str, ...]
    by_doors: bool = False
    in_casing: bool = False


_ALL = (
    Kind(
        "drill_pipe",
        "drill pipe",
        "drill pipe",
        "shouldered",
        "box",
        "pin",
        SHOULDERED,
        ("drill pipe", "drillpipe", "gestänge", "bohrgestänge", "tige de forage", "dp"),
        by_doors=True,
    ),
    Kind(
        "heavy_weight",
        "heavy-weight pipe",
        "heavy-weight pipe",
        "shouldered",
        "box",
        "pin",
        SHOULDERED,
        (
            "heavy weight drill pipe",
            "heavy-weight drill pipe",
            "heavy weight",
            "heavy-weight",
            "heavyweight",
            "schwerstange leicht",
            "hwdp",
            "hw",
        ),
        by_doors=True,
    ),
    Kind(
        "collar",
        "drill collar",
        "drill collars",
        "shouldered",
        "box",
        "pin",
        SHOULDERED,
        ("drill collar", "schwerstange", "masse-tige", "collar", "dc"),
    ),
    Kind(
        "sub",
        "sub",
        "subs",
        "shouldered",
        "",
        "",
        TOOL,
        (
            "crossover sub",
            "crossover",
            "bit sub",
            "float sub",
            "lift sub",
            "saver sub",
            "x-over",
            "xo",
            "sub",
        ),
    ),
    Kind(
        "casing",
        "casing",
        "casing",
        "coupled",
        "box",
        "pin",
        COUPLED,
        ("casing", "futterrohr", "cuvelage", "csg"),
        in_casing=True,
    ),
    Kind(
        "bit",
        "bit",
        "bits",
        "shouldered",
        "pin",
        "",
        TOOL,
        ("roller cone bit", "pdc bit", "core bit", "meißel", "bit"),
    ),
    Kind(
        "jar",
        "jar",
        "jars",
        "shouldered",
        "box",
        "pin",
        TOOL,
        ("hydraulic jar", "mechanical jar", "drilling jar", "schlagschere", "jar"),
    ),
)

KINDS: dict[str, Kind] = {kind.code: kind for kind in _ALL}
KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((kind.code, kind.name) for kind in _ALL)


def kind_of(code: str) -> Kind:
    """Return the kind with this code. Raises ValueError naming the code when there is none."""
    try:
        return KINDS[code]
    except KeyError:
        raise ValueError(
            f"there is no kind of piece called {code!r}; there are: {', '.join(KINDS)}"
        ) from None
