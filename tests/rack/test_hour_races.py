"""Several hands at one run: hours are posted once, a joint that joins meanwhile is not lost. PostgreSQL."""

import uuid

import pytest

from rack.actions import running, strings
from rack.actions.doing import Said
from rack.actions.legs import post_legs, share_again, take_back_leg
from rack.actions.runs import RunEnd, end_run
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


def test_one_line_that_several_people_type_each_for_himself_is_stored_once(boss, string, joints):
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    hands = [lambda: post_legs(stock.asks(boss), run, [runs.leg(0, 2)], "now") for _ in range(HANDS)]
    answers = at_once(hands)
    assert len(refused(answers)) == HANDS - 1
    assert all("overlap" in str(one) for one in refused(answers))
    assert Leg.objects.count() == 1
    assert set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == {2 * runs.HOUR}
    assert "No difference" in audited()


def test_lines_taken_back_while_others_are_posted_leave_what_stands(boss, string, joints):
    """A correction against a posting: neither waits for ever, neither undoes the other."""
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    half = HANDS // 2
    lines = post_legs(stock.asks(boss), run, [runs.leg(n, n + 1) for n in range(half)])
    hands = [lambda one=one: take_back_leg(stock.asks(boss), one, "a slip") for one in lines]
    hands += [
        lambda n=n: post_legs(stock.asks(boss), run, [runs.leg(n, n + 2)], "now")
        for n in range(half, half + 2 * half, 2)
    ]
    assert refused(at_once(hands)) == []
    total = 2 * half * runs.HOUR
    assert set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == {total}
    assert Leg.objects.standing().count() == half
    assert "No difference" in audited()


def test_a_run_that_ends_while_lines_are_posted_counts_once(boss, string, joints):
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    hands = [lambda: end_run(stock.asks(boss), run, RunEnd(runs.at(HANDS)), "out") for _ in range(2)]
    hands += [
        lambda n=n: post_legs(stock.asks(boss), run, [runs.leg(n, n + 1)], "now") for n in range(HANDS - 2)
    ]
    answers = at_once(hands)
    assert len(refused(answers[:2])) == 1
    assert refused(answers[2:]) == []
    assert set(Clock.objects.filter(clock="runs_n").values_list("total", flat=True)) == {1}
    total = (HANDS - 2) * runs.HOUR
    assert set(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == {total}
    assert "No difference" in audited()


def test_casing_that_stays_in_the_well_while_hours_are_posted_has_them_after_the_next_sharing(
    boss, layer, string, joints
):
    runs.join(boss, string, joints[:2], hours=0)
    run = runs.run(boss, string)
    well = strings.StringHead(string.well, title="casing")
    casing = strings.begin_string(stock.asks(boss), layer.site, well)
    inside = stock.pieces(layer, 3, facts=stock.CASING, first=7001, lengths=["40.00"] * 3)
    runs.join(boss, casing, inside, hours=-3)
    landed = Said(runs.at(-2), None, "landed")
    hands = [lambda: running.leave_behind(stock.asks(boss), casing, inside, "left_in_well", landed)]
    hands += [
        lambda n=n: post_legs(stock.asks(boss), run, [runs.leg(n, n + 1)], "now") for n in range(HANDS - 1)
    ]
    assert refused(at_once(hands)) == []
    assert "No difference" in audited()
    share_again(stock.asks(boss), run)
    assert "No difference" in audited()
    clocks = Clock.objects.filter(clock="rotating_s", component__in=inside)
    assert list(clocks.values_list("total", flat=True)) == [(HANDS - 1) * runs.HOUR] * 3
