"""Daily-report rows become proposed lines: what is counted, what is not and why; odd rows never stop it.

The rows are invented (fixtures/daily_reports); counting rules: table hours_basis, common practice.
"""

import json
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.daily import ASK, COUNTED, NOT_COUNTED, DailyRow, first_answers, propose
from rack.calc.hours import LINE_CLOCKS, Amount, Leg, leg_problems
from rack.errors import UnreadableFile
from rack.exchange.daily_report import read_daily

OSLO = ZoneInfo("Europe/Oslo")
FILE = Path(__file__).parents[2] / "fixtures" / "daily_reports" / "tern_a_12.jsonl"
H, M = 3600, 10**9


@pytest.fixture(scope="module")
def proposed():
    return propose(read_daily(FILE.read_bytes(), FILE.name).rows, OSLO)


def one(remark, activity="drilling -- drill", start="06:00", end="10:00", depth="2500", **more):
    row = DailyRow(1, "Tern A-12", "2026-02-11", start=start, end=end, depth=depth, activity=activity,
                   remark=remark, **more)  # fmt: skip
    return propose([row], OSLO).lines[0]


def hours(line):
    return tuple(line.counted[clock].s for clock in LINE_CLOCKS)


# row -> verdict, work, hours rotating, sliding, circulating, on bottom, below rotary
@pytest.mark.parametrize(
    "n, verdict, work, clocks",
    [
        (1, COUNTED, "drilling", (2.5, 0, 2.5, 2.5, 2.5)),
        (2, NOT_COUNTED, "circulating", (0, 0, 0.5, 0, 0.5)),
        (3, COUNTED, "sliding", (0, 2.25, 2.25, 2.25, 2.25)),
        (4, COUNTED, "drilling, sliding", (2, 0.75, 2.75, 2.75, 2.75)),
        (5, COUNTED, "rotating", (1.5, 0, 1.5, 0, 1.5)),
        (6, NOT_COUNTED, "standing still", (0, 0, 0, 0, 0.5)),
        (7, COUNTED, "reaming", (4, 0, 4, 0, 4)),
        (8, NOT_COUNTED, "tripping", (0, 0, 0, 0, None)),
        (9, NOT_COUNTED, "standing still", (0, 0, 0, 0, 0)),
        (10, NOT_COUNTED, "tripping", (0, 0, 0, 0, 6)),
        (11, ASK, "reaming", (None, 0, None, 0, 4)),
        (12, COUNTED, "drilling", (7.75, 0, 7.75, 7.75, 7.75)),
        (13, NOT_COUNTED, "other", (0, 0, 0, 0, 0)),
    ],
)
def test_each_row_is_counted_by_its_words(proposed, n, verdict, work, clocks):
    line = proposed.lines[n - 1]
    assert (line.row.n, line.verdict, line.work) == (n, verdict, work)
    assert hours(line) == tuple(None if amount is None else amount * H for amount in clocks)


def test_what_it_comes_to(proposed):
    assert proposed.rotating == Amount(int(17.75 * H), known=False)
    assert proposed.at_most_s == int(21.75 * H)
    drill = proposed.activities[0]
    assert (drill.activity, drill.rows, drill.counted, drill.not_counted, drill.to_be_said) == (
        "drilling -- drill", 8, 4, 3, 1,
    )  # fmt: skip
    assert sum(count.rows for count in proposed.activities) == len(proposed.lines) == 13


def test_a_day_that_does_not_close_is_named_and_the_date_of_the_day_after_is_not_the_day(proposed):
    assert [day.day for day in proposed.days] == [date(2026, 2, 11), date(2026, 2, 12)]
    assert [day.closes for day in proposed.days] == [True, False]
    texts = " ".join(problem.text for problem in proposed.problems)
    assert "2026-02-12 does not close: 23.75 h of 24.00 h are in a row; 10:00 to 10:15 not" in texts
    assert "13 of 13 rows bear another date than their day" in texts
    assert proposed.lines[8].leg.to_at == datetime(2026, 2, 12, tzinfo=OSLO)


def test_depths_rpm_and_flow_are_read_from_the_words(proposed):
    first, last = proposed.lines[0], proposed.lines[11]
    assert (first.leg.from_nm, first.leg.to_nm, first.leg.rpm) == (2388 * M, 2412 * M, 150)
    assert str(first.flow) == "2,050 to 2,100 l/min"
    assert (last.leg.from_nm, last.leg.to_nm) == (2466 * M, 2520 * M + M // 2)


def test_a_person_is_asked_for_what_is_not_said(proposed):
    assert dict(first_answers(proposed.lines)) == {
        8: ("below_rotary_s",), 11: ("rotating_s", "circulating_s"),
    }  # fmt: skip
    asked = proposed.lines[10]
    assert asked.counted["rotating_s"].most_s == 4 * H
    assert "how long it turned is not said" in asked.why


def test_every_clock_says_why(proposed):
    assert all(counted.why for line in proposed.lines for counted in line.counted.values())
    assert proposed.lines[7].why == "Rotation not counted: tripping is not rotation, whatever its code."


def test_the_proposed_lines_pass_the_checks_of_lines(proposed):
    found = leg_problems([line.leg for line in proposed.lines])
    assert [problem.text for problem in found if problem.severity == "STOPS"] == []


# Codes, states, times


@pytest.mark.parametrize(
    "remark", ["RIH from 13 m to 2500 m", "POOH to surface", "Tripped out", "Pulled 5 stands wet"]
)
def test_tripping_coded_as_drilling_is_not_rotation(remark):
    line = one(remark)
    assert (line.verdict, line.counted["rotating_s"].s) == (NOT_COUNTED, 0)
    assert [problem.code for problem in line.problems] == ["D05"]


@pytest.mark.parametrize("activity", ["drilling -- casing", "interruption -- fish", "plug abandon", "", "??"])
def test_turning_counts_whatever_the_code_says(activity):
    assert one("Reamed from 2480 m to 2500 m", activity).counted["rotating_s"].s == 4 * H


def test_a_row_coded_as_drilling_without_a_word_of_it_is_asked_for():
    line = one("Continued.")
    counted = line.counted["rotating_s"]
    assert (line.verdict, counted.s, counted.most_s) == (ASK, None, 4 * H)


@pytest.mark.parametrize("remark, severity", [("Drilled to 2500 m", "ASKS"), ("Repaired pump", "NOTE")])
def test_a_row_that_failed_is_pointed_at(remark, severity):
    line = one(remark, state="fail")
    assert severity in [problem.severity for problem in line.problems if problem.code == "D07"]


@pytest.mark.parametrize(
    "start, end, seconds",
    [("22:00", "00:00", 2 * H), ("22:00", "24:00", 2 * H), ("00:00", "00:00", 24 * H),
     ("00:00", "24:00", 24 * H), ("23:45", "00:00", 900), ("22:00", "02:00", 4 * H),
     ("06:00", "06:00", None), ("06:00", "", None),
     ("", "06:00", None), ("soon", "06:00", None)],
)  # fmt: skip
def test_midnight_as_an_end_is_24_00_and_a_missing_end_is_unknown(start, end, seconds):
    line = one("Drilled to 2500 m", start=start, end=end)
    assert line.lasts_s == seconds
    assert line.counted["rotating_s"].s == seconds
    assert line.verdict == (ASK if seconds is None else COUNTED)


def test_a_report_day_may_begin_at_six():
    period = {"period_start": "2026-02-11 06:00", "period_end": "2026-02-12T06:00:00Z"}
    rows = [DailyRow(1, "A", "2026-02-12", start="06:00", end="23:00", **period),
            DailyRow(2, "A", "2026-02-12", start="23:00", end="02:00", **period),
            DailyRow(3, "A", "2026-02-12", start="02:00", end="06:00", **period)]  # fmt: skip
    found = propose(rows, OSLO)
    assert [line.leg.from_at.day for line in found.lines] == [11, 11, 12]
    assert found.open_days == ()


def test_without_a_period_a_person_may_say_that_reports_are_dated_the_day_after():
    row = DailyRow(1, "A", "2026-02-12", start="06:00", end="07:00", remark="Drilled")
    assert propose([row], OSLO).lines[0].day == date(2026, 2, 12)
    assert propose([row], OSLO, dated_after=True).lines[0].day == date(2026, 2, 11)


@pytest.mark.parametrize("day, hours_", [(29, 23), (28, 24)])
def test_the_day_of_the_spring_change_closes_with_23_hours(day, hours_):
    row = DailyRow(1, "A", f"2026-03-{day}", start="00:00", end="24:00", remark="Drilled")
    (found,) = propose([row], OSLO).days
    assert (found.closes, found.covered_s) == (True, hours_ * H)


def test_overlaps_gaps_missing_days_and_rows_that_stand_twice_are_named():
    rows = [DailyRow(1, "A", "2026-02-11", start="00:00", end="12:00", remark="x"),
            DailyRow(2, "A", "2026-02-11", start="11:00", end="20:00", remark="y"),
            DailyRow(3, "A", "2026-02-14", start="00:00", end="24:00", remark="z"),
            DailyRow(4, "A", "2026-02-14", start="00:00", end="24:00", remark="z")]  # fmt: skip
    found = {problem.code: problem.text for problem in propose(rows, OSLO).problems}
    assert set(found) == {"D20", "D21", "D22", "D23"}
    assert "20:00 to 24:00 not" in found["D20"]
    assert "2026-02-12 to 2026-02-13" in found["D22"]
    assert "Rows 3 and 4 are one and the same" in found["D23"]


def test_two_wells_in_one_file_do_not_mix():
    rows = [DailyRow(1, "A", "2026-02-11", start="00:00", end="24:00", depth="4000", remark="POOH"),
            DailyRow(2, "B", "2026-02-11", start="00:00", end="24:00", depth="500", remark="Drilled ahead"),
            DailyRow(3, "A", "2026-02-12", start="00:00", end="24:00", depth="4010", activity="drill")]
    found = propose(rows, OSLO)  # fmt: skip
    assert found.problems == ()
    assert found.lines[1].leg.from_nm is None
    assert found.lines[2].counted["bottom_s"].s == 24 * H


def test_drilling_and_circulating_in_one_row_leave_the_time_on_bottom_unknown_and_count_the_turning_whole():
    line = one("Drilled to TD at 2500 m. Circulated 2 x bottoms up while rotating.")
    assert hours(line) == (4 * H, 0, 4 * H, None, 4 * H)


@pytest.mark.parametrize(
    "remark, rotating, sliding",
    [("Drilled and slid 25 % of the time", 3 * H, H),
     ("Rotated and slid 1.5 hrs", int(2.5 * H), int(1.5 * H)),
     ("Drilled rotating and sliding", None, None), ("Drilled and slid 9 hours", None, None),
     ("Slid from 2480 m to 2500 m", 0, 4 * H)],
)  # fmt: skip
def test_sliding_is_split_where_the_row_says_how_long(remark, rotating, sliding):
    line = one(f"{remark}, 120 rpm" if rotating != 0 else remark)
    assert (line.counted["rotating_s"].s, line.counted["sliding_s"].s) == (rotating, sliding)


def test_a_hole_made_faster_than_anybody_drills_is_asked_about():
    line = one("Drilled from 100 m to 2500 m", end="07:00")
    assert "D15" in [problem.code for problem in line.problems]


def test_a_liner_that_turns_is_no_drilling_string():
    assert "D16" in [problem.code for problem in one("Circulated while rotating liner 15 rpm").problems]


def test_feet_are_feet():
    row = DailyRow(1, "A", "2026-02-11", start="0:00", end="6:00", depth="8,300",
                   remark="Drilled from 8,000 ft to 8,300 ft")  # fmt: skip
    line = propose([row], OSLO, unit="ft").lines[0]
    assert line.leg.gained_nm == 300 * 304_800_000


# Reading files


def rows_of(text, name="rows"):
    return read_daily(text.encode() if isinstance(text, str) else text, name)


ROW = {"date": "2026-02-11", "start_time": "00:00", "end_time": "06:00", "remark": "Drilled",
       "end_depth_md": 2500.5}  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [
        json.dumps(ROW), json.dumps([ROW]), json.dumps({"well": "A", "events": [ROW]}),
        json.dumps([ROW], indent=2),
        # a list that lost its first bracket, and one that lost its end
        json.dumps([ROW], indent=2)[1:], json.dumps([ROW, ROW], indent=2)[:-40],
        "\ufeff" + json.dumps(ROW) + "\n\n",
        "date;start_time;end_time;remark;end_depth_md\n2026-02-11;00:00;06:00;Drilled;2500.5\n",
        "Well A\nDate,From,To,Comment,End depth MD [m]\n2026-02-11,00:00,06:00,Drilled,2500.5\n",
    ],
)  # fmt: skip
def test_json_lines_json_and_tables_give_the_same_row(text):
    (row,) = rows_of(text).rows
    assert (row.day, row.start, row.end, row.remark, row.depth) == (
        "2026-02-11", "00:00", "06:00", "Drilled", "2500.5",
    )  # fmt: skip


def test_a_line_that_is_no_row_is_named_and_the_others_are_read():
    found = rows_of("\n".join([json.dumps(ROW), "{broken", "[]", json.dumps(ROW), json.dumps({"mood": 1})]))
    assert [row.n for row in found.rows] == [1, 4]
    assert [problem.where for problem in found.problems] == ["row 2", "row 3", "row 5"]
    assert "mood" in found.left


def test_the_unit_of_the_depth_column_is_told():
    assert rows_of("date;from;to;remark;end depth (ft)\n2026-02-11;0:00;6:00;Drilled;8300\n").unit == "ft"
    assert rows_of(json.dumps(ROW)).unit == ""


@pytest.mark.parametrize(
    "data",
    [b"", b"  \n", b"{", b"[1, 2]", b"[]", b"%PDF-1.7", b"hello\n", b"a;b\n1;2\n", b"{" * 9999,
     b"[" * 99_999],
)
def test_what_holds_no_rows_is_refused_in_a_sentence(data):
    with pytest.raises(UnreadableFile) as refused:
        rows_of(data)
    assert str(refused.value).endswith(".")


odd = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.sampled_from(
    ["24:00", "00:00", "06:00", "2026-02-11", "9999-12-31", "0001-01-01", "2026-02-11 00:00",
     "RIH reaming 50 rpm", "from 1 m to 2 m", "drilling -- drill", "1e400", "-999.25", "fail"]
) | st.lists(st.none(), max_size=2)  # fmt: skip
keys = ["wellbore", "report_date", "period_start", "period_end", "start_time", "end_time", "end_depth_md",
        "activity_raw", "state", "remark", "x"]  # fmt: skip


@settings(max_examples=200)
@given(st.lists(st.dictionaries(st.sampled_from(keys), odd, max_size=11), max_size=6))
def test_no_row_is_too_odd(values):
    try:
        rows = rows_of(json.dumps(values)).rows
    except UnreadableFile:
        return
    for after in (False, True):
        found = propose(rows, OSLO, dated_after=after)
        assert len(found.lines) == len(rows)
        assert found.rotating.least <= found.at_most_s
        for line in found.lines:
            assert line.leg is None or isinstance(line.leg, Leg)
            assert set(line.counted) == set(LINE_CLOCKS)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data):
    try:
        assert rows_of(data).rows
    except UnreadableFile as refused:
        assert str(refused)
