"""How much of its limit a clock has used: cut off, never rounded up, and what is not known is not zero."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import PIECE_CLOCKS
from rack.calc.hours_limits import (
    bar_of,
    bar_order,
    chief_clocks,
    limit_of,
    longest,
    share_of_limit,
    state_of,
)
from rack.calc.kinds import KINDS
from rack.calc.standing import NEVER, Clock, Days, standing

H = 3600
LIMITS = st.one_of(st.none(), st.integers(0, 400 * H))


def clock(run: float, soon=None, due=None, over=None, *, known: bool = True) -> Clock:
    return Clock("rotating_s", "full", int(run * H), 0, known, *(
        None if one is None else int(one * H) for one in (soon, due, over)))  # fmt: skip


@pytest.mark.parametrize(("given_clock", "share", "state"), [
    (clock(50, 80, 100, 120), 500, "fine"),
    (clock(80, 80, 100, 120), 800, "soon"),
    (clock(99.9999, 80, 100, 120), 999, "soon"),
    (clock(100, 80, 100, 120), 1000, "due"),
    (clock(130, 80, 100, 120), 1300, "overdue"),
    (clock(130, 80, 100), 1300, "due"),
    (clock(10), None, ""),
    (clock(30, over=20), 1500, "overdue"),
    (clock(30, soon=20), 1500, "soon"),
    (clock(0, due=0), 1000, "due"),
    (clock(10, 80, 100, 120, known=False), 1000, "due"),
    (clock(10, over=20, known=False), 500, "fine"),
])  # fmt: skip
def test_the_share_and_the_state_of_a_clock(given_clock, share, state):
    assert share_of_limit(given_clock) == share
    assert state_of(given_clock) == state


@given(st.integers(0, 500 * H), LIMITS, LIMITS, LIMITS, st.booleans())
def test_a_clock_alone_is_in_the_state_that_its_piece_would_be_in(run, soon, due, over, known):
    """The bar and the dates of the piece never contradict each other."""
    one = Clock("rotating_s", "full", run, 0, known, soon, due, over)
    assert (state_of(one) or "fine") == standing([one], Days(), NEVER.replace(year=2027)).state


@pytest.mark.parametrize(("given_clock", "words", "more"), [
    (clock(62.5, 80, 100, 120), "62.50 h, 62 %", "37.50 left of 100.00"),
    (clock(104.25, 80, 100, 120), "104.25 h, 104 %", "4.25 past 100.00"),
    (clock(12.5), "12.50 h", "no limit written down"),
    (clock(12.5, known=False), "at least 12.50 h", "no limit written down"),
    (clock(12.5, 80, 100, known=False), "at least 12.50 h, share not known",
     "unknown: due, the limit is 100.00"),
    (clock(5, over=20), "5.00 h, 25 %", "no due limit; overdue is written down"),
])  # fmt: skip
def test_every_bar_has_its_words(given_clock, words, more):
    bar = bar_of(given_clock, "KD4101", "5 in drill pipe")
    assert (bar.words, bar.more) == (words, more)
    assert bar.counts == "rotating since the last full inspection"


@pytest.mark.parametrize(("whose", "words"), [
    ("default", "; common practice"), ("maker", "; by the maker"), ("", ""),
])  # fmt: skip
def test_a_bar_says_whose_limit_it_is(whose, words):
    """What is a habit of ours is never shown as somebody's rule."""
    assert bar_of(clock(10, 80, 100), "a", "b", whose=whose).more == f"90.00 left of 100.00{words}"
    assert bar_of(clock(10), "a", "b", whose=whose).more == "no limit written down"


def test_marks_are_placed_as_shares_of_the_limit_that_the_bar_is_drawn_against():
    bar = bar_of(clock(10, 80, 100, 125), "a", "b")
    assert bar.marks == (("soon", 800), ("due", 1000), ("overdue", 1250))
    assert limit_of(clock(10, 80, None, 160)) == ("overdue", 160 * H)


def test_the_largest_share_comes_first_and_what_has_no_limit_behind_it():
    bars = [bar_of(one, name, "") for name, one in (
        ("long", clock(900)), ("half", clock(50, due=100)), ("gone", clock(101, due=100)),
        ("short", clock(1)), ("unknown", clock(1, due=100, known=False)))]  # fmt: skip
    assert [bar.name for bar in sorted(bars, key=bar_order)] == ["gone", "unknown", "half", "long", "short"]
    assert longest([bar for bar in bars if bar.share is None]) == {"rotating_s": 900 * H}


def test_each_kind_goes_by_one_clock():
    kinds = [kind for kinds in chief_clocks().values() for kind in kinds]
    assert sorted(kinds) == sorted(set(kinds))
    assert set(kinds) <= set(KINDS)
    assert set(chief_clocks()) <= set(PIECE_CLOCKS)
    assert "drill_pipe" in chief_clocks()["rotating_s"] and "motor" in chief_clocks()["circulating_s"]
