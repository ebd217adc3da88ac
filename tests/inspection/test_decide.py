"""What all inspections of a piece come to: a class falls, and rises by repair alone; events and looks."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from inspection.calc.criteria import scheme
from inspection.calc.decide import Looked, PieceFacts, Terms, decide, kept_down
from inspection.calc.rules import Rule, default_rules
from rack.calc.specs import SpecFacts
from rack.calc.standing import EVER, NEVER
from tests.inspection.pieces import pipe

CODE = "api_rp7g2_2009"
PARTS = "api_rp7g2_2009_components"
DAY = date(2026, 3, 2)
TERMS = Terms(default_rules(), date(2026, 6, 1))
BOTH = frozenset({"tube", "joint"})
JOINT = frozenset({"joint"})
ALL = frozenset({"visual", "connections", "tube", "full"})
COLLAR = SpecFacts("collar", od_nm=165_100_000)


def at(hour: int, day: date = DAY) -> datetime:
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


def look(held: str = "", n: int = 0, **more) -> Looked:
    day = DAY + timedelta(days=n)
    given = {"scheme": CODE, "held": held, "resets": ALL, "since": at(12, day), **more}
    return Looked(day, **given)


def of(*looks: Looked, **more) -> PieceFacts:
    given = {"spec": pipe(), "received_on": date(2026, 1, 1), "scheme": CODE, "looks": looks, **more}
    return PieceFacts(**given)


@pytest.mark.parametrize(("looks", "holds"), [
    ([look("Premium")], "Premium"),
    ([look("Premium"), look("Class 2", 1)], "Class 2"),
    ([look("Class 2"), look("Premium", 1)], "Class 2"),
    ([look("Class 2"), look("Premium", 1, mended=BOTH)], "Premium"),
    ([look("Class 2"), look("Premium", 1, mended=BOTH), look("Class 2", 2)], "Class 2"),
    ([look("Premium"), look("", 1, tube="Class 2")], "Class 2"),
    ([look("Premium"), look("", 1)], "Premium"),
    # Only what was mended rises: a box that was refaced makes no tube whole.
    ([look("Class 2", tube="Class 2", joint="Premium"), look("Premium", 1, mended=JOINT)], "Class 2"),
    ([look("Class 2", tube="Premium", joint="Class 2"), look("Premium", 1, mended=JOINT, joint="Premium")],
     "Premium"),
    ([look("Scrap", tube="Scrap"), look("Premium", 1, mended=JOINT)], "Scrap"),
    ([look("Class 2"), look("Premium", 1, mended=JOINT)], "Class 2"),
])  # fmt: skip
def test_a_class_falls_with_any_look_and_rises_by_repair_alone(looks, holds):
    assert decide(of(*looks), TERMS).pipe_class == holds


@pytest.mark.parametrize(("more", "holds"), [
    ({"joint": "Premium"}, ""), ({"tube": "Premium"}, ""), ({"joint": "Class 2"}, "Class 2"),
    ({"tube": "Premium", "joint": "Class 2"}, "Class 2"),
    ({"tube": "Premium", "joint": "Premium"}, "Premium"),
])  # fmt: skip
def test_a_part_alone_makes_no_good_class_of_a_piece_that_has_none(more, holds):
    """Its tube may be anything: sound tool joints do not pass it."""
    assert decide(of(look("", **more)), TERMS).pipe_class == holds


def test_what_keeps_a_class_down_is_named():
    assert kept_down(of(look("Class 2")), look("Premium", 1)) == "Class 2"
    assert kept_down(of(look("Class 2")), look("Premium", 1, mended=BOTH)) == ""
    assert kept_down(of(), look("Premium")) == ""


@pytest.mark.parametrize(("given", "has_run", "holds"), [
    ("New", False, "Class 1"), ("New", True, "Premium"), ("Premium", True, "Premium"),
    ("P", False, "Premium"), ("", False, ""), ("C1", False, ""),
])  # fmt: skip
def test_the_word_of_the_sender_stands_and_new_is_premium_after_a_run(given, has_run, holds):
    assert decide(of(given=given, has_run=has_run), TERMS).pipe_class == holds


@pytest.mark.parametrize(("first", "second", "holds"), [
    ("Premium", "Class 2", "Class 2"), ("Class 2", "Premium", "Class 2"), ("Scrap", "Premium", "Reject"),
])  # fmt: skip
def test_another_scheme_carries_the_class_over_and_raises_none(first, second, holds):
    other = look(second, 5, scheme="ds1_4th")
    one = decide(of(look(first), other), TERMS)
    assert one.scheme == "ds1_4th"
    assert one.pipe_class in (holds, scheme("ds1_4th").last if holds == "Reject" else holds)
    assert one.pipe_class != "Premium" or holds == "Premium"


def test_going_to_another_site_begins_nothing_anew():
    """New pipe is a year old from its first delivery on, whatever site it lies at now."""
    came = {"came_on": date(2025, 1, 1), "hired_on": date(2025, 1, 1), "given": "New"}
    assert decide(of(received_on=date(2026, 5, 1), **came), TERMS).due.due_on == date(2026, 1, 1)


def test_a_delivery_answers_no_event():
    facts = of(given="New", received_on=date(2026, 5, 1), events=(("jarring", DAY, at(9)),))
    assert decide(facts, TERMS).due.due_on == DAY


def test_what_the_contract_says_stops_past_its_own_figure_though_ours_is_stricter():
    rules = (*default_rules(), Rule("collar", "rotating_s", "connections", 300 * 3600, authority="contract",
                                    source="Contract 14"))  # fmt: skip
    facts = of(look("Accept", scheme=PARTS), spec=COLLAR, scheme=PARTS)
    clocks = decide(facts, replace(TERMS, rules=rules)).due.clocks
    [limit] = [one for one in clocks if one.clock == "rotating_s"]
    assert (limit.due, limit.hard, limit.hard_by) == (250 * 3600, 300 * 3600, "contract")


def test_a_limit_of_law_that_nobody_proved_is_out_and_one_of_ours_is_due():
    lift = SpecFacts("lift_sub", od_nm=165_100_000)
    one = decide(of(spec=lift, scheme=PARTS), TERMS)
    assert one.hard == (EVER, "law") and one.due.over_on == EVER
    assert decide(of(given="Premium"), TERMS).due.over_on == NEVER


def test_without_a_report_a_piece_is_due_already_and_new_pipe_is_not():
    assert decide(of(given="Premium"), TERMS).due.due_on == EVER
    assert decide(of(given="New"), TERMS).due.due_on == date(2027, 1, 1)


def test_a_rental_with_a_fresh_report_and_unknown_life_hours_is_fit():
    one = decide(of(look("Premium")), TERMS)
    assert one.zeros["new"] is None and one.due.due_on == date(2027, 3, 2)
    assert all(limit.known for limit in one.due.clocks)


@pytest.mark.parametrize(("hour", "is_due"), [(11, False), (12, False), (13, True)])
def test_a_look_answers_what_happened_before_its_own_moment_and_not_later_that_day(hour, is_due):
    facts = of(look("Accept", scheme=PARTS), spec=COLLAR, scheme=PARTS, events=(("jarring", DAY, at(hour)),))
    assert (decide(facts, TERMS).due.due_on == DAY) is is_due


def test_a_look_of_another_scope_does_not_answer_an_event():
    seen = look("Accept", 1, scheme=PARTS, resets=frozenset({"visual"}))
    jarred = (("jarring", DAY, at(13)),)
    facts = of(look("Accept", scheme=PARTS), seen, spec=COLLAR, scheme=PARTS, events=jarred)
    assert decide(facts, TERMS).due.due_on == DAY


def test_limits_of_law_are_told_apart_from_our_own():
    lift = SpecFacts("lift_sub", od_nm=165_100_000)
    facts = of(look("Accept", scheme=PARTS), spec=lift, scheme=PARTS)
    assert decide(facts, TERMS).hard == (date(2026, 9, 2), "law")
    assert decide(of(look("Premium")), TERMS).hard == (NEVER, "")
