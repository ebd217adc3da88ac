"""Two hundred joints of a job, recorded as the grid sends them, 25 at a time, and as one batch.

Each has what a full inspection brings: eight looks, five sizes, both ends, the class given; its hours and
clocks are those of the due board's bench.
"""

import json
import uuid
from collections.abc import Iterator, Sequence
from typing import Any

from django.test import Client
from django.utils import timezone

from inspection.actions.found import Found, Head, Read
from inspection.actions.inspectors import add_inspector
from inspection.actions.jobs import JobHead, open_job
from inspection.actions.recording import record
from inspection.benching import due
from inspection.calc.criteria import scheme
from inspection.calc.effects import Ends
from inspection.calc.grid import columns_for, read_row
from inspection.models import Inspection, Inspector, Job
from inspection.models.facts import scheme_for
from inspection.views.grid_save import AT_ONCE
from inspection.views.sheets import Sheet
from rack.actions.journal import Asked, Hand
from rack.benching import stock
from rack.benching.figures import Figure, seconds
from rack.models import Component, Site

JOINTS = 200
METHODS = ("VT-T", "VT-C", "ODG", "UTW", "EMI", "MPI-D", "DIM2", "MPI-F")
MOST_S = 2


def figures(environment: dict[str, str]) -> Iterator[Figure]:
    """Both ways, each with joints of its own."""
    due.fill()
    joints = Recording()
    yield Figure(f"{JOINTS} joints recorded by the grid, {AT_ONCE} at a time", "s",
                 joints.by_grid(joints.take()), MOST_S)  # fmt: skip
    yield Figure(f"{JOINTS} joints recorded as one batch", "s", joints.at_once(joints.take()), MOST_S)


class Recording:
    """A supervisor with an inspector's figures of drill pipe of one specification."""

    def __init__(self) -> None:
        self.user = stock.user()
        self.site = Site.objects.get(code="BENCH")
        self.today = timezone.localdate(timezone=self.site.zone)
        there = Inspector.objects.at(self.site).filter(name="B. Bench").first()
        self.inspector = there or add_inspector(self.asked(), self.site, "B. Bench", level="Level II")

    def take(self) -> list[Component]:
        """Joints that nobody looked at yet."""
        rows = Component.objects.at(self.site).exclude(pk__in=Inspection.objects.values("component"))
        rows = rows.filter(holds_n=0, spec__od_nm=5 * stock.IN, spec__weight_mlb_ft=19500)
        joints = list(rows.select_related("spec", "site").order_by("pk")[:JOINTS])
        if len(joints) < JOINTS:
            raise LookupError(f"the bench has {len(joints)} joints of {JOINTS}: make more pieces")
        return joints

    def asked(self) -> Asked:
        return Asked(uuid.uuid4(), Hand(self.user))

    def job(self, joints: Sequence[Component]) -> Job:
        return open_job(self.asked(), self.site, JobHead(self.today, "full"), joints)

    def cells(self, n: int) -> dict[str, str]:
        """A row as it is typed: no two walls alike, one in 25 worn to class 2, one in 50 with a crack."""
        worn = n % 25 == 7
        typed = {
            "tube-wall": f"0.{(265 if worn else 330) + n % 20}{n % 10}", "tube-od": f"4.{950 + n % 40}",
            "box-od": "6 1/2", "box-shoulder": "31/64", "pin-od": "6.5", "box_found": "ok", "pin_found": "ok",
            "given": "Class 2" if worn else "Premium", "remarks": f"row {n}",
        }  # fmt: skip
        return {**typed, "crack": "pin", "given": "Scrap"} if n % 50 == 11 else typed

    def by_grid(self, joints: Sequence[Component]) -> float:
        """Seconds until the last of the batches is answered."""
        job = self.job(joints)
        sheet = Sheet(
            str(uuid.uuid4()), self.user.pk, self.site.pk, self.today.isoformat(), "full", "", "Premium",
            self.inspector.pk, "", "", [], job.pk, [], list(METHODS), "in", "bench", "bench",
            [joint.pk for joint in joints],
        )  # fmt: skip
        rows = [{**self.cells(n), "tag": joint.tag} for n, joint in enumerate(joints)]
        token, client = sheet.token(), Client(SERVER_NAME="localhost")
        client.force_login(self.user, backend="django.contrib.auth.backends.ModelBackend")
        bodies = [
            {"token": token, "batches": [{"key": str(uuid.uuid4()), "rows": rows[at : at + AT_ONCE]}]}
            for at in range(0, len(rows), AT_ONCE)
        ]
        return seconds(lambda: _send_all(client, bodies))

    def at_once(self, joints: Sequence[Component]) -> float:
        """Seconds of one batch, read already."""
        head = Head(self.today, "full", acceptance="Premium", inspector=self.inspector, job=self.job(joints))
        found = self.found(joints)
        return seconds(lambda: record(self.asked(), self.site, head, found, reason="bench"))

    def found(self, joints: Sequence[Component]) -> list[Found]:
        """What the rows say of the joints."""
        by = scheme(scheme_for(self.site, "drill_pipe", self.today))
        columns = columns_for(joints[0].spec.as_facts, "full", by.code)
        found = []
        for n, joint in enumerate(joints):
            row = read_row(self.cells(n), columns, METHODS, by, "in")
            if row.wrong:
                raise ValueError(row.wrong[0])
            reads = tuple(Read(reading, "found", typed) for reading, typed in row.reads)
            found.append(Found(joint, tuple(row.looks), reads, row.given, Ends(**row.ends)))
        return found


def _send_all(client: Client, bodies: Sequence[dict[str, Any]]) -> None:
    for body in bodies:
        _send(client, body)


def _send(client: Client, body: dict[str, Any]) -> None:
    answer = client.post("/inspect/grid/save/", json.dumps(body), content_type="application/json")
    said = answer.json()
    left = [row for one in said.get("batches", ()) for row in one["rows"] if row["status"] != "stored"]
    if answer.status_code != 200 or left:
        raise RuntimeError(f"not stored: {str(left or said)[:300]}")
