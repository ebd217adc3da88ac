"""Changes of which only a depth was noted: what joined is cut there, what left on a trip loses nothing."""

import uuid

import pytest

from rack.actions import running
from rack.actions.doing import Said
from rack.actions.journal import Asked, Hand
from rack.actions.legs import post_legs, share_again
from rack.calc.hours import Leg
from rack.models import Clock, Component, Hours
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.runs import HOUR, at, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"
BY_JOINT = {"drill_pipe": "by joint"}


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 4, lengths=["31.50"] * 4)


def hours_of(piece: Component) -> float:
    """The hours that the piece earned; none may be unknown."""
    assert not Hours.objects.standing().filter(component=piece, clock="rotating_s", amount=None).exists()
    return Clock.objects.get(component=piece, clock="rotating_s", basis="new").total / HOUR


def deep(feet: str) -> Said:
    return Said(None, stock.feet(feet), WHY)


def short_trip(ada, string, joint, up: str, down: str) -> None:
    """The bit was pulled to one depth, where the joint was racked back, and came back from another."""
    running.rack_back(stock.asks(ada), string, [joint], "A", 1, deep(up))
    running.run_again(stock.asks(ada), string, [joint], deep(down))


@pytest.mark.parametrize("timed", [True, False], ids=["lines with times", "lines with depths alone"])
def test_a_joint_racked_back_on_a_short_trip_earns_every_hour_of_the_lines_it_was_in_for(
    ada, ola, string, joints, timed
):
    """It was made up at 8,000 ft, the hole was 8,300 ft deep; on the way out the bit was at 8,250."""
    run = runs.run(ola, string, policy=BY_JOINT, in_nm=stock.feet("7000"))
    runs.join(ada, string, joints[:1], feet="7000")
    runs.join(ada, string, joints[1:2], feet="8000")
    lines = [leg(0, 10, "8000", "8300"), leg(12, 16, "8300", "8400")]
    if not timed:
        lines = [Leg(None, None, *(getattr(one, name) for name in (
            "from_nm", "to_nm", "rotating_s", "sliding_s", "circulating_s", "bottom_s", "below_rotary_s",
            "rpm"))) for one in lines]  # fmt: skip
    post_legs(stock.asks(ada), run, lines[:1], WHY)
    short_trip(ada, string, joints[1], "8250", "8260")
    post_legs(stock.asks(ada), run, lines[1:], WHY)
    share_again(stock.asks(ada), run)
    assert [hours_of(joint) for joint in joints[:2]] == [14, 14]
    assert "No difference" in audited()


def test_a_joint_that_joined_at_a_depth_alone_is_cut_there_although_it_left_by_depth(
    ada, ola, string, joints
):
    run = runs.run(ola, string, policy=BY_JOINT, in_nm=stock.feet("8000"))
    runs.join(ada, string, joints[:1], feet="8000")
    runs.join(ada, string, joints[1:2], feet="8150")
    running.rack_back(stock.asks(ada), string, joints[1:2], "A", 1, deep("8181.5"))
    post_legs(stock.asks(ada), run, [leg(0, 10, "8000", "8300")], WHY)
    assert [hours_of(joint) for joint in joints[:2]] == [10, 5]
    assert "No difference" in audited()


def test_what_begins_after_a_leaving_was_written_down_goes_to_what_is_still_in(ada, ola, string, joints):
    """Only a depth was noted, but by the hour of its entry the joint was out: later lines are not its."""
    run = runs.run(ola, string, policy=BY_JOINT)
    runs.join(ada, string, joints[:2], hours=0)
    entered = Asked(uuid.uuid4(), Hand(ada, made_at=at(12)))
    running.rack_back(entered, string, joints[1:2], "A", 1, deep("900"))
    post_legs(stock.asks(ada), run, [leg(0, 10, "1000", "1300"), leg(13, 17, "1300", "1400")], WHY)
    assert [hours_of(joint) for joint in joints[:2]] == [14, 10]
    assert "No difference" in audited()
