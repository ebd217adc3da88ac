"""How long pipe comes from the mill: the ranges of each product."""

import re
from dataclasses import dataclass

from rack.calc.given import one_of
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue, number
from rack.calc.losses import SHIPPED

_NM_PER_FT = 304_800_000


@dataclass(frozen=True)
class LengthRange:
    """A range of lengths as the mill delivers it; `variation` is the most one carload may differ."""

    product: str
    name: str
    shortest: Length
    longest: Length
    variation: Length | None
    source: str
    conf: str
    note: str


def _feet(text: str) -> Length | None:
    feet = number(text)
    return None if feet is None else Length(int(feet * _NM_PER_FT))


def _ranges(product: str, catalogue: Catalogue = SHIPPED) -> tuple[LengthRange, ...]:
    found = []
    for row in catalogue.rows("ranges"):
        shortest, longest = _feet(row["min_ft"]), _feet(row["max_ft"])
        if row["product"] == product and shortest is not None and longest is not None:
            found.append(LengthRange(product, row["range"], shortest, longest, _feet(row["max_variation_ft"]),
                                     row["source"], row["conf"], row["note"]))
    return tuple(found)


def range_products() -> tuple[str, ...]:
    """Return the products that have ranges in feet. Raises nothing. Source: table "ranges"."""
    names = dict.fromkeys(row["product"] for row in SHIPPED.rows("ranges"))
    return tuple(name for name in names if _ranges(name))


def length_range(product: str, name: str, *, catalogue: Catalogue = SHIPPED) -> LengthRange:
    """Return one range of `product`, lengths exact.

    `product` is one of `range_products()`, `name` as people write it: "R2", "Range 2", "r 2", "2", "II".
    Drill pipe is the tube before the tool joints are on: a joint is longer. `catalogue` holds the office's
    own rows. Raises ValueError naming what
    is unknown and what is allowed. Source: table "ranges".
    """
    one_of("product", product, range_products())
    plain = re.sub(r"^(RANGE|RGE|R)", "", re.sub(r"[\s.\-]", "", name.upper()))
    number_of = {"1": "R1", "I": "R1", "2": "R2", "II": "R2", "3": "R3", "III": "R3"}.get(plain, name)
    for found in _ranges(product, catalogue):
        if found.name == number_of:
            return found
    raise ValueError(f"name: {name!r} is no range of {product}; there are "
                     + ", ".join(found.name for found in _ranges(product)))


def ranges_of(product: str, length: Length) -> tuple[LengthRange, ...]:
    """Return every range that `length` falls in, ends included; ranges of casing touch at 25 and 34 ft.

    `product` is one of `range_products()`. Raises ValueError for another. Source: table "ranges".
    """
    one_of("product", product, range_products())
    return tuple(found for found in _ranges(product) if found.shortest <= length <= found.longest)
