"""A line's hours go to the pieces that turned: the worked case, the laws, and each way a line is cut.

Rules: trade guide 4 and table hours_basis (common practice).
"""

from datetime import datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from rack.calc.hours import (
    BY_JOINT,
    WHOLE_RUN,
    Amount,
    Leg,
    Membership,
    RunShare,
    balance,
    connections_made,
    footage_of,
    hours_shown,
    run_totals,
    share,
    share_run,
    share_worked,
    span,
)
from rack.calc.lengths import Length

OSLO = ZoneInfo("Europe/Oslo")
JOINTS = {"drill_pipe": BY_JOINT}


def ft(text):
    return Length.parse(str(text), "ft").nanometres


def at(hour, minute=0, day=10):
    return datetime(2026, 2, day, hour, minute, tzinfo=OSLO)


DRILLED = Leg(from_nm=ft(8000), to_nm=ft(8300), rotating_s=36_000)
SINGLES = [Membership(n, "drill_pipe", joined_nm=ft(8000) + n * ft("31.5"), rank=50 + n) for n in range(10)]
SHIFT = Leg(at(6), at(18), ft(8000), ft(8300), rotating_s=36_000, sliding_s=3600, circulating_s=40_000,
            bottom_s=38_000, below_rotary_s=43_200)  # fmt: skip


def rotating(leg, *stays, policy=JOINTS, piece=1):
    return next(one for one in share(leg, stays, policy) if one.piece == piece).amounts["rotating_s"]


# The worked case of the trade guide


def test_ten_singles_added_while_drilling_300_ft_in_10_h():
    shares = share(DRILLED, SINGLES, JOINTS)
    seconds = [one.amounts["rotating_s"] for one in shares]
    assert [hours_shown(one) for one in seconds] == [
        "10.00", "8.95", "7.90", "6.85", "5.80", "4.75", "3.70", "2.65", "1.60", "0.55",
    ]  # fmt: skip
    assert seconds == [36_000 - 3780 * n for n in range(10)]
    assert sum(seconds) == 52 * 3600 + 45 * 60


def test_the_whole_run_to_each_of_the_ten_is_100_h_and_says_that_it_is_the_safe_side():
    shares = share(DRILLED, SINGLES)
    assert sum(one.amounts["rotating_s"] for one in shares) == 100 * 3600
    assert {one.policy for one in shares} == {WHOLE_RUN}
    assert all("safe side" in one.why for one in shares)


def test_the_number_can_be_opened():
    worked = share_worked(DRILLED, SINGLES, JOINTS, piece=3)
    assert worked.value == share(DRILLED, SINGLES, JOINTS)[3].amounts["rotating_s"] == 24_660
    assert worked.unit == "s"
    assert worked.inputs["line 1, rotating"] == "10.00 h (36,000 s)"
    assert worked.inputs["depth"] == "8,000.00 to 8,300.00 ft"
    assert "by joint" in worked.inputs["policy"]
    assert "36,000 s - 11,340 s = 24,660 s" in worked.steps[1]
    assert worked.steps[-1] == "share = 6.85 h (24,660 s)"
    assert "common practice" in worked.source


def test_an_unknown_number_is_opened_as_unknown():
    worked = share_worked(Leg(rotating_s=3600), [Membership(1, "drill_pipe", joined_nm=1)], JOINTS, piece=1)
    assert worked.value is None
    assert "unknown is not zero" in worked.steps[1]


@pytest.mark.parametrize(
    "more, named", [({"piece": 77}, "77"), ({"piece": 1, "clock": "hits_n"}, "hits_n"),
                    ({"piece": 1, "clock": "bottom_s"}, "bottom_s")],
)  # fmt: skip
def test_what_cannot_be_opened_is_named(more, named):
    with pytest.raises(ValueError, match=named):
        share_worked(DRILLED, SINGLES, JOINTS, **more)


def test_footage_and_a_motor_are_opened_in_their_own_units():
    feet = share_worked(DRILLED, SINGLES, JOINTS, piece=9, clock="footage_nm")
    assert (feet.value, feet.unit) == (ft("16.5"), "nm")
    motor = share_worked(SHIFT, [Membership("B1", "bit", below_motor=True)], piece="B1")
    assert motor.value == 39_600
    assert "below the motor" in motor.inputs


# How a line is cut


@pytest.mark.parametrize(
    "stay, seconds",
    [
        ({}, 36_000),
        ({"joined_at": at(6)}, 36_000),
        ({"joined_at": at(1)}, 36_000),
        ({"joined_at": at(9)}, 27_000),
        ({"joined_at": at(18)}, 0),
        ({"joined_at": at(20)}, 0),
        ({"left_at": at(9)}, 9_000),
        ({"left_at": at(6)}, 0),
        ({"left_at": at(23)}, 36_000),
        ({"joined_at": at(9), "left_at": at(15)}, 18_000),
        ({"joined_at": at(15), "left_at": at(9)}, 0),
        # by time where it is noted, although a depth is noted too
        ({"joined_at": at(9), "joined_nm": ft(8290)}, 27_000),
        # else by depth
        ({"joined_nm": ft(8000)}, 36_000),
        ({"joined_nm": ft(7000)}, 36_000),
        ({"joined_nm": ft(8150)}, 18_000),
        ({"joined_nm": ft(8300)}, 0),
        ({"joined_nm": ft(9000)}, 0),
        # it left on the way out, at a depth that was drilled before: in for all that was drilled below
        ({"joined_nm": ft(8100), "left_nm": ft(8200)}, 24_000),
        ({"left_nm": ft(8100)}, 36_000),
        ({"joined_nm": ft(8150), "left_nm": ft(5000)}, 18_000),
        # unless a time says more
        ({"left_at": at(9), "left_nm": ft(8250)}, 9_000),
        # joined by depth, left by time
        ({"joined_nm": ft(8150), "left_at": at(15)}, 9_000),
    ],
)
def test_a_piece_earns_the_parts_in_which_it_was_in(stay, seconds):
    assert rotating(SHIFT, Membership(1, "drill_pipe", **stay)) == seconds


@pytest.mark.parametrize(
    "line, stay, seconds",
    [
        # off bottom: no depth gained, what was in at the depth has it
        ((8300, 8300), {"joined_nm": ft(8300)}, 3600),
        ((8300, 8300), {"joined_nm": ft("8300.01")}, 0),
        ((8300, 8300), {"left_nm": ft(8300)}, 3600),
        ((8300, 8300), {"left_nm": ft(8200)}, 3600),
        # reaming up: the deeper end, the safe side
        ((8300, 8250), {"joined_nm": ft(8280)}, 3600),
        ((8300, 8250), {"joined_nm": ft(8310)}, 0),
        # one depth known still tells what lies clearly before or after it
        ((8300, None), {"joined_nm": ft(8200)}, 3600),
        ((None, 8300), {"joined_nm": ft(8400)}, 0),
    ],
)
def test_rotation_without_footage_goes_to_what_was_in_at_that_depth(line, stay, seconds):
    leg = Leg(from_nm=line[0] and ft(line[0]), to_nm=line[1] and ft(line[1]), rotating_s=3600)
    assert rotating(leg, Membership(1, "drill_pipe", **stay)) == seconds


@pytest.mark.parametrize(
    "leg, stay",
    [
        (Leg(rotating_s=3600), {"joined_at": at(9)}),
        (Leg(rotating_s=3600), {"joined_nm": ft(8000)}),
        (Leg(from_at=at(6), rotating_s=3600), {"joined_at": at(9)}),
        (Leg(to_at=at(18), rotating_s=3600), {"left_at": at(9)}),
        (Leg(to_nm=ft(8300), rotating_s=3600), {"joined_nm": ft(8100)}),
        (Leg(at(6), at(18), rotating_s=3600), {"joined_nm": ft(8100)}),
    ],
)
def test_a_change_that_cannot_be_placed_leaves_the_hours_unknown_and_not_zero(leg, stay):
    piece = Membership(1, "drill_pipe", **stay)
    assert span(leg, piece) is None
    assert rotating(leg, piece) is None
    assert rotating(leg, piece, policy=None) == 3600


def test_a_line_without_an_end_still_knows_what_joined_before_it():
    leg = Leg(from_at=at(6), rotating_s=3600)
    assert rotating(leg, Membership(1, "drill_pipe", joined_at=at(5))) == 3600
    assert rotating(leg, Membership(1, "drill_pipe", left_at=at(5))) == 0


def test_nothing_shared_is_nothing_even_when_the_change_cannot_be_placed():
    assert rotating(Leg(rotating_s=0), Membership(1, "drill_pipe", joined_at=at(9))) == 0


def test_a_piece_that_left_and_came_back_earns_both_stays_once():
    stays = [Membership(1, "drill_pipe", left_at=at(9)), Membership(1, "drill_pipe", joined_at=at(15)),
             Membership(1, "drill_pipe", joined_at=at(16))]  # fmt: skip
    shares = share(SHIFT, stays, JOINTS)
    assert len(shares) == 1
    assert shares[0].amounts["rotating_s"] == 18_000
    assert shares[0].spans == ((Fraction(0), Fraction(1, 4)), (Fraction(3, 4), Fraction(1)))


def test_an_hour_that_the_clocks_skip_is_not_shared():
    """On 29 March 2026 a quarter to two is followed by three: the line lasts 2 h, not 3."""
    night = Leg(datetime(2026, 3, 29, 1, tzinfo=OSLO), datetime(2026, 3, 29, 4, tzinfo=OSLO), rotating_s=7200)
    assert night.duration_s == 7200
    late = Membership(1, "drill_pipe", joined_at=datetime(2026, 3, 29, 3, tzinfo=OSLO))
    assert rotating(night, late) == 3600


def test_the_hour_that_comes_twice_counts_twice():
    begins, ends = datetime(2026, 10, 25, 1, tzinfo=OSLO), datetime(2026, 10, 25, 4, tzinfo=OSLO)
    night = Leg(begins, ends, rotating_s=14_400)
    assert night.duration_s == 14_400
    again = datetime(2026, 10, 25, 2, tzinfo=OSLO, fold=1)
    assert rotating(night, Membership(1, "drill_pipe", joined_at=again)) == 7200


# Below a motor, and what each kind keeps


def test_below_a_motor_a_piece_turns_while_sliding_and_above_it_does_not():
    assert rotating(SHIFT, Membership(1, "bit", below_motor=True)) == 39_600
    assert rotating(SHIFT, Membership(1, "bit")) == 36_000


def test_unknown_sliding_leaves_only_the_pieces_below_the_motor_unknown():
    leg = Leg(rotating_s=3600)
    assert rotating(leg, Membership(1, "bit", below_motor=True)) is None
    assert rotating(leg, Membership(1, "collar")) == 3600


@pytest.mark.parametrize(
    "line, nm",
    [
        ({"from_nm": 100, "to_nm": 400, "bottom_s": 3600}, 300),
        ({"from_nm": 100, "to_nm": 400}, 300),
        ({"from_nm": 400, "to_nm": 100}, 0),
        ({"from_nm": 100, "to_nm": 400, "bottom_s": 0}, 0),
        ({"from_nm": 100, "to_nm": 400, "rotating_s": 0, "sliding_s": 0}, 0),
        ({"from_nm": 100}, None),
        ({"bottom_s": 0}, 0),
    ],
)
def test_footage_is_depth_gained_while_drilling(line, nm):
    assert footage_of(Leg(**line)) == nm


# The run


def test_a_run_adds_its_lines_and_counts_itself_once():
    night = Leg(at(18), at(6, day=11), ft(8300), ft(8400), rotating_s=18_000, bottom_s=18_000)
    stays_ = [Membership("P1", "drill_pipe"), Membership("P2", "drill_pipe", joined_at=at(18))]
    one, other = share_run([SHIFT, night], stays_, JOINTS)
    assert one.amounts["rotating_s"] == Amount(54_000)
    assert one.amounts["footage_nm"] == Amount(ft(400))
    assert one.amounts["runs_n"] == other.amounts["runs_n"] == Amount(1)
    assert other.amounts["rotating_s"] == Amount(18_000)
    assert one.amounts["below_rotary_s"] == Amount(43_200, known=False)
    assert run_totals([SHIFT, night])["rotating_s"] == Amount(54_000)


def test_a_run_without_lines_is_a_run_of_everything_in_it():
    (one,) = share_run([], [Membership(1, "motor")])
    assert one.amounts["runs_n"] == Amount(1)
    assert one.amounts["circulating_s"] == Amount(0)


def test_the_saver_sub_counts_connections_and_the_jar_its_hits():
    members = [
        *SINGLES,
        # two joints that came as a stand make one connection
        Membership(20, "drill_pipe", joined_at=at(9)), Membership(21, "drill_pipe", joined_at=at(9)),
        Membership("saver", "saver_sub"), Membership("jar", "jar"),
    ]  # fmt: skip
    assert connections_made(members) == 11
    found = {one.piece: one for one in share_run([DRILLED], members, hits={"jar": 14})}
    assert found["saver"].amounts["connections_n"] == Amount(11)
    assert found["saver"].amounts["rotating_s"] == Amount(36_000)
    assert found["jar"].amounts["hits_n"] == Amount(14)
    assert "hits_n" not in found["saver"].amounts
    counted = share_run([DRILLED], members, connections=9)
    assert next(one for one in counted if one.piece == "saver").amounts["connections_n"] == Amount(9)


def test_casing_counts_the_hours_turned_inside_it_from_its_landing():
    casing = Membership("C", "casing", joined_at=at(12))
    (one,) = share_run([SHIFT], [casing])
    assert one.amounts == {"rotating_s": Amount(18_000)}
    liner = Membership("L", "casing", joined_nm=ft(8150))
    assert share_run([SHIFT], [liner])[0].amounts == {"rotating_s": Amount(18_000)}


def test_hours_that_do_not_balance_are_named():
    members = [Membership(1, "drill_pipe")]
    more = [RunShare(1, "drill_pipe", WHOLE_RUN, {"rotating_s": Amount(40_000)})]
    less = [RunShare(1, "drill_pipe", WHOLE_RUN, {"rotating_s": Amount(30_000), "runs_n": Amount(1)})]
    assert "more than the run has" in balance([SHIFT], members, more)[0].text
    assert "though it was in for the whole run" in balance([SHIFT], members, less)[0].text
    assert balance([SHIFT], members, more)[0].severity == "STOPS"


@pytest.mark.parametrize(
    "wrong, error, named",
    [
        (lambda: Leg(from_at=datetime(2026, 1, 1)), ValueError, "zone"),  # noqa: DTZ001
        (lambda: Leg(rotating_s=-1), ValueError, "rotating_s"),
        (lambda: Leg(rotating_s=1.5), TypeError, "rotating_s"),
        (lambda: Leg(from_nm=True), TypeError, "from_nm"),
        (lambda: Membership(1, "drill_pipe", left_nm=-3), ValueError, "left_nm"),
        (lambda: share(SHIFT, [Membership(1, "no such kind")]), ValueError, "no such kind"),
        (lambda: share(SHIFT, SINGLES, {"drill_pipe": "half"}), ValueError, "half"),
    ],
)
def test_what_is_no_line_and_no_stay_is_refused(wrong, error, named):
    with pytest.raises(error, match=named):
        wrong()
