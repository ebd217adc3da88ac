"""Several hands at one inspection: stored once, the worse class holds, a piece is booked once. PostgreSQL."""

import uuid
from datetime import timedelta

import pytest

from inspection.actions.found import Found, Head, Read
from inspection.actions.jobs import JobHead, open_job
from inspection.actions.recording import record, take_back
from inspection.calc.readings import Look, Reading
from inspection.models import Inspection, Inspector, Job, JobPiece
from rack.actions.legs import post_legs
from rack.models import Clock, Component
from tests import runs, stock
from tests.hands import HANDS, at_once, refused
from tests.inspection.pieces import LOOKS, good, nm, pipe
from tests.rack.test_audit import audited

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
FULL = (*LOOKS, Look("ODG", "nothing to reject"), Look("UTW", "nothing to reject"))


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def boss(here):
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def joints(here):
    return stock.pieces(stock.rack(here), HANDS, facts=pipe())


@pytest.fixture
def head(here, joints):
    person = Inspector.objects.create(site=here, name="R. Vik", level="Level II")
    return Head(joints[0].received_on, "full", inspector=person)


def said(piece, wall: str) -> Found:
    readings = tuple(Read(one) for one in good(wall=Reading("wall", nm=nm(wall))))
    return Found(piece, FULL, readings)


def test_a_batch_sent_by_eight_hands_is_recorded_once(boss, here, joints, head):
    key = uuid.uuid4()
    found = [said(piece, "0.340") for piece in joints]
    answers = at_once([lambda: record(stock.asks(boss, key), here, head, found, reason="ok")] * HANDS)
    assert refused(answers) == []
    assert Inspection.objects.count() == len(joints)
    assert "No difference" in audited()


def test_of_many_inspections_at_once_the_worst_class_holds(boss, here, joints, head):
    walls = ["0.340"] * (HANDS - 1) + ["0.270"]
    acts = [
        lambda wall=wall: record(stock.asks(boss), here, head, [said(joints[0], wall)], reason="ok")
        for wall in walls
    ]
    assert refused(at_once(acts)) == []
    assert Component.objects.get(pk=joints[0].pk).pipe_class == "Class 2"
    assert "No difference" in audited()


def test_batches_that_name_the_same_pieces_in_another_order_do_not_wait_for_each_other(
    boss, here, joints, head
):
    orders = [joints if n % 2 else joints[::-1] for n in range(HANDS)]
    acts = [
        lambda found=found: record(stock.asks(boss), here, head, found, reason="ok")
        for found in ([said(one, "0.340") for one in order] for order in orders)
    ]
    assert refused(at_once(acts)) == []
    assert Inspection.objects.count() == HANDS * len(joints)


def test_an_inspection_is_taken_back_once(boss, here, joints, head):
    [row] = record(stock.asks(boss), here, head, [said(joints[0], "0.2")], reason="ok")
    answers = at_once([lambda: take_back(stock.asks(boss), row, "wrong joint")] * HANDS)
    assert len(refused(answers)) == HANDS - 1
    assert Inspection.objects.filter(reverses=row).count() == 1
    assert "No difference" in audited()


def test_hours_posted_while_an_inspection_is_recorded_are_counted_once(boss, here, joints, head):
    string = runs.string(boss, joints[0].place)
    runs.join(boss, string, joints[:3], hours=0)
    run = runs.run(boss, string)
    on = runs.at(0).date() - timedelta(days=1)
    early = Head(on, "full", inspector=head.inspector)
    found = [said(joints[0], "0.340")]
    acts = [
        lambda: post_legs(stock.asks(boss), run, [runs.leg(0, 2)]),
        lambda: record(stock.asks(boss), here, early, found, reason="ok"),
    ]
    assert refused(at_once(acts)) == []
    clock = Clock.objects.get(component=joints[0], clock="rotating_s", basis="full")
    assert clock.total - clock.zero == 2 * runs.HOUR
    assert "No difference" in audited()


def test_eight_hands_book_a_piece_once(boss, here, joints):
    acts = [
        lambda: open_job(stock.asks(boss), here, JobHead(joints[0].received_on, "visual"), joints)
        for _ in range(HANDS)
    ]
    assert len(refused(at_once(acts))) == HANDS - 1
    assert Job.objects.count() == 1 and JobPiece.objects.count() == len(joints)
