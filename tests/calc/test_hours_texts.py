"""Hours and clock times as people type them: read to the second, or refused in a sentence."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import Amount, amount_shown, hours_shown, read_clock, read_hours_text

OSLO = ZoneInfo("Europe/Oslo")


@pytest.mark.parametrize(
    "text, seconds",
    [
        ("2.25", 8100), ("2,25", 8100), ("2:15", 8100), ("2 1/4", 8100), ("2-1/4", 8100), ("2¼", 8100),
        ("2 h 15 min", 8100), ("2h15", 8100), ("135 min", 8100), ("2.25 h", 8100), ("2.25 hrs", 8100),
        ("1/4", 900), ("½", 1800), ("3/4", 2700), ("0.5", 1800), (".5", 1800), (",25", 900), ("0", 0),
        ("0:00", 0), ("0.00", 0), ("12", 43_200), ("24", 86_400), ("24:00", 86_400), ("1/3", 1200),
        ("0:20", 1200), (" 2.25 ", 8100), ("2.2500", 8100), ("10.", 36_000), ("45 minutes", 2700),
        ("1 hour", 3600), ("0.01", 36), ("2.125", 7650),
    ],
)  # fmt: skip
def test_hours_are_read_to_the_second(text, seconds):
    assert read_hours_text(text) == seconds


@pytest.mark.parametrize("text", ["", "  ", "\t"])
def test_a_blank_is_unknown_and_not_zero(text):
    assert read_hours_text(text) is None


@pytest.mark.parametrize(
    "text",
    ["-1", "two", "2:75", "2:5", "2.2.5", "1,234,5", "2..5", "4/4", "5/3", "1/0", "2 1", "h", "1e5",
     "inf", "nan", "2:15:30:1", "25", "24.25", "24:15", "225", "1500 min", "0.333", "2,3333", "²",
     "2+1", "=1+1", "1" * 500],
)  # fmt: skip
def test_what_is_no_time_or_no_whole_second_is_refused_with_what_was_typed(text):
    with pytest.raises(ValueError) as refused:
        read_hours_text(text)
    assert text[:10] in str(refused.value)
    assert str(refused.value).endswith(".")


def test_hours_are_read_from_text_only():
    with pytest.raises(ValueError, match="float"):
        read_hours_text(2.25)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_words(text):
    try:
        seconds = read_hours_text(text)
    except ValueError as refused:
        assert str(refused)
    else:
        assert seconds is None or 0 <= seconds <= 86_400


@given(st.integers(0, 96))
def test_quarters_are_read_back_as_they_are_printed(quarters):
    assert read_hours_text(hours_shown(900 * quarters)) == 900 * quarters


@pytest.mark.parametrize(
    "text, hour, minute, day",
    [("06:00", 6, 0, 25), ("6:00", 6, 0, 25), ("6.15", 6, 15, 25), ("0615", 6, 15, 25), ("23:59", 23, 59, 25),
     ("00:00", 0, 0, 25), ("24:00", 0, 0, 26), ("2400", 0, 0, 26), ("12:30:00", 12, 30, 25)],
)  # fmt: skip
def test_a_clock_time_is_the_day_s_and_24_00_is_the_next_day_s_midnight(text, hour, minute, day):
    assert read_clock(text, date(2026, 11, 25), OSLO) == datetime(2026, 11, day, hour, minute, tzinfo=OSLO)


@pytest.mark.parametrize(
    "text", ["25:00", "24:01", "12:60", "noon", "12", "1:2", "-1:00", "١٢:٠٠", "12:00 pm"]
)
def test_what_is_no_time_of_day_is_refused(text):
    with pytest.raises(ValueError, match="time of day"):
        read_clock(text, date(2026, 11, 25), OSLO)


def test_a_blank_clock_is_unknown():
    assert read_clock("", date(2026, 11, 25), OSLO) is None


def test_midnight_of_a_day_with_a_clock_change_is_the_next_day():
    """The day has 23 hours; 24:00 is still the next midnight by the wall."""
    day = date(2026, 3, 29)
    begins, ends = read_clock("00:00", day, OSLO), read_clock("24:00", day, OSLO)
    assert ends.astimezone(UTC) - begins.astimezone(UTC) == timedelta(hours=23)


def test_the_end_of_the_calendar_is_an_answer_and_no_crash():
    with pytest.raises(ValueError, match="calendar"):
        read_clock("24:00", date.max, OSLO)


@pytest.mark.parametrize(
    "seconds, known, digits, shown",
    [(45_000, True, 2, "12.50"), (45_000, False, 2, "at least 12.50"), (0, False, 2, "at least 0.00"),
     (18, True, 2, "0.01"), (17, True, 2, "0.00"), (3_600_000, True, 2, "1,000.00"), (-900, True, 2, "-0.25"),
     (-1, True, 2, "0.00"), (45_000, True, 0, "13"), (5400, True, 1, "1.5")],
)  # fmt: skip
def test_hours_are_printed_rounded_once_half_up(seconds, known, digits, shown):
    assert hours_shown(seconds, known=known, digits=digits) == shown


def test_other_digits_are_refused():
    with pytest.raises(ValueError, match="figures"):
        hours_shown(1, digits=7)


@pytest.mark.parametrize(
    "clock, amount, shown",
    [("rotating_s", Amount(45_000), "12.50"), ("hits_n", Amount(1200, known=False), "at least 1,200"),
     ("footage_nm", Amount(91_440_000_000), "300.00"), ("runs_n", Amount(3), "3")],
)  # fmt: skip
def test_a_clock_is_printed_in_its_own_unit(clock, amount, shown):
    assert amount_shown(clock, amount) == shown


def test_an_unknown_clock_is_named():
    with pytest.raises(ValueError, match="days"):
        amount_shown("days", Amount(1))
