"""Open and closed, and the datum of a well: what is said of each, and what is not."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.datums import Datum, datum_problems
from rack.calc.lengths import Length
from rack.calc.telescopes import NEAR, both_problems, stands_of

OPEN, CLOSED = Length.parse("32.15 ft"), Length.parse("30.90 ft")
TODAY = date(2026, 5, 1)


@pytest.mark.parametrize(
    "reading, stands",
    [("32.15", "open"), ("32.20", "open"), ("30.90", "closed"), ("30.82", "closed"), ("31.50", ""),
     ("40", "")],
)
def test_a_reading_near_one_of_the_two_lengths_says_how_the_tool_stood(reading, stands):
    assert stands_of(Length.parse(reading), OPEN, CLOSED) == stands


def test_nothing_is_said_where_nothing_or_both_would_fit():
    assert stands_of(OPEN, None, None) == ""
    assert stands_of(OPEN, OPEN, OPEN) == ""
    assert stands_of(OPEN, OPEN, None) == "open"


@given(st.integers(1, 10**11), st.integers(2, 10**9), st.integers(-10**8, 10**8))
def test_the_state_is_never_the_farther_one(closed, apart, off):
    opened, reading = Length(closed + apart), Length(closed + off)
    said = stands_of(reading, opened, Length(closed))
    near = {"open": abs(reading - opened), "closed": abs(reading - Length(closed))}
    assert not said or near[said] == min(near.values()) <= NEAR


def test_open_is_longer_than_closed():
    assert both_problems(OPEN, CLOSED, unit="ft", digits=2) == []
    assert both_problems(OPEN, None, unit="ft", digits=2) == []
    wrong = both_problems(CLOSED, OPEN, unit="ft", digits=2)
    assert [one.severity for one in wrong] == [Severity.STOPS]
    assert "30.90 ft" in wrong[0].text
    assert "32.15 ft" in wrong[0].text


def datum(on: date, over: str = "ground", **more: Length) -> Datum:
    return Datum("RKB", Length.parse("25 ft"), over, on, **{"shoulder": Length.parse("27 ft"), **more})


def asked(problems):
    return [one.text for one in problems if one.severity is Severity.ASKS]


def test_a_well_without_a_datum_says_so():
    assert "No datum" in asked(datum_problems(None, None, TODAY))[0]


@pytest.mark.parametrize(
    "measured, rig_from, old",
    [
        (date(2026, 3, 1), date(2026, 3, 2), True),
        (date(2026, 3, 2), date(2026, 3, 2), False),
        (date(2026, 3, 3), date(2026, 3, 2), False),
        (date(2020, 1, 1), None, False),
    ],
)
def test_a_datum_that_is_older_than_the_rig_on_the_well_is_asked_about(measured, rig_from, old):
    found = asked(datum_problems(datum(measured), rig_from, TODAY))
    assert bool(found) == old
    assert all(str(measured) in each and str(rig_from) in each for each in found)


def test_what_was_not_measured_is_a_note():
    plain = Datum("RKB", Length.parse("84 ft"), "sea", date(2026, 3, 2))
    found = datum_problems(plain, None, TODAY)
    assert {one.severity for one in found} == {Severity.NOTE}
    assert len(found) == 2


def test_the_sea_bed_lies_below_the_datum_by_height_and_water():
    assert datum(TODAY, "sea", water=Length.parse("231 ft")).to_bottom == Length.parse("256 ft")
    assert datum(TODAY, "sea").to_bottom is None
    assert datum(TODAY).to_bottom == Length.parse("25 ft")
