"""Time lines that are pasted: by their headings, with every problem, over midnight and a clock change."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import read_time_lines
from rack.calc.hours.headings import TimeHeading, time_heading
from rack.calc.hours.lines import MOST_LINES, read_date
from rack.calc.lengths import Length

OSLO = ZoneInfo("Europe/Oslo")
DAY = date(2026, 2, 10)


def read(text, **more):
    return read_time_lines(text, OSLO, **{"day": DAY, **more})


@pytest.mark.parametrize("sign", ["\t", ";", "|", ","])
def test_lines_are_cut_at_any_of_the_usual_signs(sign):
    text = "from|to|from depth|to depth|rotating|sliding|circ|on bottom|below rotary|rpm\n"
    text += "06:00|18:00|8000|8300|10|0:30|2 1/4|.5|12.00|120\n"
    (line,) = read(text.replace("|", sign))
    leg = line.leg
    assert line.problems == ()
    assert leg.from_at == datetime(2026, 2, 10, 6, tzinfo=OSLO)
    assert leg.to_nm == Length.parse("8300", "ft").nanometres
    assert (leg.rotating_s, leg.sliding_s, leg.circulating_s, leg.bottom_s, leg.below_rotary_s, leg.rpm) == (
        36_000, 1800, 8100, 1800, 43_200, 120,
    )  # fmt: skip
    assert leg.n == line.row == 2


def test_an_empty_cell_is_unknown_and_not_zero():
    (line,) = read("from;to;rot;slide\n06:00;;;0\n")
    assert (line.leg.to_at, line.leg.rotating_s, line.leg.sliding_s) == (None, None, 0)


def test_a_sheet_without_dates_goes_past_midnight():
    lines = read("from;to;rot\n18:00;24:00;5\n00:00;06:00;5\n06:00;18:00;1\n18:00;06:00;1\n06:00;12:00;2")
    assert [line.leg.from_at.day for line in lines] == [10, 11, 11, 11, 12]
    assert [line.leg.duration_s for line in lines] == [21_600, 21_600, 43_200, 43_200, 21_600]
    assert [problem.code for line in lines for problem in line.problems] == ["H31"]


def test_a_closing_midnight_is_24_00():
    (line,) = read("from;to;rot\n18:00;00:00;5\n")
    assert line.leg.to_at == datetime(2026, 2, 11, tzinfo=OSLO)
    assert line.problems == ()


def test_a_date_column_governs_and_a_blank_in_it_goes_on():
    text = "date;from;to;rot\n2026-02-11;06:00;18:00;5\n;18:00;24:00;1\n12.02.2026;00:00;06:00;1"
    lines = read(text, day=None)
    assert [line.leg.from_at.day for line in lines] == [11, 11, 12]


def test_a_line_over_the_spring_change_is_an_hour_shorter():
    (line,) = read("from;to;rot\n00:00;06:00;5\n", day=date(2026, 3, 29))
    assert line.leg.duration_s == 5 * 3600


def test_the_unit_of_a_heading_governs():
    (line,) = read("from;to;from depth (m);to depth ft;rot (min)\n06:00;12:00;2500;8300;90\n")
    assert line.leg.from_nm == Length.parse("2500", "m").nanometres
    assert line.leg.to_nm == Length.parse("8300", "ft").nanometres
    assert line.leg.rotating_s == 5400


@pytest.mark.parametrize(
    "row, named",
    [
        ("6;12;1;", "time of day"), ("06:00;12:00;1x;", "1x"), ("06:00;12:00;30;", "24 hours"),
        ("06:00;12:00;1;deep", "deep"), ("06:00;12:00;1;8000;9;", "decimal comma"),
        ("26:00;12:00;1;", "26:00"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_named_by_row(row, named):
    (line,) = read(f"from;to;rot;to depth\n{row}\n")
    assert line.leg is None
    assert named in line.problems[0].text
    assert line.problems[0].text.startswith("Row 2")


def test_a_decimal_comma_in_a_comma_list_is_refused_and_not_cut_in_two():
    (line,) = read("from,to,rot\n06:00,12:00,2,25\n")
    assert line.leg is None


def test_words_above_the_headings_are_passed_over_and_unknown_columns_left():
    (line,) = read("Rig Tern 4\n\nfrom;to;mood;rot\n06:00;12:00;good;2\n")
    assert line.row == 4
    assert dict(line.typed) == {"from": "06:00", "to": "12:00", "rotating": "2"}


@pytest.mark.parametrize(
    "text, more, named",
    [("06:00;12:00;2", {}, "headings"), ("", {}, "headings"),
     ("from;to;rot\n1;2;3", {"day": None}, "no date"),
     ("from;to\n" + "06:00;07:00\n" * (MOST_LINES + 1), {}, "5,000")],
)  # fmt: skip
def test_a_text_without_headings_or_a_day_is_refused(text, more, named):
    with pytest.raises(ValueError, match=named):
        read(text, **more)


@pytest.mark.parametrize(
    "text, role, unit",
    [("Rot. (h)", "rotating", ""), ("To depth [m]", "to_depth", "m"), ("END_DEPTH_MD", "to_depth", ""),
     ("Sliding hours", "sliding", ""), ("On-bottom", "bottom", ""), ("Below rotary hrs", "below_rotary", ""),
     ("Start time", "from", ""), ("Report date", "date", ""), ("mood", "", ""), ("", "", "")],
)  # fmt: skip
def test_headings_are_known_by_their_words(text, role, unit):
    assert time_heading(text) == TimeHeading(role, unit)


@pytest.mark.parametrize(
    "text, day",
    [("2026-02-10", 10), ("10.02.2026", 10), ("13/2/2026", 13), ("2/13/2026", 13),
     ("10 Feb 2026", 10), ("10-Feb-2026", 10), ("2/2/2026", 2)],
)  # fmt: skip
def test_a_date_is_read(text, day):
    assert read_date(text) == date(2026, 2, day)


@pytest.mark.parametrize("text", ["05/06/2026", "2026-02-30", "soon", "", "31.02.2026", "99.99.9999"])
def test_a_date_that_could_be_two_or_none_is_refused(text):
    with pytest.raises(ValueError):
        read_date(text)


@given(st.text(alphabet="0123456789:;,.\t\n fromtea/-½", max_size=80))
def test_any_pasted_text_is_read_or_refused_in_words(text):
    for line in read("from;to;rot;to depth\n" + text):
        assert (line.leg is None) == any(problem.severity == "STOPS" for problem in line.problems)


def test_the_end_of_the_calendar_is_no_crash():
    (line,) = read("date;from;to\n9999-12-31;18:00;06:00\n")
    assert line.leg is None
    assert "calendar" in line.problems[0].text
