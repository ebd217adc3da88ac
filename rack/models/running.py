"""Reading the string in the hole: who is in it, in which order, how deep."""

from collections.abc import Collection, Iterable
from datetime import datetime

from django.db.models import Max

from rack.calc.checks import stops
from rack.calc.lengths import Length
from rack.calc.running import Hanging, hanging
from rack.calc.states import ON_SITE
from rack.errors import Refused
from rack.models.pieces import Move
from rack.models.string_lines import Line, hidden_of
from rack.models.strings import RANK_BETWEEN, RANK_TOP, Change, Member, String, Unlisted


def running_members(string: String) -> list[Member]:
    """Everything that has not left the string, from the bit upward, racked or in the hole."""
    rows = string.members.now().from_the_bit()
    return list(rows.select_related("component__spec", "component__place", "component__site"))


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


def members_of(string: String) -> list[Member | Unlisted]:
    """Everything that is in a string from the bit upward, named or by count.

    The length of a piece that is strapped blind again is nobody's to read: here it is not known (law 13).
    """
    rows: list[Member | Unlisted] = [
        *running_members(string), *string.unlisted.standing().select_related("spec")
    ]  # fmt: skip
    rows.sort(key=lambda row: (row.rank, row.pk))
    hidden = hidden_of(string)
    for row in rows:
        if isinstance(row, Member) and row.component_id in hidden:
            row.length_nm = None
    return rows


def hanging_of(string: String, rows: Iterable[Member | Unlisted | Line]) -> Hanging:
    """How deep a string hangs; `rows` is what is in it."""
    there = [row for row in rows if isinstance(row, Unlisted) or not row.racked]
    lengths = [None if row.length_nm is None else Length(row.length_nm) for row in there]
    return hanging(lengths, stick_up=Length(string.stick_up_nm), correction=Length(string.correction_nm))
