"""The rows of inspection reports in the table of addresses."""

from tests.address import LOOK, Address, Post, text
from tests.rig import Rig, rig_report

#: For those who record inspections; the stranger keeps the office of another site.
INSPECTS = "403 200 403 403 403 302"
#: A report waits in the session of whoever chose it.
CHANGES = "403 302 403 403 403 302"


def _waiting(rig: Rig) -> str:
    return f"/inspect/report/{next(iter(rig_report()))}/"


def _accepted(rig: Rig) -> str:
    from tests.inspection.reports import accepted

    row = accepted(rig)
    return f"/inspect/report/{row.file.sha256}/{row.pk}/"


REPORTS = (
    Address("inspect/report/", text("/inspect/report/"), INSPECTS),
    Address("inspect/report/<str:digest>/", _waiting, INSPECTS, (
        Post("leave out", lambda rig: {"what": "out", "row": "9", "why": "not ours"}, CHANGES, writes=False),
        Post("accept", lambda rig: {"what": "accept", "reason": "as agreed"}, CHANGES),
    )),
    Address("inspect/report/<str:digest>/<int:pk>/", _accepted, LOOK),
)  # fmt: skip
