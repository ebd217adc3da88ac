"""What an event makes due for every piece that was in the string at that moment."""

from dataclasses import dataclass
from datetime import date

from inspection.calc.due import DayLimit, short
from inspection.calc.lookup import rows
from rack.calc.checks import Severity
from rack.calc.kinds import KINDS
from rack.calc.standing import NEVER

#: Pieces that have a tube to look at; all others have connections and a body.
_TUBED = frozenset({"drill_pipe", "heavy_weight", "casing", "tubing", "pup_joint", "marker_joint"})
_SERVICED = frozenset({"jar", "accelerator", "bumper_sub", "shock_sub", "motor", "mwd", "rotary_steerable"})


@dataclass(frozen=True)
class Consequence:
    """What one event wants of one kind of piece: which scopes fall due, and what to do."""

    event: str
    what: str
    scopes: tuple[str, ...]
    action: str
    source: str
    conf: str


def event_codes() -> tuple[str, ...]:
    """Return the events that make a look due ("jarring", "washout" ...), in table order. Raises nothing.

    Source: table "intervals/events".
    """
    return tuple(dict.fromkeys(row["event"] for row in rows("intervals/events")))


def after_event(event: str, kind: str) -> tuple[Consequence, ...]:
    """Return what `event` (a code of `event_codes()`) wants of a `kind` of piece that was in the string.

    Empty where it means nothing for the kind. Raises ValueError for an unknown event or kind.
    Source: table "intervals/events"; the scopes are common practice.
    """
    if event not in event_codes() or kind not in KINDS:
        raise ValueError(f"event: {event!r} is none of {', '.join(event_codes())}, or {kind!r} is no kind")
    found = []
    for row in rows("intervals/events"):
        kinds = row["kinds"].split()
        if row["event"] != event or (kinds and kind not in kinds):
            continue
        scopes = tuple(scope for scope in row["scopes"].split() if _has(kind, scope))
        if scopes:
            found.append(Consequence(event, row["what"], scopes, row["action"], row["source"], row["conf"]))
    return tuple(found)


def _has(kind: str, scope: str) -> bool:
    return {"tube": kind in _TUBED, "service": kind in _SERVICED}.get(scope, True)


def due_by_event(event: str, kind: str, on: date) -> tuple[DayLimit, ...]:
    """Return the limits by the calendar that `event` `on` a day sets for a `kind` of piece: due that day.

    A later look of the scope answers it. Only ever a note: common practice. Raises ValueError as
    `after_event`. Source: table "intervals/events".
    """
    found: dict[str, DayLimit] = {}
    for one in after_event(event, kind):
        for scope in one.scopes:
            why = short(f"{one.what} on {on.isoformat()}: {one.action}")
            found.setdefault(scope, DayLimit(scope, on, on, on, NEVER, "default", Severity.NOTE, one.source,
                                             one.conf, why))
    return tuple(found.values())
