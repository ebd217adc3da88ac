"""Clocks against their limits: soon, due, over by plain comparison; unknown is not zero (laws 7 and 8)."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.bits import BitNumber, read_bit_number
from rack.calc.standing import (
    BASES,
    BASIS_WORDS,
    DUE,
    EVER,
    FINE,
    NEVER,
    NO_LIMIT,
    OVERDUE,
    SOON,
    STANDINGS,
    Clock,
    Days,
    Standing,
    clock_words,
    dates,
    due_before,
    first_out,
    hours_left,
    hours_run,
    left,
    standing,
    state_on,
)

TODAY = date(2026, 11, 25)
H = 3600


def clock(hours, *, zero=0, known=True, soon=None, due=None, over=None, name="rotating_s", basis="full"):
    def seconds(limit):
        return None if limit is None else limit * H

    return Clock(name, basis, hours * H, zero * H, known, seconds(soon), seconds(due), seconds(over))


@pytest.mark.parametrize(
    "one, state",
    [
        (clock(10, soon=120, due=150, over=180), FINE),
        (clock(119, soon=120, due=150, over=180), FINE),
        (clock(120, soon=120, due=150, over=180), SOON),
        (clock(149, soon=120, due=150, over=180), SOON),
        (clock(150, soon=120, due=150, over=180), DUE),
        (clock(179, soon=120, due=150, over=180), DUE),
        (clock(180, soon=120, due=150, over=180), OVERDUE),
        (clock(1000, zero=990, soon=120, due=150, over=180), FINE),
        (clock(1000), FINE),
        (clock(1000, due=150), DUE),
        (clock(1000, soon=150), SOON),
        # unknown hours since the mark: due where there is a limit, fit where there is none
        (clock(0, known=False, soon=120, due=150, over=180), DUE),
        (clock(0, known=False), FINE),
        (clock(200, known=False, soon=120, due=150, over=180), OVERDUE),
        (clock(0, due=0), DUE),
    ],
)
def test_a_clock_alone(one, state):
    assert standing([one], Days(), TODAY).state == state


@pytest.mark.parametrize(
    "days, state",
    [
        (Days(), FINE),
        (Days(soon_on=TODAY + timedelta(1)), FINE),
        (Days(soon_on=TODAY), SOON),
        (Days(TODAY - timedelta(9), TODAY + timedelta(1)), SOON),
        (Days(TODAY - timedelta(9), TODAY), DUE),
        (Days(TODAY - timedelta(9), TODAY - timedelta(2), TODAY), OVERDUE),
        (Days(EVER, EVER, NEVER), DUE),
    ],
)
def test_days_alone(days, state):
    assert standing([], days, TODAY).state == state


def test_due_is_the_first_to_run_out():
    tomorrow = TODAY + timedelta(1)
    found = standing([clock(10, due=150), clock(200, due=150, basis="tube")], Days(due_on=tomorrow), TODAY)
    assert found == Standing(NEVER, EVER, NEVER, DUE)
    by_days = standing([clock(10, due=150)], Days(due_on=tomorrow), TODAY)
    assert by_days == Standing(NEVER, tomorrow, NEVER, FINE)


def test_a_rental_with_a_fresh_report_and_unknown_life_hours_is_fit():
    life, looked = clock(0, known=False, basis="new"), clock(0, due=150, basis="full")
    assert standing([life, looked], Days(), TODAY).state == FINE
    assert standing([life, clock(0, known=False, due=150, basis="full")], Days(), TODAY).state == DUE


def test_midnight_costs_nothing_the_dates_stay_and_the_state_follows():
    days = Days(date(2026, 12, 1), date(2026, 12, 24), date(2026, 12, 31))
    row = dates([clock(1, due=10)], days)
    assert [state_on(*row, day) for day in (TODAY, *days.__dict__.values())] == [FINE, SOON, DUE, OVERDUE]


@pytest.mark.parametrize(
    "one, seconds",
    [(clock(100, due=150), 50 * H), (clock(150, due=150), 0), (clock(160, due=150), -10 * H),
     (clock(100), NO_LIMIT), (clock(100, zero=90, due=150), 140 * H), (clock(0, known=False, due=150), 0),
     (clock(500, known=False), NO_LIMIT)],
)  # fmt: skip
def test_what_is_left(one, seconds):
    assert left(one) == seconds


def test_no_limit_fits_the_columns_of_both_databases():
    assert NO_LIMIT < 2**63


@pytest.mark.parametrize("planned, comes_due", [(49, False), (50, True), (51, True)])
def test_due_before_the_section_ends(planned, comes_due):
    assert due_before(clock(100, due=150), planned * H) is comes_due
    assert not due_before(clock(100), planned * H)


def test_the_clock_that_is_out_first_is_named():
    nearly, half = clock(140, due=150), clock(200, due=400, basis="tube")
    assert first_out([half, clock(5), nearly]) == nearly
    assert first_out([nearly, clock(0, known=False, due=9999, basis="visual")]).basis == "visual"
    assert first_out([clock(5)]) is None
    assert first_out([clock(5, due=0)]).due == 0


@pytest.mark.parametrize(
    "one, run, rest",
    [
        (clock(112, due=150), "112.00", "38.00 left of 150.00"),
        (clock(160, due=150), "160.00", "10.00 past 150.00"),
        (clock(12, known=False, due=150), "at least 12.00", "unknown: due, the limit is 150.00"),
        (clock(160, known=False, due=150), "at least 160.00", "at least 10.00 past 150.00"),
        (clock(12, known=False), "at least 12.00", ""),
        (Clock("hits_n", "service", 14, 4, True, None, 30), "10", "20 left of 30"),
        (Clock("footage_nm", "new", 304_800_000), "1.00", ""),
    ],
)
def test_a_clock_is_read_out(one, run, rest):
    assert (hours_run(one), hours_left(one)) == (run, rest)


def test_every_mark_of_zero_has_its_words():
    assert set(BASIS_WORDS) == set(BASES)
    assert clock_words(clock(1)) == "rotating since the last full inspection"


@pytest.mark.parametrize(
    "wrong, error, named",
    [(lambda: Clock("days", "full", 1), ValueError, "days"),
     (lambda: Clock("runs_n", "ever", 1), ValueError, "ever"),
     (lambda: Clock("runs_n", "full", 1.5), TypeError, "total"),
     (lambda: Clock("runs_n", "full", None), TypeError, "total"),
     (lambda: Clock("runs_n", "full", 1, due=True), TypeError, "due")],
)  # fmt: skip
def test_what_is_no_clock_is_refused(wrong, error, named):
    with pytest.raises(error, match=named):
        wrong()


limits = st.none() | st.integers(-10, 300)
any_clock = st.builds(Clock, st.just("rotating_s"), st.sampled_from(BASES), st.integers(-5, 400),
                      st.integers(-5, 400), st.booleans(), limits, limits, limits)  # fmt: skip
any_date = st.dates(date(2026, 1, 1), date(2027, 12, 31)) | st.sampled_from([EVER, NEVER])


@given(st.lists(any_clock, max_size=5), any_date, any_date, any_date, st.randoms(use_true_random=False))
def test_clocks_count_in_any_order_and_more_of_them_never_make_it_better(clocks, soon, due, over, chance):
    days = Days(soon, due, over)
    found = standing(clocks, days, TODAY)
    turned = list(clocks)
    chance.shuffle(turned)
    assert standing(turned, days, TODAY) == found
    if clocks:
        assert STANDINGS.index(standing(clocks[1:], days, TODAY).state) >= STANDINGS.index(found.state)


@given(any_clock, st.integers(0, 500))
def test_more_hours_never_leave_more(one, hours):
    later = Clock(one.clock, one.basis, one.total + hours, one.zero, one.known, one.soon, one.due, one.over)
    assert left(later) <= left(one)


@given(any_clock)
def test_due_is_exactly_nothing_left(one):
    assert (dates([one], Days())[1] == EVER) == (left(one) <= 0)


# The number of a bit in the reports


@pytest.mark.parametrize(
    "text, number, reruns, shown",
    [("5", 5, 0, "5"), ("5RR1", 5, 1, "5RR1"), ("5rr", 5, 1, "5RR1"), ("5 RR 2", 5, 2, "5RR2"),
     ("#12-RR2", 12, 2, "12RR2"), ("Bit no. 7", 7, 0, "7"), (" 05 ", 5, 0, "5"), ("5-RR-3", 5, 3, "5RR3")],
)  # fmt: skip
def test_a_bit_number_is_read(text, number, reruns, shown):
    found = read_bit_number(text)
    assert (found, str(found), found.run) == (BitNumber(number, reruns), shown, reruns + 1)


@pytest.mark.parametrize("text", ["", "0", "RR1", "5RR0", "5X", "5.1", "-5", "5RR1RR2", "٥", "12345", "five"])
def test_what_is_no_bit_number_is_refused(text):
    with pytest.raises(ValueError, match="no bit number"):
        read_bit_number(text)


def test_bits_sort_by_number_and_then_by_run():
    texts = ["12", "5RR2", "5", "5RR1"]
    assert [str(one) for one in sorted(map(read_bit_number, texts))] == ["5", "5RR1", "5RR2", "12"]
