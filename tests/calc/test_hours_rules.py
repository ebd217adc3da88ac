"""Which clock counts for which kind: the rules are rows of a table, and every kind has exactly one."""

from collections import Counter

import pytest

from rack.calc import lookup
from rack.calc.hours import (
    BY_JOINT,
    PIECE_CLOCKS,
    POLICY_WORDS,
    WHOLE_RUN,
    policy_for,
    rule_for,
    rules,
    turning,
)
from rack.calc.kinds import KINDS


def test_every_kind_has_exactly_one_rule():
    named = Counter(kind for row in lookup.rows("hours_basis") for kind in row["kinds"].split())
    assert set(named) == set(KINDS)
    assert set(named.values()) == {1}
    assert set(rules()) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_rule_keeps_clocks_that_exist_says_how_and_names_its_source(kind):
    rule = rule_for(kind)
    assert set(rule.clocks) <= set(PIECE_CLOCKS)
    assert rule.policy in POLICY_WORDS
    assert rule.source
    assert rule.conf == "CP"


#: Primary clock by kind (trade guide 4, who counts what; common practice).
@pytest.mark.parametrize(
    "kind, clock",
    [("drill_pipe", "rotating_s"), ("heavy_weight", "rotating_s"), ("collar", "rotating_s"),
     ("sub", "rotating_s"), ("stabilizer", "rotating_s"), ("bit", "bottom_s"), ("motor", "circulating_s"),
     ("mwd", "circulating_s"),
     ("rotary_steerable", "circulating_s"), ("jar", "rotating_s"), ("shock_sub", "rotating_s"),
     ("kelly", "rotating_s"), ("saver_sub", "connections_n"), ("casing", "rotating_s"),
     ("core_barrel", "bottom_s"), ("core_bit", "bottom_s"), ("safety_valve", "circulating_s"),
     ("float_sub", "circulating_s")],
)  # fmt: skip
def test_the_first_clock_is_the_one_limits_go_by(kind, clock):
    assert rule_for(kind).clocks[0] == clock


@pytest.mark.parametrize(
    "kind, clock",
    [("saver_sub", "rotating_s"), ("kelly", "connections_n"), ("jar", "hits_n"), ("jar", "below_rotary_s"),
     ("jar", "bottom_s"), ("drill_pipe", "footage_nm"), ("drill_pipe", "below_rotary_s"),
     ("bit", "footage_nm"), ("motor", "below_rotary_s"), ("collar", "circulating_s")],
)  # fmt: skip
def test_a_kind_keeps_its_other_clocks_too(kind, clock):
    assert clock in rule_for(kind).clocks


@pytest.mark.parametrize("kind", ["tubing", "float_shoe", "guide_shoe", "float_collar", "landing_collar"])
def test_nothing_is_counted_where_no_counter_was_found(kind):
    assert rule_for(kind).clocks == ()


def test_drill_pipe_is_credited_the_whole_run_unless_the_office_says_by_joint():
    assert policy_for("drill_pipe") == WHOLE_RUN
    assert policy_for("drill_pipe", {"drill_pipe": BY_JOINT}) == BY_JOINT
    assert policy_for("drill_pipe", {"collar": BY_JOINT}) == WHOLE_RUN


def test_sliding_turns_what_hangs_below_a_motor_and_nothing_else():
    assert turning(below_motor=False) == ("rotating_s",)
    assert turning(below_motor=True) == ("rotating_s", "sliding_s")


def test_off_bottom_rotation_counts_for_drill_pipe_and_says_on_whose_word():
    rule = rule_for("drill_pipe")
    assert "off bottom" in rule.counts
    assert "sliding" in rule.not_counted
    assert "failure" in rule.source


def test_an_unknown_kind_is_named():
    with pytest.raises(ValueError, match="rope"):
        rule_for("rope")
