"""The rows of intervals, editions and criteria in the table of addresses."""

import uuid
from datetime import date

from tests import stock
from tests.address import OWN, Address, Post, text
from tests.rig import Rig

#: Looked up, and done at the own site: by the office alone; the stranger keeps another one's.
SENT = "403 403 405 403 405 302"
OFFICES = "403 403 302 403 302 302"
_KEY = uuid.UUID("6f1d3c7e-25a4-4a0b-9f5f-2c7a5d1f0b11")


def _back(rig: Rig) -> str:
    """Where the interval of the rig's site is taken back; it is set where it is not there yet."""
    from inspection.actions.policies import set_interval
    from inspection.calc.rules import Rule

    rule = Rule("collar", "rotating_s", "connections", 720_000, authority="contract", source="Contract 14",
                from_on=date(2026, 1, 1))  # fmt: skip
    row = set_interval(stock.asks(rig.who["office"], _KEY), rig.site, rule)
    return f"/intervals/{row.pk}/take-back/"


INTERVALS = (
    Address("intervals/", text("/intervals/"), OWN),
    Address("intervals/new/", text("/intervals/new/"), SENT, (
        Post("an interval", lambda rig: {
            "kind": "drill_pipe", "clock": "rotating_s", "basis": "full", "due": "1500.5",
            "authority": "contract", "source": "Contract 14", "from_on": "2026-01-01",
        }, OFFICES),
        Post("amounts that are none", lambda rig: {"clock": "days", "due": "1,500", "from_on": "2199-01-01"},
             OFFICES.replace("302", "422", 2), writes=False),
    ), page=False),
    Address("intervals/<int:pk>/take-back/", _back, SENT, (
        Post("take an interval back", lambda rig: {"reason": "another contract"}, "403 403 302 403 404 302"),
    ), page=False),
    Address("intervals/service/", text("/intervals/service/"), SENT, (
        Post("the service", lambda rig: {"service": "severe", "margin": "12.5", "from_on": "2026-01-01"},
             OFFICES),
    ), page=False),
    Address("intervals/edition/", text("/intervals/edition/"), SENT, (
        Post("an edition", lambda rig: {"scheme": "ds1_4th", "from_on": "2026-06-01"}, OFFICES),
    ), page=False),
    Address("criteria/", text("/criteria/"), OWN),
)  # fmt: skip
