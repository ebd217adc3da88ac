"""Turning inside a bend: counted while any part of the piece is there, exact, and unknown is not zero."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.hours import Leg, Membership
from rack.calc.hours.doglegs import Bend, Turned, turned_in

FT = 304_800_000
NOON = datetime(2026, 6, 2, 12, tzinfo=UTC)
IN = Membership(1, "drill_pipe")
BEND = Bend(4000 * FT, 4100 * FT)


def drilled(first: int, last: int, hours: int = 10, **more) -> Leg:
    facts = {"rotating_s": hours * 3600, "rpm": 120, **more}
    return Leg(NOON, NOON + timedelta(hours=hours), first * FT, last * FT, **facts)


def in_bend(leg: Leg, from_bit: float = 4000, length: float = 30, stay: Membership = IN) -> Turned:
    return turned_in(leg, stay, BEND, from_bit_nm=int(from_bit * FT), length_nm=int(length * FT))


@pytest.mark.parametrize(("from_bit", "feet"), [
    (4000, 130),  # its lower end enters as the line begins, its upper leaves 130 ft later
    (3870, 0),  # its upper end leaves the bend as the line begins
    (3885, 15),
    (4200, 100),  # its lower end enters after 200 of 300 ft
    (4300, 0),  # its lower end reaches the bend as the line ends
    (9000, 0),
])  # fmt: skip
def test_a_joint_is_in_the_bend_from_its_lower_end_to_its_upper(from_bit, feet):
    """300 ft in 10 h, 120 s a foot at 120 rpm: a joint of 30 ft is in 100 ft of bend for 130 ft."""
    assert in_bend(drilled(8000, 8300), from_bit) == Turned(120 * feet, 120 * feet, 240 * feet)


def test_rotating_at_one_depth_across_a_bend_counts_for_what_lies_in_it_alone():
    """The case of the failure papers: eleven hours at one depth, without a foot drilled."""
    still = drilled(8000, 8000, 11, bottom_s=0)
    assert in_bend(still, 3950) == Turned(11 * 3600, 11 * 3600, 11 * 60 * 120)
    assert in_bend(still, 4200) == Turned(0, 0, 0)


def test_reaming_upward_counts_like_drilling_down():
    assert in_bend(drilled(8300, 8000), 4000) == in_bend(drilled(8000, 8300), 4000)


def test_a_joint_that_came_half_way_counts_from_there():
    late = Membership(1, "drill_pipe", joined_at=NOON + timedelta(hours=2))
    assert in_bend(drilled(8000, 8300), 4000, stay=late).turning_s == 70 * 120
    gone = Membership(1, "drill_pipe", left_at=NOON)
    assert in_bend(drilled(8000, 8300), 4000, stay=gone) == Turned(0, 0, 0)


@pytest.mark.parametrize(("more", "expected"), [
    ({"rpm": None}, Turned(130 * 120, 130 * 120, None)),
    ({"rotating_s": None}, Turned(130 * 120, None, None)),
    ({"rotating_s": 0, "rpm": None}, Turned(130 * 120, 0, 0)),
    ({"rotating_s": 0, "rpm": 0}, Turned(130 * 120, 0, 0)),
])  # fmt: skip
def test_what_is_not_known_is_none_and_what_did_not_turn_is_zero(more, expected):
    assert in_bend(drilled(8000, 8300, **more), 4000) == expected


def test_without_depths_or_a_place_in_the_string_nothing_is_invented():
    nowhere = Leg(NOON, NOON + timedelta(hours=10), rotating_s=3600, rpm=100)
    assert in_bend(nowhere) == Turned(None, None, None)
    unplaced = turned_in(drilled(8000, 8300), IN, BEND, from_bit_nm=None, length_nm=FT)
    assert unplaced == Turned(None, None, None)


@pytest.mark.parametrize("ends", [(5, 5), (5, 4), (-1, 4)])
def test_a_bend_goes_down(ends):
    with pytest.raises(ValueError, match="goes down"):
        Bend(*ends)


@given(st.integers(1, 299), st.integers(3000, 4400), st.integers(1, 95))
def test_a_line_cut_in_two_gives_what_the_whole_line_gives(cut, from_bit, length):
    """Seconds are whole at every foot here, so that the two parts are lines of their own."""
    whole = in_bend(drilled(8000, 8300), from_bit, length)
    at = NOON + timedelta(seconds=120 * cut)
    first = Leg(NOON, at, 8000 * FT, (8000 + cut) * FT, rotating_s=120 * cut, rpm=120)
    second = Leg(at, NOON + timedelta(hours=10), (8000 + cut) * FT, 8300 * FT,
                 rotating_s=36_000 - 120 * cut, rpm=120)  # fmt: skip
    halves = [in_bend(first, from_bit, length), in_bend(second, from_bit, length)]
    assert Turned(
        sum(one.spent_s for one in halves), sum(one.turning_s for one in halves),
        sum(one.revolutions for one in halves),
    ) == whole  # fmt: skip
