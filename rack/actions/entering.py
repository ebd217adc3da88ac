"""What is asked of pieces before they go into a string, and what each adds to its depth."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rack.calc.checks import Problem, asks, stops
from rack.calc.states import move_problems
from rack.models import Component, Hold, Member, String
from rack.models.links import made_up_length
from rack.models.reference import catalogue


@dataclass(frozen=True)
class EnteringPiece:
    """One piece on its way in, with the columns of its change that say what it adds to the depth."""

    piece: Component
    length: dict[str, object]


@dataclass(frozen=True)
class Entering:
    """The pieces in the order in which they go in, lowest first, and everything that is asked of them."""

    rows: tuple[EnteringPiece, ...]
    problems: tuple[Problem, ...]


def joining(string: String, pieces: Sequence[Component]) -> Entering:
    """What stops or asks before these pieces, which the caller has locked, are made up (R16, R20)."""
    problems: list[Problem] = []
    taken = Member.objects.now().filter(component__in=pieces).select_related("string")
    strings = {member.component_id: member.string for member in taken}
    for piece in pieces:
        there = strings.get(piece.pk)
        if there:
            problems.append(stops(
                f"{piece} is in {there} already and cannot be in two places.", code="R20", where=str(piece),
                measured=str(there), source="common practice",
            ))  # fmt: skip
        else:
            problems += move_problems(str(piece), piece.state, "in_string")
    problems += [
        asks(
            f"{text} Say why it goes in all the same.", code="R16", where=str(piece), source="common practice"
        )
        for piece, text in hold_questions([piece for piece in pieces if piece.holds_n])
    ]
    rows, tables = [], catalogue()
    for piece in pieces:
        length, how = made_up_length(piece, tables)
        nm = None if length is None else length.nanometres
        rows.append(EnteringPiece(piece, {"length_nm": nm, "length_how": how}))
    return Entering(tuple(rows), tuple(problems))


def hold_questions(pieces: Iterable[Component]) -> Iterator[tuple[Component, str]]:
    """Each held piece with the sentence that says why it is held and by whom."""
    held = {piece.pk: piece for piece in pieces}
    rows = Hold.objects.filter(component__in=held, what="put", released_by=None).select_related("journal__by")
    for hold in rows.order_by("component", "id"):
        by = hold.journal.by
        who = (by.get_full_name() or by.get_username()) if by else "the program"
        piece = held[hold.component_id]
        yield piece, f"{piece} is held by {who}: {hold.reason}."
