"""What goes in next: the stands of the derrick in their order, then what the plan still has."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.calc.stand_names import stand_names
from rack.models.links import made_up_length
from rack.models.pieces import Component
from rack.models.reference import catalogue
from rack.models.strings import Member, String, Unlisted


@dataclass(frozen=True)
class Coming:
    """What goes in next in one go: a stand from the derrick, or a single from the rack or the plan."""

    name: str
    where: str
    pieces: tuple[Component, ...]
    length: Length | None


def coming(string: String, rows: Sequence[Member | Unlisted]) -> list[Coming]:
    """What goes in next, in order: the racked stands first, then what the plan still has, lowest first."""
    kinds = [(row.component.spec if isinstance(row, Member) else row.spec).kind for row in rows]
    names = stand_names(kinds, string.stand_n)
    racked = [
        (row, name) for row, name in zip(rows, names, strict=True) if isinstance(row, Member) and row.racked
    ]
    return [*_stands(racked), *_of_plan(string, rows)]


def _stands(racked: Sequence[tuple[Member, str]]) -> list[Coming]:
    found: list[Coming] = []
    group: list[Member] = []
    stand = ""
    for row, name in [*racked, (None, "")]:
        this = name.split(" ")[0] if row else ""
        if group and (row is None or not this or this != stand):
            found.append(_coming(group, stand))
            group = []
        if row is not None:
            group.append(row)
            stand = this
    return found


def _coming(group: Sequence[Member], stand: str) -> Coming:
    pieces = tuple(member.component for member in group)
    nms = [member.length_nm for member in group]
    length = None if None in nms else Length(sum(nm for nm in nms if nm is not None))
    name = f"stand {stand}" if stand and len(group) > 1 else str(pieces[0])
    return Coming(name, str(pieces[0].place or ""), pieces, length)


def _of_plan(string: String, rows: Sequence[Member | Unlisted]) -> list[Coming]:
    if string.plan is None:
        return []
    there = {row.component_id for row in rows if isinstance(row, Member)}
    lines = string.plan.lines.from_the_bit().exclude(component=None)
    tables = catalogue()
    found = []
    for line in lines.select_related("component__spec", "component__place"):
        piece = line.component
        if (
            piece is not None
            and piece.pk not in there
            and not piece.memberships.filter(string=string).exists()
        ):
            length = made_up_length(piece, tables)[0]
            found.append(Coming(str(piece), str(piece.place or ""), (piece,), length))
    return found
