"""The inspectors: whose word a class is, with the level they hold and until when."""

from django.db import models

from rack.models import Site


class InspectorQuerySet(models.QuerySet):
    def at(self, site: Site) -> "InspectorQuerySet":
        """Those who work for a site and have not left."""
        return self.filter(site=site, ended_on=None).order_by("company", "name", "id")


class Inspector(models.Model):
    """A person of an inspection company. A level that was renewed is a new row; the old one ends."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="inspectors")
    name = models.CharField(max_length=80)
    company = models.CharField(max_length=80, blank=True)
    level = models.CharField(max_length=40, blank=True)
    valid_to = models.DateField(null=True)
    ended_on = models.DateField(null=True)

    objects = InspectorQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "name", "company"],
                condition=models.Q(ended_on=None),
                name="inspector_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.company}" if self.company else self.name
