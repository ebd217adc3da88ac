"""One action on a string at work: what it locked, what it found, what it writes.

The five steps of every action, shared by `rack.actions.running`: open the line and lock (`open_doing`),
gather what stops and asks (`members_of`, `topmost`, `check_times` ...), judge (`settle`), write (`write`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

from django.db.models import F

from rack.actions.accepting import accept_problems
from rack.actions.entering import hold_questions
from rack.actions.journal import Asked, open_line
from rack.actions.kept import keep_members
from rack.actions.locks import check_version, lock_open_place, lock_pieces, lock_string
from rack.actions.racks import accept_load
from rack.calc.checks import Problem, asks, stops
from rack.calc.running import out_problems, time_problems
from rack.errors import Refused
from rack.models import (
    Change,
    Component,
    Journal,
    Member,
    Move,
    Place,
    PlaceKind,
    String,
    What,
)
from rack.models.running import before_the_string, last_changes, running_members
from rack.neighbours import tell_stayed
from rack.people import check_can


@dataclass(frozen=True)
class Said:
    """What the hand says of a change: when, the depth of the bit (nm, None for not noted), a reason."""

    at: datetime | None = None
    depth_nm: int | None = None
    reason: str = ""
    seen: int | None = None


@dataclass
class Doing:
    """One action at work: its line, the string and the pieces as they are locked."""

    line: Journal
    string: String
    pieces: dict[int, Component]
    said: Said
    changes: list[Change] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    @cached_property
    def members(self) -> list[Member]:
        """Everything in the string as it was when it was locked, from the bit upward: read once."""
        return running_members(self.string)

    @property
    def at(self) -> datetime:
        return self.said.at or self.line.made_at or self.line.at

    def change(self, piece: Component, what: str, rank: int, to: Place, state: str, **more: object) -> None:
        """Write down one change of a piece and the move that goes with it."""
        self.changes.append(Change(
            journal=self.line, seq=len(self.changes), at=self.line.at, component=piece, string=self.string,
            what=what, happened_at=self.at, depth_nm=self.said.depth_nm, rank=rank,
            reason=self.said.reason[:200], **more,
        ))  # fmt: skip
        self.moves.append(Move(
            journal=self.line, seq=len(self.moves), at=self.line.at, component=piece,
            from_place_id=piece.place_id, to_place=to, from_state=piece.state, to_state=state,
        ))  # fmt: skip


def tidy(said: Said | None) -> Said:
    said = said or Said()
    return Said(said.at, said.depth_nm, " ".join(said.reason.split())[:200], said.seen)


def open_doing(
    asked: Asked, verb: str, string: String, ids: Sequence[int], said: Said, sentence: str, **more: object
) -> Doing | None:
    """Steps 1 and 2: the line of the journal, then the locks; None where it was done before."""
    check_can(asked.hand.user, "run", string.site)
    if not ids or len(set(ids)) != len(ids):
        raise Refused([stops("Name at least one piece, and none of them twice.", code="pieces")])
    body = {"string": string.pk, "pieces": list(ids), "at": said.at, "depth_nm": said.depth_nm,
            "reason": said.reason, **more}  # fmt: skip
    line, again = open_line(asked, verb, string.site, sentence, body)
    if again:
        return None
    pieces = lock_pieces(ids)
    now = lock_string(string.pk)
    check_version(now, said.seen)
    if now.ended_at:
        raise Refused([stops(f"{now} has come to its end; nothing changes in it any more.", code="string")])
    elsewhere = [piece for piece in pieces.values() if piece.site_id != now.site_id]
    if elsewhere or len(pieces) != len(ids):
        raise Refused([stops("A piece of another site is in no string here.", code="site")])
    return Doing(line, now, pieces, said)


def first_answer(asked: Asked) -> list[Change]:
    """The first answer again: the changes that carry the line of this key."""
    return list(Change.objects.filter(journal__key=asked.key, reverses=None).order_by("seq"))


def members_of(doing: Doing, ids: Sequence[int]) -> list[Member]:
    """The memberships of these pieces, topmost first; a piece that is in no string here is a problem."""
    found = {member.component_id: member for member in doing.members}
    doing.problems += [
        stops(f"{doing.pieces[pk]} is not in {doing.string}.", code="member") for pk in ids if pk not in found
    ]
    return sorted((found[pk] for pk in ids if pk in found), key=lambda member: -member.rank)


def topmost(doing: Doing, ids: Sequence[int]) -> list[Member]:
    """The memberships of pieces that come out of the hole now: they must be the topmost there."""
    members = members_of(doing, ids)
    standing = [member.component for member in members if member.racked]
    doing.problems += [stops(f"{piece} stands in the derrick already.", code="derrick") for piece in standing]
    hole = [member for member in doing.members if not member.racked]
    at = {member.component_id: n for n, member in enumerate(hole)}
    wanted = [at[member.component_id] for member in members if member.component_id in at]
    doing.problems += out_problems([str(member.component) for member in hole], wanted)
    lowest = min((hole[n].rank for n in wanted), default=0)
    doing.problems += [
        stops(f"{counted} stand above; name those pieces first.", code="unlisted")
        for counted in doing.string.unlisted.standing().filter(rank__gt=lowest).select_related("spec")
    ]
    return members


def out_of(doing: Doing, ids: Sequence[int]) -> list[Member]:
    """The memberships of pieces that leave: from the derrick in any order, from the hole topmost first."""
    members = members_of(doing, ids)
    hole = [member.component_id for member in members if not member.racked]
    if hole:
        topmost(doing, hole)
    return members


def held_go_aside(doing: Doing, place: Place, *, only: Sequence[int] | None = None) -> None:
    """A hold acts when the piece comes out: it is laid aside, or somebody says why not."""
    if place.kind != PlaceKind.ASIDE:
        held = [piece for pk, piece in doing.pieces.items() if piece.holds_n and (only is None or pk in only)]
        doing.problems += [
            asks(f"{name} It comes out now: lay it aside, or say why it goes to {place}.", code="R16",
                 where=str(piece), source="common practice")
            for piece, name in hold_questions(held)
        ]  # fmt: skip


def check_times(doing: Doing) -> None:
    before = last_changes(doing.string, doing.pieces)
    for pk, piece in doing.pieces.items():
        last = before[pk].timestamp() if pk in before else None
        doing.problems += time_problems(doing.at.timestamp(), doing.line.at.timestamp(), last, str(piece))


def settle(doing: Doing) -> None:
    """Step 3: refuse what stops, ask what asks; with a reason the yes is written down (law 9)."""
    accept_problems(doing.line, doing.string, doing.problems, doing.said.reason, doing.pieces.values())


def on_site(doing: Doing, members: Sequence[Member], place: Place) -> None:
    """The place where pieces are laid: open, of this site, and able to carry them or somebody says why."""
    if place.site_id != doing.string.site_id or place.kind not in (PlaceKind.RACK, PlaceKind.ASIDE):
        raise Refused([stops("Lay it down on a layer of a rack here, or lay it aside.", code="place")])
    lock_open_place(place.pk)
    laid = [doing.pieces[member.component_id] for member in members]
    accept_load(doing.line, place, laid, doing.said.reason)


def leave(doing: Doing, members: Sequence[Member], place: Place) -> None:
    was = before_the_string(member.component_id for member in members)
    for member in members:
        piece = doing.pieces[member.component_id]
        state = was.get(piece.pk, "received")
        doing.change(piece, What.LEAVE, member.rank, place, state)


def write(doing: Doing) -> list[Change]:
    """Steps 4 and 5: the rows of the ledgers, then the kept figures."""
    Change.objects.bulk_create(doing.changes)
    Move.objects.bulk_create(doing.moves)
    settle_kept(doing.string, doing.moves)
    tell_stayed(doing.line, doing.moves)
    return doing.changes


def settle_kept(string: String, moves: Sequence[Move]) -> None:
    """Set what is kept on the pieces and the string after these moves; the caller holds the locks."""
    groups: dict[tuple[int | None, str], list[int]] = {}
    for move in moves:
        groups.setdefault((move.to_place_id, move.to_state), []).append(move.component_id)
    for (place, state), ids in groups.items():
        Component.objects.filter(pk__in=ids).update(place=place, state=state, version=F("version") + 1)
    keep_members(string, [move.component_id for move in moves])
    String.objects.filter(pk=string.pk).update(version=F("version") + 1)


def pieces_of(pieces: Sequence[Component]) -> str:
    """One piece by its name, several by their count: the next tour reads what was done in these words."""
    return str(pieces[0]) if len(pieces) == 1 else count_of(len(pieces))


def count_of(number: int) -> str:
    return "1 piece" if number == 1 else f"{number} pieces"
