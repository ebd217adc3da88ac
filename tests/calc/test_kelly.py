"""Depth is the exact sum of what hangs in the hole, with a top drive and with a kelly."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import kelly
from rack.calc.lengths import Length


def ft(text):
    return Length.parse(text, "ft")


KELLY = (ft("2.50"), ft("1.75"), ft("43.10"))  # saver sub, lower valve, kelly to the mark
LENGTHS = st.lists(st.integers(0, 20_000_000_000).map(Length), max_size=30)


def test_under_a_top_drive_the_stick_up_comes_off():
    assert kelly.bit_depth(ft("850.31"), ft("9120.44"), ft("12.20")) == ft("9958.55")


def test_with_a_kelly_everything_down_to_the_mark_counts():
    assert kelly.kelly_down(ft("850.31"), ft("9120.44"), KELLY) == ft("10018.10")
    assert kelly.bit_depth_from_kelly(ft("10018.10"), ft("18.35")) == ft("9999.75")


def test_j1_the_depth_that_a_report_prints_is_not_followed():
    # A drill ship reports 137 m + 142 sections of 28.8 m as 4,215.5 m; they add up to 4,226.6 m.
    pipe = 142 * Length.parse("28.8", "m")
    found = kelly.bit_depth(Length.parse("137", "m"), pipe, kelly.NOTHING)
    assert found == Length.parse("4226.6", "m")
    assert found != Length.parse("4215.5", "m")


def test_the_last_column_of_the_running_sheet_is_kelly_down_for_every_joint():
    joints = [ft("31.24"), ft("31.56"), ft("30.98")]
    found = kelly.kelly_downs(ft("850.31"), joints, KELLY)
    assert found == (ft("928.90"), ft("960.46"), ft("991.44"))
    assert found[-1] == kelly.kelly_down(ft("850.31"), sum(joints, kelly.NOTHING), KELLY)


def test_stand_down_is_the_next_connection():
    stands = [ft("93.78"), ft("93.40")]
    found = kelly.stand_downs(ft("850.31"), stands, ft("4.00"))
    assert found == (ft("940.09"), ft("1033.49"))
    assert found[-1] == kelly.bit_depth(ft("850.31"), sum(stands, kelly.NOTHING), ft("4.00"))


def test_no_stand_has_no_depth():
    assert kelly.stand_downs(ft("850.31"), [], ft("4.00")) == ()
    assert kelly.kelly_downs(ft("850.31"), [], KELLY) == ()


def test_a_strap_out_of_the_hole_corrects_the_depth_and_not_the_joints():
    counted, strapped = [ft("93.78"), ft("93.40")], [ft("93.75"), ft("93.41")]
    correction = kelly.strap_out_correction(counted, strapped)
    assert correction == -ft("0.02")
    assert kelly.bit_depth(ft("850.31"), ft("187.18"), ft("4"), correction=correction) == ft("1033.47")


def test_stands_missing_from_the_strap_are_named():
    with pytest.raises(ValueError, match="^strapped: 1 stands were read; allowed are the 2 counted"):
        kelly.strap_out_correction([ft("93.78"), ft("93.40")], [ft("93.75")])


@given(LENGTHS, LENGTHS)
def test_depths_are_exact_and_never_go_back(bha, joints):
    start = sum(bha, kelly.NOTHING)
    found = kelly.kelly_downs(start, joints, KELLY)
    assert list(found) == sorted(found)
    if joints:
        total = sum(length.nanometres for length in (*bha, *joints, *KELLY))
        assert found[-1].nanometres == total


@pytest.mark.parametrize("bad", [31.24, 5, None, True, "31.24", Length(-1)])
@pytest.mark.parametrize(
    "named, call",
    [
        ("bha", lambda bad: kelly.bit_depth(bad, ft("1"), ft("0"))),
        ("pipe", lambda bad: kelly.kelly_down(ft("1"), bad, KELLY)),
        ("stick_up", lambda bad: kelly.bit_depth(ft("1"), ft("1"), bad)),
        (r"kelly_parts\[1\]", lambda bad: kelly.kelly_down(ft("1"), ft("1"), (ft("1"), bad))),
        (r"joints\[0\]", lambda bad: kelly.kelly_downs(ft("1"), [bad], KELLY)),
        (r"stands\[0\]", lambda bad: kelly.stand_downs(ft("1"), [bad], ft("0"))),
        ("down", lambda bad: kelly.bit_depth_from_kelly(bad, ft("0"))),
        (r"strapped\[0\]", lambda bad: kelly.strap_out_correction([ft("1")], [bad])),
    ],
)
def test_what_is_no_length_of_a_piece_is_refused_by_name(named, call, bad):
    with pytest.raises(ValueError, match=f"^{named}: .*allowed is"):
        call(bad)


@pytest.mark.parametrize("up, passes", [("2.00", True), ("2.01", False)])
def test_no_more_can_stick_up_than_there_is(up, passes):
    if passes:
        assert kelly.bit_depth(ft("1"), ft("1"), ft(up)) == kelly.NOTHING
    else:
        with pytest.raises(ValueError, match="^stick_up: "):
            kelly.bit_depth(ft("1"), ft("1"), ft(up))
        with pytest.raises(ValueError, match="^kelly_up: "):
            kelly.bit_depth_from_kelly(ft("2"), ft(up))


def test_a_worked_depth_can_be_redone_by_hand():
    worked = kelly.kelly_down_worked(ft("850.31"), ft("9120.44"), KELLY)
    assert worked.value == ft("10018.10")
    assert worked.inputs["kelly"] == "47.350 ft (14.432 m)"
    assert worked.steps[0].endswith("= 10,018.100 ft (3,053.517 m)")
    assert "common practice" in worked.source


def test_a_correction_cannot_lift_the_bit_out_of_the_hole():
    assert kelly.bit_depth(ft("1"), ft("1"), ft("0"), correction=-ft("2")) == kelly.NOTHING
    with pytest.raises(ValueError, match="^correction: .*allowed is no more up than"):
        kelly.bit_depth(ft("1"), ft("1"), ft("0"), correction=-ft("2.01"))
    with pytest.raises(ValueError, match="^correction: "):
        kelly.kelly_down(ft("1"), ft("1"), KELLY, correction=-ft("60"))
