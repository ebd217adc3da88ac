"""What recording costs: the questions asked of the database do not grow with the joints of a batch."""

import re
from collections import Counter

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspection.actions.found import Found, Head, Read
from inspection.actions.jobs import JobHead, open_job
from inspection.actions.recording import record
from inspection.benching import due as due_bench
from inspection.benching import recording as bench
from inspection.calc.effects import Ends
from inspection.models import Inspection, JobPiece
from rack.benching import stock as bench_stock
from rack.models import Component
from tests import stock
from tests.inspection.pieces import LOOKS, good, pipe
from tests.rack.test_audit import audited

pytestmark = pytest.mark.django_db(transaction=True)
BATCH = 25


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, BATCH + 1, facts=pipe(), lengths=["31.02"] * (BATCH + 1))


def batch(joints) -> list[Found]:
    """A few are refaced, the others sound: two groups of standings, whatever their number."""
    reads = tuple(Read(one) for one in good())
    refaced = Ends(box_found="reface", box_after="ok")
    return [Found(one, LOOKS, reads, "Premium", refaced if n % 5 == 0 else Ends())
            for n, one in enumerate(joints)]  # fmt: skip


def asked_for(ola, here, inspector, joints) -> list[str]:
    """The statements of recording these joints on a job; numbers of values do not count."""
    on = joints[0].received_on
    job = open_job(stock.asks(ola), here, JobHead(on, "full"), joints)
    head = Head(on, "full", inspector=inspector, job=job)
    with CaptureQueriesContext(connection) as sent:
        record(stock.asks(ola), here, head, batch(joints), reason="bench marks are next")
    assert JobPiece.objects.filter(job=job, inspection=None).count() == 0
    return [re.sub(r"\d+", "n", one["sql"][:120]) for one in sent.captured_queries]


def test_twenty_five_joints_cost_as_many_questions_as_one(here, ola, inspector, joints):
    one, many = (asked_for(ola, here, inspector, some) for some in (joints[:1], joints[1:]))
    grown = Counter(many) - Counter(one)
    # Refaced and sound ones are two groups; rows of 25 joints go out in a few parts.
    assert len(many) <= len(one) + 12, grown.most_common(8)
    assert max(grown.values(), default=0) < 4, grown.most_common(8)


def test_the_rows_of_the_bench_are_stored_as_they_are_measured(monkeypatch):
    """Else the bench would measure refusals: both ways store every joint, and the audit finds nothing."""
    monkeypatch.setattr(bench, "JOINTS", 26)
    bench_stock.fill(1200)
    named = [one.name for one in bench.figures({})]
    assert [name.startswith("26 joints recorded") for name in named] == [True, True]
    assert Inspection.objects.count() == 52
    assert Component.objects.filter(pipe_class="Class 2").count() == 2
    due_bench.fill()
    assert "No difference" in audited()
