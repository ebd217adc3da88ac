"""Two people at one string, and one piece for two strings: one wins, the other is told. PostgreSQL only."""

import pytest

from rack.actions import plans, running, strings
from rack.actions.leaving_out import leave_out
from rack.actions.wells import WellFacts, add_well
from rack.errors import Refused
from rack.models import Change, Component, Member, NotRun
from tests import stock
from tests.hands import HANDS, at_once, refused
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def boss():
    here = stock.site()
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def layer(boss):
    return stock.rack(boss.posts.get().site)


def begun(boss, title: str):
    here = boss.posts.get().site
    well = add_well(stock.asks(boss), here, WellFacts(title))
    return strings.begin_string(stock.asks(boss), here, strings.StringHead(well, title=title))


def test_a_piece_that_eight_hands_make_up_in_two_strings_is_in_one(boss, layer):
    piece = stock.pieces(layer, 1)[0]
    both = [begun(boss, "first"), begun(boss, "second")]
    answers = at_once(
        [lambda n=n: running.join(stock.asks(boss), both[n % 2], [piece]) for n in range(HANDS)]
    )
    assert len(refused(answers)) == HANDS - 1
    assert all("already" in str(answer) or "in the hole" in str(answer) for answer in refused(answers))
    assert Member.objects.now().count() == 1
    assert "No difference" in audited()


def test_hands_that_make_up_different_pieces_leave_each_its_own_rank(boss, layer):
    on = stock.pieces(layer, HANDS)
    string = begun(boss, "first")
    at_once([lambda n=n: running.join(stock.asks(boss), string, [on[n]]) for n in range(HANDS)])
    ranks = list(Member.objects.now().values_list("rank", flat=True))
    assert len(set(ranks)) == HANDS
    assert "No difference" in audited()


def test_a_joint_laid_down_and_racked_back_at_once_is_in_one_place(boss, layer):
    on = stock.pieces(layer, 2)
    string = begun(boss, "first")
    running.join(stock.asks(boss), string, on)

    def lays() -> None:
        running.lay_down(stock.asks(boss), string, on[1:], layer)

    def racks() -> None:
        running.rack_back(stock.asks(boss), string, on[1:], "A", 1)

    answers = at_once([lays, racks])
    piece = Component.objects.get(pk=on[1].pk)
    assert piece.state in ("received", "in_derrick")
    assert all(isinstance(one, Refused) for one in refused(answers))
    assert Change.objects.standing().filter(component=on[1]).count() in (2, 3)
    assert "No difference" in audited()


def test_a_piece_that_eight_hands_go_past_is_left_out_once(boss, layer):
    piece = stock.pieces(layer, 1)[0]
    here = boss.posts.get().site
    plan = plans.begin_plan(stock.asks(boss), here, plans.PlanHead("one joint"), [plans.Put(piece)])
    well = add_well(stock.asks(boss), here, WellFacts("first"))
    string = strings.begin_string(stock.asks(boss), here, strings.StringHead(well, plan=plan))
    answers = at_once([lambda: leave_out(stock.asks(boss), string, piece, "bent")] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert NotRun.objects.standing().count() == 1
