"""Exact lengths: a whole number of nanometres, read from text, added up, and rounded once when shown."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction

from rack.calc.typed import fold, read_nanometres
from rack.calc.units import NM, nm_per
from rack.calc.worked import Worked

_DIVIDING = Context(prec=28)


@dataclass(frozen=True, order=True, slots=True)
class Length:
    """A length of exactly `nanometres`, below zero only as a difference of two.

    0.01 ft, 1 mm, 1/64 in and 0.001 in are all whole nanometres, so that a sum of any mix of
    units is exact. Lengths compare, hash, add and subtract; `sum()` works; they multiply with
    whole numbers only. Raises TypeError for anything but an int.
    """

    nanometres: int

    def __post_init__(self) -> None:
        if type(self.nanometres) is not int:
            raise TypeError(f"a length is a whole number of nanometres, not {self.nanometres!r}")

    @classmethod
    def parse(cls, text: str, unit: str = "ft", *, decimal: str = "") -> "Length":
        """Return the length written in `text`: "31.24", "31,24", "31 ft 3 1/2 in", "9.62 m", "5-1/2 in".

        `unit` ("ft", "in", "m", "cm", "mm") counts only where the text names none; `decimal` is "."
        or "," where the whole list is known to use that mark. Raises ValueError with a sentence
        that names what was wrong: what is doubtful, or no whole nanometre, is refused, never rounded.
        Source: international inch, exact.
        """
        return cls(read_nanometres(text, unit, decimal=decimal))

    @property
    def feet(self) -> Decimal:
        """The length in feet, to 28 figures."""
        return _DIVIDING.divide(Decimal(self.nanometres), Decimal(NM["ft"]))

    @property
    def metres(self) -> Decimal:
        """The length in metres, to 28 figures."""
        return _DIVIDING.divide(Decimal(self.nanometres), Decimal(NM["m"]))

    def __add__(self, other: "Length") -> "Length":
        if not isinstance(other, Length):
            return NotImplemented
        return Length(self.nanometres + other.nanometres)

    def __radd__(self, other: int) -> "Length":
        # sum() starts from the number 0; no other number may be added to a length.
        return self if type(other) is int and other == 0 else NotImplemented

    def __sub__(self, other: "Length") -> "Length":
        if not isinstance(other, Length):
            return NotImplemented
        return Length(self.nanometres - other.nanometres)

    def __mul__(self, times: int) -> "Length":
        return Length(self.nanometres * times) if type(times) is int else NotImplemented

    __rmul__ = __mul__

    def __neg__(self) -> "Length":
        return Length(-self.nanometres)

    def __abs__(self) -> "Length":
        return Length(abs(self.nanometres))

    def in_shown_units(self, unit: str, digits: int) -> int:
        """Return the length in whole steps of the last shown figure: 31.24 ft with 2 digits is 3124.

        `unit` is a unit of length, `digits` the figures after the point, 0 to 12. Rounded once,
        half up (a half goes away from zero below zero too). Raises ValueError for another unit or
        digits. Source: law 1 of the house.
        """
        return steps_of(self.nanometres, unit, digits)

    def shown(self, unit: str, digits: int) -> str:
        """Return the length as it is read: "1,031.24", thousands by commas, without the unit.

        Takes and raises what `in_shown_units` does. Nothing is shown as "-0.00".
        `unit` is "ft", "in", "m", "cm" or "mm", `digits` the figures after the point. Raises ValueError
        as `in_shown_units` does. Source: law 1 of the house, rounded once, half up.
        """
        return shown_steps(self.in_shown_units(unit, digits), digits)


#: What a sum of nothing is.
ZERO = Length(0)


def steps_of(nanometres: int | Fraction, unit: str, digits: int) -> int:
    """Return `nanometres`, whole or exact as an average is, in steps of the last shown figure.

    `unit` is a unit of length, `digits` the figures after the point, 0 to 12. Rounded once, half up
    (away from zero below zero too). Raises ValueError for another unit or digits.
    Source: law 1 of the house.
    """
    if not 0 <= digits <= 12:
        raise ValueError(f"a length is shown with 0 to 12 figures after the point, not {digits}")
    per = nm_per(unit) * nanometres.denominator
    steps: int = (2 * abs(nanometres.numerator) * 10**digits + per) // (2 * per)
    return -steps if nanometres < 0 else steps


def shown_steps(steps: int, digits: int) -> str:
    """Return whole steps of the last shown figure as they are read: 103124 with 2 `digits` is "1,031.24".

    `digits` are the figures after the point, 0 or more. Raises nothing. Source: law 1 of the house.
    `steps` may be negative.
    """
    whole, after = divmod(abs(steps), 10**digits)
    text = f"{whole:,}.{after:0{digits}d}" if digits else f"{whole:,}"
    return "-" + text if steps < 0 else text


def strap_digits(text: str, unit: str, digits: int) -> Length:
    """Return what was typed on the strap page: with 2 `digits`, "3124" is 31.24 of `unit`.

    Bare figures carry their decimals at the end, because gloves find no point. A text with a point,
    a comma, a fraction or a unit is read as written. Raises ValueError as `Length.parse` does.
    Source: common practice.
    `text` is what was typed.
    """
    plain = fold(text)
    if plain.isdigit() and digits:
        padded = plain.zfill(digits + 1)
        plain = padded[:-digits] + "." + padded[-digits:]
        return Length(read_nanometres(plain, unit))
    return Length.parse(text, unit)


def make_up_length(overall: Length, losses: Length | Iterable[Length]) -> Length:
    """Return what a piece adds to the string: `overall` less every length in `losses`.

    `losses` are the pins (shouldered pipe: the measured pin; coupled pipe: the make-up loss), one
    for each pin that stands in a box; a piece taped pins off has none. Raises ValueError when a
    loss is below zero or nothing is left. Source: trade guide 11, common practice.
    """
    taken = (losses,) if isinstance(losses, Length) else tuple(losses)
    if any(loss < ZERO for loss in taken):
        raise ValueError("a make-up loss cannot be below zero")
    lost = sum(taken, ZERO)
    left = overall - lost
    if left <= ZERO:
        what = f"{overall.shown('ft', 3)} ft when {lost.shown('ft', 3)} ft is lost in make-up"
        raise ValueError(f"nothing is left of {what}")
    return left


def make_up_length_worked(
    overall: Length, losses: Length | Iterable[Length], *, unit: str = "ft", digits: int = 3
) -> Worked:
    """Return `make_up_length` with its working, written in `unit` with `digits` figures.

    `value` is the Length itself. Raises ValueError as `make_up_length` does.
    Source: trade guide 11, common practice.
    `overall` is the length end to end, `losses` what comes off it.
    """
    taken = (losses,) if isinstance(losses, Length) else tuple(losses)
    value = make_up_length(overall, taken)
    lost = sum(taken, ZERO)

    def written(length: Length) -> str:
        return f"{length.shown(unit, digits)} {unit}"

    inputs = {"overall": written(overall)}
    inputs.update({f"loss {number}": written(loss) for number, loss in enumerate(taken, start=1)})
    steps = (
        f"lost in make-up = {' + '.join(written(loss) for loss in taken) or 'nothing'} = {written(lost)}",
        f"make-up length = {written(overall)} - {written(lost)} = {written(value)}",
        f"exactly {overall.nanometres:,} nm - {lost.nanometres:,} nm = {value.nanometres:,} nm",
    )
    formula = "make-up length = overall - losses"
    return Worked(value, unit, formula, inputs, steps, "trade guide 11, common practice")
