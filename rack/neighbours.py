"""What rack hands over to its neighbours, by the dotted names of settings.NEIGHBOURS.

Five lists: received, happened, panels, audits, api. Rack calls what is listed and knows nothing more
of it; with the lists empty it stands alone.

received  f(line, ids): these pieces came to the site, inside the transaction, after their rows
happened  f(line, Run or Event or None, ids): hours were posted, something happened to these pieces, or
          (None) they stay below now, left in the well or lost, or no longer do
panels    f(request, piece) -> Panel or None: a part of the page of a piece
audits    f(database) -> differences, as in `rack.auditing`
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.conf import settings
from django.utils.module_loading import import_string

from rack.calc.states import BELOW

LISTS = ("received", "happened", "panels", "audits", "api")


@dataclass(frozen=True)
class Panel:
    """A part of the page of a piece: its template and what is shown in it."""

    template: str
    context: Mapping[str, Any] = field(default_factory=dict)


def neighbours(name: str) -> list[Any]:
    """Return what is listed under a name, in the order of the list."""
    if name not in LISTS:
        raise KeyError(f"rack hands nothing over as {name!r}; there are {', '.join(LISTS)}")
    return [import_string(dotted) for dotted in settings.NEIGHBOURS.get(name, [])]


def tell_received(line: Any, ids: Iterable[int]) -> None:
    """Tell the neighbours that pieces came, inside the same transaction, after the rows of the rack."""
    came = list(ids)
    for follow in neighbours("received"):
        follow(line, came)


def tell_stayed(line: Any, moves: Iterable[Any]) -> None:
    """Tell the neighbours which of these moves led to staying below, or back from it; nothing without any.

    Inside the same transaction, after the rows of the rack; the pieces are locked.
    """
    of = {move.component_id for move in moves if BELOW & {move.from_state, move.to_state}}
    for follow in neighbours("happened") if of else ():
        follow(line, None, sorted(of))
