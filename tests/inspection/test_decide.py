"""What all inspections of a piece come to: a class falls, and rises by repair alone; events and looks."""

from datetime import UTC, date, datetime, timedelta

import pytest

from inspection.calc.decide import Looked, PieceFacts, Terms, decide, kept_down
from inspection.calc.rules import default_rules
from rack.calc.specs import SpecFacts
from rack.calc.standing import EVER, NEVER
from tests.inspection.pieces import pipe

CODE = "api_rp7g2_2009"
PARTS = "api_rp7g2_2009_components"
DAY = date(2026, 3, 2)
TERMS = Terms(default_rules(), date(2026, 6, 1))
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
    ([look("Class 2"), look("Premium", 1, repaired=True)], "Premium"),
    ([look("Class 2"), look("Premium", 1, repaired=True), look("Class 2", 2)], "Class 2"),
    ([look("Premium"), look("", 1, tube="Class 2")], "Class 2"),
    ([look("Premium"), look("", 1)], "Premium"),
])  # fmt: skip
def test_a_class_falls_with_any_look_and_rises_by_repair_alone(looks, holds):
    assert decide(of(*looks), TERMS).pipe_class == holds


def test_what_keeps_a_class_down_is_named():
    assert kept_down(of(look("Class 2")), look("Premium", 1)) == "Class 2"
    assert kept_down(of(look("Class 2")), look("Premium", 1, repaired=True)) == ""
    assert kept_down(of(), look("Premium")) == ""


@pytest.mark.parametrize(("given", "has_run", "holds"), [
    ("New", False, "Class 1"), ("New", True, "Premium"), ("Premium", True, "Premium"),
    ("P", False, "Premium"), ("", False, ""), ("C1", False, ""),
])  # fmt: skip
def test_the_word_of_the_sender_stands_and_new_is_premium_after_a_run(given, has_run, holds):
    assert decide(of(given=given, has_run=has_run), TERMS).pipe_class == holds


def test_another_scheme_begins_its_own_ladder():
    other = look("Class 2", 5, scheme="ds1_4th")
    one = decide(of(look("Premium"), other), TERMS)
    assert (one.scheme, one.pipe_class) == ("ds1_4th", "Class 2")


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
