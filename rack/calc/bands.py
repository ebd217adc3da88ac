"""The bands that a class is painted with: derived from scheme and class for screen and print, never stored.

A colour is never turned into a class: one white band is new drill pipe and a critical-service work string.
"""

from dataclasses import dataclass

from rack.calc.lookup import caution, rows

#: The scheme by which drill pipe is classed; heavy-weight pipe and collars have no such ladder.
DRILL_PIPE = "drill pipe tube"
_SCHEMES = {"drill_pipe": DRILL_PIPE}
_NUMBERS = {1: "one", 2: "two", 3: "three"}


@dataclass(frozen=True)
class Bands:
    """How many bands of which colour, `words` to stand beside them, and whence that is known."""

    count: int
    colour: str
    words: str
    edition: str
    source: str
    conf: str
    caution: str


def scheme_of(kind: str) -> str:
    """Return the scheme by which pieces of a `kind` (code of `KINDS`) are banded, "" where there is none.

    Takes no unit, raises nothing. Source: trade guide 1, table class_bands.
    """
    return _SCHEMES.get(kind, "")


def bands_of(scheme: str, pipe_class: str) -> Bands | None:
    """Return the bands of a class in its scheme, None where the table has no such class.

    `scheme` is one of the table's, `pipe_class` the class in words as a list gives it ("Premium"); no
    unit. "Class 1" alone has no bands here: some write it for new pipe and some for premium. Raises
    nothing. Source: table class_bands, row by row.
    """
    wanted = " ".join(pipe_class.split()).casefold()
    for row in rows("class_bands"):
        if row["scheme"] == scheme and row["class"].casefold() == wanted:
            count = int(row["bands"])
            words = f"{_NUMBERS[count]} {row['colour']} band{'' if count == 1 else 's'}"
            known = (row["edition"], row["source"], row["conf"], caution(row))
            return Bands(count, row["colour"], words, *known)
    return None
