"""A batch of inspections that is killed: looks, readings, holds, class and dates are all there, or none."""

import uuid

import pytest

from inspection.actions import recording
from inspection.actions.found import Found, Head, Read
from inspection.calc.readings import Look, Reading
from inspection.models import Inspection, Inspector, Method
from inspection.models import Reading as Stored
from rack.models import Component, Hold, Journal
from tests import stock
from tests.inspection.pieces import nm, pipe
from tests.rack.test_audit import audited
from tests.rack.test_killed import POINTS, TIMES, Deed, killed

pytestmark = pytest.mark.django_db(transaction=True)
LOOK = Look("VT-C", "nothing to reject")


@pytest.fixture
def batch() -> Deed:
    """Three joints with a crack each; each time the next three. Class and dates are written last."""
    here = stock.site()
    boss = stock.person("ola", "supervisor", here)
    person = Inspector.objects.create(site=here, name="R. Vik", level="Level II")
    pieces = stock.pieces(stock.rack(here), 3 * TIMES, facts=pipe())
    batches: dict[uuid.UUID, list[Component]] = {}
    free = iter(pieces[at : at + 3] for at in range(0, 3 * TIMES, 3))

    def batch_of(key: uuid.UUID) -> list[Component]:
        return batches.setdefault(key, batches.get(key) or next(free))

    def send(key: uuid.UUID) -> str:
        again = Journal.objects.filter(key=key).exists()
        found = [Found(piece, (LOOK,), (Read(Reading("wall", nm=nm("0.340"))),
                                        Read(Reading("crack", "pin", count=1)))) for piece in batch_of(key)]
        head = Head(pieces[0].received_on, "connections", inspector=person)
        recording.record(stock.asks(boss, key), here, head, found, reason="cracked")
        return "repeated" if again else "stored"

    def stored(key: uuid.UUID) -> tuple[int, ...]:
        three = [piece.pk for piece in batch_of(key)]
        rows = Component.objects.filter(pk__in=three)
        return (
            Journal.objects.filter(key=key).count(),
            Inspection.objects.filter(journal__key=key).count() // 3,
            Method.objects.filter(journal__key=key).count() // 3,
            Stored.objects.filter(journal__key=key).count() // 6,
            Hold.objects.filter(journal__key=key).count() // 3,
            rows.filter(holds_n=1).exclude(pipe_class="").count() // 3,
        )

    return Deed(send, stored, recording, "settle")


@pytest.mark.parametrize(("point", "is_stored"), POINTS.values(), ids=POINTS.keys())
def test_a_batch_that_was_killed_is_there_wholly_or_not_at_all_and_sent_again_once(batch, point, is_stored):
    opened = 0
    for _ in range(TIMES):
        key = uuid.uuid4()
        opened += killed(batch, key, point)
        assert set(batch.stored(key)) == {int(is_stored)}
        assert "No difference" in audited()
        assert batch.send(key) == ("repeated" if is_stored else "stored")
        assert set(batch.stored(key)) == {1}
        assert batch.send(key) == "repeated"
        assert set(batch.stored(key)) == {1}
    assert opened == (0 if is_stored else TIMES)
