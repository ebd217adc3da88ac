"""Factors are exact, and every preset can be turned into every other."""

from fractions import Fraction

import pytest

from rack.calc.units import FACTORS, NM, PRESETS, UNIT_NAMES, USUAL_DIGITS, convert, factor, nm_per


def test_a_foot_is_twelve_inches_and_an_inch_25_4_millimetres() -> None:
    assert NM["ft"] == 12 * NM["in"]
    assert 10 * NM["in"] == 254 * NM["mm"]
    assert NM["m"] == 100 * NM["cm"] == 1000 * NM["mm"] == 10**9


def test_what_a_tape_is_read_to_is_a_whole_number_of_nanometres() -> None:
    """0.01 ft, 1/64 in, 0.001 in and 1 mm carry the whole law that sums are exact."""
    for unit, parts in (("ft", 100), ("in", 64), ("in", 1000), ("m", 1000)):
        assert NM[unit] % parts == 0


@pytest.mark.parametrize(
    "quantity, from_unit, to_unit, expected",
    [
        ("torque", "ft-lb", "N·m", 1.3558179483),  # published to ten figures in NIST SP 811, from memory
        ("weight", "lb/ft", "kg/m", 1.4881639436),
        ("pressure", "psi", "kPa", 6.8947572932),
        ("mud", "ppg", "kg/m3", 119.8264273),
        ("mud", "SG", "ppg", 8.345404452),
        ("force", "lbf", "N", 4.4482216153),
        ("mass", "short ton", "kg", 907.18474),
    ],
)
def test_a_factor_is_the_published_one(quantity: str, from_unit: str, to_unit: str, expected: float) -> None:
    assert float(factor(quantity, from_unit, to_unit)) == pytest.approx(expected, rel=1e-9, abs=0)


def test_there_and_back_is_exactly_one_for_every_pair() -> None:
    for quantity, units in FACTORS.items():
        for one in units:
            for other in units:
                assert factor(quantity, one, other) * factor(quantity, other, one) == Fraction(1)


def test_every_preset_names_a_unit_for_every_quantity() -> None:
    for units in PRESETS.values():
        assert set(units) == set(FACTORS)
        assert all(unit in FACTORS[quantity] for quantity, unit in units.items())


def test_sizes_stay_in_inches_on_every_rig() -> None:
    assert {units["size"] for units in PRESETS.values()} == {"in"}


def test_every_length_unit_has_names_and_usual_digits() -> None:
    assert set(NM) == set(UNIT_NAMES) == set(USUAL_DIGITS)


def test_a_unit_that_is_not_known_is_named() -> None:
    with pytest.raises(ValueError, match="'yd' is no unit of length"):
        nm_per("yd")
    with pytest.raises(ValueError, match="'yd' is no unit of length"):
        factor("length", "yd", "ft")
    with pytest.raises(ValueError, match="'speed' is no quantity"):
        factor("speed", "ft", "m")


def test_a_weight_is_converted_as_a_float() -> None:
    assert convert(19.5, "weight", "lb/ft", "kg/m") == pytest.approx(29.0192, abs=1e-4)
