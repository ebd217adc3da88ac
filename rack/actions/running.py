"""What happens to the pieces of a string: made up, racked back, run again, laid down, swapped.

Each is an entry of the ledger with the time and the depth that the hand says. Rules are in
`rack.calc.running`; what the actions share is in `rack.actions.doing`.
"""

from collections.abc import Sequence

from django.db import transaction

from rack.actions.doing import (
    Doing,
    Said,
    check_times,
    first_answer,
    held_go_aside,
    leave,
    members_of,
    on_site,
    open_doing,
    out_of,
    pieces_of,
    settle,
    tidy,
    topmost,
    write,
)
from rack.actions.entering import Entering, joining
from rack.actions.journal import Asked
from rack.actions.places import derrick_row, hole_of
from rack.calc.checks import stops
from rack.calc.running import in_problems
from rack.calc.states import BELOW
from rack.errors import Refused
from rack.models import Change, Component, Place, String, What
from rack.models.running import ranks_of


def join(asked: Asked, string: String, pieces: Sequence[Component], said: Said | None = None) -> list[Change]:
    """Make pieces up on top of what is in the hole, the first of them lowest."""
    said = tidy(said)
    ids = [piece.pk for piece in pieces]
    with transaction.atomic():
        doing = open_doing(
            asked, "join string", string, ids, said, f"Made up {pieces_of(pieces)} in {string}"
        )
        if doing is None:
            return first_answer(asked)
        entering = joining(doing.string, [doing.pieces[pk] for pk in ids])
        doing.problems += entering.problems
        check_times(doing)
        settle(doing)
        _put_in(doing, entering)
        return write(doing)


def rack_back(
    asked: Asked, string: String, pieces: Sequence[Component], side: str, row: int, said: Said | None = None
) -> list[Change]:
    """Rack the topmost pieces in the hole back in the derrick, as one stand."""
    said = tidy(said)
    ids = sorted(piece.pk for piece in pieces)
    with transaction.atomic():
        where = f"{side.strip()} {row}"
        doing = open_doing(
            asked, "rack back", string, ids, said, f"Racked back {pieces_of(pieces)}, {where}", to=where
        )
        if doing is None:
            return first_answer(asked)
        members = topmost(doing, ids)
        check_times(doing)
        settle(doing)
        place = derrick_row(string.site, side, row)
        for member in members:
            doing.change(doing.pieces[member.component_id], What.BACK, member.rank, place, "in_derrick")
        return write(doing)


def run_again(
    asked: Asked, string: String, pieces: Sequence[Component], said: Said | None = None
) -> list[Change]:
    """Run pieces from the derrick, the first of them lowest; another order than the string's asks why."""
    said = tidy(said)
    ids = [piece.pk for piece in pieces]
    with transaction.atomic():
        doing = open_doing(
            asked, "run again", string, ids, said, f"Ran {pieces_of(pieces)} from the derrick"
        )
        if doing is None:
            return first_answer(asked)
        racked = [member for member in doing.members if member.racked]
        at = {member.component_id: n for n, member in enumerate(racked)}
        missing = [pk for pk in ids if pk not in at]
        doing.problems += [
            stops(f"{doing.pieces[pk]} does not stand in the derrick.", code="derrick") for pk in missing
        ]
        wanted = [at[pk] for pk in ids if pk in at]
        asking = in_problems([str(member.component) for member in racked], wanted)
        doing.problems += asking
        check_times(doing)
        settle(doing)
        hole = hole_of(string.site)
        new = ranks_of(doing.string, len(ids)) if asking else [racked[n].rank for n in wanted]
        for pk, rank in zip(ids, new, strict=True):
            doing.change(doing.pieces[pk], What.RUN, rank, hole, "in_string")
        return write(doing)


def lay_down(
    asked: Asked, string: String, pieces: Sequence[Component], place: Place, said: Said | None = None
) -> list[Change]:
    """Lay down pieces from the top of the hole or from the derrick; a held one goes aside."""
    said = tidy(said)
    ids = sorted(piece.pk for piece in pieces)
    with transaction.atomic():
        sentence = f"Laid down {pieces_of(pieces)} from {string} to {place}"
        doing = open_doing(asked, "lay down", string, ids, said, sentence, to=place.pk)
        if doing is None:
            return first_answer(asked)
        members = out_of(doing, ids)
        held_go_aside(doing, place)
        check_times(doing)
        settle(doing)
        on_site(doing, members, place)
        leave(doing, members, place)
        return write(doing)


def leave_behind(
    asked: Asked, string: String, pieces: Sequence[Component], state: str, said: Said
) -> list[Change]:
    """Write down that pieces stay below: run and left in the well, or lost in the hole; with the reason."""
    said = tidy(said)
    ids = sorted(piece.pk for piece in pieces)
    if state not in BELOW:
        raise ValueError(f"{state!r} is no way of staying below")
    if not said.reason:
        raise Refused([stops("Say in a few words why it stays below.", code="reason", where="reason")])
    with transaction.atomic():
        sentence = f"{pieces_of(pieces)} of {string} {'stays' if len(ids) == 1 else 'stay'} below"
        doing = open_doing(asked, "leave behind", string, ids, said, sentence, to=state)
        if doing is None:
            return first_answer(asked)
        members = members_of(doing, ids)
        check_times(doing)
        settle(doing)
        hole = hole_of(string.site)
        for member in members:
            doing.change(doing.pieces[member.component_id], What.LEAVE, member.rank, hole, state)
        return write(doing)


def swap(
    asked: Asked, string: String, out: Component, new: Component, place: Place, said: Said | None = None
) -> list[Change]:
    """Take one piece out and make another up in its place; the one that goes is laid down."""
    said = tidy(said)
    with transaction.atomic():
        sentence = f"Swapped {out} for {new} in {string}"
        doing = open_doing(asked, "swap", string, [out.pk, new.pk], said, sentence, to=place.pk, out=out.pk)
        if doing is None:
            return first_answer(asked)
        members = out_of(doing, [out.pk])
        entering = joining(doing.string, [doing.pieces[new.pk]])
        doing.problems += entering.problems
        held_go_aside(doing, place, only=[out.pk])
        check_times(doing)
        settle(doing)
        on_site(doing, members, place)
        leave(doing, members, place)
        member = members[0]
        stood = member.component.place if member.racked else None
        to, state = (stood, "in_derrick") if stood else (hole_of(string.site), "in_string")
        piece = entering.rows[0]
        doing.change(piece.piece, What.JOIN, member.rank, to, state, **piece.length)
        if stood:  # the new piece stands where the other stood
            doing.changes.append(Change(
                journal=doing.line, seq=len(doing.changes), at=doing.line.at, component=piece.piece,
                string=doing.string, what=What.BACK, happened_at=doing.at, rank=member.rank,
            ))  # fmt: skip
        return write(doing)


def _put_in(doing: Doing, entering: Entering) -> None:
    hole = hole_of(doing.string.site)
    ranks = ranks_of(doing.string, len(entering.rows))
    for row, rank in zip(entering.rows, ranks, strict=True):
        doing.change(row.piece, What.JOIN, rank, hole, "in_string", **row.length)
