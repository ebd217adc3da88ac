"""What inspection shows on the page of a piece."""

from django.http import HttpRequest
from django.utils import timezone

from inspection.calc.criteria import scheme_said
from inspection.models import Inspection
from rack.calc.standing import EVER, FINE, NEVER, OVERDUE, SOON, mark
from rack.desk import may
from rack.models import Component
from rack.neighbours import Panel

MOST = 8


def piece_panel(request: HttpRequest, piece: Component) -> Panel | None:
    """The class of a piece, when it is due and why, and its last inspections."""
    today = timezone.localdate(timezone=piece.site.zone)
    shape, word = mark(0, piece.scheme, (piece.soon_on, piece.due_on, piece.over_on), today)
    rows = Inspection.objects.standing().filter(component=piece).newest_first()
    context = {
        "piece": piece,
        "shape": shape,
        "when": f"{word}{_when(piece, word)}" if shape else "not worked out yet",
        "scheme": scheme_said(piece.scheme) if piece.scheme else "",
        "inspections": rows.select_related("inspector", "job")[:MOST],
        "may_inspect": "inspect" in may(request),
    }
    return Panel("inspection/_piece.html", context)


def _when(piece: Component, word: str) -> str:
    """The day that goes with how a piece stands, where a day and no clock says it."""
    day = piece.over_on if word == OVERDUE else piece.due_on
    if day in (EVER, NEVER):
        return ""
    return f", due {day:%Y-%m-%d}" if word in (FINE, SOON) else f" since {day:%Y-%m-%d}"
