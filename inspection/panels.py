"""What inspection shows on the page of a piece."""

from django.http import HttpRequest

from inspection.calc.criteria import scheme_said
from inspection.models import Inspection
from rack.desk import may
from rack.models import Component
from rack.neighbours import Panel

MOST = 8


def piece_panel(request: HttpRequest, piece: Component) -> Panel | None:
    """The class of a piece, when it is due and why, and its last inspections."""
    rows = Inspection.objects.standing().filter(component=piece).newest_first()
    context = {
        "piece": piece,
        "scheme": scheme_said(piece.scheme),
        "inspections": rows.select_related("inspector", "job")[:MOST],
        "may_inspect": "inspect" in may(request),
    }
    return Panel("inspection/_piece.html", context)
