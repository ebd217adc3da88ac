"""What each piece earned in a run, for its page and its file; what the clocks of a piece say."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count, Q, Sum
from django.db.models.functions import Coalesce

from rack.calc.hours import CLOCK_NAMES, Amount, amount_shown, policy_for
from rack.calc.standing import BASIS_WORDS, hours_left, hours_run, left
from rack.models.clocks import as_calc, clocks_of
from rack.models.pieces import Component, Spec, called
from rack.models.runs import Hours, Run
from rack.models.stays import policy_of

#: The clocks of a run's table, in the order of its columns.
COLUMNS = (
    "rotating_s", "circulating_s", "bottom_s", "below_rotary_s", "footage_nm", "runs_n", "connections_n",
    "hits_n",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class EarnedRow:
    """One piece of a run: what it earned on each clock as it is read, "" where it does not keep it."""

    pk: int
    tag: str
    serial: str
    item: str
    policy: str
    cells: tuple[tuple[str, str], ...]

    @property
    def name(self) -> str:
        return called(self.serial, self.tag)


def sums_in(run: Run) -> dict[int, dict[str, Amount]]:
    """What each piece earned from a run by clock: added up by the database, a run has a row for each line."""
    unknown = Count("pk", filter=Q(amount=None))
    rows = Hours.objects.standing().filter(run=run).order_by("component", "clock")
    added = rows.values_list("component", "clock").annotate(sum=Coalesce(Sum("amount"), 0), unknown=unknown)
    sums: dict[int, dict[str, Amount]] = defaultdict(dict)
    for piece, clock, least, gaps in added:
        sums[piece][clock] = Amount(least, known=not gaps)
    return sums


def earned_in(run: Run) -> list[EarnedRow]:
    """What each piece earned, by serial; a part that is not known makes the sum "at least"."""
    sums = sums_in(run)
    rows = Component.objects.filter(pk__in=list(sums)).order_by("serial_key", "id")
    pieces = list(rows.values_list("pk", "tag", "serial", "spec"))
    site, policy = run.string.site, policy_of(run)
    shown = [
        (clock, clock_heading(clock, site.length_unit))
        for clock in COLUMNS if any(clock in one for one in sums.values())
    ]  # fmt: skip
    # Hundreds of joints are of few specifications: each is read, and said, once.
    specs = Spec.objects.filter(pk__in={spec for *_, spec in pieces})
    items = {spec.pk: (str(spec), policy_for(spec.kind, policy)) for spec in specs}
    return [
        EarnedRow(pk, tag, serial, *items[spec], tuple(
            (heading,
             amount_shown(clock, sums[pk][clock], unit=site.length_unit, digits=site.digits)
             if clock in sums[pk] else "")
            for clock, heading in shown
        ))
        for pk, tag, serial, spec in pieces
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class EarnedTogether:
    """Pieces of one item that earned the same: one line of the page, each piece by its name."""

    item: str
    policy: str
    cells: tuple[tuple[str, str], ...]
    pieces: tuple[EarnedRow, ...]


def together(run: Run, rows: Sequence[EarnedRow]) -> tuple[list[EarnedTogether], list[EarnedTogether]]:
    """What pieces earned, alike ones in one line: those of the string from the bit upward, and the casing.

    A run of six hundred joints is a few lines so, and a page that a telephone can show.
    """
    ranks = dict(run.string.members.order_by("-rank").values_list("component", "rank"))
    groups: dict[tuple[bool, str, str, tuple[tuple[str, str], ...]], list[EarnedRow]] = {}
    lowest = {row.pk: n for n, row in enumerate(sorted(rows, key=lambda row: ranks.get(row.pk, 0)))}
    for row in rows:
        groups.setdefault((row.pk in ranks, row.item, row.policy, row.cells), []).append(row)
    of_string: list[EarnedTogether] = []
    around: list[EarnedTogether] = []
    for alike, pieces in sorted(groups.items(), key=lambda group: min(lowest[row.pk] for row in group[1])):
        inside, item, policy, cells = alike
        (of_string if inside else around).append(EarnedTogether(item, policy, cells, tuple(pieces)))
    return of_string, around


def clock_heading(clock: str, unit: str) -> str:
    """The heading of a clock's column with its unit."""
    name = CLOCK_NAMES[clock].capitalize()
    return f"{name} h" if clock.endswith("_s") else f"{name} {unit}" if clock.endswith("_nm") else name


@dataclass(frozen=True)
class ClockRow:
    """One clock of a piece as it is read: since when, how much, what is left, whether it is out."""

    name: str
    since: str
    run: str
    left: str
    out: bool


def clocks_shown(piece: Component) -> list[ClockRow]:
    """The clocks of a piece for its page."""
    unit, digits = piece.site.length_unit, piece.site.digits
    found = []
    for row in clocks_of([piece.pk]).get(piece.pk, ()):
        one = as_calc(row)
        found.append(ClockRow(
            clock_heading(one.clock, unit), BASIS_WORDS[one.basis],
            hours_run(one, unit=unit, digits=digits), hours_left(one, unit=unit, digits=digits),
            left(one) <= 0,
        ))  # fmt: skip
    return found
