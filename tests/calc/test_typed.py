"""A typed length is read exactly, or refused with a sentence that names what was wrong."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.calc.units import NM

FT = NM["ft"]
IN = NM["in"]


@pytest.mark.parametrize(
    "text, unit, nanometres",
    [
        ("31.24", "ft", 3124 * FT // 100),
        ("31,24", "ft", 3124 * FT // 100),
        (" 31.24 ", "ft", 3124 * FT // 100),
        ("31.240", "ft", 3124 * FT // 100),
        (".5", "ft", FT // 2),
        ("31", "ft", 31 * FT),
        ("0", "ft", 0),
        ("1,031.24", "ft", 103124 * FT // 100),
        ("1.031,24", "ft", 103124 * FT // 100),
        ("1 031,24", "ft", 103124 * FT // 100),
        ("1\u202f031,24", "ft", 103124 * FT // 100),
        ("1,031,240", "mm", 1_031_240 * NM["mm"]),
        ("0,031", "m", 31 * NM["mm"]),
        ("31.24 ft", "m", 3124 * FT // 100),
        ("31.24FT.", "m", 3124 * FT // 100),
        ("31.24'", "m", 3124 * FT // 100),
        ("31 ft 3 in", "m", 31 * FT + 3 * IN),
        ("31ft3in", "ft", 31 * FT + 3 * IN),
        ("31' 3 1/2\"", "ft", 31 * FT + 7 * IN // 2),
        ("31′-3½″", "ft", 31 * FT + 7 * IN // 2),
        ("31’ 3’’", "ft", 31 * FT + 3 * IN),
        ("31 ft 3 1/2 in", "ft", 31 * FT + 7 * IN // 2),
        ("31 feet - 3-1/2 inches", "ft", 31 * FT + 7 * IN // 2),
        ("31 ft 3.5 in", "ft", 31 * FT + 7 * IN // 2),
        ("31 ft 0 in", "ft", 31 * FT),
        ("0 ft 11 63/64 in", "ft", 767 * IN // 64),
        ("5-1/2", "in", 11 * IN // 2),
        ("5 1/2 in", "ft", 11 * IN // 2),
        ("5½", "in", 11 * IN // 2),
        ("½", "in", IN // 2),
        ("2-13/16", "in", 45 * IN // 16),
        ("1/64 in", "ft", IN // 64),
        ("0.001 in", "ft", 25_400),
        ("9.62 m", "ft", 9_620 * NM["mm"]),
        ("9,62 m", "ft", 9_620 * NM["mm"]),
        ("9620 mm", "ft", 9_620 * NM["mm"]),
        ("962 cm", "ft", 9_620 * NM["mm"]),
        ("9 m 62 cm", "ft", 9_620 * NM["mm"]),
        ("9 m 620 mm", "ft", 9_620 * NM["mm"]),
        ("9.62", "m", 9_620 * NM["mm"]),
        ("0.000000001 m", "ft", 1),
        ("３１．２４", "ft", 3124 * FT // 100),
        ("٣١٫٢٤", "ft", 3124 * FT // 100),
        ("३१.२४", "ft", 3124 * FT // 100),
        ("100 000.0 m", "ft", 10**14),
        ("1/3 ft", "in", FT // 3),
    ],
)
def test_a_length_is_read_exactly(text: str, unit: str, nanometres: int) -> None:
    assert Length.parse(text, unit) == Length(nanometres)


@pytest.mark.parametrize(
    "text, says",
    [
        ("", "nothing is written"),
        ("   ", "nothing is written"),
        ("\ufeff", "nothing is written"),
        ("-31.24", "cannot be negative"),
        ("−31.24", "cannot be negative"),
        ("+31.24", "sign in front"),
        ("NaN", "nan"),
        ("inf", "inf"),
        ("joint", "joint"),
        ("1e3", "powers of ten"),
        ("3.1E+1", "powers of ten"),
        ("1,031", "could be 1031 or 1.031"),
        ("31,240 ft", "could be 31240 or 31.240"),
        ("1.03,24", "not where thousands"),
        ("1,03.24", "not where thousands"),
        ("1.2.3", "2 points"),
        ("31.", "nothing follows"),
        ("31 24", "two numbers"),
        ("31-24", "two numbers"),
        ("1234 567.8", "two numbers"),
        ("31.6 ft 3 in", "feet with a part of one"),
        ("31 1/2 ft 3 in", "feet with a part of one"),
        ("31 ft 13 in", "12 inches in a foot"),
        ("31 ft 12 in", "12 inches in a foot"),
        ("9 m 100 cm", "100 centimetres in a metre"),
        ("3 in 31 ft", "feet cannot follow inches"),
        ("31 ft 9.62 m", "metres cannot follow feet"),
        ("31 ft 2 ft", "feet cannot follow feet"),
        ("31 ft 3", "last number has no unit"),
        ("31 ft -", "nothing follows the dash"),
        ("31.24 yd", "yd is no unit"),
        ("31.24 ft overall", "overall"),
        ("ft", "number was expected"),
        ("11/2", "fraction of one"),
        ("5 3/2 in", "fraction of one"),
        ("5 2/2 in", "fraction of one"),
        ("1/0 in", "fraction of one"),
        ("5.5 1/2 in", "fraction cannot follow"),
        ("1/2/3", "two numbers"),
        ("½½", "two numbers"),
        ("½3", "two numbers"),
        ("1/", "no fraction"),
        ("31²", "not a plain digit"),
        ("①", "not a plain digit"),
        ("3١", "two alphabets"),
        ("~31", "sign ~"),
        ("31*", "sign *"),
        ("31\n24", "cannot be seen"),
        ("3\u200b1", "cannot be seen"),
        ("1/3 in", "whole number of nanometres"),
        ("0.0000000001 m", "whole number of nanometres"),
        ("31.123456789", "whole number of nanometres"),
        ("100000.001 m", "more than 100 km"),
        ("9" * 60, "more than 100 km"),
        ("1" * 61, "longer than 60 signs"),
    ],
)
def test_what_cannot_be_read_is_refused_and_named(text: str, says: str) -> None:
    with pytest.raises(ValueError) as refused:
        Length.parse(text, "ft")
    sentence = str(refused.value)
    assert says in sentence
    assert sentence[0] in "“T"
    assert sentence[-1] in ".?"
    assert sentence.isprintable()


def test_a_unit_that_is_not_known_is_refused_even_when_the_text_has_its_own() -> None:
    with pytest.raises(ValueError, match="'yd' is no unit"):
        Length.parse("31 ft", "yd")


@pytest.mark.parametrize(
    "text, decimal, millimetres",
    [("1,031", ".", "1031"), ("9,620", ",", "9.62"), ("1.031", ",", "1031"), ("9.620", ".", "9.62")],
)
def test_a_list_known_to_use_one_mark_is_read_by_it(text: str, decimal: str, millimetres: str) -> None:
    assert Length.parse(text, "mm", decimal=decimal).nanometres == Fraction(millimetres) * NM["mm"]


def test_a_mark_against_the_one_the_list_uses_is_refused() -> None:
    with pytest.raises(ValueError, match="not where thousands"):
        Length.parse("31,24", decimal=".")
    with pytest.raises(ValueError, match="point or a comma"):
        Length.parse("31,24", decimal=";")


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    _is_read_or_refused(text, "ft")


@given(st.text(alphabet="0123456789.,/-'\" ftinmc½١٣+e", max_size=16), st.sampled_from(sorted(NM)))
def test_any_text_made_of_the_signs_of_lengths_is_read_or_refused(text: str, unit: str) -> None:
    _is_read_or_refused(text, unit)


def _is_read_or_refused(text: str, unit: str) -> None:
    try:
        nanometres = Length.parse(text, unit).nanometres
    except ValueError as wrong:
        nanometres, sentence = 0, str(wrong)
    else:
        sentence = "read"
    assert 0 <= nanometres <= 10**14
    assert sentence
    assert sentence.isprintable()
