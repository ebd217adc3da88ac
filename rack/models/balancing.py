"""Where the pieces of a site are, counted: now from one index, at an earlier moment from the moves."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Max, Q, QuerySet

from rack.calc.balance import AT_SITE, PARTS, UNPLACED, Balance, Missing, balance, missing, part_of
from rack.calc.states import ON_SITE
from rack.models.people import Site
from rack.models.pieces import Component, Move
from rack.models.places import Place

Pieces = QuerySet[Component]


def holding(part: str) -> Q:
    """What a piece must be to stand in this term of the balance, or to stand in none."""
    if part in (*AT_SITE, UNPLACED):
        here = Q(state__in=ON_SITE)
        if part == UNPLACED:
            return here & (Q(place=None) | ~Q(place__kind__in=AT_SITE))
        return here & Q(place__kind=part)
    return Q(state__in=PARTS[part].states)


def gone_on(site: Site) -> Pieces:
    """Pieces that were at this site and belong to another one now."""
    left = Move.objects.filter(from_place__site=site).exclude(to_place__site=site)
    return Component.objects.exclude(site=site).filter(pk__in=left.values("component"))


def counted(pieces: Pieces) -> list[tuple[str, str, int]]:
    """(state, kind of place, how many), grouped in the index; the places of a site are few."""
    rows = list(pieces.order_by().values_list("state", "place").annotate(n=Count("*")))
    kinds = dict(Place.objects.filter(pk__in={place for _, place, _ in rows}).values_list("pk", "kind"))
    return [(state, kinds.get(place, ""), n) for state, place, n in rows]


def balance_now(pieces: Pieces, gone: Pieces) -> Balance:
    """The balance of these pieces of a site, and of those of its pieces that have gone on."""
    groups = counted(pieces)
    here = sum(n for state, _, n in groups if state != "on_order")
    elsewhere = gone.count()
    return balance(here + elsewhere, groups, elsewhere)


@dataclass(frozen=True)
class AsOf:
    """Each piece of a site at one moment: the term that held it, by name; all that had been received."""

    received: dict[int, str]
    parts: dict[str, dict[int, str]]

    @property
    def balance(self) -> Balance:
        counts = {code: len(self.parts.get(code, ())) for code in PARTS}
        return Balance(len(self.received), counts)

    @property
    def missing(self) -> Missing:
        parts = {code: set(self.parts.get(code, {}).values()) for code in PARTS}
        return missing(set(self.received.values()), parts)


def as_of(site: Site, pieces: Pieces, instant: datetime) -> AsOf:
    """The balance of a site at a moment, rebuilt from the moves up to it.

    `pieces` are those that are asked for, of whichever site now. Received is whatever a move has brought
    here by then; where a piece was is what its last move by then says.
    """
    moves = Move.objects.filter(at__lte=instant, component__in=pieces.order_by().values("pk"))
    come = moves.filter(to_place__site=site).order_by().values("component").distinct()
    columns = ("component", "component__serial", "component__tag", "to_state", "to_place__kind",
               "to_place__site")  # fmt: skip
    last = moves.filter(component__in=come).order_by().values("component").annotate(last=Max("id"))
    rows = Move.objects.filter(pk__in=last.values("last")).values_list(*columns)
    received: dict[int, str] = {}
    parts: dict[str, dict[int, str]] = {}
    for pk, serial, tag, state, kind, at in rows.order_by("component__serial_key", "component").iterator():
        received[pk] = name = _name(serial, tag)
        code = part_of(state, kind or "") if at == site.pk else "elsewhere"
        parts.setdefault(code or UNPLACED, {})[pk] = name
    return AsOf(received, parts)


def _name(serial: str, tag: str) -> str:
    """Two pieces may bear the same serial; with its tag a name is one piece's."""
    return f"{serial}, tag {tag}" if serial else f"no serial, tag {tag}"


def against_the_ledger(pieces: Pieces, then: AsOf, site: Site) -> list[str]:
    """Each piece that stands elsewhere on its row than its moves say, as a sentence; () when all agree."""
    said = {pk: code for code, names in then.parts.items() for pk in names}
    found = []
    rows = pieces.order_by("serial_key", "id").values_list("pk", "serial", "tag", "state", "place__kind")
    seen = set()
    for pk, serial, tag, state, kind in rows.iterator():
        seen.add(pk)
        code = part_of(state, kind or "") or UNPLACED
        if state != "on_order" and said.get(pk) != code:
            words = _words(said.get(pk, ""))
            found.append(f"{_name(serial, tag)} is counted {_words(code)}; its moves say {words}.")
    strays = (pk for pk, code in said.items() if code != "elsewhere" and pk not in seen)
    return found + [f"{then.received[pk]} was received here and is not counted." for pk in strays]


def _words(code: str) -> str:
    return PARTS[code].name if code in PARTS else "nowhere" if code else "that it never came"


def unplaced(pieces: Pieces) -> Pieces:
    """Pieces at the site by their state that lie on no rack and are not laid aside."""
    return pieces.filter(holding(UNPLACED)).order_by("serial_key", "id")
