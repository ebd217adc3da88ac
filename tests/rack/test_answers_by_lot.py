"""An answer to a rule for a whole lot: all of a specification, or what came with one delivery (law 9)."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from rack.actions import pieces as on_pieces
from rack.actions import plans
from rack.errors import Refused
from rack.models import Component, Plan, RuleConsent
from rack.models.bha import content_now
from rack.models.judging import judge_plan
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


@pytest.fixture
def came(rig: Rig) -> list[Component]:
    """Two pieces that came with one delivery, both held."""
    pieces = list(Component.objects.filter(delivered_rows__delivery=rig.delivery).order_by("id")[:2])
    for piece in pieces:
        on_pieces.put_hold(stock.asks(rig.who["supervisor"]), piece, "hard banding is worn")
    return pieces


@pytest.fixture
def plan(rig: Rig, came: list[Component]) -> Plan:
    puts = [plans.Put(piece) for piece in came]
    head = plans.PlanHead("a string with a lot")
    return plans.begin_plan(stock.asks(rig.who["supervisor"]), rig.site, head, puts)


@pytest.fixture
def ola(rig: Rig) -> Client:
    client = Client()
    client.force_login(rig.who["supervisor"])
    return client


def today(rig: Rig):
    return timezone.now().astimezone(rig.site.zone).date()


def held(plan: Plan, day) -> list[str]:
    """The pieces of which rule 16 still asks."""
    _, judged = judge_plan(plan, day)
    return [name for one in judged.problems if one.code == "R16" for name in one.pieces]


def answer(client: Client, plan: Plan, rig: Rig, **more: object):
    typed = {"code": "R16", "reason": "one run, then to the shop", "holds_for": "", **more}
    body = {"key": str(uuid.uuid4()), **typed}
    return client.post(f"/plans/{plan.number}/do/yes/", body, follow=True)


def test_the_page_offers_the_lots_of_the_pieces_that_a_rule_asks_about(ola, plan, rig, came):
    page = ola.get(f"/plans/{plan.number}/").content.decode()
    assert f'value="delivery:{rig.delivery.pk}">what came with delivery {rig.delivery.pk}' in page
    assert f'value="lot:{came[0].spec_id}">every 5 in 19.50' in page


@pytest.mark.parametrize("lot", ["delivery", "lot"])
def test_one_answer_for_a_lot_holds_for_all_of_it_until_its_day(ola, plan, rig, came, lot):
    day = today(rig)
    assert set(held(plan, day)) == {str(piece) for piece in came}
    pk = rig.delivery.pk if lot == "delivery" else came[0].spec_id
    until = day + timedelta(days=10)
    answer(ola, plan, rig, holds_for=f"{lot}:{pk}", ends_on=until, key_of=[came[0].pk], where="piece 1")
    assert held(plan, day) == []
    assert held(plan, until) == [], "the last day counts"
    assert set(held(plan, until + timedelta(days=1))) == {str(piece) for piece in came}
    made = RuleConsent.objects.get(plan=plan)
    assert (made.component, made.where) == (None, ""), "it is given for the lot, not for one of it"


def test_an_answer_for_one_delivery_does_not_hold_for_a_piece_of_another(ola, plan, rig, came):
    other = rig.spare[0]
    on_pieces.put_hold(stock.asks(rig.who["supervisor"]), other, "pitted")
    plans.put_in(stock.asks(rig.who["supervisor"]), plan, [plans.Put(other)])
    answer(ola, plan, rig, holds_for=f"delivery:{rig.delivery.pk}", ends_on=today(rig))
    assert held(plan, today(rig)) == [str(other)]


def test_an_answer_for_a_lot_needs_its_last_day_and_none_ends_before_it_is_given(ola, plan, rig):
    said = answer(ola, plan, rig, holds_for=f"delivery:{rig.delivery.pk}")
    assert said.status_code == 422 and "until which day it holds" in said.content.decode()
    past = today(rig) - timedelta(days=1)
    said = answer(ola, plan, rig, ends_on=past)
    assert said.status_code == 422 and "is over already" in said.content.decode()
    assert not RuleConsent.objects.filter(plan=plan).exists()


@pytest.mark.parametrize("holds_for", ["delivery:999999", "lot:999999"])
def test_a_lot_that_is_none_is_not_found(ola, plan, rig, holds_for):
    assert answer(ola, plan, rig, holds_for=holds_for, ends_on=today(rig)).status_code == 404


def test_a_word_that_is_no_lot_is_refused(ola, plan, rig):
    assert answer(ola, plan, rig, holds_for="everything").status_code == 422
    assert not RuleConsent.objects.filter(plan=plan).exists()


def test_a_delivery_of_another_site_is_refused(plan, rig):
    rig.delivery.site_id = rig.other.pk
    yes = plans.Yes("R16", "short run", ends_on=today(rig), delivery=rig.delivery)
    with pytest.raises(Refused, match="another site"):
        plans.consent(stock.asks(rig.who["supervisor"]), plan, yes)


def test_the_sheet_prints_for_which_lot_until_when_and_by_whom(plan, rig):
    until = today(rig) + timedelta(days=3)
    yes = plans.Yes("R16", "one run", ends_on=until, delivery=rig.delivery)
    plans.consent(stock.asks(rig.who["supervisor"]), plan, yes)
    notes = " ".join(content_now(plan, timezone.now()).notes)
    assert f"one run, for what came with delivery {rig.delivery.pk}" in notes
    assert f"until {until}" in notes and "Taken all the same by" in notes
