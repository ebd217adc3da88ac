"""An inspection of a joint of the rig, recorded once, for tests that open its page."""

from datetime import date

from inspection.actions.found import Found, Head, Read, Seen
from inspection.actions.keeping import keep_photo, keep_report
from inspection.actions.recording import record
from inspection.calc.effects import Ends
from inspection.calc.readings import Reading
from inspection.models import Inspection
from tests import stock
from tests.inspection.pieces import LOOKS, good, nm
from tests.rig import PHOTO, Rig

REPORT = b"%PDF-1.7 an invented report"


def recorded(rig: Rig) -> Inspection:
    """The inspection of a joint that lies on the rack: a cracked pin, a report, a photo."""
    piece = rig.spare[1]
    there = Inspection.objects.standing().filter(component=piece).first()
    if there:
        return there
    ends = Ends(box_found="reface", box_after="ok", pin_found="reject")
    crack = Reading("crack", "pin", count=1)
    reads = [Read(one) for one in (*good(), crack, Reading("bench_mark", "box", word="yes"))]
    reads.append(Read(Reading("shoulder", "box", nm=nm("15/32")), "after", "15/32 in"))
    photo = keep_photo(PHOTO, "crack.png")
    found = Found(
        piece, LOOKS, tuple(reads), "Premium", ends, paint="2 white", remarks="rust inside",
        seen=(Seen("crack at the last thread", "pin", photo),),
    )  # fmt: skip
    head = Head(
        date(2026, 11, 20), "full", company="Nordlys Control", report_no="NC-117",
        equipment=(("UT-7", date(2027, 1, 1)),), report=keep_report(REPORT, "report.pdf"),
    )  # fmt: skip
    ask = stock.asks(rig.who["supervisor"])
    return record(ask, rig.site, head, [found], reason="recorded for a test")[0]
