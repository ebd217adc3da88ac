"""What goes in next: the stands of the derrick in their order, then what the plan still has."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.lengths import Length
from rack.models.blindness import blind_again, shut
from rack.models.links import made_up_length
from rack.models.pieces import Component
from rack.models.plans import Plan
from rack.models.reference import catalogue
from rack.models.strings import Change, Member, String, Unlisted, What


@dataclass(frozen=True)
class Coming:
    """What goes in next in one go: a stand from the derrick, or a single from the rack or the plan."""

    name: str
    where: str
    pieces: tuple[Component, ...]
    length: Length | None


def coming(string: String, rows: Sequence[Member | Unlisted]) -> list[Coming]:
    """What goes in next, in order: the racked stands first, then what the plan still has, lowest first."""
    racked = [row for row in rows if isinstance(row, Member) and row.racked]
    return [*_stands(string, racked), *_of_plan(string)]


def _stands(string: String, racked: Sequence[Member]) -> list[Coming]:
    """The stands in the derrick from the bit upward: what was racked back in one go is one stand."""
    ids = [row.component_id for row in racked]
    backs = Change.objects.standing().filter(string=string, what=What.BACK, component__in=ids).order_by("id")
    went = dict(backs.values_list("component", "journal"))
    groups: list[list[Member]] = []
    for row in racked:
        if groups and went.get(groups[-1][-1].component_id) == went.get(row.component_id):
            groups[-1].append(row)
        else:
            groups.append([row])
    return [_coming(group) for group in groups]


def _coming(group: Sequence[Member]) -> Coming:
    pieces = tuple(member.component for member in group)
    nms = [member.length_nm for member in group]
    length = None if None in nms else Length(sum(nm for nm in nms if nm is not None))
    name = str(pieces[0]) if len(pieces) == 1 else f"stand {pieces[0]} to {pieces[-1]}"
    return Coming(name, str(pieces[0].place or ""), pieces, length)


def _of_plan(string: String) -> list[Coming]:
    if string.plan is None:
        return []
    # What was laid down again is one of them too: it does not come a second time.
    there = set(string.members.values_list("component", flat=True))
    lines = string.plan.lines.from_the_bit().exclude(component=None)
    tables, hidden = catalogue(), _hidden(string.plan)
    found = []
    for line in lines.select_related("component__spec", "component__place"):
        piece = line.component
        if piece is not None and piece.pk not in there:
            length = None if piece.pk in hidden else made_up_length(piece, tables)[0]
            found.append(Coming(str(piece), str(piece.place or ""), (piece,), length))
    return found


def _hidden(plan: Plan) -> set[int]:
    """Pieces of the plan that are strapped blind again now: their length is nobody's to read (law 13)."""
    again = blind_again(plan.site)
    pieces = Component.objects.filter(pk__in=plan.lines.values("component"))
    return set(shut(pieces, again).values_list("pk", flat=True)) if again else set()
