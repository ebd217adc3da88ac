"""The runs of a string: the time lines of each, the hours that its pieces earned, what happened to them."""

import json

from django.db import models
from django.db.models import F, Q

from rack.calc.hours import CLOCK_NAMES, PIECE_CLOCKS, hours_shown
from rack.calc.standing import BASES, BASIS_WORDS, NO_LIMIT
from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.people import Site
from rack.models.strings import String
from rack.models.wells import Well

CLOCK_CHOICES = [(clock, CLOCK_NAMES[clock]) for clock in PIECE_CLOCKS]


class RunQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "RunQuerySet":
        return self.filter(string__site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "RunQuerySet":
        return self.filter(string__site=site)

    def open(self) -> "RunQuerySet":
        """Runs whose bit has not come out."""
        return self.filter(ended_by=None)


class Run(models.Model):
    """One trip of a string: the bit goes in, drills, comes out.

    `in_nm` and `out_nm` are the depths at which it begins and stops; times and depths that are None
    are not known. `tz` is the site's zone, copied: what was written by one clock is read by it for ever.
    `policy` is what the office chose over the table, kind -> "whole run" or "by joint", as canonical JSON.
    `shared_id` is the newest change of the string that the shares of its lines took into account.
    """

    string = models.ForeignKey(String, on_delete=models.PROTECT, related_name="runs")
    section = models.ForeignKey("rack.Section", null=True, on_delete=models.PROTECT, related_name="runs")
    number = models.PositiveIntegerField()
    bha_no = models.CharField(max_length=12, blank=True)
    bit_no = models.CharField(max_length=12, blank=True)
    run_no = models.CharField(max_length=12, blank=True)
    in_at = models.DateTimeField(null=True)
    out_at = models.DateTimeField(null=True)
    in_nm = models.BigIntegerField(null=True)
    out_nm = models.BigIntegerField(null=True)
    tz = models.CharField(max_length=60)
    reason_pulled = models.CharField(max_length=12, blank=True)
    dull = models.CharField(max_length=60, blank=True)
    dull_typed = models.CharField(max_length=80, blank=True)
    policy = models.TextField(default="{}")
    begun_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    ended_by = models.ForeignKey(Journal, null=True, on_delete=models.PROTECT, related_name="+")
    shared_id = models.BigIntegerField(default=0)
    version = models.PositiveIntegerField(default=0)

    objects = RunQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["string", "number"], name="run_number"),
            models.CheckConstraint(
                condition=Q(in_at=None) | Q(out_at=None) | Q(out_at__gte=F("in_at")), name="run_ends_after"
            ),
        ]

    def __str__(self) -> str:
        return f"run {self.run_no or self.number}" + (f", bit {self.bit_no}" if self.bit_no else "")


class Leg(Entry):
    """One time line of a run, as the tour sheet has it; each figure that is None is not known."""

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="legs", db_index=False)
    from_at = models.DateTimeField(null=True)
    to_at = models.DateTimeField(null=True)
    from_nm = models.BigIntegerField(null=True)
    to_nm = models.BigIntegerField(null=True)
    rotating_s = models.BigIntegerField(null=True)
    sliding_s = models.BigIntegerField(null=True)
    circulating_s = models.BigIntegerField(null=True)
    bottom_s = models.BigIntegerField(null=True)
    below_rotary_s = models.BigIntegerField(null=True)
    rpm = models.PositiveIntegerField(null=True)

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["run", "id"], name="leg_run")]

    def __str__(self) -> str:
        return f"a line of {self.run}"


class DailyReport(Entry):
    """A daily report whose rows became time lines of a run: the lines bear the same line of the journal.

    `choices` are those of the person, canonical text of `rack.calc.daily.Choices`; with the bytes of the
    file they give every row again. `counted` is what was read, taken and left out, as JSON.
    """

    run = models.ForeignKey(Run, on_delete=models.PROTECT, related_name="daily_reports")
    file = models.ForeignKey("rack.File", on_delete=models.PROTECT, related_name="+")
    choices = models.TextField()
    counted = models.TextField()

    class Meta(Entry.Meta):
        pass

    def __str__(self) -> str:
        return f"{self.file} for {self.run}"

    @property
    def words(self) -> str:
        """What was counted of it: "12 of 14 rows taken, rotating 17.75 h"."""
        counted = json.loads(self.counted)
        turned = hours_shown(counted["rotating_s"], known=counted["rotating_known"])
        return f"{counted['taken']:,} of {counted['read']:,} rows taken, rotating {turned} h"


class Event(Entry):
    """Something that a string went through: jarring, overpull, a washout; kept for the inspection.

    `kind` is a code of `rack.calc.happenings`; `amount` counts in `unit` (hits, lbf, ft-lbf ...).
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="events")
    string = models.ForeignKey(String, null=True, on_delete=models.PROTECT, related_name="events")
    run = models.ForeignKey(Run, null=True, on_delete=models.PROTECT, related_name="events")
    kind = models.CharField(max_length=20)
    from_at = models.DateTimeField()
    to_at = models.DateTimeField(null=True)
    depth_nm = models.BigIntegerField(null=True)
    amount = models.BigIntegerField(null=True)
    unit = models.CharField(max_length=12, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["site", "-id"], name="event_site")]

    def __str__(self) -> str:
        return f"{self.kind} of {self.string}" if self.string else self.kind


class EventPiece(PieceEntry):
    """A piece that was in the string when something happened, this far above the bit (None: not known)."""

    event = models.ForeignKey(Event, on_delete=models.PROTECT, related_name="pieces")
    from_bit_nm = models.BigIntegerField(null=True)


class Hours(PieceEntry):
    """What one piece earned on one clock: from a line, from an event, or from the run as a whole.

    `amount` counts in the clock's own unit and is None where it ran an unknown time: unknown is not zero.
    A reversal is the same row with the amount turned.
    """

    run = models.ForeignKey(Run, null=True, on_delete=models.PROTECT, related_name="hours", db_index=False)
    leg = models.ForeignKey(Leg, null=True, on_delete=models.PROTECT, related_name="hours", db_index=False)
    event = models.ForeignKey(Event, null=True, on_delete=models.PROTECT, related_name="hours")
    clock = models.CharField(max_length=14, choices=CLOCK_CHOICES)
    amount = models.BigIntegerField(null=True)

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(condition=Q(clock__in=PIECE_CLOCKS), name="hours_clock"),
        ]
        indexes = [
            *PieceEntry.Meta.indexes,
            models.Index(fields=["component", "clock", "at"], name="hours_clock_at"),
            models.Index(fields=["leg", "component"], name="hours_leg"),
            models.Index(fields=["run", "component"], name="hours_run"),
        ]

    def __str__(self) -> str:
        return f"{self.component}: {CLOCK_NAMES[self.clock]} {self.amount}"


class Clock(models.Model):
    """Kept from the hours: one clock of a piece against one mark of zero, and the limits that run with it.

    `zero` is what `total` showed at the mark; `zero_known` says whether that is known, `after_id` is the
    newest of the piece's hours when the mark was set, and `known` whether all that ran since is known.
    `left` is what remains until it is due, `NO_LIMIT` where it never is. `by` is whose limit it is
    ("law", "maker" ...), "" or "default" where it is one of ours, which stops nothing; `hard` is the amount
    past which law, maker, contract or company stop it, None for no such limit, and `hard_by` which of them.
    """

    component = models.ForeignKey(
        "rack.Component", on_delete=models.PROTECT, related_name="clocks", db_index=False
    )
    clock = models.CharField(max_length=14, choices=CLOCK_CHOICES)
    basis = models.CharField(max_length=12, choices=list(BASIS_WORDS.items()))
    total = models.BigIntegerField(default=0)
    zero = models.BigIntegerField(default=0)
    zero_known = models.BooleanField(default=True)
    after_id = models.BigIntegerField(default=0)
    known = models.BooleanField(default=True)
    soon = models.BigIntegerField(null=True)
    due = models.BigIntegerField(null=True)
    over = models.BigIntegerField(null=True)
    left = models.BigIntegerField(default=NO_LIMIT)
    by = models.CharField(max_length=10, blank=True)
    hard = models.BigIntegerField(null=True)
    hard_by = models.CharField(max_length=10, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["component", "clock", "basis"], name="clock_of_one"),
            models.CheckConstraint(condition=Q(clock__in=PIECE_CLOCKS), name="clock_clock"),
            models.CheckConstraint(condition=Q(basis__in=BASES), name="clock_basis"),
        ]
        indexes = [models.Index(fields=["clock", "left", "component"], name="clock_due_first")]

    def __str__(self) -> str:
        return f"{self.component}: {CLOCK_NAMES[self.clock]} {BASIS_WORDS[self.basis]}"


class Dogleg(Entry):
    """A stretch of a well that bends sharply, from depth to depth; degrees per 100 ft, in thousandths."""

    well = models.ForeignKey(Well, on_delete=models.PROTECT, related_name="doglegs")
    from_nm = models.BigIntegerField()
    to_nm = models.BigIntegerField()
    severity_mdeg = models.PositiveIntegerField()
    note = models.CharField(max_length=120, blank=True)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(to_nm__gt=F("from_nm")), name="dogleg_goes_down"),
        ]

    def __str__(self) -> str:
        return f"dogleg of {self.well}"

    @property
    def severity(self) -> str:
        """Degrees in 100 ft as they are read."""
        return f"{self.severity_mdeg // 1000}.{self.severity_mdeg % 1000:03d}".rstrip("0").rstrip(".")
