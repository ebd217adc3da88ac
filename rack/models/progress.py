"""How far a tally is, in words that give nothing of a blind strap away (law 13)."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q

from rack.models.tallies import Line, Stand, StrapHead, Tally


@dataclass(frozen=True)
class Progress:
    """One tally as the list shows it. `strap_n` is the strap that is taken now, 0 where none is."""

    lines: int
    words: str
    blind: bool
    strap_n: int


def progress_of(tallies: Sequence[Tally]) -> dict[int, Progress]:
    """The progress of these tallies by primary key, in three queries however many there are."""
    ids = [tally.pk for tally in tallies]
    standing = Line.objects.filter(tally__in=ids, withdrawn=False)
    counted = (
        standing.order_by()
        .values("tally")
        .annotate(
            lines=Count("pk"),
            first=Count("first_nm"),
            second=Count("second_nm"),
            asking=Count("pk", filter=Q(questions_n__gt=0)),
        )
    )
    by_tally: dict[int, Any] = {row["tally"]: row for row in counted}
    blind = set(Tally.objects.blind().filter(pk__in=ids).values_list("pk", flat=True))
    heads: dict[int, dict[int, StrapHead]] = {}
    for head in StrapHead.objects.filter(tally__in=ids):
        heads.setdefault(head.tally_id, {})[head.strap_n] = head
    none = {"lines": 0, "first": 0, "second": 0, "asking": 0}
    by_stand = [tally.pk for tally in tallies if tally.open and tally.words.by_stand]
    rows = Stand.objects.standing().filter(tally__in=by_stand)
    stands = Counter(rows.values_list("tally", flat=True)) if by_stand else Counter()
    found = {}
    for tally in tallies:
        counts, hands = by_tally.get(tally.pk, none), heads.get(tally.pk, {})
        if tally.pk in by_stand:
            count = stands[tally.pk]
            words = f"{count} stand{'' if count == 1 else 's'} read"
            found[tally.pk] = Progress(counts["lines"], words, False, 0)
            continue
        found[tally.pk] = _progress(tally, counts, hands, blind=tally.pk in blind)
    return found


def _progress(tally: Tally, counted: dict[str, int], heads: dict[int, StrapHead], *, blind: bool) -> Progress:
    lines = counted["lines"]
    if not tally.open:
        return Progress(lines, f"closed, revision {tally.revision}", False, 0)
    words, strap_n = _strapping(counted, heads, blind=blind)
    if counted["asking"] and not blind:
        words += f"; {counted['asking']} asked about"
    if tally.revision:
        words += f"; open again after revision {tally.revision}"
    return Progress(lines, words, blind, strap_n)


def _strapping(counted: dict[str, int], heads: dict[int, StrapHead], *, blind: bool) -> tuple[str, int]:
    lines, second = counted["lines"], heads.get(2)
    if blind:
        if second is None:
            return "second strap not begun", 2
        return f"second strap open, {counted['second']} of {lines}", 2
    if second is not None:
        return "both straps taken", 0
    first = heads.get(1)
    if not lines:
        return "first strap, no lines yet", 1
    done = "finished" if first and first.finished_at else f"{counted['first']} of {lines}"
    return f"first strap, {done}", 0 if first and first.finished_at else 1
