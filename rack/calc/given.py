"""What a calculation is given: a plain finite number inside the allowed range, or an error that says so."""

from decimal import Decimal
from fractions import Fraction
from math import isfinite

Number = int | float | Decimal | Fraction


def _shown(value: float) -> str:
    return f"{value:,}".removesuffix(".0")


def allowed_range(unit: str, low: float | None, high: float | None, *, above: bool, below: bool) -> str:
    """Return the allowed range in words: "more than 0 and at most 60 in".

    `unit` is the unit as text; `low` and `high` the ends in that unit, None for an open end; `above`
    and `below` leave the end itself out. Raises nothing. Source: common practice.
    """
    parts = []
    if low is not None:
        parts.append(f"{'more than' if above else 'at least'} {_shown(low)}")
    if high is not None:
        parts.append(f"{'less than' if below else 'at most'} {_shown(high)}")
    return f"{' and '.join(parts)} {unit}".strip()


def number_in(
    name: str,
    value: object,
    unit: str,
    low: float | None = None,
    high: float | None = None,
    *,
    above: bool = False,
    below: bool = False,
) -> float:
    """Return `value` as a float when it is a finite number in the allowed range.

    `name` is the argument's name (text), `value` what was given in `unit` (text); `low` and `high` are
    the ends of the range in that unit (None = open); `above` and `below` leave the end itself out.
    Raises ValueError that names the argument, its value and the allowed range: True and False, None,
    text, infinities and "not a number" are no measurements. Source: common practice.
    """
    words = allowed_range(unit, low, high, above=above, below=below)
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal, Fraction)):
        raise ValueError(f"{name}: {value!r} is no number; allowed is {words or 'any number'}")
    try:
        number = float(value)
    except (OverflowError, ValueError):
        number = float("inf")
    if not isfinite(number):
        raise ValueError(f"{name}: {value} is no finite number; allowed is {words or 'any number'}")
    too_low = low is not None and (number <= low if above else number < low)
    too_high = high is not None and (number >= high if below else number > high)
    if too_low or too_high:
        given = f"{_shown(number)} {unit}".strip()
        raise ValueError(f"{name}: {given} is out of range; allowed is {words}")
    return number


def one_of(name: str, value: object, allowed: tuple[str, ...]) -> str:
    """Return `value` when it is one of the `allowed` words.

    `name` is the argument's name, `value` what was given, `allowed` the words (no units). Raises
    ValueError that names the argument, its value and the words allowed. Source: common practice.
    """
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(f"{name}: {value!r} is unknown; allowed are {', '.join(map(repr, allowed))}")
    return value
