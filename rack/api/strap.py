"""What the strap page asks for while it is open: the state of one strap, a line by its number."""

from dataclasses import asdict
from typing import Annotated, Any

from django.http import Http404, HttpRequest
from ninja import Path, Query, Router

from rack.api.schemas import FoundOut, LineOut, RefusalOut, StrapOut
from rack.calc.lengths import Length
from rack.errors import NotAllowed
from rack.models import Line, Tally
from rack.models.strapping import (
    COMING,
    LastReading,
    StrapFacts,
    column_of,
    facts_of,
    find_line,
    unread_lines,
)

router = Router(tags=["strap"])

SHUT = "The second strap is open: the first one is shown again when the second is finished."
_REFUSALS = {401: RefusalOut, 403: RefusalOut, 404: RefusalOut, 422: RefusalOut}
_BIG = 2**63 - 1
TallyId = Annotated[int, Path(ge=1, le=_BIG)]
StrapN = Annotated[int, Path(ge=1, le=2)]


@router.get(
    "/tallies/{tally}/strap/{strap_n}", response={200: StrapOut, **_REFUSALS},
    operation_id="get_strap", summary="One strap of a tally",
)
def get_strap(
    request: HttpRequest, tally: TallyId, strap_n: StrapN,
    after: int = Query(0, ge=0, le=_BIG, description="Coming lines from behind this one."),
    most: int = Query(COMING, ge=1, le=500),
) -> Any:
    """Count, total and last readings of one strap, and the unread lines that come next."""
    one = _strap(request, tally, strap_n)
    behind = one.lines.filter(pk=after).first() if after else None
    return state_of(one, strap_n, unread_lines(one, strap_n, behind, most))


@router.get(
    "/tallies/{tally}/strap/{strap_n}/line", response={200: FoundOut, **_REFUSALS},
    operation_id="get_line", summary="A line by its painted number or serial",
)
def get_line(
    request: HttpRequest, tally: TallyId, strap_n: StrapN,
    joint: str = Query(..., min_length=1, max_length=60),
) -> Any:
    """The line that a painted number or a serial means, or none."""
    one = _strap(request, tally, strap_n)
    found = find_line(one, joint.replace("\0", ""))
    return {"found": found and line_of(one, strap_n, found)}


def state_of(
    tally: Tally, strap_n: int, coming: list[Line], facts: StrapFacts | None = None
) -> dict[str, Any]:
    """One strap as the page needs it."""
    facts = facts or facts_of(tally, strap_n)
    sums, head = facts.sums, facts.head
    return {
        "tally": tally.pk, "number": tally.number, "strap_n": strap_n, "unit": tally.unit,
        "digits": tally.digits, "open": tally.open, "finished": bool(head and head.finished_at),
        "count": sums.count, "total": sums.total.shown(tally.unit, tally.digits), "unread": sums.unread,
        "grows": facts.grows, "follows": facts.follows,
        "last": [row_of(row) for row in facts.last],
        "coming": [line_of(tally, strap_n, line) for line in coming],
    }


def line_of(tally: Tally, strap_n: int, line: Line) -> dict[str, Any]:
    """A line as the page needs it, with its reading in this strap."""
    nm = getattr(line, column_of(strap_n))
    serial = line.component.serial if line.component else line.serial_typed
    shown = "" if nm is None else Length(nm).shown(tally.unit, tally.digits)
    telescopes = bool(line.component and line.component.spec.kind_entry.telescopes)
    return LineOut(
        line=line.pk, painted=line.painted, serial=serial, shown=shown, telescopes=telescopes
    ).model_dump()


def row_of(row: LastReading) -> dict[str, Any]:
    """A reading as the page needs it."""
    return {**asdict(row), "questions": list(row.questions)}


def _strap(request: HttpRequest, tally: int, strap_n: int) -> Tally:
    """The tally of a strap that this person may see now."""
    one = Tally.objects.for_user(request.user).filter(pk=tally).first()
    if one is None:
        raise Http404("There is no such tally here.")
    if strap_n == 1 and one.is_blind:
        raise NotAllowed(SHUT)
    return one
