"""Units by quantity: factors as exact fractions, nanometres a unit, and the presets of a site.

Every factor here is exact by definition (international inch, pound, standard gravity, US gallon),
so turning a number there and back gives the same number. Turn numbers at the door only.
"""

from fractions import Fraction

#: Whole nanometres in one unit of length. The inch is 25.4 mm by definition (1959 agreement).
NM: dict[str, int] = {
    "ft": 304_800_000,
    "in": 25_400_000,
    "m": 1_000_000_000,
    "cm": 10_000_000,
    "mm": 1_000_000,
}

#: What a unit of length is called in a sentence: one, and many.
UNIT_NAMES: dict[str, tuple[str, str]] = {
    "ft": ("foot", "feet"),
    "in": ("inch", "inches"),
    "m": ("metre", "metres"),
    "cm": ("centimetre", "centimetres"),
    "mm": ("millimetre", "millimetres"),
}

_LB = Fraction(45_359_237, 100_000_000)  # kg in a pound, exact
_LBF = _LB * Fraction(980_665, 100_000)  # N in a pound-force, by standard gravity
_FT = Fraction(3048, 10_000)  # m in a foot
_INCH = Fraction(254, 10_000)  # m in an inch
_GALLON = Fraction(3_785_411_784, 10**12)  # m3 in a US gallon

#: quantity -> unit -> how many of the quantity's base unit one of it is. The base unit has factor 1.
FACTORS: dict[str, dict[str, Fraction]] = {
    "length": {unit: Fraction(nm, 10**9) for unit, nm in NM.items()},
    "size": {unit: Fraction(NM[unit], 10**9) for unit in ("in", "mm", "cm", "m", "ft")},
    "weight": {"kg/m": Fraction(1), "lb/ft": _LB / _FT},
    "mass": {"kg": Fraction(1), "lb": _LB, "t": Fraction(1000), "short ton": 2000 * _LB},
    "force": {"N": Fraction(1), "kN": Fraction(1000), "lbf": _LBF, "klbf": 1000 * _LBF},
    "torque": {"N·m": Fraction(1), "kN·m": Fraction(1000), "ft-lb": _LBF * _FT},
    "pressure": {
        "kPa": Fraction(1),
        "MPa": Fraction(1000),
        "bar": Fraction(100),
        "psi": _LBF / _INCH**2 / 1000,
    },
    # A specific gravity of 1 is taken as 1000 kg/m3 (8.345 ppg); common practice.
    "mud": {"kg/m3": Fraction(1), "SG": Fraction(1000), "ppg": _LB / _GALLON},
}

#: preset of a site -> quantity -> unit. Sizes stay in inches on every rig (trade guide 12).
PRESETS: dict[str, dict[str, str]] = {
    "us": {
        "length": "ft", "size": "in", "weight": "lb/ft", "mass": "lb", "force": "lbf",
        "torque": "ft-lb", "pressure": "psi", "mud": "ppg",
    },
    "metric": {
        "length": "m", "size": "in", "weight": "kg/m", "mass": "kg", "force": "kN",
        "torque": "kN·m", "pressure": "bar", "mud": "SG",
    },
    "mixed": {
        "length": "m", "size": "in", "weight": "lb/ft", "mass": "t", "force": "kN",
        "torque": "kN·m", "pressure": "psi", "mud": "SG",
    },
}  # fmt: skip

#: Figures after the point that a tape is read to in this unit (trade guide 5.3).
USUAL_DIGITS: dict[str, int] = {"ft": 2, "in": 3, "m": 2, "cm": 0, "mm": 0}


def nm_per(unit: str) -> int:
    """Return the whole nanometres in one `unit` of length ("ft", "in", "m", "cm" or "mm").

    Raises ValueError naming the unit when it is none of these. Source: international inch, exact.
    """
    try:
        return NM[unit]
    except KeyError:
        raise ValueError(f"{unit!r} is no unit of length here; there are: {', '.join(NM)}") from None


def factor(quantity: str, from_unit: str, to_unit: str) -> Fraction:
    """Return the exact number of `to_unit` in one `from_unit`, both units of `quantity`.

    `quantity` is a key of FACTORS. Raises ValueError naming the quantity or unit that is not known.
    Source: definitions of the international inch, pound, standard gravity and US gallon, exact.
    """
    if quantity not in FACTORS:
        raise ValueError(f"{quantity!r} is no quantity here; there are: {', '.join(FACTORS)}")
    units = FACTORS[quantity]
    for unit in (from_unit, to_unit):
        if unit not in units:
            raise ValueError(f"{unit!r} is no unit of {quantity} here; there are: {', '.join(units)}")
    return units[from_unit] / units[to_unit]


def convert(value: float, quantity: str, from_unit: str, to_unit: str) -> float:
    """Return `value` turned from `from_unit` into `to_unit`, as a float; for strengths, torques, weights.

    Lengths of pieces are never turned this way: they are `Length`. Raises ValueError as `factor` does.
    Source: as `factor`.
    `quantity` is a key of `FACTORS`.
    """
    exact = factor(quantity, from_unit, to_unit)
    return value * exact.numerator / exact.denominator
