"""The sections of a well, and the strings that are run in it: what joined, what left, in which order."""

from django.db import models
from django.db.models import Q

from rack.models.journal import Entry, Journal, PieceEntry
from rack.models.people import Site
from rack.models.pieces import Component, Spec
from rack.models.wells import Well

#: A piece on top of the others stands this far above them; one between them and those in the derrick
#: this far above the piece below it, so that many go in between.
RANK_TOP, RANK_BETWEEN = 1_000_000_000, 1_000


class SectionQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "SectionQuerySet":
        return self.filter(well__site__in=Site.objects.for_user(user))

    def in_order(self) -> "SectionQuerySet":
        """From the surface down."""
        return self.order_by("planned_nm", "id")


class Section(models.Model):
    """A section of a well: the hole that is drilled, how deep, in which mud, under which casing.

    `planned_nm` is the depth of its end below the datum. `drift_nm` is what passes the casing above it.
    """

    well = models.ForeignKey(Well, on_delete=models.PROTECT, related_name="sections")
    name = models.CharField(max_length=40)
    hole_nm = models.BigIntegerField()
    planned_nm = models.BigIntegerField()
    mud_mppg = models.PositiveIntegerField(null=True)
    casing = models.CharField(max_length=80, blank=True)
    casing_shoe_nm = models.BigIntegerField(null=True)
    drift_nm = models.BigIntegerField(null=True)
    added_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    version = models.PositiveIntegerField(default=0)

    objects = SectionQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["well", "name"], name="section_name")]

    def __str__(self) -> str:
        return f"{self.name} of {self.well}"


class StringQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "StringQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "StringQuerySet":
        return self.filter(site=site)

    def running(self) -> "StringQuerySet":
        """Strings that have not come to their end: in the hole, racked back, or being made up."""
        return self.filter(ended_at=None)


class String(models.Model):
    """A string that is run in a well. Its pieces are its members; what happened to them are its changes.

    `plan` is what it is made up from, piece by piece. `stick_up_nm` is what stands above the rotary table,
    `kelly_nm` the kelly with its saver sub (none with a top drive); `correction_nm` what a strap out of the
    hole has added to the depth; a stand is `stand_n` joints.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="strings")
    well = models.ForeignKey(Well, on_delete=models.PROTECT, related_name="strings")
    section = models.ForeignKey(Section, null=True, on_delete=models.PROTECT, related_name="strings")
    plan = models.ForeignKey("rack.Plan", null=True, on_delete=models.PROTECT, related_name="strings")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=120, blank=True)
    stand_n = models.PositiveSmallIntegerField(default=3)
    stick_up_nm = models.BigIntegerField(default=0)
    kelly_nm = models.BigIntegerField(null=True)
    correction_nm = models.BigIntegerField(default=0)
    begun_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    begun_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    version = models.PositiveIntegerField(default=0)

    objects = StringQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "number"], name="string_number"),
            models.CheckConstraint(condition=Q(stand_n__in=[1, 2, 3, 4]), name="string_stand"),
        ]
        indexes = [models.Index(fields=["site", "-number"], name="string_newest")]

    def __str__(self) -> str:
        return f"string {self.number}" + (f", {self.title}" if self.title else "")


class What(models.TextChoices):
    """What happens to a piece of a string. A swap is a piece that leaves and one that joins in its place."""

    JOIN = "join", "made up"
    BACK = "back", "racked back"
    RUN = "run", "run again"
    LEAVE = "leave", "laid down"


class Change(PieceEntry):
    """A piece joined a string, was racked back, was run again, or left it; reversed, never edited.

    `happened_at` and `depth_nm` (of the bit, below the datum) are what the hand said; None for not noted.
    `rank` is its place in the string, counted from the bit upward. `length_nm` is what it adds to the depth.
    """

    string = models.ForeignKey(String, on_delete=models.PROTECT, related_name="changes")
    what = models.CharField(max_length=5, choices=What.choices)
    happened_at = models.DateTimeField()
    depth_nm = models.BigIntegerField(null=True)
    rank = models.BigIntegerField()
    length_nm = models.BigIntegerField(null=True)
    length_how = models.CharField(max_length=120, blank=True)
    reason = models.CharField(max_length=200, blank=True)

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(condition=Q(what__in=What.values), name="change_what"),
        ]
        indexes = [*PieceEntry.Meta.indexes, models.Index(fields=["string", "id"], name="change_string")]

    def __str__(self) -> str:
        return f"{self.component} {self.get_what_display()}"


class Unlisted(Entry):
    """Pieces of one specification that are in a string by count only: their list is to follow.

    Reversed by the entry that names them, when their pieces join in their place.
    """

    string = models.ForeignKey(String, on_delete=models.PROTECT, related_name="unlisted")
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, related_name="+")
    count_n = models.PositiveIntegerField()
    happened_at = models.DateTimeField()
    rank = models.BigIntegerField()
    length_nm = models.BigIntegerField(null=True)
    note = models.CharField(max_length=120, blank=True)

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["string", "id"], name="unlisted_string")]

    def __str__(self) -> str:
        return f"{self.count_n} x {self.spec}, list to follow"


class MemberQuerySet(models.QuerySet):
    def now(self) -> "MemberQuerySet":
        """Those that have not left."""
        return self.filter(left_at=None)

    def from_the_bit(self) -> "MemberQuerySet":
        return self.order_by("rank", "id")

    def in_the_hole(self) -> "MemberQuerySet":
        return self.now().filter(racked=False)


class Member(models.Model):
    """Kept from the changes: a piece of a string, since when, and whether it stands in the derrick now."""

    string = models.ForeignKey(String, on_delete=models.PROTECT, related_name="members")
    component = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="memberships")
    rank = models.BigIntegerField()
    length_nm = models.BigIntegerField(null=True)
    racked = models.BooleanField(default=False)
    joined_at = models.DateTimeField()
    joined_nm = models.BigIntegerField(null=True)
    left_at = models.DateTimeField(null=True)
    left_nm = models.BigIntegerField(null=True)

    objects = MemberQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["component"], condition=Q(left_at=None), name="member_of_one"),
        ]
        indexes = [models.Index(fields=["string", "rank", "id"], name="member_order")]

    def __str__(self) -> str:
        return f"{self.component} in {self.string}"
