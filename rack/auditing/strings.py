"""The members of each string against its changes; its printed sheets against their digests."""

import hashlib
from collections.abc import Iterator

from rack.actions.kept import members_from
from rack.auditing.difference import Difference
from rack.calc.bha import BhaContent, check
from rack.models import Change, Member, String, StringSheet

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


def sheets(using: str) -> Iterator[Difference]:
    """Hold every printed BHA sheet to its digest, its sums to its rows, its text to the code of its row."""
    for one in StringSheet.objects.using(using).order_by("pk").iterator():
        of = f"BHA sheet {one.code}"
        if one.digest != hashlib.sha256(one.content.encode()).hexdigest():
            yield Difference(of, "the digest of its content", one.digest, "that of its text")
        try:
            content = BhaContent.from_text(one.content)
            wrong = [problem.text for problem in check(content)]
            if (content.code, content.revision) != (one.code, one.revision):
                wrong.append(f"sheet {content.code}, revision {content.revision}")
        except ValueError as error:
            wrong = [str(error)]
        for words in wrong:
            yield Difference(of, "its content", words, "a sheet that adds up")
