"""What a site goes by: the edition it follows, the severity of its service, its intervals. Ledgers."""

from django.db import models
from django.db.models import Q

from inspection.calc.amounts import interval_words
from inspection.calc.rules import AUTHORITIES, CLOCKS, ONLY, SERVICES, Rule
from rack.calc.kinds import KINDS
from rack.calc.standing import BASES
from rack.models import Entry, Site


class Follows(Entry):
    """From a day on a site follows a scheme and edition for the kinds that it serves."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="follows")
    scheme = models.CharField(max_length=40)
    from_on = models.DateField()


class Policy(Entry):
    """From a day on: how hard the service is, and the site's margin of "soon" in parts of a thousand."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="policies")
    service = models.CharField(max_length=8, choices=[(one, one) for one in SERVICES])
    margin_pm = models.PositiveIntegerField(default=100)
    from_on = models.DateField()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(service__in=list(SERVICES), margin_pm__lte=1000), name="policy_service"
            ),
        ]


class IntervalRule(Entry):
    """An interval that a site goes by from a day on; a later one of the same authority supersedes it.

    Amounts since zero in the clock's own unit, None where the rule does not say. One that is taken back
    holds no longer.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="interval_rules")
    kind = models.CharField(max_length=20, blank=True)
    service = models.CharField(max_length=8, blank=True)
    clock = models.CharField(max_length=14)
    basis = models.CharField(max_length=12)
    soon = models.BigIntegerField(null=True)
    due = models.BigIntegerField()
    over = models.BigIntegerField(null=True)
    authority = models.CharField(max_length=10)
    only = models.CharField(max_length=16, blank=True)
    from_on = models.DateField()
    source = models.CharField(max_length=200, blank=True)
    confidence = models.CharField(max_length=4, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    kind__in=["", *KINDS], service__in=["", *SERVICES], clock__in=CLOCKS, basis__in=BASES,
                    authority__in=AUTHORITIES, only__in=ONLY, due__gt=0,
                ),
                name="intervalrule_words",
            ),
        ]  # fmt: skip
        indexes = [models.Index(fields=["site", "id"], name="intervalrule_site")]

    def __str__(self) -> str:
        return interval_words(as_rule(self))


def as_rule(row: IntervalRule) -> Rule:
    """A stored interval as the pure rules take it."""
    return Rule(
        row.kind, row.clock, row.basis, row.due, service=row.service, soon=row.soon, over=row.over,
        authority=row.authority, from_on=row.from_on, only=row.only, source=row.source, conf=row.confidence,
        note=row.note,
    )  # fmt: skip
