"""What goes in next: the stands of the derrick, then what the plan still has, and what of it cannot."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet

from rack.calc.lengths import Length
from rack.calc.states import ON_SITE, STATES
from rack.models.blindness import blind_again, shut
from rack.models.links import made_up_length
from rack.models.people import Site
from rack.models.pieces import Component
from rack.models.places import PlaceKind
from rack.models.plans import NotRun, Plan
from rack.models.reference import catalogue
from rack.models.strings import Change, Member, String, Unlisted, What

#: So many primary keys are bound in one question.
_AT_ONCE = 500


@dataclass(frozen=True)
class Coming:
    """What goes in next in one go: a stand from the derrick, or a single from the rack or the plan.

    `stopped` says why it cannot go in, "" where it can.
    """

    name: str
    where: str
    pieces: tuple[Component, ...]
    length: Length | None
    stopped: str = ""


def coming(string: String, rows: Sequence[Member | Unlisted]) -> list[Coming]:
    """What goes in next, in order: the mousehole, the racked stands, then what the plan still has."""
    racked = [row for row in rows if isinstance(row, Member) and row.racked]
    ready = _ready(string)
    there = {piece.pk for item in ready for piece in item.pieces}
    rest = [item for item in left_of_plan(string) if item.pieces[0].pk not in there]
    return [*ready, *_stands(string, racked), *rest]


def in_the_mousehole(site: Site) -> "QuerySet[Component]":
    """The pieces that were made ready in the mousehole of a site, the first of them first."""
    here = Component.objects.at(site).filter(place__kind=PlaceKind.MOUSEHOLE, state__in=ON_SITE)
    return here.select_related("spec", "place", "site").order_by("pk")


def _ready(string: String) -> list[Coming]:
    """What stands in the mousehole; a string that has ended takes nothing more."""
    if string.ended_at:
        return []
    tables, hidden = catalogue(), set(shut(in_the_mousehole(string.site), blind_again(string.site)))
    return [
        Coming(str(piece), str(piece.place), (piece,),
               None if piece in hidden else made_up_length(piece, tables)[0])
        for piece in in_the_mousehole(string.site)
    ]  # fmt: skip


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


def left_of_plan(string: String) -> list[Coming]:
    """What a string's plan still has, lowest first: each piece that never was in it and is not left out.

    One that cannot go in (it is in another string, returned, scrapped) keeps its place and says why.
    """
    if string.plan is None:
        return []
    # What was laid down again is one of them too: it does not come a second time.
    lines = string.plan.lines.from_the_bit().exclude(component=None)
    lines = lines.exclude(component__in=string.members.values("component"))
    lines = lines.exclude(component__in=NotRun.objects.standing().filter(string=string).values("component"))
    wanted = [line.component for line in lines.select_related("component__spec", "component__place")]
    tables, hidden, stopped = catalogue(), _hidden(string.plan), why_stopped(string, wanted)
    return [
        Coming(str(piece), str(piece.place or ""), (piece,),
               None if piece.pk in hidden else made_up_length(piece, tables)[0], stopped.get(piece.pk, ""))
        for piece in wanted
    ]  # fmt: skip


def left_out_of(string: String) -> dict[int, NotRun]:
    """The pieces of the plan that a string goes without, by the piece."""
    rows = NotRun.objects.standing().filter(string=string).select_related("component", "journal__by")
    return {row.component_id: row for row in rows.order_by("id")}


def why_stopped(string: String, pieces: Sequence[Component]) -> dict[int, str]:
    """Why each of these pieces cannot go into a string now; those that can are not in the answer."""
    found = {
        piece.pk: f"it is {STATES[piece.state].name}" for piece in pieces if not _may_go_in(piece.state)
    }
    elsewhere = Member.objects.now().exclude(string=string).select_related("string")
    for start in range(0, len(pieces), _AT_ONCE):
        some = [piece.pk for piece in pieces[start : start + _AT_ONCE]]
        found |= {row.component_id: f"it is in {row.string}" for row in elsewhere.filter(component__in=some)}
    return found


def _may_go_in(state: str) -> bool:
    return "in_string" in STATES[state].then


def _hidden(plan: Plan) -> set[int]:
    """Pieces of the plan that are strapped blind again now: their length is nobody's to read (law 13)."""
    again = blind_again(plan.site)
    pieces = Component.objects.filter(pk__in=plan.lines.values("component"))
    return set(shut(pieces, again).values_list("pk", flat=True)) if again else set()
