"""Wells of a site and the measurements of their datum, newest governing."""

from django.db import models
from django.db.models import OuterRef, Q, Subquery

from rack.calc.datums import OVER, Datum
from rack.calc.lengths import Length
from rack.models.journal import Entry, Journal
from rack.models.people import Site


class WellQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "WellQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "WellQuerySet":
        return self.filter(site=site)

    def with_datum(self) -> "WellQuerySet":
        """Each with the primary key of the measurement that governs, None for none."""
        newest = DatumReading.objects.standing().filter(well=OuterRef("pk")).order_by("-id").values("pk")[:1]
        return self.annotate(datum_id=Subquery(newest))


class Well(models.Model):
    """A well, or a slot of a platform, and the days on which the rig came and went."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="wells")
    name = models.CharField(max_length=60)
    slot = models.CharField(max_length=20, blank=True)
    rig_from = models.DateField(null=True, blank=True)
    rig_to = models.DateField(null=True, blank=True)
    added_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    version = models.PositiveIntegerField(default=0)

    objects = WellQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="well_name"),
            models.CheckConstraint(
                condition=Q(rig_from=None) | Q(rig_to=None) | Q(rig_to__gte=models.F("rig_from")),
                name="well_rig_comes_before_it_goes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, slot {self.slot}" if self.slot else self.name

    def governing(self) -> "DatumReading | None":
        """The measurement of its datum that counts now, None where there is none."""
        found: DatumReading | None = self.datums.standing().order_by("-id").first()
        return found


class DatumReading(Entry):
    """One measurement of a well's datum. A later one supersedes it; both stay in the book."""

    well = models.ForeignKey(Well, on_delete=models.PROTECT, related_name="datums")
    name = models.CharField(max_length=40)
    height_nm = models.BigIntegerField()
    over = models.CharField(max_length=6, choices=[(code, words) for code, words in OVER.items()])
    water_nm = models.BigIntegerField(null=True)
    shoulder_nm = models.BigIntegerField(null=True)
    measured_on = models.DateField()
    measured_by = models.CharField(max_length=60)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(over__in=list(OVER)), name="datumreading_over"),
            models.CheckConstraint(condition=~Q(measured_by=""), name="datumreading_by"),
        ]
        indexes = [models.Index(fields=["well", "-id"], name="datumreading_well")]

    def __str__(self) -> str:
        return f"{self.name} of {self.well}"

    @property
    def as_datum(self) -> Datum:
        return Datum(
            name=self.name,
            height=Length(self.height_nm),
            over=self.over,
            measured_on=self.measured_on,
            water=None if self.water_nm is None else Length(self.water_nm),
            shoulder=None if self.shoulder_nm is None else Length(self.shoulder_nm),
        )
