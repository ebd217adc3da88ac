"""What is in a string, read for its page: plain values, because a page of hundreds of rows needs no more."""

from bisect import bisect
from collections.abc import Iterable
from dataclasses import dataclass

from rack.models.blindness import blind_again, shut
from rack.models.pieces import Component, Spec, called
from rack.models.places import Place
from rack.models.strings import String


@dataclass(frozen=True, slots=True)
class Line:
    """A piece of a string, or `count` pieces that are in it by count only, under the entry `counted`.

    `length_nm` is None when it is not known, `item` is what the piece is made to, `place` says where it
    stands when it is racked back. A line by count has no tag and no name, and is never racked.
    """

    tag: str
    name: str
    held: bool
    kind: str
    item: str
    length_nm: int | None
    racked: bool = False
    place: str = ""
    count: int = 1
    counted: int = 0

    @property
    def words(self) -> str:
        """What it is: the item, and how many where there is no list yet."""
        return f"{self.count} x {self.item}" if self.counted else self.item


def lines_of(string: String) -> list[Line]:
    """Everything that is in a string from the bit upward, named or by count; as `members_of` has it.

    A few questions whatever the number of pieces. The length of a piece that is strapped blind again is
    nobody's to read: here it is not known (law 13).
    """
    members = list(string.members.now().from_the_bit().values_list(
        "rank", "pk", "component", "component__tag", "component__serial", "component__holds_n",
        "component__spec", "component__place", "length_nm", "racked",
    ))  # fmt: skip
    by_count = string.unlisted.standing().order_by("rank", "id")
    counted = list(by_count.values_list("rank", "pk", "spec", "length_nm", "count_n"))
    # Hundreds of joints are of few specifications and stand in few places: each is read once.
    specs = _specs({row[6] for row in members} | {row[2] for row in counted})
    places = _places({row[7] for row in members if row[9]})
    hidden = hidden_of(string)
    lines = [
        Line(tag, called(serial, tag), holds > 0, *specs[spec], None if piece in hidden else nm, racked,
             places.get(place, "") if racked else "")
        for _, _, piece, tag, serial, holds, spec, place, nm, racked in members
    ]  # fmt: skip
    for before, (rank, pk, spec, nm, count) in enumerate(counted):  # few, each where its rank puts it
        at = before + bisect(members, (rank, pk), key=lambda row: row[:2])
        lines.insert(at, Line("", "", False, *specs[spec], nm, count=count, counted=pk))
    return lines


def _specs(ids: Iterable[int]) -> dict[int, tuple[str, str]]:
    return {spec.pk: (spec.kind, str(spec)) for spec in Spec.objects.filter(pk__in=ids)}


def _places(ids: Iterable[int]) -> dict[int, str]:
    return {place.pk: str(place) for place in Place.objects.filter(pk__in=ids)}


def hidden_of(string: String) -> set[int]:
    """Pieces of the string that are strapped blind again now."""
    again = blind_again(string.site)
    pieces = Component.objects.filter(memberships__string=string)
    return set(shut(pieces, again).values_list("pk", flat=True)) if again else set()
