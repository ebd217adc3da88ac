"""Paper judges the whole string for the answers that it prints: the same few questions however long it is."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone

from rack.actions import pieces as on_pieces
from rack.actions import plans, running, strings
from rack.models import Component
from tests import stock
from tests.rig import Rig, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def rig() -> Rig:
    return build()


def questions(client: Client, at: str) -> int:
    """How many statements one answer takes; the first answer warms what is kept between requests."""
    client.get(at)
    asked: list[str] = []

    def count(execute, sql, params, many, context):
        asked.append(sql)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(count):
        assert client.get(at).status_code == 200
    return len(asked)


def held(rig: Rig, pieces: list[Component]) -> list[Component]:
    for piece in pieces:
        on_pieces.put_hold(stock.asks(rig.who["crew"]), piece, "hard banding is worn")
    return pieces


@pytest.mark.parametrize("paper", ["handover.pdf", "bha/", "rules/", "loads/"])
def test_a_longer_string_of_held_and_answered_pieces_asks_the_database_no_more(rig, paper):
    by = rig.who["supervisor"]
    client = Client()
    client.force_login(by)
    made = strings.begin_string(stock.asks(by), rig.site, strings.StringHead(rig.well))
    layer, counts = stock.rack(rig.site, "R8"), []
    until = timezone.now().astimezone(rig.site.zone).date() + timedelta(days=5)
    for first, count in ((9301, 3), (9401, 12)):
        joints = held(rig, stock.pieces(layer, count, first=first, lengths=["31.0"] * count))
        running.join(stock.asks(by), made, joints, running.Said(reason="one run"))
        plans.consent(stock.asks(by), made, plans.Yes("R13", "short", lot=joints[0].spec, ends_on=until))
        counts.append(questions(client, f"/strings/{made.number}/{paper}"))
    assert counts[1] <= counts[0] and counts[0] > 5


def test_a_longer_pick_list_asks_the_database_no_more(rig):
    by = rig.who["supervisor"]
    client = Client()
    client.force_login(by)
    plan = plans.begin_plan(stock.asks(by), rig.site, plans.PlanHead("held joints"))
    layer, counts = stock.rack(rig.site, "R8"), []
    for first, count in ((9301, 3), (9401, 12)):
        joints = held(rig, stock.pieces(layer, count, first=first, lengths=["31.0"] * count))
        plans.put_in(stock.asks(by), plan, [plans.Put(piece) for piece in joints])
        counts.append(questions(client, f"/plans/{plan.number}/picks.pdf"))
    assert counts[1] <= counts[0] and counts[0] > 5
