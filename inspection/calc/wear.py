"""What two inspections say of wear: loss by the hour or by the footage, and when the next limit is reached.

Indicative only: two readings at two places of a tube are no law of wear.
"""

from dataclasses import dataclass
from fractions import Fraction

from inspection.calc.criteria import limits, scheme

#: Said beside every figure of this file.
CAUTION = "Indicative: two readings are no law of wear. Inspection decides."
_PER = {"rotating_s": (3600, "h"), "footage_nm": (304_800_000 * 1000, "1,000 ft")}


@dataclass(frozen=True)
class Wear:
    """Loss between two inspections. `rate` in nm an hour or a thousand feet; `left` is how much of the clock
    (its own unit, from the later reading) until the wall stands at the limit of `step`, None where there was
    no loss or no limit lies below."""

    lost_nm: int
    used: int
    clock: str
    rate: Fraction
    per: str
    step: str
    limit_nm: Fraction | None
    left: int | None
    source: str


def wear(
    earlier_nm: int, later_nm: int, used: int, nominal_nm: int, *, clock: str = "rotating_s",
    code: str = "api_rp7g2_2009", condition: str = "od_wear",
) -> Wear:
    """Return the loss of wall between two inspections and when the next limit is reached.

    `earlier_nm`, `later_nm` and `nominal_nm` are walls in nm, `used` the amount of `clock` ("rotating_s" in
    seconds, "footage_nm" in nm) between them; `code` the scheme and `condition` whose limits are meant.
    Raises ValueError for a wall or an amount not above 0, another clock, or an unknown scheme.
    Source: straight line through two readings, common practice; limits of the scheme.
    """  # fmt: skip
    if min(earlier_nm, later_nm, used, nominal_nm) <= 0:
        raise ValueError("walls and the amount between them must be above 0")
    if clock not in _PER:
        raise ValueError(f"clock: {clock!r} is none of {', '.join(_PER)}")
    per, words = _PER[clock]
    lost = earlier_nm - later_nm
    rate = Fraction(lost * per, used)
    one = scheme(code)
    below = [limit for limit in limits(code, condition) if limit.step != "Class 1" and limit.op == ">="]
    ahead = next((limit for limit in below if limit.value * nominal_nm <= 100 * later_nm), None)
    edge = ahead.value * nominal_nm / 100 if ahead else None
    left = int((later_nm - edge) * used // lost) if edge is not None and lost > 0 else None
    return Wear(lost, used, clock, rate, words, one.step(ahead.step).name if ahead else "", edge, left,
                f"{CAUTION} {ahead.source if ahead else one.source}")
