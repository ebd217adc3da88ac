"""A run from the first line to the end: what each piece earns, what is refused, what is put right."""

import random
import uuid

import pytest

from rack.actions import running
from rack.actions.doing import Said
from rack.actions.legs import post_legs, take_back_leg
from rack.actions.runs import RunEnd, end_run, take_up_run
from rack.actions.standing import Standing
from rack.calc.standing import EVER, NEVER
from rack.errors import AlreadyUsed, Refused
from rack.models import Clock, Component, Journal, Leg, RuleConsent
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.rack.test_standing import write as write_standings
from tests.runs import HOUR, at, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 10, lengths=["31.50"] * 10)


def hours_of(piece, clock="rotating_s", basis="new") -> float:
    row = Clock.objects.filter(component=piece, clock=clock, basis=basis).first()
    return row.total / HOUR if row else 0


def figures():
    """Everything that is kept, for comparing two ways to the same end."""
    clocks = Clock.objects.order_by("component", "clock", "basis").values_list(
        "component", "clock", "basis", "total", "known", "left"
    )
    dates = Component.objects.order_by("pk").values_list("pk", "soon_on", "due_on", "over_on")
    return list(clocks), list(dates)


def test_ten_singles_over_three_hundred_feet_in_ten_hours_earn_what_the_guide_says(ada, ola, string, joints):
    """The worked case: 10.00, 8.95 ... 0.55, 52.75 in all, each from the depth at which it was made up."""
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"}, in_nm=stock.feet("8000"))
    for n, joint in enumerate(joints):
        runs.join(ada, string, [joint], feet=f"{8000 + 31.5 * n:.2f}")
    post_legs(stock.asks(ada), run, [leg(0, 10, "8000", "8300")], WHY)
    earned = [hours_of(joint) for joint in joints]
    assert earned == [round(10 - 1.05 * n, 2) for n in range(10)]
    assert sum(Clock.objects.filter(clock="rotating_s").values_list("total", flat=True)) == 52.75 * HOUR
    assert "No difference" in audited()


def test_drill_pipe_is_credited_the_whole_run_unless_the_office_chose_otherwise(ada, ola, string, joints):
    run = runs.run(ola, string)
    runs.join(ada, string, joints[:1], hours=0)
    post_legs(stock.asks(ada), run, [leg(0, 4, "100", "200")], WHY)
    runs.join(ada, string, joints[1:2], hours=4)
    post_legs(stock.asks(ada), run, [leg(4, 6, "200", "250")], WHY)
    assert [hours_of(joint) for joint in joints[:3]] == [6, 6, 0]
    assert hours_of(joints[1], "footage_nm") * HOUR == stock.feet("150")
    assert "No difference" in audited()


def test_what_was_racked_back_is_not_in_and_earns_nothing_meanwhile(ada, ola, string, joints):
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"})
    runs.join(ada, string, joints[:2], hours=0)
    running.rack_back(stock.asks(ada), string, joints[1:2], "A", 1, Said(at(2)))
    running.run_again(stock.asks(ada), string, joints[1:2], Said(at(5)))
    post_legs(stock.asks(ada), run, [leg(0, 8)], WHY)
    assert [hours_of(joint) for joint in joints[:2]] == [8, 5]


def test_below_a_motor_a_piece_turns_while_it_slides_and_the_motor_counts_circulation(
    ada, ola, string, layer
):
    bit, motor = runs.tool(layer, "bit", 9001), runs.tool(layer, "motor", 9002)
    collar = runs.tool(layer, "collar", 9003)
    runs.join(ada, string, [bit, motor, collar], hours=0)
    run = runs.run(ola, string)
    given = {"rotating_s": 2 * HOUR, "sliding_s": HOUR, "bottom_s": 3 * HOUR, "circulating_s": 4 * HOUR}
    post_legs(stock.asks(ada), run, [leg(0, 4, "100", "160", **given)], WHY)
    assert (hours_of(bit), hours_of(collar), hours_of(motor, "circulating_s")) == (3, 2, 4)
    assert not Clock.objects.filter(component=motor, clock="rotating_s").exists()


def test_an_unknown_time_is_not_zero_and_is_known_again_when_it_is_taken_back(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    write_standings(
        {joints[0].pk: Standing(clocks={("rotating_s", "full"): (0, 80 * HOUR, 100 * HOUR, None)})}
    )
    lines = post_legs(stock.asks(ada), run, [leg(0, 2, rotating_s=None)], WHY)
    clock = Clock.objects.get(component=joints[0], basis="full", clock="rotating_s")
    assert (clock.total, clock.known, clock.left) == (0, False, 0)
    assert Component.objects.get(pk=joints[0].pk).due_on == EVER
    assert "No difference" in audited()
    take_back_leg(stock.asks(ada), lines[0], "the sheet was found")
    clock.refresh_from_db()
    assert (clock.known, clock.left) == (True, 100 * HOUR)
    assert Component.objects.get(pk=joints[0].pk).due_on == NEVER
    assert "No difference" in audited()


def test_posting_runs_the_clocks_against_their_limits(ada, ola, string, joints):
    runs.join(ada, string, joints[:2], hours=0)
    run = runs.run(ola, string)
    limits = {("rotating_s", "full"): (0, 5 * HOUR, 6 * HOUR, 9 * HOUR)}
    write_standings({joints[0].pk: Standing(clocks=limits, why="hours since the last look")})
    post_legs(stock.asks(ada), run, [leg(0, 5)], WHY)
    piece = Component.objects.get(pk=joints[0].pk)
    assert (piece.soon_on, piece.due_on, piece.over_on) == (EVER, NEVER, NEVER)
    post_legs(stock.asks(ada), run, [leg(5, 6)], WHY)
    piece.refresh_from_db()
    assert (piece.soon_on, piece.due_on, piece.over_on) == (EVER, EVER, NEVER)
    assert Clock.objects.get(component=piece, clock="rotating_s", basis="full").left == 0
    assert "No difference" in audited()


def test_the_same_request_twice_posts_once_and_another_body_is_refused(ada, ola, string, joints):
    runs.join(ada, string, joints[:2], hours=0)
    run = runs.run(ola, string)
    key = uuid.uuid4()
    first = post_legs(stock.asks(ada, key), run, [leg(0, 2)], WHY)
    again = post_legs(stock.asks(ada, key), run, [leg(0, 2)], WHY)
    assert [row.pk for row in first] == [row.pk for row in again]
    assert hours_of(joints[0]) == 2
    with pytest.raises(AlreadyUsed):
        post_legs(stock.asks(ada, key), run, [leg(0, 3)], WHY)


@pytest.mark.parametrize("seed", range(3))
def test_lines_taken_back_in_any_order_end_where_it_began(ada, ola, string, joints, layer, seed):
    jar = runs.tool(layer, "jar", 9001)
    runs.join(ada, string, [jar, *joints[:3]], hours=0)
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"})
    first = post_legs(stock.asks(ada), run, [leg(0, 3, "100", "200")], WHY)
    before = figures()
    more = post_legs(
        stock.asks(ada), run,
        [leg(3, 5, "200", "260"), leg(5, 7, rotating_s=None), leg(7, 8), leg(8, 9, "260", "270")], WHY,
    )  # fmt: skip
    random.Random(seed).shuffle(more)
    for line in more:
        take_back_leg(stock.asks(ada), line, "typed for another day")
    assert figures() == before
    assert "No difference" in audited()
    take_back_leg(stock.asks(ada), first[0], "this too")
    assert set(Clock.objects.values_list("total", flat=True)) == {0}


def test_a_line_is_taken_back_once(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    line = post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 2)], WHY)[0]
    key = uuid.uuid4()
    back = take_back_leg(stock.asks(ada, key), line, "a slip")
    assert take_back_leg(stock.asks(ada, key), line, "a slip").pk == back.pk
    for wrong in (line, back):
        with pytest.raises(Refused, match="taken back already"):
            take_back_leg(stock.asks(ada), wrong, "a slip")
    with pytest.raises(Refused, match="few words"):
        take_back_leg(stock.asks(ada), line, " ")


def test_lines_that_overlap_are_refused_and_nothing_is_stored(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    lines = Journal.objects.count()
    with pytest.raises(Refused, match="overlap"):
        post_legs(stock.asks(ada), run, [leg(3, 5)], WHY)
    with pytest.raises(Refused, match="no line"):
        post_legs(stock.asks(ada), run, [])
    assert (Leg.objects.count(), Journal.objects.count(), hours_of(joints[0])) == (1, lines, 4)


def test_a_question_wants_a_reason_which_is_kept_and_is_asked_once(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    odd = leg(0, 4, rpm=900)
    with pytest.raises(Refused, match="rpm"):
        post_legs(stock.asks(ada), run, [odd])
    post_legs(stock.asks(ada), run, [odd], WHY)
    assert RuleConsent.objects.filter(check_code="H12", reason=WHY).count() == 1
    post_legs(stock.asks(ada), run, [leg(4, 5)])


def test_the_end_of_a_run_counts_it_once_for_each_piece_and_can_be_taken_back(
    ada, ola, string, joints, layer
):
    bit, sub = runs.tool(layer, "bit", 9001), runs.tool(layer, "saver_sub", 9002)
    runs.join(ada, string, [bit, joints[0], sub], hours=0)
    run = runs.run(ola, string)
    runs.join(ada, string, joints[1:2], hours=2)
    runs.join(ada, string, joints[2:3], hours=3)
    post_legs(stock.asks(ada), run, [leg(0, 4, "100", "200")], WHY)
    before = figures()
    end = RunEnd(at(5), stock.feet("200"), "td", "1-2-WT-A-X-I-NO-TD")
    key = uuid.uuid4()
    for _ in range(2):
        ended = end_run(stock.asks(ola, key), run, end, WHY)
    assert (ended.reason_pulled, ended.dull, ended.out_at) == ("TD", "1-2-WT-A-X-I-NO-TD", at(5))
    assert [hours_of(piece, "runs_n") * HOUR for piece in (bit, joints[0], joints[2])] == [1, 1, 1]
    assert hours_of(sub, "connections_n") * HOUR == 2
    assert "No difference" in audited()
    with pytest.raises(Refused, match="come to its end"):
        end_run(stock.asks(ola), run, end, WHY)
    take_up_run(stock.asks(ola), run, "the bit went in again")
    assert [row for row in figures()[0] if row[1] not in ("runs_n", "connections_n")] == before[0]
    assert not Clock.objects.filter(clock__in=["runs_n", "connections_n"]).exclude(total=0).exists()
    assert "No difference" in audited()


def test_a_dull_grade_that_the_table_does_not_know_is_asked_about_and_kept_as_typed(ada, ola, string, joints):
    runs.join(ada, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    end = RunEnd(at(5), None, "TD", "1-2-QQ-A-X-I-NO-TD")
    with pytest.raises(Refused, match="QQ"):
        end_run(stock.asks(ola), run, end)
    assert end_run(stock.asks(ola), run, end, "so written on the sheet").dull_typed == end.dull
