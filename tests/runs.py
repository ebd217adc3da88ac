"""An invented string with a run for the tests of hours: bit, motor, jar, joints, saver sub."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from rack.actions import running, strings
from rack.actions.doing import Said
from rack.actions.happenings import EventSaid, record_event
from rack.actions.legs import post_legs
from rack.actions.runs import RunEnd, RunHead, begin_run, end_run
from rack.actions.wells import WellFacts, add_well
from rack.calc.hours import Leg
from rack.models import Component, Place, Run, String
from tests import stock

DAY = datetime(2026, 3, 2, tzinfo=UTC)
HOUR = 3600
TOOL = replace(stock.JAR, facts="{}")


def at(hours: float) -> datetime:
    return DAY + timedelta(hours=hours)


def tool(layer: Place, kind: str, first: int) -> Component:
    return stock.pieces(layer, 1, facts=replace(TOOL, kind=kind), first=first, lengths=["20.00"])[0]


def string(by: User, layer: Place, name: str = "SD-14") -> String:
    well = add_well(stock.asks(by), layer.site, WellFacts(name))
    return strings.begin_string(stock.asks(by), layer.site, strings.StringHead(well, title="8-1/2 in"))


def join(by: User, to: String, on: list[Component], hours: float | None = None, feet: str = "") -> None:
    """Made up at an hour of the day, or at a depth of the bit."""
    said = Said(None if hours is None else at(hours), stock.feet(feet) if feet else None, "as planned")
    running.join(stock.asks(by), to, on, said)


def run(by: User, of: String, **head: Any) -> Run:
    given = {"bha_no": "3", "bit_no": "5", "run_no": "5", "in_at": at(0), **head}
    return begin_run(stock.asks(by), of, RunHead(**given), "as planned")


def leg(begins: float, ends: float, top: str = "", bottom: str = "", **given: Any) -> Leg:
    """A line that rotates, circulates and drills for as long as it lasts, unless something else is given."""
    lasts = int((ends - begins) * HOUR)
    whole: dict[str, Any] = {
        "rotating_s": lasts, "sliding_s": 0, "circulating_s": lasts, "bottom_s": lasts,
        "below_rotary_s": lasts, "rpm": 120,
    }  # fmt: skip
    depths = {"from_nm": stock.feet(top) if top else None, "to_nm": stock.feet(bottom) if bottom else None}
    return Leg(at(begins), at(ends), **depths, **{**whole, **given})


def two_runs(by: User | None, of: String) -> tuple[Run, Run]:
    """One run that has ended, with a line and an event; one that is on, with a line."""
    ended = begin_run(stock.asks(by), of, RunHead("3", "5", "5", in_at=at(0)), "as planned")
    lines = [leg(0, 6, "4200", "4380"), leg(6, 9, rotating_s=None)]
    post_legs(stock.asks(by), ended, lines, "as the sheet has it")
    happened = EventSaid("overpull", timezone.now(), None, of, ended, None, 40_000, "lbf", "tight hole")
    record_event(stock.asks(by), of.site, happened)
    out = RunEnd(at(10), stock.feet("4380"), "PR", "1-2-WT-A-X-I-NO-PR")
    end_run(stock.asks(by), ended, out, "as the sheet has it")
    now = begin_run(stock.asks(by), of, RunHead("4", "5RR1", "6", in_at=at(12)), "as planned")
    post_legs(stock.asks(by), now, [leg(12, 16, "4380", "4500")], "as the sheet has it")
    return Run.objects.get(pk=ended.pk), Run.objects.get(pk=now.pk)
