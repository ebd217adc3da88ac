"""Printed BHA sheets: one revision, drawn from its text alone."""

from django.db import models
from django.db.models import Q

from rack.models.journal import Entry, LedgerQuerySet
from rack.models.people import Site
from rack.models.plans import Plan
from rack.models.strings import String


class StringSheetQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "StringSheetQuerySet":
        sites = Site.objects.for_user(user)
        return self.filter(Q(string__site__in=sites) | Q(plan__site__in=sites))

    def printed_of(self, of: Plan | String) -> "StringSheetQuerySet":
        """The printed revisions of a plan or a string, the newest first."""
        mine = Q(plan=of) if isinstance(of, Plan) else Q(string=of)
        return self.filter(mine).order_by("-revision")


class StringSheet(Entry):
    """One printed revision of a plan's or a string's BHA sheet; paper is drawn from its content alone."""

    string = models.ForeignKey(String, null=True, on_delete=models.PROTECT, related_name="sheets")
    plan = models.ForeignKey(Plan, null=True, on_delete=models.PROTECT, related_name="sheets")
    revision = models.PositiveIntegerField()
    code = models.CharField(max_length=7, unique=True)
    digest = models.CharField(max_length=64)
    content = models.TextField()

    objects = StringSheetQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(string=None, plan__isnull=False) | Q(string__isnull=False, plan=None),
                name="stringsheet_of_one",
            ),
            models.UniqueConstraint(
                fields=["string", "revision"], condition=Q(string__isnull=False), name="stringsheet_string"
            ),
            models.UniqueConstraint(
                fields=["plan", "revision"], condition=Q(plan__isnull=False), name="stringsheet_plan"
            ),
        ]

    @property
    def of(self) -> Plan | String:
        found = self.string or self.plan
        assert found is not None
        return found
