"""Inspection jobs: pieces booked for an inspector, and what became of each."""

from django.db import models
from django.db.models import Q

from inspection.calc.looked import SCOPES
from rack.models import Component, Journal, Site

#: What an inspection may be of: a scope of looks, or the service of a tool in a shop.
SCOPE_CHOICES = [*((scope, scope) for scope in SCOPES), ("service", "service")]


class JobQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "JobQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "JobQuerySet":
        return self.filter(site=site)

    def open(self) -> "JobQuerySet":
        return self.filter(closed_by=None)


class Job(models.Model):
    """A visit of the inspector: which pieces, to which scope, on which day. It is open until it is closed."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="jobs")
    number = models.PositiveIntegerField()
    on = models.DateField()
    scope = models.CharField(max_length=12, choices=SCOPE_CHOICES)
    company = models.CharField(max_length=80, blank=True)
    where = models.CharField(max_length=80, blank=True)
    note = models.CharField(max_length=200, blank=True)
    begun_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    closed_by = models.ForeignKey(Journal, null=True, on_delete=models.PROTECT, related_name="+")
    version = models.PositiveIntegerField(default=0)

    objects = JobQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["site", "number"], name="job_number")]
        indexes = [models.Index(fields=["site", "on", "id"], name="job_site_on")]

    def __str__(self) -> str:
        return f"inspection job {self.number}"


class JobPieceQuerySet(models.QuerySet):
    def waiting(self) -> "JobPieceQuerySet":
        """Pieces of open jobs that nobody has looked at and nobody has given a reason for."""
        return self.filter(inspection=None, reason="", job__closed_by=None)


class JobPiece(models.Model):
    """A piece on a job. It is done with when it has an inspection, or a reason why it has none."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="pieces")
    component = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="jobs")
    inspection = models.ForeignKey(
        "inspection.Inspection", null=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=200, blank=True)

    objects = JobPieceQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "component"], name="jobpiece_once")]
        indexes = [
            models.Index(
                fields=["component", "job"],
                condition=Q(inspection=None, reason=""),
                name="jobpiece_waiting",
            )
        ]

    @property
    def is_done(self) -> bool:
        return self.inspection_id is not None or bool(self.reason)
