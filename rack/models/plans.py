"""Planned strings: what the office pulls for the next well. They may share pieces; the hole may not."""

from django.db import models
from django.db.models import Q

from rack.models.deliveries import Delivery
from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.people import Site
from rack.models.pieces import Component, Spec
from rack.models.strings import Section, String
from rack.models.wells import Well


class PlanQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "PlanQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "PlanQuerySet":
        return self.filter(site=site)

    def open(self) -> "PlanQuerySet":
        return self.filter(ended_on=None)


class Plan(models.Model):
    """A string that somebody plans. `wishes` is canonical JSON of what was asked for when it was pulled."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="plans")
    well = models.ForeignKey(Well, null=True, on_delete=models.PROTECT, related_name="plans")
    section = models.ForeignKey(Section, null=True, on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=120)
    wishes = models.TextField(default="{}")
    begun_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    ended_on = models.DateField(null=True)
    version = models.PositiveIntegerField(default=0)

    objects = PlanQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["site", "number"], name="plan_number")]

    def __str__(self) -> str:
        return f"plan {self.number}, {self.title}"


class PlanLineQuerySet(models.QuerySet):
    def from_the_bit(self) -> "PlanLineQuerySet":
        return self.order_by("rank", "id")

    def of_other_plans(self, site: Site, own: Plan | None) -> dict[int, str]:
        """The open plans of a site, but for `own`, that have each piece; by the piece."""
        others = {plan.pk: str(plan) for plan in Plan.objects.at(site).open() if plan != own}
        rows = self.filter(plan__in=others).exclude(component=None).order_by("plan")
        found: dict[int, list[str]] = {}
        for piece, plan in rows.values_list("component", "plan"):
            found.setdefault(piece, []).append(others[plan])
        return {piece: ", ".join(plans) for piece, plans in found.items()}


class PlanLine(models.Model):
    """One piece of a plan, or `count_n` pieces of a specification that have no list yet."""

    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="lines")
    rank = models.BigIntegerField()
    component = models.ForeignKey(Component, null=True, on_delete=models.PROTECT, related_name="plan_lines")
    spec = models.ForeignKey(Spec, null=True, on_delete=models.PROTECT, related_name="+")
    count_n = models.PositiveIntegerField(default=1)
    length_nm = models.BigIntegerField(null=True)
    why = models.CharField(max_length=160, blank=True)

    objects = PlanLineQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(component__isnull=False, spec__isnull=True)
                | Q(component__isnull=True, spec__isnull=False),
                name="planline_piece_or_count",
            ),
        ]
        indexes = [models.Index(fields=["plan", "rank", "id"], name="planline_order")]


class RuleConsent(Entry):
    """A yes to what a rule asks of a string, with the reason, until a day (law 9).

    It is given for one piece; for a lot, which is everything of a specification (`lot`) or everything that
    came with one delivery; or, with none of the three, for the string as a whole.
    """

    check_code = models.CharField(max_length=20)
    plan = models.ForeignKey(Plan, null=True, on_delete=models.PROTECT, related_name="consents")
    string = models.ForeignKey(String, null=True, on_delete=models.PROTECT, related_name="consents")
    component = models.ForeignKey(Component, null=True, on_delete=models.PROTECT, related_name="+")
    lot = models.ForeignKey(Spec, null=True, on_delete=models.PROTECT, related_name="+")
    delivery = models.ForeignKey(Delivery, null=True, on_delete=models.PROTECT, related_name="+")
    where = models.CharField(max_length=120, blank=True)
    reason = models.CharField(max_length=300)
    ends_on = models.DateField(null=True)
    #: Where an answer of a string was first given: the plan it was begun from, by whom and when.
    origin = models.CharField(max_length=200, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(plan__isnull=False) | Q(string__isnull=False), name="ruleconsent_of_a_string"
            ),
        ]
        indexes = [
            models.Index(fields=["plan", "id"], name="ruleconsent_plan"),
            models.Index(fields=["string", "id"], name="ruleconsent_string"),
        ]


class NotRun(PieceEntry):
    """A piece of a string's plan that the string goes without, and why; it stays in the plan.

    Reversed when it is to come after all. A piece that is made up all the same is in the string.
    """

    string = models.ForeignKey(String, on_delete=models.PROTECT, related_name="not_run")
    reason = models.CharField(max_length=200)

    class Meta(PieceEntry.Meta):
        indexes = [*PieceEntry.Meta.indexes, models.Index(fields=["string", "id"], name="notrun_string")]

    def __str__(self) -> str:
        return f"{self.component} not run in {self.string}: {self.reason}"
