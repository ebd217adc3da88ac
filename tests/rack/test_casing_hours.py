"""Casing that stays in the well earns the hours that are turned inside it, until a later string covers it."""

import pytest

from rack.actions import running, taking_back
from rack.actions.doing import Said
from rack.actions.happenings import add_dogleg
from rack.actions.legs import post_legs, share_again, take_back_leg
from rack.actions.runs import RunEnd, end_run
from rack.calc.hours import Membership, connections_made
from rack.models import Change, Clock, Component
from rack.models.bends import bends_of_run
from rack.models.stays import changed_late, legs_of
from tests import runs, stock
from tests.rack.test_audit import audited
from tests.runs import HOUR, at, leg

pytestmark = pytest.mark.django_db(transaction=True)
WHY = "as the driller's sheet has it"


@pytest.fixture
def string(ola, layer):
    return runs.string(ola, layer)


@pytest.fixture
def joints(ada, string, layer):
    found = stock.pieces(layer, 2, lengths=["31.50"] * 2)
    runs.join(ada, string, found, hours=0)
    return found


def hours_of(piece) -> float:
    row = Clock.objects.filter(component=piece, clock="rotating_s", basis="new").first()
    return row.total / HOUR if row else 0


def cased(ada, ola, layer, well, *kinds, hours: float = -2, first: int = 7001) -> list[Component]:
    """A string of casing that was run in the well of another string and stays there."""
    casing = runs.strings.begin_string(
        stock.asks(ola), layer.site, runs.strings.StringHead(well, title="casing")
    )
    pieces = [
        *stock.pieces(layer, 2, facts=stock.CASING, first=first, lengths=["40.00", "41.00"]),
        *(runs.tool(layer, kind, first + 50 + n) for n, kind in enumerate(kinds)),
    ]
    runs.join(ada, casing, pieces, hours=hours - 1)
    running.leave_behind(stock.asks(ada), casing, pieces, "left_in_well", Said(at(hours), None, "landed"))
    return pieces


def test_casing_that_stays_in_the_well_earns_what_is_turned_inside_it(ada, ola, string, joints, layer):
    inside = cased(ada, ola, layer, string.well, "float_shoe")
    run = runs.run(ola, string)
    slid = leg(4, 5, sliding_s=HOUR, rotating_s=0)
    line = post_legs(stock.asks(ada), run, [leg(0, 4, "100", "200"), slid], WHY)
    assert [hours_of(piece) for piece in inside] == [4, 4, 0]  # nor the shoe, nor while it slides
    assert set(Clock.objects.filter(component__in=inside).values_list("clock", flat=True)) == {"rotating_s"}
    assert "No difference" in audited()
    end_run(stock.asks(ola), run, RunEnd(at(6)))
    assert not Clock.objects.filter(component__in=inside, clock="runs_n").exists()
    take_back_leg(stock.asks(ada), line[0], "another well")
    assert [hours_of(piece) for piece in inside] == [0, 0, 0]
    assert "No difference" in audited()


def test_casing_of_another_well_and_casing_that_was_laid_down_earn_nothing(ada, ola, string, joints, layer):
    other = runs.string(ola, layer, "SD-15")
    far = cased(ada, ola, layer, other.well)
    casing = runs.strings.begin_string(stock.asks(ola), layer.site, runs.strings.StringHead(string.well))
    laid = stock.pieces(layer, 1, facts=stock.CASING, first=7101, lengths=["40.00"])
    runs.join(ada, casing, laid, hours=-3)
    running.lay_down(stock.asks(ada), casing, laid, layer, Said(at(-2), None, "thread damaged"))
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 4)], WHY)
    assert [hours_of(piece) for piece in [*far, *laid]] == [0, 0, 0]
    assert "No difference" in audited()


@pytest.mark.parametrize(("kinds", "outer"), [((), 0), (("liner_hanger",), 4)], ids=["casing", "liner"])
def test_a_later_string_to_the_surface_covers_the_one_before_and_a_liner_does_not(
    ada, ola, string, joints, layer, kinds, outer
):
    first = cased(ada, ola, layer, string.well, hours=-9)
    second = cased(ada, ola, layer, string.well, *kinds, hours=-2, first=8001)
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 4)], WHY)
    assert [hours_of(piece) for piece in first] == [outer] * 2
    assert [hours_of(piece) for piece in second] == [4] * len(second)
    assert "No difference" in audited()


def test_casing_that_is_written_down_late_is_shared_again_and_taken_back(ada, ola, string, joints, layer):
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    run.refresh_from_db()
    assert not changed_late(run, legs_of(run))
    inside = cased(ada, ola, layer, string.well)
    run.refresh_from_db()
    assert changed_late(run, legs_of(run))
    assert "No difference" in audited()
    share_again(stock.asks(ada), run)
    assert [hours_of(piece) for piece in inside] == [4, 4]
    assert "No difference" in audited()
    left = Change.objects.filter(what="leave", component__in=inside).order_by("id").last()
    taking_back.take_back(stock.asks(ada), left.string, left.journal)
    post_legs(stock.asks(ada), run, [leg(4, 5)], WHY)
    assert "No difference" in audited()
    assert [hours_of(piece) for piece in inside] == [0, 0]
    assert hours_of(joints[0]) == 5


def test_casing_left_during_a_run_earns_from_then_on(ada, ola, string, joints, layer):
    inside = cased(ada, ola, layer, string.well, hours=3)
    post_legs(stock.asks(ada), runs.run(ola, string), [leg(0, 4)], WHY)
    assert [hours_of(piece) for piece in inside] == [1, 1]
    assert "No difference" in audited()


def test_a_change_after_a_run_has_ended_asks_for_no_sharing(ada, ola, string, joints, layer):
    run = runs.run(ola, string)
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    end_run(stock.asks(ola), run, RunEnd(at(5)))
    running.lay_down(stock.asks(ada), string, joints, layer, Said(at(6), None, "out of the hole"))
    cased(ada, ola, layer, string.well, hours=9)
    run.refresh_from_db()
    assert not changed_late(run, legs_of(run))


def test_a_stand_racked_back_after_the_last_line_asks_for_no_sharing_and_one_written_late_does(
    ada, ola, string, joints, layer
):
    run = runs.run(ola, string, policy={"drill_pipe": "by joint"})
    post_legs(stock.asks(ada), run, [leg(0, 4)], WHY)
    run.refresh_from_db()
    running.rack_back(stock.asks(ada), string, joints[1:], "A", 1, Said(at(5)))
    assert not changed_late(run, legs_of(run))
    running.rack_back(stock.asks(ada), string, joints[:1], "A", 1, Said(at(3)))
    assert changed_late(run, legs_of(run))
    share_again(stock.asks(ada), run)
    assert [hours_of(joint) for joint in joints] == [3, 4]


def test_casing_is_in_no_bend_and_makes_no_connection(ada, ola, string, joints, layer):
    inside = cased(ada, ola, layer, string.well)
    run = runs.run(ola, string)
    add_dogleg(stock.asks(ola), string.well, stock.feet("50"), stock.feet("150"), 5_400)
    post_legs(stock.asks(ada), run, [leg(0, 4, "100", "200")], WHY)
    (bend,) = bends_of_run(run)
    assert {row.piece for row in bend.pieces} & set(inside) == set()
    assert connections_made([Membership(1, "casing", at(1), around=True)]) == 0
