"""Jobs: a piece is booked once, is done with by an inspection or a reason, and only then the job closes."""

from datetime import date

import pytest

from inspection.actions.found import Found, Head
from inspection.actions.jobs import JobHead, close_job, open_job, put_on_job, say_why_not, take_off_job
from inspection.actions.recording import record, take_back
from inspection.calc.readings import Look
from inspection.models import Job, JobPiece
from rack.errors import ChangedMeanwhile, NotAllowed, Refused
from rack.models import Component
from tests import stock

HEAD = JobHead(date(2026, 12, 3), "visual", "Nordlys Control", "shed 2")


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 3)


@pytest.fixture
def job(here, ola, joints):
    return open_job(stock.asks(ola), here, HEAD, joints[:2])


def looked(here, ola, inspector, job, piece):
    found = Found(piece, (Look("VT-C", "nothing to reject"), Look("VT-T", "nothing to reject")))
    head = Head(piece.received_on, "visual", inspector=inspector, job=job)
    return record(stock.asks(ola), here, head, [found], reason="as booked")[0]


def test_jobs_are_numbered_by_site_and_the_same_key_opens_one(here, ola, joints):
    ask = stock.asks(ola)
    first = open_job(ask, here, HEAD, joints[:1])
    assert open_job(ask, here, HEAD, joints[:1]) == first
    assert open_job(stock.asks(ola), here, HEAD, joints[1:2]).number == 2


def test_a_piece_waits_on_one_job_only(here, ola, joints, job):
    with pytest.raises(Refused, match="inspection job 1 already"):
        open_job(stock.asks(ola), here, HEAD, joints)
    with pytest.raises(Refused, match="this job already"):
        put_on_job(stock.asks(ola), job, joints[:1])


def test_a_job_closes_when_each_piece_has_an_inspection_or_a_reason(here, ola, inspector, joints, job):
    with pytest.raises(Refused, match="neither an inspection nor a reason"):
        close_job(stock.asks(ola), job)
    row = looked(here, ola, inspector, job, joints[0])
    assert JobPiece.objects.get(job=job, component=joints[0]).inspection == row
    say_why_not(stock.asks(ola), job, [joints[1]], "under the other layer")
    close_job(stock.asks(ola), job)
    assert Job.objects.get(pk=job.pk).closed_by is not None
    with pytest.raises(Refused, match="is closed"):
        put_on_job(stock.asks(ola), job, [joints[2]])


def test_an_inspection_that_is_taken_back_opens_its_place_on_the_job(here, ola, inspector, joints, job):
    row = looked(here, ola, inspector, job, joints[0])
    take_back(stock.asks(ola), row, "the other joint")
    assert not JobPiece.objects.get(job=job, component=joints[0]).is_done


def test_what_was_inspected_stays_on_its_job_and_the_rest_comes_off(here, ola, inspector, joints, job):
    looked(here, ola, inspector, job, joints[0])
    with pytest.raises(Refused, match="stays on it"):
        take_off_job(stock.asks(ola), job, joints[:2])
    take_off_job(stock.asks(ola), job, [joints[1]])
    assert [row.component for row in job.pieces.all()] == [joints[0]]


@pytest.mark.parametrize("state", ["returned", "scrapped", "lost_in_hole", "left_in_well"])
def test_what_is_gone_is_not_booked(here, ola, joints, state):
    Component.objects.filter(pk=joints[0].pk).update(state=state)
    with pytest.raises(Refused, match="nothing to look at"):
        open_job(stock.asks(ola), here, HEAD, joints)


def test_who_saw_an_older_job_is_told(ola, joints, job):
    put_on_job(stock.asks(ola), job, [joints[2]], seen=0)
    with pytest.raises(ChangedMeanwhile):
        take_off_job(stock.asks(ola), job, [joints[2]], seen=0)


@pytest.mark.parametrize("role", ["crew", "office", "viewer"])
def test_only_a_supervisor_books(here, joints, role):
    by = stock.person(role, role, here)
    with pytest.raises(NotAllowed):
        open_job(stock.asks(by), here, HEAD, joints)


def test_a_smaller_look_and_a_piece_that_was_not_booked_are_asked_about(here, ola, inspector, joints):
    job = open_job(stock.asks(ola), here, JobHead(HEAD.on, "full"), joints[:1])
    looks = (Look("VT-C", "nothing to reject"), Look("VT-T", "nothing to reject"))
    head = Head(joints[0].received_on, "visual", inspector=inspector, job=job)
    with pytest.raises(Refused, match="booked to full"):
        record(stock.asks(ola), here, head, [Found(joints[0], looks)])
    with pytest.raises(Refused, match="is not on inspection job 1"):
        record(stock.asks(ola), here, head, [Found(joints[1], looks)])
    record(stock.asks(ola), here, head, [Found(joints[1], looks)], reason="seen on the way")
    assert [row.inspection for row in job.pieces.all()] == [None]
