"""What was found: each inspection of a piece with its looks, readings and findings. Ledgers, all of them."""

import json

from django.db import models
from django.db.models import Q

from inspection.calc.criteria import scheme_said
from inspection.calc.ends import STATES
from inspection.calc.readings import PARTS, RESULTS, WHATS
from inspection.models.inspectors import Inspector
from inspection.models.jobs import SCOPE_CHOICES, Job
from rack.models import Entry, File, Site
from rack.models.journal import LedgerQuerySet, PieceEntry

STAGES = [("found", "as found"), ("after", "after repair")]
#: What is to be done with an end, "" where nobody said.
END_STATES = ["", *STATES]


class InspectionQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "InspectionQuerySet":
        return self.filter(component__site__in=Site.objects.for_user(user))

    def newest_first(self) -> "InspectionQuerySet":
        """By the day of the look, then by the order in which they were written down."""
        return self.order_by("-on", "-id")


class Inspection(PieceEntry):
    """One inspection of one piece: whose word, by which scheme and edition, to which scope.

    `class_before` is what the register held before, `class_given` the inspector's, `class_computed` what the
    readings make, `class_held` the worse of both; `differs` is the sentence for the list of differences.
    `resets` are the scopes whose clocks begin anew, blank-separated, for what ran from the moment `since` on;
    `mended` the parts that were repaired, so that their class may rise. Box and pin: what was to be done with
    each as found, and after repair. `unused`: it had never run.
    """

    on = models.DateField()
    since = models.DateTimeField()
    scope = models.CharField(max_length=12, choices=SCOPE_CHOICES)
    scheme = models.CharField(max_length=40)
    edition = models.CharField(max_length=40)
    acceptance = models.CharField(max_length=40, blank=True)
    class_before = models.CharField(max_length=40, blank=True)
    class_given = models.CharField(max_length=40, blank=True)
    class_computed = models.CharField(max_length=40, blank=True)
    class_held = models.CharField(max_length=40, blank=True)
    tube_class = models.CharField(max_length=40, blank=True)
    joint_class = models.CharField(max_length=40, blank=True)
    differs = models.TextField(blank=True)
    unused = models.BooleanField(default=False)
    mended = models.CharField(max_length=16, blank=True)
    resets = models.CharField(max_length=60, blank=True)
    box_found = models.CharField(max_length=12, blank=True)
    box_after = models.CharField(max_length=12, blank=True)
    pin_found = models.CharField(max_length=12, blank=True)
    pin_after = models.CharField(max_length=12, blank=True)
    paint_seen = models.CharField(max_length=40, blank=True)
    remarks = models.CharField(max_length=300, blank=True)
    inspector = models.ForeignKey(Inspector, null=True, on_delete=models.PROTECT, related_name="inspections")
    company = models.CharField(max_length=80, blank=True)
    report_no = models.CharField(max_length=60, blank=True)
    equipment = models.TextField(blank=True)
    job = models.ForeignKey(Job, null=True, on_delete=models.PROTECT, related_name="inspections")
    report = models.ForeignKey(File, null=True, on_delete=models.PROTECT, related_name="+")

    objects = InspectionQuerySet.as_manager()

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(box_found__in=END_STATES, box_after__in=END_STATES,
                            pin_found__in=END_STATES, pin_after__in=END_STATES),
                name="inspection_ends",
            ),
        ]  # fmt: skip
        indexes = [
            *PieceEntry.Meta.indexes,
            models.Index(fields=["component", "-on", "-id"], name="inspection_newest"),
        ]

    @property
    def repaired(self) -> bool:
        """Whether something was mended."""
        return bool(self.mended)

    @property
    def scheme_said(self) -> str:
        """Document and edition in words."""
        return scheme_said(self.scheme)

    @property
    def equipment_said(self) -> str:
        """The instruments, each with the day until which its calibration was good."""
        rows = json.loads(self.equipment or "[]")
        return ", ".join(f"{name}, good until {due}" if due else name for name, due in rows)

    def __str__(self) -> str:
        return f"{self.scope} inspection of {self.component} on {self.on:%Y-%m-%d}"


class Method(Entry):
    """One method that was done, with its result; without a result it was not looked at."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="methods")
    method = models.CharField(max_length=12)
    result = models.CharField(max_length=20, blank=True)
    part = models.CharField(max_length=8, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(result__in=RESULTS), name="method_result"),
        ]


class Reading(Entry):
    """One reading as found or after repair: exactly one of a size in nm, a share in millionths, a count, a
    word; `typed` is what was typed."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="readings")
    what = models.CharField(max_length=24)
    part = models.CharField(max_length=8)
    stage = models.CharField(max_length=8, choices=STAGES, default="found")
    nm = models.BigIntegerField(null=True)
    ppm = models.BigIntegerField(null=True)
    count_n = models.IntegerField(null=True)
    word = models.CharField(max_length=80, blank=True)
    typed = models.CharField(max_length=40, blank=True)
    where = models.CharField(max_length=60, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(what__in=list(WHATS), part__in=PARTS, stage__in=["found", "after"]),
                name="reading_what",
            ),
        ]


class Finding(Entry):
    """Something that no figure says: what, where, and its photo."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="findings")
    what = models.CharField(max_length=200)
    where = models.CharField(max_length=60, blank=True)
    photo = models.ForeignKey(File, null=True, on_delete=models.PROTECT, related_name="+")
