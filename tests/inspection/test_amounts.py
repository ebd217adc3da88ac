"""Amounts typed into a rule are exact or refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspection.calc.amounts import interval_words, read_amount, unit_of
from inspection.calc.rules import Rule


@pytest.mark.parametrize("text, clock, unit, expected", [
    ("250", "rotating_s", "ft", 900_000), ("250.5", "rotating_s", "ft", 901_800),
    ("250,5", "circulating_s", "ft", 901_800), (" 250 h ", "rotating_s", "ft", 900_000),
    ("0.25", "bottom_s", "ft", 900), ("1 hour", "below_rotary_s", "ft", 3600), ("30 days", "days", "ft", 30),
    ("6", "months", "ft", 6), ("3 runs", "runs_n", "ft", 3), ("40", "hits_n", "ft", 40),
    ("100", "footage_nm", "ft", 100 * 304_800_000), ("100", "footage_nm", "m", 100 * 10**9),
])  # fmt: skip
def test_what_is_typed_is_whole_units_of_its_clock(text, clock, unit, expected):
    assert read_amount(text, clock, unit) == expected


@pytest.mark.parametrize("text, clock, words", [
    ("", "rotating_s", "no amount"), ("soon", "rotating_s", "no amount"), ("-5", "rotating_s", "no amount"),
    ("0", "rotating_s", "more than 0"), ("1,500", "rotating_s", "two things"),
    ("0.3333", "rotating_s", "no whole second"), ("2.5", "days", "no whole number"),
    ("2.5", "runs_n", "no whole number"), ("9999999", "rotating_s", "at most"), ("99999", "days", "at most"),
    ("1e3", "rotating_s", "no amount"), ("0", "footage_nm", "no length"), ("5", "paint", "none of"),
])  # fmt: skip
def test_what_is_not_exact_or_means_two_things_is_refused(text, clock, words):
    with pytest.raises(ValueError, match=words):
        read_amount(text, clock)


@given(st.integers(1, 3_599_999_99))
def test_every_hundredth_of_an_hour_is_read_to_the_second(hundredths):
    """36 s are a hundredth of an hour; nothing is rounded."""
    text = f"{hundredths // 100}.{hundredths % 100:02d}"
    if hundredths <= 100_000_000:
        assert read_amount(text, "rotating_s") == hundredths * 36
    else:
        with pytest.raises(ValueError, match="at most"):
            read_amount(text, "rotating_s")


def test_the_unit_of_lengths_is_that_of_the_site():
    assert (unit_of("footage_nm", "m"), unit_of("rotating_s"), unit_of("runs_n")) == ("m", "h", "times")


def test_an_interval_is_said_in_one_line():
    rule = Rule("drill_pipe", "rotating_s", "full", 1500 * 3600, service="severe", authority="contract")
    words = "drill pipe, severe service: 1,500 h rotating since the last full inspection, by contract"
    assert interval_words(rule).startswith(words)
