"""The kinds of piece: one entry each says its ends, how it is measured and what it carries.

To add a kind, add an entry to one of the tables beside this file and a drawing to `rack.paper.shapes`;
pages, search and receiving read this table.
"""

from rack.calc.kinds.kind import (
    COUPLED,
    LENGTH_KINDS,
    SHOULDERED,
    SORTS,
    STANDS,
    TOOL,
    Fact,
    Kind,
)
from rack.calc.kinds.lower import LOWER
from rack.calc.kinds.string import STRING
from rack.calc.kinds.well import WELL

__all__ = [
    "COUPLED", "KINDS", "KIND_CHOICES", "LENGTH_KINDS", "SHOULDERED", "SORTS", "STANDS", "TOOL", "Fact",
    "Kind", "kind_of",
]  # fmt: skip

KINDS: dict[str, Kind] = {kind.code: kind for kind in (*STRING, *LOWER, *WELL)}
KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((kind.code, kind.name) for kind in KINDS.values())


def kind_of(code: str) -> Kind:
    """Return the kind with this code. Raises ValueError naming the code when there is none.

    `code` is a key of `KINDS`. Source: house style.
    """
    try:
        return KINDS[code]
    except KeyError:
        raise ValueError(
            f"there is no kind of piece called {code!r}; there are: {', '.join(KINDS)}"
        ) from None
