"""Tallies, their lines, the straps taken of them and the closed sheets."""

from django.db import models
from django.db.models import Exists, OuterRef, Q

from rack.calc.kinds import LENGTH_KINDS, STANDS
from rack.calc.purposes import Purpose as PurposeWords
from rack.calc.purposes import purpose_of
from rack.calc.tally import COLUMNS, page_of
from rack.models.files import File
from rack.models.journal import Entry, Journal, LedgerQuerySet
from rack.models.people import Site
from rack.models.pieces import Component, Spec

#: A new line goes this far behind the last one, so that others fit between.
RANK_STEP = 1000


class Purpose(models.TextChoices):
    DELIVERY = "delivery", "delivery"
    RACK = "rack", "rack"
    CASING = "casing", "casing"
    TUBING = "tubing", "tubing"
    STRING = "string", "string"
    LAY_DOWN = "lay-down", "lay-down"
    STRAP_OUT = "strap out", "strap out of the hole"


class TallyQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "TallyQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "TallyQuerySet":
        return self.filter(site=site)

    def open(self) -> "TallyQuerySet":
        return self.filter(open=True)

    def blind(self) -> "TallyQuerySet":
        """Tallies whose first readings nobody may see now (law 13).

        A second strap is open from the moment the first one is finished, where two are wanted,
        or from the moment somebody begins a second; it ends when the second is finished.
        """
        heads = StrapHead.objects.filter(tally=OuterRef("pk"))
        second = heads.filter(strap_n=2)
        begun = Exists(second)
        done = Exists(second.filter(finished_at__isnull=False))
        first_done = Exists(heads.filter(strap_n=1, finished_at__isnull=False))
        waits = Q(straps_wanted__gte=2) & first_done
        return self.filter(open=True).filter(Q(begun) | waits).exclude(done)


class Tally(models.Model):
    """Lengths in order: of what was delivered, of what lies on a rack."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="tallies")
    number = models.PositiveIntegerField()
    title = models.CharField(max_length=120, blank=True)
    purpose = models.CharField(max_length=12, choices=Purpose.choices)
    unit = models.CharField(max_length=2, choices=[("ft", "feet"), ("m", "metres")])
    digits = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=20, choices=[(name, name) for name in LENGTH_KINDS])
    spec = models.ForeignKey(Spec, null=True, on_delete=models.PROTECT, related_name="tallies")
    straps_wanted = models.PositiveSmallIntegerField(default=1)
    column_n = models.PositiveSmallIntegerField(default=10)
    opened_at = models.DateTimeField()
    open = models.BooleanField(default=True)
    revision = models.PositiveIntegerField(default=0)
    # Goes up when joints come, go or change places: a sheet printed before is a stale list.
    list_n = models.PositiveIntegerField(default=1)
    version = models.PositiveIntegerField(default=0)

    objects = TallyQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "number"], name="tally_number"),
            models.CheckConstraint(condition=Q(purpose__in=Purpose.values), name="tally_purpose"),
            models.CheckConstraint(condition=Q(kind__in=list(LENGTH_KINDS)), name="tally_kind"),
            models.CheckConstraint(condition=Q(unit__in=["ft", "m"]), name="tally_unit"),
            models.CheckConstraint(condition=Q(straps_wanted__in=[1, 2]), name="tally_straps_wanted"),
            models.CheckConstraint(condition=Q(column_n__in=COLUMNS), name="tally_column"),
        ]
        indexes = [models.Index(fields=["site", "open", "-number"], name="tally_site_open")]

    def __str__(self) -> str:
        return f"Tally {self.number}: {self.title}" if self.title else f"Tally {self.number}"

    @property
    def page_n(self) -> int:
        """How many lines stand on one page of this tally."""
        return page_of(self.column_n)

    @property
    def words(self) -> PurposeWords:
        """What this tally is for, in the words of its purpose."""
        return purpose_of(self.purpose)

    @property
    def is_blind(self) -> bool:
        return Tally.objects.blind().filter(pk=self.pk).exists()


class StrapHead(models.Model):
    """The hands that take one strap of a tally, asked once at its head."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="heads")
    strap_n = models.PositiveSmallIntegerField()
    tape = models.CharField(max_length=40, blank=True)
    reader = models.CharField(max_length=60, blank=True)
    writer = models.CharField(max_length=60, blank=True)
    begun_at = models.DateTimeField()
    begun_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    finished_at = models.DateTimeField(null=True)
    # The oldest printed list that readings of this strap were written on; none: the live page.
    list_n = models.PositiveIntegerField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tally", "strap_n"], name="straphead_once"),
            models.CheckConstraint(condition=Q(strap_n__in=[1, 2]), name="straphead_n"),
        ]

    @property
    def hands(self) -> str:
        return ", ".join(name for name in (self.reader, self.writer) if name)


class LineQuerySet(models.QuerySet):
    def standing(self) -> "LineQuerySet":
        """Lines that were not withdrawn."""
        return self.filter(withdrawn=False)

    def in_order(self) -> "LineQuerySet":
        return self.order_by("rank", "id")

    def unread(self, strap_n: int) -> "LineQuerySet":
        return self.standing().filter(**{"first_nm" if strap_n == 1 else "second_nm": None})


class Line(models.Model):
    """One line of a tally. The painted number is text: the joint found between 36 and 37 is 36A."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="lines")
    rank = models.BigIntegerField()
    component = models.ForeignKey(Component, null=True, on_delete=models.PROTECT, related_name="lines")
    serial_typed = models.CharField(max_length=60, blank=True)
    painted = models.CharField(max_length=20, blank=True)
    withdrawn = models.BooleanField(default=False)
    reason = models.CharField(max_length=200, blank=True)
    # Kept: rebuilt from the straps and consents and compared by audit_ledger.
    first_nm = models.BigIntegerField(null=True)
    second_nm = models.BigIntegerField(null=True)
    questions_n = models.PositiveIntegerField(default=0)

    objects = LineQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tally", "component"],
                condition=Q(component__isnull=False, withdrawn=False),
                name="line_piece_once",
            ),
        ]
        indexes = [models.Index(fields=["tally", "rank", "id"], name="line_order")]

    def __str__(self) -> str:
        return f"joint {self.painted}" if self.painted else f"line {self.pk}"


class StrapQuerySet(LedgerQuerySet):
    def visible(self) -> "StrapQuerySet":
        """Without the readings of a tally that is blind now (law 13)."""
        return self.exclude(line__tally__in=Tally.objects.blind())


class Strap(Entry):
    """One length as it was read, of a line, of a piece, or of both.

    `strap_n` is 1 or 2 for the straps of an open tally and 0 for a length that governs the piece:
    read alone, taken from the sender's list, or settled when a tally was closed. "ended" says that
    a recut, reface or repair ended the validity of the length.
    """

    line = models.ForeignKey(Line, null=True, on_delete=models.PROTECT, related_name="straps")
    component = models.ForeignKey(Component, null=True, on_delete=models.PROTECT, related_name="straps")
    strap_n = models.PositiveSmallIntegerField(default=0)
    what = models.CharField(max_length=8, choices=[("reading", "reading"), ("ended", "ended")])
    nm = models.BigIntegerField(null=True)
    kind = models.CharField(max_length=20, choices=[(name, name) for name in LENGTH_KINDS])
    typed = models.CharField(max_length=40, blank=True)
    typed_unit = models.CharField(max_length=4, blank=True)
    tape = models.CharField(max_length=40, blank=True)
    hands = models.CharField(max_length=160, blank=True)
    questions_n = models.PositiveSmallIntegerField(default=0)
    questions = models.TextField(default="[]")
    # How a tool that telescopes stood when it was read; "" for all others.
    stands = models.CharField(
        max_length=6, blank=True, default="", db_default="", choices=[(name, name) for name in STANDS]
    )

    objects = StrapQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(
                condition=Q(what="reading", nm__isnull=False) | Q(what="ended", nm__isnull=True),
                name="strap_reading_has_length",
            ),
            models.CheckConstraint(
                condition=Q(line__isnull=False) | Q(component__isnull=False), name="strap_of_something"
            ),
            models.CheckConstraint(condition=Q(strap_n__in=[0, 1, 2]), name="strap_n"),
            models.CheckConstraint(condition=Q(stands__in=["", *STANDS]), name="strap_stands"),
        ]
        indexes = [
            models.Index(fields=["line", "strap_n", "id"], name="strap_line"),
            models.Index(fields=["component", "strap_n", "id"], name="strap_piece"),
        ]


class Consent(Entry):
    """A yes to a question, with its reason where one is asked for (law 9)."""

    check_code = models.CharField(max_length=20)
    strap = models.ForeignKey(Strap, null=True, on_delete=models.PROTECT, related_name="consents")
    tally = models.ForeignKey(Tally, null=True, on_delete=models.PROTECT, related_name="consents")
    reason = models.CharField(max_length=300, blank=True)

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["tally", "id"], name="consent_tally")]


class SheetQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "SheetQuerySet":
        return self.filter(tally__site__in=Site.objects.for_user(user))


class Sheet(Entry):
    """One closed revision of a tally. Its content is the tally; paper is drawn from nothing else."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="sheets")
    revision = models.PositiveIntegerField()
    code = models.CharField(max_length=7, unique=True)
    digest = models.CharField(max_length=64)
    content = models.TextField()

    objects = SheetQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.UniqueConstraint(fields=["tally", "revision"], name="sheet_revision"),
        ]

    def __str__(self) -> str:
        return f"{self.tally}, revision {self.revision}"


class Stand(Entry):
    """One stand as it was read on the way out of the hole: the joints from `first` to `last`."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="stands")
    first = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="+")
    last = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="+")
    nm = models.BigIntegerField()
    typed = models.CharField(max_length=40)

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(nm__gt=0), name="stand_has_length"),
        ]


class Correction(Entry):
    """What somebody accepted to add to the depth after a strap out of the hole; no joint changes by it."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="corrections")
    nm = models.BigIntegerField()
    reason = models.CharField(max_length=200)


class PencilPhoto(Entry):
    """The photo of a pencil sheet that was typed in, kept with the tally."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="photos")
    strap_n = models.PositiveSmallIntegerField()
    file = models.ForeignKey(File, on_delete=models.PROTECT, related_name="+")
