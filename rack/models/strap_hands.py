"""Whose hands took the two straps of a tally, and which readings came after their strap was over."""

from dataclasses import dataclass
from datetime import datetime

from rack.calc.checks import Problem
from rack.calc.strap_hands import LateLine, StrapHands, late_problems, same_hands
from rack.models.tallies import Strap, StrapHead, Tally

#: The journal's verb of a third reading: it is taken late on purpose, with both straps in view.
TAPE_AGAIN = "tape again"


@dataclass(frozen=True)
class TwoStraps:
    """The hands of both straps, and the late readings of each."""

    first: StrapHands
    second: StrapHands
    late_first: tuple[LateLine, ...] = ()
    late_second: tuple[LateLine, ...] = ()

    @property
    def problems(self) -> list[Problem]:
        return same_hands(self.first, self.second) + late_problems(self.late_first, self.late_second)


def hands_problems(tally: Tally) -> list[Problem]:
    """What is to be said of the hands of a second strap that begins: no reading is spoken of (law 13)."""
    heads = {head.strap_n: _hands(head) for head in tally.heads.all()}
    return same_hands(heads[1], heads[2]) if {1, 2} <= set(heads) else []


def two_straps(tally: Tally) -> TwoStraps | None:
    """Both straps of a tally; None before the second is finished, for until then it is blind (law 13)."""
    heads = {head.strap_n: head for head in tally.heads.all()}
    first, second = heads.get(1), heads.get(2)
    if first is None or second is None or second.finished_at is None:
        return None
    return TwoStraps(
        _hands(first),
        _hands(second),
        _late(tally, 1, second.begun_at),
        _late(tally, 2, second.finished_at),
    )


def _hands(head: StrapHead) -> StrapHands:
    return StrapHands(head.tape, head.reader, head.writer)


def _late(tally: Tally, strap_n: int, since: datetime) -> tuple[LateLine, ...]:
    """The standing readings of a strap that were stored after `since`, in the order of the lines."""
    rows = Strap.objects.standing().filter(
        line__tally=tally, line__withdrawn=False, strap_n=strap_n, at__gt=since, what="reading"
    )
    found = rows.exclude(journal__verb=TAPE_AGAIN).order_by("line__rank", "line_id", "id")
    zone = tally.site.zone
    return tuple(
        LateLine(painted, at.astimezone(zone).strftime("%Y-%m-%d %H:%M"))
        for painted, at in found.values_list("line__painted", "at")
    )
