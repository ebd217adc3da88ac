"""A casing tally: the plan of a run on top of a tally of joints, and its printed sheets."""

from django.db import models
from django.db.models import Q

from rack.calc.casing_parts import JOINT, PARTS, ROLES
from rack.models.journal import Entry, LedgerQuerySet
from rack.models.people import Site
from rack.models.tallies import Line, Tally
from rack.models.wells import Well

_KINDS = (JOINT, *PARTS)


class CasingPlan(models.Model):
    """What is asked once at the head of a casing tally. Its joints are those of the tally under it.

    Depths are below the datum. `shoulder_nm` is where the string lands: the landing shoulder, or the top
    of a liner. `loss_nm` is the make-up loss that somebody typed; without it the tables say it.
    With a `well` its governing measurement is the datum; `datum`, `measured_on` and `measured_by` speak only
    where it has none. `well_said` is the name of a well that the site does not keep.
    """

    tally = models.OneToOneField(Tally, on_delete=models.PROTECT, related_name="casing")
    string = models.CharField(max_length=120, blank=True)
    well = models.ForeignKey(Well, null=True, on_delete=models.PROTECT, related_name="casing_plans")
    well_said = models.CharField(max_length=60, blank=True)
    datum = models.CharField(max_length=20, default="RKB")
    shoulder_nm = models.BigIntegerField(null=True)
    measured_on = models.DateField(null=True)
    measured_by = models.CharField(max_length=60, blank=True)
    hole_nm = models.BigIntegerField(null=True)
    off_bottom_nm = models.BigIntegerField(null=True)
    track_n = models.PositiveSmallIntegerField(null=True)
    loss_nm = models.BigIntegerField(null=True)
    loss_source = models.CharField(max_length=120, blank=True)
    revision = models.PositiveIntegerField(default=0)
    version = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(well=None) | Q(well_said=""), name="casingplan_one_well"),
        ]

    def __str__(self) -> str:
        return f"Casing plan of tally {self.tally.number}"

    @property
    def well_name(self) -> str:
        """The well as the pages and the paper name it."""
        return str(self.well) if self.well else self.well_said


class CasingItemQuerySet(models.QuerySet):
    def in_order(self) -> "CasingItemQuerySet":
        """From the bottom up."""
        return self.order_by("rank", "id")


class CasingItem(models.Model):
    """One joint or part of the plan, in its place from the bottom up.

    A joint has its line of the tally; one that was found and stands in no tally has a typed length.
    """

    plan = models.ForeignKey(CasingPlan, on_delete=models.PROTECT, related_name="items")
    rank = models.BigIntegerField()
    kind = models.CharField(max_length=16, choices=[(code, code) for code in _KINDS])
    line = models.ForeignKey(Line, null=True, on_delete=models.PROTECT, related_name="casing_items")
    name = models.CharField(max_length=20)
    words = models.CharField(max_length=80, blank=True)
    serial = models.CharField(max_length=60, blank=True)
    role = models.CharField(max_length=5, choices=list(ROLES.items()), default="run")
    reason = models.CharField(max_length=200, blank=True)
    away = models.BooleanField(default=False)
    length_nm = models.BigIntegerField(null=True)
    loses = models.BooleanField(default=True)
    loss_nm = models.BigIntegerField(null=True)
    cut_off_nm = models.BigIntegerField(default=0)
    locked = models.BooleanField(default=False)
    drifted = models.BooleanField(default=False)
    threads = models.BooleanField(default=False)
    # The journal keeps what was taken out; the row says that it is no part of the plan any more.
    removed = models.BooleanField(default=False)

    objects = CasingItemQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["plan", "line"], condition=Q(line__isnull=False, removed=False),
                name="casingitem_line_once",
            ),
            models.CheckConstraint(condition=Q(kind__in=_KINDS), name="casingitem_kind"),
            models.CheckConstraint(condition=Q(role__in=list(ROLES)), name="casingitem_role"),
        ]
        indexes = [models.Index(fields=["plan", "rank", "id"], name="casingitem_order")]

    def __str__(self) -> str:
        return f"joint {self.name}" if self.kind == JOINT else f"{self.name} ({PARTS[self.kind].name})"


class Centralizer(models.Model):
    """Centralizers on one joint: which, how many, how far from its pin (None: not said)."""

    item = models.ForeignKey(CasingItem, on_delete=models.PROTECT, related_name="centralizers")
    what = models.CharField(max_length=40)
    count = models.PositiveSmallIntegerField(default=1)
    from_pin_nm = models.BigIntegerField(null=True)
    removed = models.BooleanField(default=False)


class CasingSheetQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "CasingSheetQuerySet":
        return self.filter(plan__tally__site__in=Site.objects.for_user(user))


class CasingSheet(Entry):
    """One printed revision of a casing plan; paper is drawn from its content and nothing else."""

    plan = models.ForeignKey(CasingPlan, on_delete=models.PROTECT, related_name="sheets")
    revision = models.PositiveIntegerField()
    code = models.CharField(max_length=7, unique=True)
    digest = models.CharField(max_length=64)
    content = models.TextField()

    objects = CasingSheetQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.UniqueConstraint(fields=["plan", "revision"], name="casingsheet_revision"),
        ]
