"""The sharp bends of a well, and what each piece of a run did in them: time there, time turning, turns."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from rack.calc.hours import Amount, Bend, Leg, Membership, Turned, hours_shown, turned_in
from rack.models.pieces import Component
from rack.models.runs import Dogleg, Run
from rack.models.stays import Stay, as_legs, legs_of, lengths_in, memberships_in, stays_in
from rack.models.strings import String
from rack.models.wells import Well

#: Seconds spent in a bend, seconds turning there, turns.
Sums = tuple[Amount, Amount, Amount]


@dataclass(frozen=True)
class BendPiece:
    """One piece in one bend, as it is read."""

    piece: Component
    spent: str
    turning: str
    revolutions: str


@dataclass(frozen=True)
class BendOfRun:
    """A bend and the pieces that were in it while lines of the run were drilled, most turns first."""

    row: Dogleg
    pieces: tuple[BendPiece, ...]


def bends_of(well: Well) -> list[Dogleg]:
    """The bends that stand, from the surface down."""
    return list(well.doglegs.standing().select_related("journal__by").order_by("from_nm", "id"))


def bends_of_run(run: Run) -> list[BendOfRun]:
    """The bends of the run's well with what its pieces did there; nothing is asked where there are none.

    A part that is not known makes the sum "at least": unknown is not zero (law 8).
    """
    bends = bends_of(run.string.well)
    if not bends:
        return []
    lines = as_legs(run, legs_of(run))
    stays, places = memberships_in(run), places_in(run.string)
    sums = {bend.pk: _sums(lines, stays, places, bend) for bend in bends}
    ids = {piece for of_bend in sums.values() for piece in of_bend}
    pieces = {piece.pk: piece for piece in Component.objects.filter(pk__in=ids).select_related("spec")}
    return [BendOfRun(bend, _shown(sums[bend.pk], pieces)) for bend in bends]


def _sums(
    lines: Sequence[Leg], stays: Sequence[Membership], places: dict[int, tuple[int | None, int | None]],
    row: Dogleg,
) -> dict[int, Sums]:  # fmt: skip
    bend = Bend(row.from_nm, row.to_nm)
    found: dict[int, Sums] = {}
    for stay in stays:
        piece = int(stay.piece)
        from_bit, length = places.get(piece, (None, None))
        for line in lines:
            one = turned_in(line, stay, bend, from_bit_nm=from_bit, length_nm=length)
            if one != Turned():
                parts = (one.spent_s, one.turning_s, one.revolutions)
                more = [Amount(part or 0, known=part is not None) for part in parts]
                sums = found.get(piece, (Amount(),) * 3)
                found[piece] = sums[0] + more[0], sums[1] + more[1], sums[2] + more[2]
    return found


def _shown(sums: dict[int, Sums], pieces: dict[int, Component]) -> tuple[BendPiece, ...]:
    def worst(row: tuple[int, Sums]) -> tuple[int, int]:
        return -row[1][2].least, row[0]

    return tuple(
        BendPiece(pieces[piece], _hours(spent), _hours(turning),
                  f"{'' if turns.known else 'at least '}{turns.least:,}")
        for piece, (spent, turning, turns) in sorted(sums.items(), key=worst)
    )  # fmt: skip


def _hours(amount: Amount) -> str:
    return hours_shown(amount.least, known=amount.known)


def places_in(string: String) -> dict[int, tuple[int | None, int | None]]:
    """Where each piece of a string hung: the length below its lower end, from the bit, and its own length.

    Counted when it came last; the distance from the bit does not change when the string grows (law 6).
    None from the first length that is not known upward.
    """
    stays = stays_in(string)
    lengths = lengths_in(string, {stay.piece for stay in stays})
    counted = list(string.unlisted.standing().values_list("rank", "length_nm", "happened_at"))
    found: dict[int, tuple[int | None, int | None]] = {}
    below: dict[datetime, dict[int, int | None]] = {}
    for stay in stays:
        at = stay.joined.at
        if at not in below:
            others = [(rank, nm) for rank, nm, came in counted if came <= at]
            below[at] = _below([one for one in stays if _there(one, at)], lengths, others)
        found[stay.piece] = below[at].get(stay.piece), lengths.get(stay.piece)
    return found


def _there(stay: Stay, at: datetime) -> bool:
    return stay.joined.at <= at and (stay.left is None or stay.left.at > at)


def _below(
    there: Sequence[Stay], lengths: dict[int, int | None], counted: Sequence[tuple[int, int | None]]
) -> dict[int, int | None]:
    rows: list[tuple[int, int, int | None]] = [
        (one.rank, one.piece, lengths.get(one.piece)) for one in there
    ] + [(rank, 0, nm) for rank, nm in counted]
    found: dict[int, int | None] = {}
    sum_nm: int | None = 0
    for _, piece, nm in sorted(rows, key=lambda row: row[:2]):
        if piece:
            found[piece] = sum_nm
        sum_nm = None if sum_nm is None or nm is None else sum_nm + nm
    return found
