"""Several hands at one run: hours are posted once, a joint that joins meanwhile is not lost. PostgreSQL."""

import uuid

import pytest

from rack.actions.legs import post_legs, share_again, take_back_leg
from rack.models import Clock, Hours, Leg
from tests import runs, stock
from tests.hands import HANDS, at_once, refused
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def boss():
    return stock.person("ola", "supervisor", stock.site())


@pytest.fixture
def layer(boss):
    return stock.rack(boss.posts.get().site)


@pytest.fixture
def string(boss, layer):
    return runs.string(boss, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, HANDS + 2)


def test_the_same_lines_sent_by_eight_hands_are_posted_once(boss, string, joints):
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    key = uuid.uuid4()
    answers = at_once([lambda: post_legs(stock.asks(boss, key), run, [runs.leg(0, 2)]) for _ in range(HANDS)])
    assert refused(answers) == []
    assert set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == {2 * runs.HOUR}
    assert "No difference" in audited()


def test_different_lines_of_eight_hands_add_up(boss, string, joints):
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    lines = [[runs.leg(n, n + 1)] for n in range(HANDS)]
    at_once([lambda one=one: post_legs(stock.asks(boss), run, one, "all at once") for one in lines])
    total = Leg.objects.count() * runs.HOUR
    assert Leg.objects.count() == HANDS
    assert set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == {total}
    assert "No difference" in audited()


def test_a_line_taken_back_by_eight_hands_is_taken_back_once(boss, string, joints):
    runs.join(boss, string, joints[:3], hours=0)
    line = post_legs(stock.asks(boss), runs.run(boss, string), [runs.leg(0, 2)])[0]
    answers = at_once([lambda: take_back_leg(stock.asks(boss), line, "a slip") for _ in range(HANDS)])
    assert len(refused(answers)) == HANDS - 1
    assert set(Clock.objects.values_list("total", flat=True)) == {0}
    assert "No difference" in audited()


def test_joints_that_join_while_hours_are_posted_have_them_after_the_next_posting(boss, string, joints):
    runs.join(boss, string, joints[:2], hours=0)
    run = runs.run(boss, string)
    hands = [lambda n=n: runs.join(boss, string, [joints[2 + n]]) for n in range(HANDS // 2)]
    hands += [
        lambda n=n: post_legs(stock.asks(boss), run, [runs.leg(n, n + 1)], "now") for n in range(HANDS // 2)
    ]
    assert refused(at_once(hands)) == []
    assert "No difference" in audited()
    share_again(stock.asks(boss), run)
    assert "No difference" in audited()
    assert Hours.objects.standing().filter(clock="rotating_s").values("component").distinct().count() == (
        2 + HANDS // 2)  # fmt: skip
