"""A time line posted to a string of 600 pieces, three clocks each, beside the bare inserts and updates."""

import uuid
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from django.db import connection, transaction
from django.utils import timezone

from rack.actions import running, strings, wells
from rack.actions.doing import Said
from rack.actions.journal import Asked, Hand
from rack.actions.legs import post_legs
from rack.actions.runs import RunHead, begin_run
from rack.benching import stock, worn
from rack.benching.figures import Figure, beside, seconds
from rack.calc.hours import Leg
from rack.models import Clock, Component, Hours, Journal, Place, Run

PIECES = 600
CLOCKS = ("rotating_s", "below_rotary_s", "footage_nm")
ROUNDS = 11
MOST_MS = 200
MOST_RATIO = 4
HOUR = 3600
MILE = 1_609_344_000_000


class Posting:
    """A string of 600 joints in the hole, and a run that is posted hour by hour."""

    def __init__(self, pieces: int = PIECES) -> None:
        self.user = stock.user()
        site = Place.objects.layers().order_by("pk")[0].site
        rows = Component.objects.at(site).filter(spec__kind="drill_pipe", holds_n=0, state="received")
        joints = list(rows.order_by("pk")[:pieces])
        well = wells.add_well(self.asked(), site, wells.WellFacts(f"Bench {uuid.uuid4().hex[:6]}"))
        string = strings.begin_string(self.asked(), site, strings.StringHead(well, title="bench"))
        running.join(self.asked(), string, joints, Said(reason="bench"))
        self.begins = timezone.now() - timedelta(days=2)
        self.run: Run = begin_run(self.asked(), string, RunHead(in_at=self.begins), "bench")
        self.ids = [joint.pk for joint in joints]
        self.n = 0

    def asked(self) -> Asked:
        return Asked(uuid.uuid4(), Hand(self.user))

    def at(self, hour: int) -> datetime:
        return self.begins + timedelta(hours=hour)

    def post(self) -> None:
        self.n += 1
        line = Leg(self.at(self.n - 1), self.at(self.n), MILE + self.n * 10**9, MILE + (self.n + 1) * 10**9,
                   HOUR, 0, HOUR, HOUR, HOUR, 120)  # fmt: skip
        post_legs(self.asked(), self.run, [line], "bench")

    def bare(self) -> None:
        """What a hand would send: the rows, the clocks and the dates, in one transaction, taken back."""
        line = Journal.objects.order_by("-id").values_list("pk", flat=True)[0]
        seq = 1_000_000
        now = timezone.now()
        if connection.vendor == "sqlite":
            now = now.replace(tzinfo=None)  # type: ignore[assignment]
        rows = [
            (line, seq + n * len(CLOCKS) + m, now, pk, self.run.pk, clock, HOUR)
            for n, pk in enumerate(self.ids)
            for m, clock in enumerate(CLOCKS)
        ]
        with transaction.atomic(), connection.cursor() as cursor:
            _insert(cursor, rows)
            marks = ",".join(["%s"] * len(self.ids))
            cursor.execute(
                f"UPDATE {Clock._meta.db_table} SET total = total + %s, \"left\" = \"left\" - %s "
                f"WHERE component_id IN ({marks})", [HOUR, 0, *self.ids],
            )  # fmt: skip
            cursor.execute(
                f"UPDATE {Component._meta.db_table} SET soon_on = day_soon_on, due_on = day_due_on, "
                f"over_on = day_over_on WHERE id IN ({marks})", self.ids,
            )  # fmt: skip
            transaction.set_rollback(True)


def _insert(cursor: Any, rows: list[tuple[Any, ...]]) -> None:
    columns = "journal_id, seq, at, component_id, run_id, clock, amount"
    one = "(" + ",".join(["%s"] * 7) + ")"
    for start in range(0, len(rows), 100):
        some = rows[start : start + 100]
        cursor.execute(
            f"INSERT INTO {Hours._meta.db_table} ({columns}) VALUES {','.join([one] * len(some))}",
            [value for row in some for value in row],
        )


def figures() -> Iterator[Figure]:
    posting = Posting()
    first = seconds(posting.post)
    posted, bare = beside([posting.post, posting.bare], ROUNDS)
    clocks = Hours.objects.filter(run=posting.run).values("component", "clock").distinct().count()
    if clocks != PIECES * len(CLOCKS):
        raise RuntimeError(f"{clocks} clocks were posted")
    name = f"a line posted to {PIECES} pieces, {len(CLOCKS)} clocks each"
    yield Figure(f"{name}, the first of its clocks", "ms", first * 1000, 2 * MOST_MS)
    yield Figure(name, "ms", posted * 1000, MOST_MS)
    yield Figure(f"{name}, beside bare statements", "ms", posted * 1000, MOST_RATIO, bare * 1000)
    yield from worn.figures()
