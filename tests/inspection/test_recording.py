"""Recording an inspection: class, limits, holds and lengths follow from it, and go back with it."""

from datetime import date

import pytest

from inspection.actions.found import Found, Head, Read
from inspection.actions.recording import record, take_back
from inspection.audits import inspections, standings
from inspection.calc.effects import Ends
from inspection.calc.readings import Look, Reading
from inspection.models import Inspection
from rack.errors import NotAllowed, Refused
from rack.models import Clock, Component, Hold
from tests import stock
from tests.inspection.pieces import LOOKS, good, nm, pipe

FULL = (*LOOKS, Look("ODG", "nothing to reject"), Look("UTW", "nothing to reject"),
        Look("DIM2", "nothing to reject"))  # fmt: skip
TODAY = date(2026, 11, 20)


@pytest.fixture
def joints(layer):
    return stock.pieces(layer, 3, facts=pipe(), lengths=["31.02", "30.97", "31.15"])


def reads(*readings: Reading) -> tuple[Read, ...]:
    return tuple(Read(one) for one in readings)


def said(piece, *more: Reading, given: str = "Premium", **also) -> Found:
    return Found(piece, FULL, reads(*{one.what + one.part: one for one in (*good(), *more)}.values()),
                 given, **also)  # fmt: skip


def head(inspector, **more) -> Head:
    return Head(**{"on": TODAY, "scope": "full", "inspector": inspector, **more})


def audited() -> list[str]:
    return [str(one) for check in (standings, inspections) for one in check("default")]


def test_a_good_joint_is_premium_and_its_full_clock_begins_anew(here, ola, inspector, joints):
    record(stock.asks(ola), here, head(inspector), [said(joints[0])], reason="early")
    piece = Component.objects.get(pk=joints[0].pk)
    assert (piece.pipe_class, piece.tube_class, piece.joint_class) == ("Premium",) * 3
    assert piece.class_on == TODAY and piece.due_on == date(2027, 11, 20) and piece.holds_n == 0
    clock = Clock.objects.get(component=piece, clock="rotating_s", basis="full")
    assert clock.known and clock.due == 2500 * 3600
    assert audited() == []


def test_a_thin_wall_lowers_what_the_inspector_gave_and_is_listed(here, ola, inspector, joints):
    thin = Reading("wall", nm=nm("0.270"))
    rows = record(stock.asks(ola), here, head(inspector), [said(joints[0], thin)], reason="early")
    assert rows[0].class_held == "Class 2" and "Premium" in rows[0].differs
    assert Component.objects.get(pk=joints[0].pk).pipe_class == "Class 2"


def test_a_crack_is_held_and_scrapped_whatever_was_given(here, ola, inspector, joints):
    record(stock.asks(ola), here, head(inspector), [said(joints[0], Reading("crack", "pin", count=1))],
           reason="early")  # fmt: skip
    piece = Component.objects.get(pk=joints[0].pk)
    assert piece.holds_n == 1 and "crack" in Hold.objects.get(component=piece).reason.lower()
    assert piece.pipe_class not in ("Premium", "Class 2")
    assert audited() == []


def test_a_better_look_without_a_repair_does_not_raise_the_class(here, ola, inspector, joints):
    record(stock.asks(ola), here, head(inspector), [said(joints[0], Reading("wall", nm=nm("0.270")))],
           reason="early")  # fmt: skip
    again = record(stock.asks(ola), here, head(inspector), [said(joints[0])], reason="early")
    assert Component.objects.get(pk=joints[0].pk).pipe_class == "Class 2"
    assert "only by repair" in again[0].differs


def test_taking_an_inspection_back_brings_back_what_held_before(here, ola, inspector, joints):
    record(stock.asks(ola), here, head(inspector), [said(joints[0])], reason="early")
    before = Component.objects.filter(pk=joints[0].pk).values().get()
    thin = said(joints[0], Reading("wall", nm=nm("0.2")))
    [second] = record(stock.asks(ola), here, head(inspector), [thin], reason="early")
    take_back(stock.asks(ola), second, "another joint")
    after = Component.objects.filter(pk=joints[0].pk).values().get()
    same = [name for name in before if name not in ("version", "holds_n")]
    assert {name: before[name] for name in same} == {name: after[name] for name in same}
    assert audited() == []
    with pytest.raises(Refused, match="taken back already"):
        take_back(stock.asks(ola), second, "twice")


def test_the_same_key_twice_is_one_inspection(here, ola, inspector, joints):
    ask = stock.asks(ola)
    first = record(ask, here, head(inspector), [said(joints[0])], reason="early")
    assert record(ask, here, head(inspector), [said(joints[0])], reason="early") == first
    assert Inspection.objects.count() == 1


def test_a_reface_ends_the_length(here, ola, inspector, joints):
    cut = said(joints[0], ends=Ends(box_found="reface", box_after="ok"))
    with pytest.raises(Refused, match="bench mark|taped again"):
        record(stock.asks(ola), here, head(inspector), [cut])
    record(stock.asks(ola), here, head(inspector), [cut], reason="bench marks are next")
    assert Component.objects.get(pk=joints[0].pk).length_nm is None


def test_the_office_and_the_crew_record_nothing(here, inspector, joints):
    for role in ("crew", "office", "viewer"):
        by = stock.person(role, role, here)
        with pytest.raises(NotAllowed):
            record(stock.asks(by), here, head(inspector), [said(joints[0])], reason="early")
