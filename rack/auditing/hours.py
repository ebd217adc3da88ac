"""Hours, clocks and dates: what each line gave, what each clock shows, when each piece is due."""

from collections import Counter
from collections.abc import Iterator

from django.db.models import BigIntegerField, F, OuterRef, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from rack.actions.posting import shares
from rack.actions.standing import dates_of, is_known, left_of
from rack.auditing.comparing import compare
from rack.auditing.difference import Difference
from rack.calc.hours import CLOCK_NAMES, rule_for
from rack.models import Clock, Component, Hours, Run
from rack.models.stays import legs_of, memberships_of


def clocks(using: str) -> Iterator[Difference]:
    """Each clock against the ledger: its total, whether it is known, what is left; none is missing."""
    ran = Hours.objects.filter(component=OuterRef("component"), clock=OuterRef("clock")).order_by()
    total = Subquery(
        ran.values("component", "clock").annotate(n=Sum("amount")).values("n"), output_field=BigIntegerField()
    )
    yield from compare(
        Clock.objects.using(using),
        lambda row: (
            f"{CLOCK_NAMES[row['clock']]} since {row['basis']}, piece with tag {row['component__tag']}"
        ),
        ("clock", "basis", "component__tag"),
        total=Coalesce(total, Value(0)),
        known=is_known(),
        left=left_of(),
    )
    there = set(Clock.objects.using(using).filter(basis="new").values_list("component", "clock"))
    posted = Hours.objects.using(using).order_by().values_list("component", "clock", "component__tag")
    for piece, clock, tag in posted.distinct():
        if (piece, clock) not in there:
            yield Difference(
                f"the piece with tag {tag}", f"its clock {CLOCK_NAMES[clock]}", "missing", "there"
            )


def dates(using: str) -> Iterator[Difference]:
    """The three dates of each piece against its clocks and its days."""
    yield from compare(
        Component.objects.using(using), lambda row: f"the piece with tag {row['tag']}", ("tag",), **dates_of()
    )


def lines(using: str) -> Iterator[Difference]:
    """What each line gave to each piece: nothing where it was taken back, else its share to the second."""
    for run in Run.objects.using(using).select_related("string__site").order_by("pk").iterator():
        stays = memberships_of(run, upto=run.shared_id, using=using)
        should = shares(run, legs_of(run, using=using), stays)
        rows = Hours.objects.using(using).standing().filter(run=run)
        stands = {
            (leg, piece, clock): amount
            for leg, piece, clock, amount in rows.exclude(leg=None).values_list(
                "leg", "component", "clock", "amount"
            )
        }
        of = f"{run} of {run.string}, {run.string.site.code}"
        for key in sorted({*should, *stands}):
            if stands.get(key, 0) != should.get(key, 0):
                leg, piece, clock = key
                figure = f"line {leg}, piece {piece}, {CLOCK_NAMES[clock]}"
                yield Difference(of, figure, stands.get(key, 0), should.get(key, 0))
        kinds = {int(stay.piece): stay.kind for stay in stays} if run.ended_by_id else {}
        counted = Counter(rows.filter(clock="runs_n").values_list("component", flat=True))
        once = {piece: 1 for piece, kind in kinds.items() if "runs_n" in rule_for(kind).clocks}
        if counted != once:
            wrong = sorted({*(counted - Counter(once)), *(Counter(once) - counted)})[0]
            yield Difference(of, f"runs of piece {wrong}", counted[wrong], once.get(wrong, 0))


def reversals(using: str) -> Iterator[Difference]:
    """A reversal turns the amount that it takes back, of the same piece and clock."""
    rows = Hours.objects.using(using).filter(reverses__isnull=False)
    wrong = rows.exclude(
        amount__isnull=True, reverses__amount__isnull=True
    ).exclude(amount=Value(0) - F("reverses__amount"), clock=F("reverses__clock"),
              component=F("reverses__component"))  # fmt: skip
    for pk, stands, taken in wrong.order_by("pk").values_list("pk", "amount", "reverses__amount").iterator():
        yield Difference(f"hours {pk}", "the amount it turns", stands, -(taken or 0))
