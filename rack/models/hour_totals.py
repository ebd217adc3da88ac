"""Hours and footage of a site added up by piece, specification, lot or well, in a few questions."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from rack.calc.hours import Amount, add_up, run_totals
from rack.models.deliveries import Delivered, Delivery
from rack.models.people import Site
from rack.models.pieces import Component, Spec
from rack.models.runs import Hours, Leg, Run
from rack.models.stays import as_leg
from rack.models.wells import Well

Amounts = dict[str, Amount]
#: So many entries are added up while somebody waits: two years of a rig, some half a second.
MOST = 1_000_000
#: What stands where a piece came with no list of this site, where hours hang on no well.
NO_LOT, NO_WELL = "no list of this site", "no well"


@dataclass(frozen=True)
class Question:
    """Whose hours: those that were turned at this site; in one well, of one kind, where that is said."""

    site: Site
    well: Well | None = None
    kind: str = ""


@dataclass(frozen=True)
class Group:
    """One line of the list: its name, of how many pieces, what they earned. `strings` of a well alone:
    what its strings themselves turned and drilled, and in how many runs.
    """

    name: str
    pieces: int
    amounts: Mapping[str, Amount]
    tag: str = ""
    item: str = ""
    strings: Mapping[str, Amount] | None = None
    runs: int = 0


def runs_of(asked: Question) -> "QuerySet[Run]":
    rows = Run.objects.at(asked.site)
    return rows.filter(string__well=asked.well) if asked.well else rows


def entries_of(asked: Question) -> "list[QuerySet[Hours]]":
    """The entries that count: of the site's runs, and the few of events outside a run."""
    of_runs = Hours.objects.filter(run__in=runs_of(asked).values("pk"))
    outside = Hours.objects.filter(run=None, event__site=asked.site)
    if asked.well:
        outside = outside.filter(event__string__well=asked.well)
    if asked.kind:
        of_runs, outside = (rows.filter(component__spec__kind=asked.kind) for rows in (of_runs, outside))
    return [of_runs.order_by(), outside.order_by()]


def too_wide(asked: Question) -> str:
    """Why this is not added up for a page, in a sentence; "" where it is. Counts no further than it must."""
    narrowed = Question(asked.site, asked.well)  # a kind is found among all entries of the runs
    left = MOST + 1
    for rows in entries_of(narrowed):
        left -= rows.values("pk")[:left].count()
    if left > 0:
        return ""
    which = "Choose another well" if asked.well else "Choose a well"
    return (
        f"More than {MOST:,} entries of hours would be added up. {which}, or look at the pages of the runs; "
        "the clocks of a piece stand on its own page."
    )


def sums_by(
    asked: Question, *keys: str, ids: Collection[int] | None = None
) -> dict[tuple[int | None, ...], Amounts]:
    """What was earned, clock by clock, by these columns; `ids` are the pieces that are asked for.

    All entries are added up, reversals with what they reverse: the sum is what stands, and the database
    need not look for the pairs. In the same way an amount that is not known is taken back by one that is
    not known either: where as many went as came, all is known.
    """
    found: dict[tuple[int | None, ...], Amounts] = defaultdict(dict)
    well = Coalesce(F("run__string__well"), F("event__string__well"))
    came = Count("pk", filter=Q(amount=None, reverses=None))
    went = Count("pk", filter=Q(amount=None, reverses__isnull=False))
    for rows in entries_of(asked):
        here = rows if ids is None else rows.filter(component__in=ids)
        here = here.annotate(in_well=well) if "in_well" in keys else here
        added = here.values_list(*keys, "clock").annotate(n=Coalesce(Sum("amount"), 0), gaps=came - went)
        for *of, clock, least, gaps in added:
            if least or gaps:
                one = found[tuple(of)]
                one[clock] = one.get(clock, Amount()) + Amount(least, known=not gaps)
    return dict(found)


def whole_of(asked: Question) -> Amounts:
    """Everything together: what the groups of any grouping add up to."""
    return add_up(sums_by(asked).values())


def pieces_of(asked: Question) -> "QuerySet[Component]":
    """The pieces that earned something, in the order of the rack list."""
    some = Q()
    for rows in entries_of(asked):
        some |= Exists(rows.filter(component=OuterRef("pk")))  # type: ignore[assignment]
    return Component.objects.filter(some).select_related("spec")


def by_piece(asked: Question, pieces: Collection[Component]) -> list[Group]:
    """A line for each of these pieces."""
    sums = sums_by(asked, "component", ids=[piece.pk for piece in pieces])
    return [Group(str(piece), 1, sums.get((piece.pk,), {}), piece.tag, str(piece.spec)) for piece in pieces]


def by_spec(asked: Question) -> list[Group]:
    sums = sums_by(asked, "component__spec", "component")
    specs = Spec.objects.filter(pk__in={key[0] for key in sums}).order_by("kind", "key")
    return _groups(sums, {one.pk: str(one) for one in specs})


def by_lot(asked: Question) -> list[Group]:
    """By the newest list of this site with which each piece came, so that each stands in one lot only."""
    sums = sums_by(asked, "component")
    rows = Delivered.objects.standing().filter(delivery__site=asked.site, fate="accepted")
    there: dict[int, int] = {}
    for used in entries_of(asked):
        mine = rows.filter(component__in=used.values("component")).order_by("id")
        there |= dict(mine.values_list("component", "delivery"))  # type: ignore[arg-type]
    lots = Delivery.objects.filter(pk__in=set(there.values())).select_related("file").order_by("-id")
    names: dict[int | None, str] = {one.pk: str(one) for one in lots.defer("mapping", "counted")}
    lot = {(there.get(piece or 0), piece): amounts for (piece,), amounts in sums.items()}
    return _groups(lot, {**names, None: NO_LOT})  # type: ignore[arg-type]


def by_well(asked: Question) -> list[Group]:
    sums = sums_by(asked, "in_well", "component")
    wells = Well.objects.filter(pk__in={key[0] for key in sums}).order_by("name")
    names: dict[int | None, str] = {one.pk: str(one) for one in wells}
    strings = _strings(asked)
    return [
        Group(one.name, one.pieces, one.amounts, strings=strings[key][0], runs=strings[key][1])
        if key in strings else one
        for key, one in _keyed(sums, {**names, None: NO_WELL})
    ]  # fmt: skip


def _strings(asked: Question) -> dict[int | None, tuple[Amounts, int]]:
    """What the strings of each well turned and drilled by their own time lines, and in how many runs."""
    lines = defaultdict(list)
    rows = Leg.objects.standing().filter(run__in=runs_of(asked).values("pk"))
    for row in rows.annotate(in_well=F("run__string__well")).order_by("id"):
        lines[row.in_well].append(as_leg(row, ZoneInfo("UTC"), 1))
    runs: dict[int, int] = defaultdict(int)
    for well in runs_of(asked).values_list("string__well", flat=True):
        runs[well] += 1
    return {well: (dict(run_totals(lines[well])), n) for well, n in runs.items()}


def _groups(sums: Mapping[tuple[int | None, ...], Amounts], names: Mapping[int | None, str]) -> list[Group]:
    return [one for _, one in _keyed(sums, names)]


def _keyed(
    sums: Mapping[tuple[int | None, ...], Amounts], names: Mapping[int | None, str]
) -> list[tuple[int | None, Group]]:
    """Sums by (group, piece) as groups in the order of `names`."""
    parts: dict[int | None, list[Amounts]] = defaultdict(list)
    for (key, *_), amounts in sums.items():
        parts[key].append(amounts)
    return [(key, Group(name, len(parts[key]), add_up(parts[key]))) for key, name in names.items()
            if key in parts]  # fmt: skip
