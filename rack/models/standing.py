"""The stands of a strap out of the hole: each with its joints, numbered from the bit, and what they say."""

from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.calc.stands import Judgement, StandRead, judge
from rack.models.comparing import held_nm
from rack.models.tallies import Correction, Line, Stand, Tally


@dataclass(frozen=True)
class StandRow:
    """One stand that was read: its entry, its number from the bit, the places of its joints (from 0) and
    what was read against what; `known` is false where a joint has no length."""

    entry: Stand
    number: int
    places: tuple[int, ...]
    read: StandRead
    known: bool


@dataclass(frozen=True)
class Stands:
    """All stands of a tally, what they look like, and the correction that was accepted for them."""

    rows: tuple[StandRow, ...]
    judgement: Judgement
    correction: Correction | None
    #: Places of joints that stand in no stand.
    left: tuple[int, ...]

    @property
    def stale(self) -> bool:
        """Whether the stands say another thing now than when the correction was accepted."""
        return self.correction is not None and self.correction.nm != self.judgement.apart.nanometres


def stands_of(tally: Tally, lines: list[Line]) -> Stands:
    """The stands of a tally as they stand now, the lowest first."""
    at = {line.pk: place for place, line in enumerate(lines)}
    entries = tally.stands.standing().select_related("first", "last", "journal__by")
    there = [one for one in entries if one.first_id in at and one.last_id in at]
    ends = [(at[one.first_id], at[one.last_id], one) for one in there]
    rows = []
    for number, (first, last, entry) in enumerate(sorted(ends, key=lambda row: row[:2]), start=1):
        places = tuple(range(min(first, last), max(first, last) + 1))
        held = [held_nm(tally, lines[place]) for place in places]
        joints = tuple(Length(nm) for nm in held if nm is not None)
        name = f"Stand {number} ({group_name(lines[places[0]], lines[places[-1]])})"
        read = StandRead(number, name, joints, Length(entry.nm))
        rows.append(StandRow(entry, number, places, read, len(joints) == len(places)))
    known = [row.read for row in rows if row.known]
    taken = {place for row in rows for place in row.places}
    return Stands(
        tuple(rows),
        judge(known, tally.unit, tally.digits),
        tally.corrections.standing().select_related("journal__by").order_by("-id").first(),
        tuple(place for place in range(len(lines)) if place not in taken),
    )


def group_name(first: Line, last: Line) -> str:
    """What a stand is called by its joints: "1 to 3", or "7" for a single."""
    return first.painted if first.pk == last.pk else f"{first.painted} to {last.painted}"
