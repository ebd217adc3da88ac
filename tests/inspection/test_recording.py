"""Recording an inspection: class, limits, holds and lengths follow from it, and go back with it."""

from datetime import date, timedelta

import pytest

from inspection.actions.found import Found, Head, Read
from inspection.actions.jobs import JobHead, close_job, open_job, say_why_not
from inspection.actions.recording import record, take_back
from inspection.audits import inspections, standings
from inspection.calc.effects import Ends
from inspection.calc.readings import Look, Reading
from inspection.models import Inspection, Inspector
from rack.actions.legs import post_legs, take_back_leg
from rack.errors import NotAllowed, Refused
from rack.models import Clock, Component, Hold
from tests import runs, stock
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


def test_an_indication_holds_the_piece_and_winds_no_clock_back(here, ola, inspector, joints):
    looks = (*(look for look in FULL if look.method not in ("EMI", "MPI-F")), Look("EMI", "indication"))
    seen = Found(joints[0], looks, reads(*good()), "Premium")
    with pytest.raises(Refused, match="prove it up"):
        record(stock.asks(ola), here, head(inspector), [seen])
    [row] = record(stock.asks(ola), here, head(inspector), [seen], reason="to be proved up tomorrow")
    piece = Component.objects.get(pk=joints[0].pk)
    assert piece.holds_n == 1 and "indication" in Hold.objects.get(component=piece).reason
    assert "tube" not in row.resets and "full" not in row.resets


def test_a_look_alone_makes_no_class_of_drill_pipe(here, ola, inspector, joints):
    looks = (Look("VT-T", "nothing to reject"), Look("VT-C", "nothing to reject"))
    seen = Found(joints[0], looks)
    [row] = record(stock.asks(ola), here, head(inspector, scope="visual"), [seen], reason="early")
    assert (row.class_computed, row.class_held) == ("", "")
    assert row.resets == "connections visual" or row.resets == "visual"


def test_one_end_that_was_read_says_nothing_of_the_other(here, ola, inspector, joints):
    box_only = [one for one in good() if (one.what, one.part) != ("od", "pin")]
    looks = tuple(look for look in FULL if look.method != "DIM2")
    seen = Found(joints[0], looks, reads(*box_only))
    [row] = record(stock.asks(ola), here, head(inspector), [seen], reason="early")
    assert row.joint_class == "" and row.class_computed == ""


def test_a_closed_job_and_another_site_take_no_results(here, ola, inspector, joints):
    job = open_job(stock.asks(ola), here, JobHead(TODAY, "full"), joints[:1])
    say_why_not(stock.asks(ola), job, joints[:1], "no time")
    close_job(stock.asks(ola), job)
    with pytest.raises(Refused, match="closed and takes no more"):
        record(stock.asks(ola), here, head(inspector, job=job), [said(joints[0])], reason="late")
    there = stock.site("KV1")
    elsewhere = Inspector.objects.create(site=there, name="A. Lind")
    with pytest.raises(Refused, match="of another site"):
        record(stock.asks(ola), here, head(elsewhere), [said(joints[0])], reason="late")
    foreign = stock.pieces(stock.rack(there, "K1"), 1, facts=pipe(), first=9001)
    with pytest.raises(Refused, match="of another site"):
        record(stock.asks(ola), here, head(inspector), [said(foreign[0])], reason="late")


def test_hours_from_before_a_look_that_are_taken_back_move_its_mark_too(here, ola, inspector, joints):
    string = runs.string(ola, joints[0].place)
    runs.join(ola, string, joints[:1], hours=0)
    run = runs.run(ola, string)
    [early] = post_legs(stock.asks(ola), run, [runs.leg(0, 20)], "as the sheet has it")
    on = runs.at(0).date() + timedelta(days=2)
    record(stock.asks(ola), here, head(inspector, on=on), [said(joints[0])], reason="early")
    post_legs(stock.asks(ola), run, [runs.leg(72, 75)], "as the sheet has it")
    take_back_leg(stock.asks(ola), early, "of another well")
    clock = Clock.objects.get(component=joints[0], clock="rotating_s", basis="full")
    assert clock.total - clock.zero == 3 * runs.HOUR
    assert audited() == []


def test_a_rejected_end_alone_is_something_that_was_typed(here, ola, inspector, joints):
    record(stock.asks(ola), here, head(inspector), [Found(joints[0], ends=Ends(box_found="reject"))],
           reason="early")  # fmt: skip
    assert Component.objects.get(pk=joints[0].pk).holds_n == 1
