"""What must pass through a pipe: the drift mandrel of each product and size."""

import re
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.lookup import Catalogue, Row, number, rows
from rack.calc.losses import SHIPPED
from rack.calc.worked import Worked

_LARGEST_OD_IN = 60.0


@dataclass(frozen=True)
class Drift:
    """The mandrel that must pass: its diameter and its length in inches (None = not in the source)."""

    diameter_in: float
    mandrel_length_in: float | None
    source: str
    conf: str


def _within(rule: str, od: float) -> bool:
    """Whether an outside diameter in inches obeys "9-5/8 <= OD <= 13-3/8", "OD < 9-5/8" or "all"."""
    if rule == "all":
        return True
    if not re.search("[<>]", rule):
        raise ValueError(f"size_rule: {rule!r} is no rule like 'OD < 9-5/8' or 'all'")
    left, _, right = re.sub(r"\s*OD\s*", "|OD|", rule).partition("|OD|")
    for side, flipped in ((left, True), (right, False)):
        sign = re.search(r"[<>]=?", side)
        if sign is None:
            continue
        limit = number(side.replace(sign[0], ""))
        if limit is None:
            raise ValueError(f"rule: {rule!r} has a sign without a size")
        small, large = (limit, od) if flipped == (sign[0][0] == "<") else (od, limit)
        if not (small <= large if sign[0].endswith("=") else small < large):
            return False
    return True


def drift_products() -> tuple[str, ...]:
    """Return the products that have a drift in the table. Raises nothing. Source: table "drift"."""
    return tuple(dict.fromkeys(row["product"] for row in rows("drift")))


def _drift_row(product: str, od: float, catalogue: Catalogue) -> Row:
    one_of("product", product, drift_products())
    rules = [row for row in catalogue.rows("drift") if row["product"] == product]
    for row in rules:
        if _within(row["size_rule"], od):
            return row
    raise ValueError(f"od_in: {od:g} in is in none of the bands of {product}; allowed are "
                     + "; ".join(row["size_rule"] for row in rules))


def drift_worked(product: str, od_in: float, bore_in: float, *, catalogue: Catalogue = SHIPPED) -> Worked:
    """Return the drift diameter in inches: the nominal bore less the table's allowance.

    `product` is one of `drift_products()` ("casing", "tubing", ...), `od_in` and the nominal `bore_in`
    in inches, `bore_in` above the allowance and below `od_in`. Raises ValueError naming the argument, its
    value and the allowed range. `catalogue` holds the office's own rows.
    Source: table "drift" (API 5CT; other rows from memory).
    """
    od = number_in("od_in", od_in, "in", 0, _LARGEST_OD_IN, above=True)
    row = _drift_row(product, od, catalogue)
    allowance = float(number(row["below_id_in"]) or 0)
    bore = number_in("bore_in", bore_in, "in", allowance, od, above=True, below=True)
    length = row["mandrel_length_in"]
    return Worked(
        bore - allowance, "in", "drift = nominal bore - allowance",
        {"product": product, "OD": f"{figure(od)} in", "bore": f"{figure(bore)} in",
         "allowance": f"{figure(allowance)} in ({row['size_rule']})",
         "mandrel": f"{length} in long" if length else "length not in the source"},
        (f"{figure(bore)} - {figure(allowance)} = {figure(bore - allowance)} in",),
        f"{row['standard']}: {row['source']}")


def drift(product: str, od_in: float, bore_in: float, *, catalogue: Catalogue = SHIPPED) -> Drift:
    """Return drift diameter and mandrel length, in inches.

    `product`, `od_in` and `bore_in` (inches), `catalogue` and ValueError as in `drift_worked`, which shows
    the steps.
    Source: table "drift".
    """
    worked = drift_worked(product, od_in, bore_in, catalogue=catalogue)
    row = _drift_row(product, float(od_in), catalogue)
    length = number(row["mandrel_length_in"])
    return Drift(worked.value, None if length is None else float(length), row["source"], row["conf"])


def alternate_drift(size: str, weight_lb_ft: float, *, catalogue: Catalogue = SHIPPED) -> Row | None:
    """Return the row of a larger drift that may be ordered for this size and weight, or None.

    `size` as the trade writes it ("9-5/8"), `weight_lb_ft` in lb/ft, `catalogue` the rows in force. Raises
    ValueError for a size that is no number and a weight out of range.
    Source: table "alternate_drift", from memory.
    """
    weight = number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 1000, above=True)
    for row in catalogue.rows("alternate_drift"):
        if number(row["size_in"]) == number(size) and number(row["weight_lb_ft"]) == Fraction(str(weight)):
            return row
    return None
