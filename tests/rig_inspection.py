"""What the rig of the address table has of inspection: an inspector, jobs in each state, what was found."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from inspection.actions.found import Found, Head, Seen
from inspection.actions.jobs import JobHead, close_job, open_job
from inspection.actions.recording import record
from inspection.calc.readings import Look
from inspection.models import Inspection, Inspector, Job
from rack.models import Component
from tests import stock

if TYPE_CHECKING:
    from tests.rig import Rig

LOOKS = (Look("VT-C", "nothing to reject"), Look("VT-T", "nothing to reject"))


@dataclass
class Inspected:
    """Everything of inspection that a row of the address table needs to name."""

    inspector: Inspector
    job: Job
    closed: Job
    inspection: Inspection
    waiting: Component


def inspect(rig: Rig) -> Inspected:
    """Job 1 is open with one of its joints looked at, job 2 is closed."""
    ola = rig.who["supervisor"]
    company = "Nordlys Control"
    person = Inspector.objects.create(site=rig.site, name="R. Vik", company=company, level="Level II")
    joints = stock.pieces(rig.layer, 5, first=9101)
    head = JobHead(date(2026, 12, 3), "visual", company, "shed 2")
    job = open_job(stock.asks(ola), rig.site, head, joints[:3])
    closed = open_job(stock.asks(ola), rig.site, head, joints[3:4])

    def look(one: Job, given: str, n: int) -> Inspection:
        found = Found(joints[n], LOOKS, given=given, seen=(Seen("a slip cut", "3 ft from the box"),))
        said = Head(joints[n].received_on, "visual", inspector=person, company=company, job=one)
        return record(stock.asks(ola), rig.site, said, [found], reason="walked by a test")[0]

    seen = look(job, "Class 3", 0)
    look(closed, "Premium", 3)
    close_job(stock.asks(ola), closed)
    return Inspected(person, job, closed, seen, joints[1])
