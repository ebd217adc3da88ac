"""What follows by itself: new pipe is premium after its first run, an event makes its pieces due."""

from datetime import time, timedelta

import pytest
from django.utils import timezone

from inspection.actions.found import Found, Head
from inspection.actions.limits import set_first
from inspection.actions.recording import record
from inspection.audits import standings
from inspection.calc.readings import Look
from rack.actions import receiving
from rack.actions.files import keep_bytes
from rack.actions.happenings import EventSaid, record_event, take_back_event
from rack.actions.legs import post_legs, take_back_leg
from rack.calc.standing import EVER
from rack.exchange.delivery import read_delivery
from rack.models import Component
from tests import runs, stock

LIST = (
    b"Serial;Painted;Item;Length ft;Class\r\n"
    b"KD7001;1;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;31.02;New\r\n"
    b"KD7002;2;5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe;30.97;Premium\r\n"
    b"KD7003;3;6-1/2 in x 2-13/16 in NC50 drill collar;30.50;\r\n"
)


@pytest.fixture
def delivered(here, layer, ola):
    keep_bytes(LIST)
    read = read_delivery(LIST, "gantry.csv", length_kind="pins off")
    receipt = receiving.Receipt(place=layer, file_name="gantry.csv", media="text/csv", confirmed=True)
    receiving.accept(stock.asks(ola), read, receipt)
    return [Component.objects.get(serial=f"KD700{n}") for n in (1, 2, 3)]


def now(piece: Component) -> Component:
    return Component.objects.get(pk=piece.pk)


def test_what_is_received_has_the_class_of_its_sender_and_without_a_report_is_due(delivered):
    new, used, collar = map(now, delivered)
    assert new.pipe_class == "Class 1" and new.due_on > new.received_on
    assert used.pipe_class == "Premium" and used.due_on == EVER and "no report" in used.due_why
    assert collar.due_on == EVER
    assert list(standings("default")) == []


def test_new_pipe_is_premium_by_its_first_run_and_new_again_when_that_was_a_slip(here, ola, delivered):
    string = runs.string(ola, delivered[0].place)
    runs.join(ola, string, delivered[:1], hours=0)
    run = runs.run(ola, string)
    [leg] = post_legs(stock.asks(ola), run, [runs.leg(0, 2)], "as the sheet has it")
    assert now(delivered[0]).pipe_class == "Premium"
    assert list(standings("default")) == []
    take_back_leg(stock.asks(ola), leg, "another well")
    assert now(delivered[0]).pipe_class == "Class 1"
    assert list(standings("default")) == []


def test_hours_of_a_piece_that_ran_before_and_an_event_that_changes_nothing_write_nothing_of_it(
    here, ola, delivered
):
    """A long string is posted tour by tour: what holds already is not written again."""
    string = runs.string(ola, delivered[0].place)
    runs.join(ola, string, delivered, hours=0)
    run = runs.run(ola, string)
    post_legs(stock.asks(ola), run, [runs.leg(0, 2)], "as the sheet has it")
    jarred = EventSaid("jar_up", timezone.now(), string=string, amount=12, unit="hits")
    record_event(stock.asks(ola), here, jarred, reason="as the log has it")
    before = [(now(piece).version, now(piece).due_why, now(piece).pipe_class) for piece in delivered]
    assert before[0][2] == "Premium" and "jarring" in before[0][1]
    post_legs(stock.asks(ola), run, [runs.leg(2, 4)], "as the sheet has it")
    again = EventSaid("jar_up", timezone.now(), string=string, amount=5, unit="hits")
    record_event(stock.asks(ola), here, again, reason="as the log has it")
    after = [(now(piece).version, now(piece).due_why, now(piece).pipe_class) for piece in delivered]
    assert after == before
    assert list(standings("default")) == []


def test_jarring_makes_connections_due_until_they_were_looked_at(here, ola, inspector, delivered):
    new = delivered[0]
    string = runs.string(ola, new.place)
    runs.join(ola, string, [new], hours=0)
    said = EventSaid("jar_up", timezone.now(), string=string, amount=12, unit="hits")
    event = record_event(stock.asks(ola), here, said, reason="as the log has it")
    assert now(new).due_on == now(new).received_on and "jarring" in now(new).due_why
    assert list(standings("default")) == []
    looks = (Look("VT-C", "nothing to reject"), Look("MPI-F", "nothing to reject"))
    head = Head(now(new).received_on, "connections", inspector=inspector, hour=time(23, 59))
    record(stock.asks(ola), here, head, [Found(new, looks)], reason="in the derrick")
    assert now(new).due_on > now(new).received_on
    take_back_event(stock.asks(ola), event, "another string")
    assert list(standings("default")) == []


def test_settling_again_changes_nothing(here, ola, delivered):
    from django.db import transaction

    from rack.actions.journal import open_line

    before = [now(piece) for piece in delivered]
    with transaction.atomic():
        line, _ = open_line(stock.asks(ola), "again", here, "Settled again", {})
        set_first(line, [piece.pk for piece in delivered])
    for was, piece in zip(before, delivered, strict=True):
        same = ("pipe_class", "due_on", "soon_on", "over_on", "day_due_on", "due_why")
        assert [getattr(was, name) for name in same] == [getattr(now(piece), name) for name in same]


def test_what_ran_on_the_day_of_a_late_report_counts_after_it(here, ola, inspector, delivered):
    """A report that comes weeks later must not wipe out hours that may have run after the look."""
    new = delivered[0]
    string = runs.string(ola, new.place)
    runs.join(ola, string, [new], hours=0)
    lines = [runs.leg(1, 3), runs.leg(30, 34)]
    post_legs(stock.asks(ola), runs.run(ola, string), lines, "as the sheet has it")
    head = Head(runs.at(0).date() + timedelta(days=1), "full", inspector=inspector)
    full = tuple(Look(code, "nothing to reject") for code in
                 ("VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-F"))  # fmt: skip
    record(stock.asks(ola), here, head, [Found(new, full, given="Premium")], reason="late")
    clock = new.clocks.get(clock="rotating_s", basis="full")
    assert clock.total - clock.zero == 4 * runs.HOUR and clock.known
