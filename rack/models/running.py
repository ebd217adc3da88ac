"""Reading the string in the hole: who is in it, in which order, how deep."""

from collections.abc import Collection, Iterable
from datetime import datetime

from django.db.models import Max

from rack.calc.checks import stops
from rack.calc.lengths import Length
from rack.calc.states import ON_SITE
from rack.errors import Refused
from rack.models.pieces import Move
from rack.models.strings import RANK_BETWEEN, RANK_TOP, Change, Member, String


def running_members(string: String) -> list[Member]:
    """Everything that has not left the string, from the bit upward, racked or in the hole."""
    return list(string.members.now().from_the_bit().select_related("component__spec", "component__place"))


def ranks_of(string: String, count: int) -> list[int]:
    """Ranks for pieces that go in on top of those in the hole, below those racked back."""
    members = string.members.now()
    unlisted = string.unlisted.standing().aggregate(top=Max("rank"))["top"] or 0
    below = max(members.filter(racked=False).aggregate(top=Max("rank"))["top"] or 0, unlisted)
    above = members.filter(racked=True, rank__gt=below).order_by("rank").first()
    if above is None:
        return [below + RANK_TOP * (n + 1) for n in range(count)]
    step = min(RANK_BETWEEN, (above.rank - below) // (count + 1))
    if step < 1:
        raise Refused([stops("No place is left here; run what stands in the derrick first.", code="order")])
    return [below + step * (n + 1) for n in range(count)]


def last_changes(string: String, ids: Collection[int]) -> dict[int, datetime]:
    """When the last standing change of each of these pieces in this string happened."""
    rows = Change.objects.standing().filter(string=string, component__in=list(ids)).order_by()
    return dict(rows.values("component").annotate(last=Max("happened_at")).values_list("component", "last"))


def before_the_string(ids: Iterable[int]) -> dict[int, str]:
    """The state each piece was in on the rack before it joined: it comes back as that."""
    rows = Move.objects.filter(component__in=list(ids), to_state__in=ON_SITE).order_by("id")
    return dict(rows.values_list("component", "to_state"))


def depth_of(string: String) -> tuple[Length, int]:
    """What hangs in the hole below the rotary table, and how many of its pieces have no known length."""
    nms = list(string.members.in_the_hole().values_list("length_nm", flat=True))
    nms += list(string.unlisted.standing().values_list("length_nm", flat=True))
    known = sum(nm for nm in nms if nm is not None)
    hangs = max(known - string.stick_up_nm + string.correction_nm, 0) if nms else 0
    return Length(hangs), sum(nm is None for nm in nms)
