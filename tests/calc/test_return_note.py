"""What a rental ran stands on its return note: since it came and in all, and unknown is not zero."""

import pytest

from rack.calc.hours import BY_JOINT, WHOLE_RUN
from rack.calc.loadlist import LoadContent, condition
from rack.calc.return_note import LineClock, clock_rows, event_words
from tests.calc.test_loadlist import FT, content, line

H = 3600


@pytest.mark.parametrize(("clock", "here", "before", "whole"), [
    (LineClock("rotating_s", 45_000, True, 45_000, False), "rotating 12.50 h", "not known",
     "rotating at least 12.50 h"),
    (LineClock("rotating_s", 45_000, True, 405_000, True), "rotating 12.50 h", "rotating 100.00 h",
     "rotating 112.50 h"),
    (LineClock("rotating_s", H, False, 5 * H, False), "rotating at least 1.00 h", "rotating at least 4.00 h",
     "rotating at least 5.00 h"),
    (LineClock("runs_n", 2, True, 2, True), "runs 2", "runs 0", "runs 2"),
    (LineClock("footage_nm", 300 * FT, True, 300 * FT, True), "footage 300.00 ft", "footage 0.00 ft",
     "footage 300.00 ft"),
])  # fmt: skip
def test_a_clock_says_what_it_ran_here_and_in_all(clock, here, before, whole):
    rows = clock_rows([clock], (), "ft", 2)
    assert rows == (("on this hire", "", here, False), ("in all", before, whole, False))


def test_what_was_known_at_delivery_stands_beside_what_was_not():
    clocks = [LineClock("rotating_s", H, True, 5 * H, True), LineClock("runs_n", 2, True, 2, False)]
    assert clock_rows(clocks, (), "ft", 2)[1][1] == "rotating 4.00 h, the rest not known"
    assert clock_rows([], (WHOLE_RUN,), "ft", 2) == ()


def test_the_policy_stands_beside_the_hours_and_only_where_there_are_runs():
    one = LineClock("rotating_s", H, True, H, True)
    assert clock_rows([one], [WHOLE_RUN], "ft", 2)[0][2].endswith("; credited the whole run, the safe side")
    assert "by joint" in clock_rows([one], [BY_JOINT, WHOLE_RUN], "ft", 2)[0][2]


def test_what_happened_is_told_with_its_day_its_amount_and_its_run():
    words = event_words("2026-03-02", "overpull", 40_000, "lbf", run="run 5", note="tight hole")
    assert words == "2026-03-02 overpull, 40,000 lbf, run 5: tight hole"
    assert event_words("2026-03-02", "washout", None, "") == "2026-03-02 washout"


def test_the_note_marks_what_happened_and_the_list_keeps_its_text():
    clocks = (LineClock("rotating_s", 45_000, True, 45_000, False), LineClock("hits_n", 12, True, 12, True))
    made = content(line(1, clocks=clocks, credited=(WHOLE_RUN,), events=("2026-03-02 washout",)))
    rows = condition(made.lines[0], "ft", 2)
    assert [row[0] for row in rows] == ["length", "protectors", "on this hire", "in all", "happened"]
    assert rows[-1] == ("happened", "", "2026-03-02 washout", True)
    assert LoadContent.from_text(made.to_text()) == made


def test_a_list_that_was_stored_before_clocks_stood_on_it_is_read():
    made = content(line(1))
    text = made.to_text().replace(',"clocks":[]', "").replace('"clocks":[],', "")
    for name in ("credited", "events"):
        text = text.replace(f'"{name}":[],', "")
    assert "clocks" not in text
    assert LoadContent.from_text(text) == made


@pytest.mark.parametrize("clocks", ["[3]", '[{"clock":"rotating_s"}]', '["rotating_s"]', "7"])
def test_a_stored_clock_that_is_none_is_refused(clocks):
    text = content(line(1)).to_text().replace('"clocks":[]', f'"clocks":{clocks}')
    with pytest.raises(ValueError, match="not the text of a load"):
        LoadContent.from_text(text)
