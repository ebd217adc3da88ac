"""The members of each string against its changes."""

from collections.abc import Iterator

from rack.actions.kept import members_from
from rack.auditing.difference import Difference
from rack.models import Change, Member, String

_KEPT = ("component_id", "rank", "length_nm", "racked", "joined_at", "joined_nm", "left_at", "left_nm")


def members(using: str) -> Iterator[Difference]:
    """Hold the kept members of every string to what its standing changes give."""
    for string in String.objects.using(using).order_by("pk").iterator():
        changes = Change.objects.using(using).filter(string=string)
        ids = set(changes.values_list("component", flat=True).distinct())
        rows = Member.objects.using(using).filter(string=string)
        stands = sorted(rows.values_list(*_KEPT), key=_order)
        should = sorted((_values(one) for one in members_from(string, ids, using=using)), key=_order)
        if stands != should:
            wrong = next((one for one in stands if one not in should), "nothing")
            right = next((one for one in should if one not in stands), "nothing")
            yield Difference(f"{string} of {string.site.code}", "its members", wrong, right)


def _values(member: Member) -> tuple[object, ...]:
    return tuple(getattr(member, name) for name in _KEPT)


def _order(row: tuple[object, ...]) -> tuple[object, ...]:
    return (row[1], row[0], row[4])
