"""What is wrong with the lines of a run: every problem at once, named by line; tours of 8 and 12 h close."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import Leg, RunFacts, Tour, leg_problems, seconds_between, tours_between
from rack.calc.lengths import Length

OSLO = ZoneInfo("Europe/Oslo")
H = 3600


def at(hour, minute=0, day=10, month=2):
    midnight = datetime(2026, month, day, tzinfo=OSLO)
    return midnight.replace(tzinfo=None).replace(tzinfo=OSLO, hour=hour % 24, minute=minute) + timedelta(
        days=hour // 24
    )


def line(start, end, n=1, **more):
    whole = {"rotating_s": 0, "sliding_s": 0, "circulating_s": 0, "bottom_s": 0, "below_rotary_s": 0}
    return Leg(at(start) if start is not None else None, at(end) if end is not None else None, n=n,
               **{**whole, **more})  # fmt: skip


def codes(*legs, tours=(), run=None):
    return [(problem.code, problem.severity.value) for problem in leg_problems(legs, tours, run)]


def metres(value):
    return Length.parse(str(value), "m").nanometres


DRILLING = {"rotating_s": 2 * H, "sliding_s": H, "circulating_s": 4 * H, "bottom_s": 3 * H,
            "below_rotary_s": 6 * H, "from_nm": metres(2000), "to_nm": metres(2100), "rpm": 120}  # fmt: skip


def test_good_lines_have_no_problem():
    assert codes(line(0, 6, **DRILLING), line(6, 12, n=2), line(12, 24, n=3)) == []


@pytest.mark.parametrize(
    "legs, code",
    [
        ([line(0, 6), line(5, 12, n=2)], ("H02", "STOPS")),
        ([line(0, 12), line(3, 4, n=2)], ("H02", "STOPS")),
        ([line(5, 12), line(0, 6, n=2)], ("H02", "STOPS")),
        ([line(6, 6, rotating_s=H)], ("H06", "STOPS")),
        ([line(6, 4)], ("H01", "STOPS")),
        ([line(6, 6)], ("H01", "NOTE")),
        ([line(0, 25)], ("H14", "ASKS")),
        ([line(0, 6, rotating_s=7 * H)], ("H06", "STOPS")),
        ([line(0, 6, below_rotary_s=7 * H)], ("H06", "STOPS")),
        ([line(0, 6, **{**DRILLING, "rotating_s": 4 * H, "sliding_s": 3 * H})], ("H06", "STOPS")),
        ([line(0, 6, **{**DRILLING, "bottom_s": 4 * H})], ("H07", "ASKS")),
        ([line(0, 6, **{**DRILLING, "circulating_s": 2 * H})], ("H08", "ASKS")),
        ([line(0, 6, **{**DRILLING, "below_rotary_s": H})], ("H11", "ASKS")),
        ([line(0, 6, **{**DRILLING, "to_nm": metres(1900)})], ("H09", "STOPS")),
        ([line(0, 6, **{**DRILLING, "to_nm": None})], ("H05", "NOTE")),
        ([line(0, 6, **{**DRILLING, "rpm": 0})], ("H12", "ASKS")),
        ([line(0, 6, **{**DRILLING, "rpm": 1200})], ("H12", "ASKS")),
        ([line(0, 6, **{**DRILLING, "circulating_s": 4 * H + 60})], ("H10", "NOTE")),
        ([line(0, 6, rotating_s=None)], ("H13", "NOTE")),
        ([line(0, None)], ("H05", "NOTE")),
        ([line(None, 6)], ("H05", "NOTE")),
    ],
)
def test_each_fault_is_named(legs, code):
    assert code in codes(*legs)


def test_a_missing_end_is_unknown_and_not_zero():
    (problem,) = leg_problems([line(6, None)])
    assert "its end is not known; unknown is not zero" in problem.text
    assert codes(line(6, None), line(8, 10, n=2)) == [("H05", "NOTE")]
    assert ("H02", "STOPS") in codes(line(6, None), line(4, 8, n=2))


def test_reaming_up_is_no_drilling_backwards():
    assert codes(line(0, 6, **{**DRILLING, "to_nm": metres(1900), "bottom_s": 0})) == []


def test_the_depth_goes_on_where_it_ended():
    first = line(0, 6, **DRILLING)
    on = {**DRILLING, "from_nm": metres(2100), "to_nm": metres(2150)}
    back = {**DRILLING, "from_nm": metres(2050), "to_nm": metres(2150)}
    gap = {**DRILLING, "from_nm": metres(2110), "to_nm": metres(2150)}
    assert codes(first, line(6, 12, n=2, **on)) == []
    assert "goes back" in leg_problems([first, line(6, 12, n=2, **back)], unit="m")[0].text
    words = leg_problems([first, line(6, 12, n=2, **gap)], unit="m")[0].text
    assert "leaves a gap between lines 1 and 2: 2,100.00 m, then 2,110.00 m" in words
    # what lies between may be off bottom at any depth
    off = line(6, 7, n=2, from_nm=metres(2090), to_nm=metres(2090))
    assert codes(first, off, line(7, 13, n=3, **on)) == []


def test_lines_lie_inside_their_run():
    run = RunFacts("bit run 5RR1", at(3), at(9))
    assert codes(line(3, 9), run=run) == []
    found = leg_problems([line(0, 6), line(6, 12, n=2)], run=run)
    assert [problem.code for problem in found] == ["H03", "H03"]
    assert "before bit run 5RR1 went in at 2026-02-10 03:00" in found[0].text
    assert "after bit run 5RR1 came out at 2026-02-10 09:00" in found[1].text


def test_every_problem_is_named_at_once():
    found = codes(line(0, 6, rotating_s=9 * H, bottom_s=10 * H), line(5, 4, n=2), line(3, None, n=3))
    assert {code for code, _ in found} >= {"H01", "H02", "H05", "H06", "H07", "H08", "H11"}


# Tours


@pytest.mark.parametrize("hours, count", [(8, 3), (12, 2)])
def test_a_day_has_three_tours_of_8_or_two_of_12(hours, count):
    tours = tours_between(at(0), at(24), hours, OSLO)
    assert len(tours) == count
    assert {tour.length_s for tour in tours} == {hours * H}
    assert tours[-1].name.endswith("24:00")


def test_a_tour_that_is_touched_stands_whole():
    tours = tours_between(at(7), at(18, 1), 12, OSLO, starts_s=6 * H)
    assert [tour.name for tour in tours] == ["2026-02-10 06:00 to 18:00", "2026-02-10 18:00 to 06:00"]
    assert tours_between(at(6), at(18), 12, OSLO, starts_s=6 * H) == tours[:1]


def test_the_tour_of_the_night_when_the_clocks_change_is_an_hour_shorter_or_longer():
    spring = tours_between(at(0, day=29, month=3), at(24, day=29, month=3), 8, OSLO)
    autumn = tours_between(at(0, day=25, month=10), at(24, day=25, month=10), 12, OSLO)
    assert [tour.length_s // H for tour in spring] == [7, 8, 8]
    assert [tour.length_s // H for tour in autumn] == [13, 12]


@pytest.mark.parametrize("hours", [0, 6, 24])
def test_other_tours_are_refused(hours):
    with pytest.raises(ValueError, match="tour"):
        tours_between(at(0), at(24), hours, OSLO)


def test_a_start_outside_the_day_is_refused_and_no_time_has_no_tour():
    with pytest.raises(ValueError, match="second of a day"):
        tours_between(at(0), at(24), 8, OSLO, starts_s=86_400)
    assert tours_between(at(6), at(6), 8, OSLO) == ()


TOURS = tours_between(at(0), at(24), 12, OSLO)


def test_a_tour_closes_when_every_minute_stands_in_a_line():
    assert codes(line(0, 6), line(6, 12, n=2), line(12, 24, n=3), tours=TOURS) == []


def test_a_tour_that_does_not_close_says_where():
    found = leg_problems([line(0, 6), line(7, 12, n=2), line(12, 20, n=3)], TOURS)
    assert [problem.code for problem in found] == ["H04", "H04"]
    assert "11.00 h of 12.00 h are in a line; 06:00 to 07:00 is in none" in found[0].text
    assert "20:00 to 24:00 is in none" in found[1].text
    assert (found[0].measured, found[0].limit, found[0].unit) == ("11.00", "12.00", "h")


def test_only_the_run_s_part_of_a_tour_must_close():
    run = RunFacts("the run", at(3), at(20))
    assert codes(line(3, 12), line(12, 20, n=2), tours=TOURS, run=run) == []


def test_a_line_without_an_end_closes_nothing_and_the_tour_says_so():
    found = leg_problems([line(0, 12), line(12, None, n=2)], TOURS)
    assert "Line 2 has an end that is not known" in next(one.text for one in found if one.code == "H04")


def test_a_line_over_the_change_of_tours_is_noted():
    assert codes(line(0, 6), line(6, 24, n=2), tours=TOURS) == [("H15", "NOTE")]


def test_two_tours_across_the_spring_change_close_with_23_hours():
    day = tours_between(at(0, day=29, month=3), at(24, day=29, month=3), 12, OSLO)
    leg = Leg(at(0, day=29, month=3), at(12, day=29, month=3), **dict.fromkeys(
        ("rotating_s", "sliding_s", "circulating_s", "bottom_s", "below_rotary_s"), 0))  # fmt: skip
    assert leg.duration_s == 11 * H
    assert codes(leg, tours=day[:1]) == []


moments = st.none() | st.integers(0, 3000).map(lambda minutes: at(0) + timedelta(minutes=minutes))
some = st.none() | st.integers(0, 100_000)


@given(st.lists(st.builds(Leg, moments, moments, some, some, some, some, some, some, some, some), max_size=6))
def test_any_lines_are_judged_in_sentences(legs):
    for problem in leg_problems(legs, TOURS, RunFacts("the run", at(1), at(30))):
        assert problem.text[-1] in ".?"
        assert problem.code.startswith("H")


@given(st.lists(st.integers(1, 1439), max_size=8), st.integers(0, 7))
def test_a_day_cut_anywhere_closes_and_a_line_less_does_not(places, left_out):
    ends = sorted({0, 1440, *places})
    legs = [Leg(at(0) + timedelta(minutes=first), at(0) + timedelta(minutes=last), n=n)
            for n, (first, last) in enumerate(zip(ends, ends[1:], strict=False), 1)]  # fmt: skip
    tours = [Tour("the day", at(0), at(24))]
    assert not {"H02", "H04"} & {code for code, _ in codes(*legs, tours=tours)}
    gone = legs.pop(left_out % len(legs))
    (problem,) = [one for one in leg_problems(legs, tours) if one.code == "H04"]
    assert problem.measured == f"{(86_400 - seconds_between(gone.from_at, gone.to_at)) / 3600:.2f}"
