"""Places: racks and their layers, and where else a piece can lie."""

from django.db import models

from rack.models.people import Site


class PlaceKind(models.TextChoices):
    RACK = "rack", "rack"
    ASIDE = "aside", "laid aside"
    AWAY = "away", "away"
    HOLE = "hole", "the hole"
    DERRICK = "derrick", "derrick"
    MOUSEHOLE = "mousehole", "the mousehole"


class PlaceQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "PlaceQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def open(self) -> "PlaceQuerySet":
        return self.filter(ended_on=None)

    def on(self, site: Site) -> "PlaceQuerySet":
        return self.filter(site=site)

    def racks(self) -> "PlaceQuerySet":
        """Whole racks, without their layers."""
        return self.filter(kind=PlaceKind.RACK, layer=0)

    def lie_on(self) -> "PlaceQuerySet":
        """Where a piece can be laid now: layers of racks and places to lay aside, not whole racks."""
        here = models.Q(kind=PlaceKind.RACK, layer__gt=0) | models.Q(kind=PlaceKind.ASIDE)
        return self.open().filter(here).order_by("rack", "layer", "path")

    def derrick(self) -> "PlaceQuerySet":
        """Rows of the derrick, side by side; `layer` counts the rows of a side."""
        return self.open().filter(kind=PlaceKind.DERRICK).order_by("rack", "layer")

    def layers(self) -> "PlaceQuerySet":
        return self.filter(kind=PlaceKind.RACK, layer__gt=0)


class Place(models.Model):
    """A place at a site. Layer 0 is the rack itself; layers count from the bottom up.

    Nobody keeps slot numbers: one roll of the layer ends them (common practice).
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="places")
    kind = models.CharField(max_length=12, choices=PlaceKind.choices)
    rack = models.CharField(max_length=40, blank=True)
    layer = models.PositiveSmallIntegerField(default=0)
    path = models.CharField(max_length=80)
    rated_kg = models.PositiveBigIntegerField(null=True, blank=True)
    ended_on = models.DateField(null=True, blank=True)

    objects = PlaceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "path"], name="place_path"),
            models.CheckConstraint(condition=models.Q(kind__in=PlaceKind.values), name="place_kind"),
        ]

    def __str__(self) -> str:
        if self.kind == PlaceKind.DERRICK:
            return f"{self.rack}, row {self.layer}"
        return f"{self.rack}, layer {self.layer}" if self.layer else self.rack or self.path
