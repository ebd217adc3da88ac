"""What lies on a rack, as the plain facts that its load and its picture are made from."""

from collections.abc import Iterable
from dataclasses import dataclass

from rack.calc.painted import in_counting_order
from rack.calc.rackload import Lying, weight_a_foot
from rack.calc.states import PRESSING
from rack.models.blindness import is_shut
from rack.models.pieces import Component, Mark, MarkKind
from rack.models.places import Place

MOST_ON_RACK = 3000


@dataclass(frozen=True)
class End:
    """One piece on a layer as it is seen end on."""

    pk: int
    tag: str
    name: str
    painted: str
    item: str
    layer: int
    od_nm: int
    nm: int | None
    mlb_ft: int
    basis: str
    held: bool
    state: str

    @property
    def as_lying(self) -> Lying:
        return Lying(self.name, self.layer, self.nm, self.mlb_ft, self.basis)


def places_of(rack: Place) -> list[Place]:
    """The rack's own row and its layers, the rack first."""
    rows = Place.objects.filter(site_id=rack.site_id, kind=rack.kind, rack=rack.rack)
    return list(rows.order_by("layer"))


def ends_on(rack: Place) -> list[End]:
    """Every piece that presses on this rack, layer by layer from the bottom, as painted, then by serial."""
    layers = {place.pk: place.layer for place in places_of(rack)}
    rows = (
        Component.objects.filter(place__in=layers, state__in=PRESSING)
        .select_related("spec")
        .annotate(shut=is_shut())
        .order_by("serial_key", "id")
    )
    found = list(rows[:MOST_ON_RACK])
    numbers = painted_numbers(piece.pk for piece in found)
    items: dict[int, str] = {}
    ends = [_end(piece, layers[piece.place_id or 0], numbers.get(piece.pk, ""), items) for piece in found]
    return sorted(ends, key=lambda end: (end.layer, not end.painted, in_counting_order(end.painted)))


def _end(piece: Component, layer: int, painted: str, items: dict[int, str]) -> End:
    spec = piece.spec
    mlb_ft, basis = weight_a_foot(spec.kind, spec.weight_mlb_ft, spec.od_nm, spec.bore_nm)
    if spec.pk not in items:
        items[spec.pk] = str(spec)
    return End(
        pk=piece.pk, tag=piece.tag, name=str(piece), painted=painted, item=items[spec.pk], layer=layer,
        od_nm=spec.od_nm, nm=open_length(piece), mlb_ft=mlb_ft, basis=basis, held=piece.holds_n > 0,
        state=piece.state,
    )  # fmt: skip


def open_length(piece: Component) -> int | None:
    """The length of a piece that was read with `shut=is_shut()`; None while a second strap shuts it away."""
    return None if piece.shut else piece.length_nm  # type: ignore[attr-defined]


def painted_numbers(ids: Iterable[int]) -> dict[int, str]:
    """The painted number of each of these pieces now, in as few queries as the databases allow."""
    wanted = list(ids)
    numbers: dict[int, str] = {}
    for start in range(0, len(wanted), 500):
        marks = Mark.objects.current().filter(
            component__in=wanted[start : start + 500], what=MarkKind.PAINTED
        )
        numbers |= dict(marks.values_list("component", "text"))
    return numbers


def pressing_on(rack: Place, without: Iterable[int] = ()) -> list[Lying]:
    """The pieces that press on a rack, but those that are named: only what their weight needs."""
    layers = {place.pk: place.layer for place in places_of(rack)}
    rows = Component.objects.filter(place__in=layers, state__in=PRESSING).annotate(shut=is_shut())
    gone = set(without)
    columns = ("pk", "serial", "tag", "place", "length_nm", "shut", "spec__kind", "spec__weight_mlb_ft",
               "spec__od_nm", "spec__bore_nm")  # fmt: skip
    return [
        Lying(serial or f"no serial, tag {tag}", layers[place], None if shut else nm,
              *weight_a_foot(kind, label, od, bore))
        for pk, serial, tag, place, nm, shut, kind, label, od, bore in rows.values_list(*columns)
        if pk not in gone
    ]


def as_lying(pieces: Iterable[Component], layer: int) -> list[Lying]:
    """Pieces as they would lie on a layer; their specifications are read with one query."""
    ids = [piece.pk for piece in pieces]
    found: list[Lying] = []
    for start in range(0, len(ids), 500):
        rows = Component.objects.filter(pk__in=ids[start : start + 500]).annotate(shut=is_shut())
        for piece in rows.select_related("spec"):
            spec = piece.spec
            weight = weight_a_foot(spec.kind, spec.weight_mlb_ft, spec.od_nm, spec.bore_nm)
            found.append(Lying(str(piece), layer, open_length(piece), *weight))
    return found


def rack_of(place: Place) -> Place | None:
    """The row of the whole rack that a layer belongs to, which bears the rating; None off the racks."""
    if place.kind != "rack":
        return None
    return Place.objects.racks().filter(site_id=place.site_id, rack=place.rack).first()

