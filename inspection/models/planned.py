"""What the limits take out of a planned string: its pieces by position, each with why it cannot stay."""

from dataclasses import dataclass
from datetime import date

from inspection.calc.ahead import Ahead, outs
from inspection.calc.reasons import why_shown
from inspection.models.facts import in_parts
from rack.calc.standing import EVER, FINE, SOON, Clock, state_on
from rack.calc.states import AWAY, STATES
from rack.models import Component, Plan, String, Unlisted
from rack.models.clocks import as_calc, clocks_of
from rack.models.running import members_of

#: A place in the string from the bit upward, and the piece there.
Position = tuple[int, Component]


@dataclass(frozen=True)
class Taken:
    """A piece that cannot be in the string as planned: its place from the bit, the lowest 1, and why."""

    position: int
    piece: Component
    why: tuple[str, ...]


def of_plan(plan: Plan) -> list[Position]:
    """The named pieces of a plan by their places; a section by count takes as many places."""
    found, at = [], 1
    for line in plan.lines.from_the_bit().select_related("component__spec", "component__place"):
        if line.component:
            found.append((at, line.component))
        at += 1 if line.component else line.count_n
    return found


def of_string(string: String) -> list[Position]:
    """The named pieces of a string by their places."""
    found, at = [], 1
    for row in members_of(string):
        if isinstance(row, Unlisted):
            at += row.count_n
        else:
            found.append((at, row.component))
            at += 1
    return found


def taken_out(positions: list[Position], today: date, ahead: Ahead | None) -> list[Taken]:
    """Those that are held, gone, due, or due before the section ends, from the bit upward."""
    clocks: dict[int, list[Clock]] = {}
    for some in in_parts(piece.pk for _, piece in positions):
        clocks |= {pk: [as_calc(row) for row in rows] for pk, rows in clocks_of(some).items()}
    found = [
        Taken(at, piece, tuple(_why(piece, clocks.get(piece.pk, []), today, ahead)))
        for at, piece in positions
    ]
    return [one for one in found if one.why]


def _why(piece: Component, clocks: list[Clock], today: date, ahead: Ahead | None) -> list[str]:
    why = ["held"] if piece.holds_n else []
    if piece.state in AWAY:
        return [*why, STATES[piece.state].name]
    state = state_on(piece.soon_on, piece.due_on, piece.over_on, today)
    if state not in (SOON, FINE):
        by_clock = EVER in (piece.due_on, piece.over_on)
        return [*why, f"{state}: {why_shown(piece.due_why, clocks, by_clock=by_clock)}"]
    return [*why, *(outs(clocks, piece.due_on, ahead) if ahead else ())]
