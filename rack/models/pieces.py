"""Specifications, the pieces made to them and the names a piece is known by."""

from django.db import models

from rack.calc.kinds import KIND_CHOICES, KINDS, Kind
from rack.calc.names import key_of, last_first
from rack.calc.specs import SpecFacts, describe, size_label, spec_from_key
from rack.calc.standing import NEVER
from rack.calc.states import STATES
from rack.models.fields import LAST, KeyField
from rack.models.journal import PieceEntry
from rack.models.people import Site
from rack.models.places import Place


class Spec(models.Model):
    """What a piece is made to. Never edited: a recut moves the piece to another specification."""

    kind = models.CharField(max_length=20, choices=KIND_CHOICES)
    od_nm = models.BigIntegerField()
    bore_nm = models.BigIntegerField()
    wall_nm = models.BigIntegerField()
    weight_mlb_ft = models.BigIntegerField()
    grade = models.CharField(max_length=20, blank=True)
    range = models.CharField(max_length=4, blank=True)
    up_conn = models.CharField(max_length=24, blank=True)
    up_gender = models.CharField(max_length=4, blank=True)
    down_conn = models.CharField(max_length=24, blank=True)
    down_gender = models.CharField(max_length=4, blank=True)
    tj_od_nm = models.BigIntegerField()
    tj_bore_nm = models.BigIntegerField()
    pin_nm = models.BigIntegerField()
    box_nm = models.BigIntegerField()
    facts = models.TextField()
    key = models.TextField(unique=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(kind__in=list(KINDS)), name="spec_kind")]

    def __str__(self) -> str:
        return describe(self.as_facts)

    @property
    def as_facts(self) -> SpecFacts:
        return spec_from_key(self.key)

    @property
    def kind_entry(self) -> Kind:
        return KINDS[self.kind]

    @property
    def size(self) -> str:
        return size_label(self.as_facts)


class ComponentQuerySet(models.QuerySet):
    def for_user(self, user: object) -> "ComponentQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "ComponentQuerySet":
        return self.filter(site=site)

    def listed(self) -> "ComponentQuerySet":
        """In the order of the rack list, with what its rows show."""
        return self.select_related("spec", "place").order_by("serial_key", "id")

    def held(self) -> "ComponentQuerySet":
        return self.filter(holds_n__gt=0)

    def with_serial(self, text: str) -> "ComponentQuerySet":
        return self.filter(serial_key=key_of(text))

    def serial_from(self, text: str) -> "ComponentQuerySet":
        """Serials that begin with `text`; a range, so that the index answers on any collation."""
        key = key_of(text)
        return self.filter(serial_key__gte=key, serial_key__lt=key + LAST)

    def serial_ends(self, text: str) -> "ComponentQuerySet":
        yek = last_first(text)
        return self.filter(serial_yek__gte=yek, serial_yek__lt=yek + LAST)


class Component(models.Model):
    """A piece. State, holds and due are three separate facts; the figures kept here are a cache."""

    tag = models.CharField(max_length=7, unique=True)
    serial = models.CharField(max_length=60, blank=True)
    serial_key = KeyField(max_length=60, blank=True)
    serial_yek = KeyField(max_length=60, blank=True)
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, related_name="components")
    owner = models.CharField(max_length=60, blank=True)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="components")
    received_on = models.DateField()
    # Kept: rebuilt from the ledgers and compared by audit_ledger.
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="components")
    state = models.CharField(max_length=20, choices=[(code, state.name) for code, state in STATES.items()])
    length_nm = models.BigIntegerField(null=True)
    length_kind = models.CharField(max_length=20, blank=True)
    length_by = models.ForeignKey("rack.Strap", null=True, on_delete=models.PROTECT, related_name="+")
    holds_n = models.PositiveIntegerField(default=0)
    # Written by `rack.actions.standing` alone: the class as it was given, the dates by days that go with
    # it, and the dates that the clocks and the days give together.
    scheme = models.CharField(max_length=40, blank=True)
    edition = models.CharField(max_length=40, blank=True)
    pipe_class = models.CharField(max_length=40, blank=True)
    tube_class = models.CharField(max_length=40, blank=True)
    joint_class = models.CharField(max_length=40, blank=True)
    class_on = models.DateField(null=True)
    soon_on = models.DateField(default=NEVER)
    due_on = models.DateField(default=NEVER)
    over_on = models.DateField(default=NEVER)
    day_soon_on = models.DateField(default=NEVER)
    day_due_on = models.DateField(default=NEVER)
    day_over_on = models.DateField(default=NEVER)
    # The first day on which a limit by days of law, maker, contract or company is passed, and whose it is.
    day_hard_on = models.DateField(default=NEVER)
    day_hard_by = models.CharField(max_length=10, blank=True)
    due_why = models.CharField(max_length=80, blank=True)
    version = models.PositiveIntegerField(default=0)

    objects = ComponentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(state__in=list(STATES)), name="component_state"),
        ]
        indexes = [
            models.Index(fields=["site", "serial_key", "id"], name="component_site_serial"),
            models.Index(fields=["serial_key", "id"], name="component_serial"),
            models.Index(fields=["serial_yek"], name="component_serial_end"),
            models.Index(fields=["site", "state", "serial_key", "id"], name="component_state_serial"),
            models.Index(fields=["site", "spec", "state", "length_nm"], name="component_totals"),
            models.Index(fields=["place", "serial_key", "id"], name="component_place_serial"),
            models.Index(
                fields=["site", "spec", "pipe_class", "state", "length_nm"], name="component_classes"
            ),
            # The lists of what is due are counted and read from these alone; the order ends with the id, what
            # comes after it spares a look at the row.
            models.Index(fields=["site", "due_on", "id", "state", "over_on"], name="component_site_due"),
            models.Index(fields=["due_on", "id"], name="component_due"),
            models.Index(
                fields=["site", "soon_on", "id", "state", "due_on", "over_on"], name="component_site_soon"
            ),
            models.Index(fields=["site", "over_on", "id", "state"], name="component_site_over"),
            # The held of a site, twice: SQLite binds the value that is asked for and so passes a partial
            # index by; PostgreSQL sees the value, and without it walks all serials until a page is full.
            models.Index(fields=["site", "holds_n", "serial_key", "id"], name="component_held_serial"),
            models.Index(
                fields=["site", "serial_key", "id"],
                condition=models.Q(holds_n__gt=0),
                name="component_held_order",
            ),
            # The balance of a site is counted from this index alone, whatever it is narrowed by.
            models.Index(fields=["site", "state", "place", "spec", "owner"], name="component_balance"),
        ]

    def __str__(self) -> str:
        return called(self.serial, self.tag)


def called(serial: str, tag: str) -> str:
    """What a piece is called on a page: its serial, or its tag where it has none."""
    return serial or f"no serial, tag {tag}"


class MarkKind(models.TextChoices):
    OWNER = "owner", "owner's number"
    PAINTED = "painted", "painted number"
    STENCIL = "stencil", "stencil"
    RFID = "rfid", "RFID"
    OLD_TAG = "old tag", "old tag"


class MarkQuerySet(models.QuerySet):
    def current(self) -> "MarkQuerySet":
        return self.filter(ended=None)


class Mark(models.Model):
    """A name that a piece carries beside its serial, from a day to a day."""

    component = models.ForeignKey(Component, on_delete=models.PROTECT, related_name="marks")
    what = models.CharField(max_length=12, choices=MarkKind.choices)
    text = models.CharField(max_length=60)
    text_key = KeyField(max_length=60)
    text_yek = KeyField(max_length=60)
    since = models.DateField()
    ended = models.DateField(null=True)

    objects = MarkQuerySet.as_manager()

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(what__in=MarkKind.values), name="mark_what")]
        indexes = [
            models.Index(fields=["text_key"], name="mark_text"),
            models.Index(fields=["text_yek"], name="mark_text_end"),
        ]

    def __str__(self) -> str:
        return f"{self.get_what_display()} {self.text}"


class Move(PieceEntry):
    """A piece went from one place or state to another."""

    from_place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    to_place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    from_state = models.CharField(max_length=20, blank=True)
    to_state = models.CharField(max_length=20)


class Hold(PieceEntry):
    """A hold put on a piece, or one released. Anybody but a viewer may put one."""

    what = models.CharField(max_length=8, choices=[("put", "put"), ("release", "released")])
    of = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="released_by")
    reason = models.CharField(max_length=200)
    photo = models.ForeignKey("rack.File", null=True, on_delete=models.PROTECT, related_name="+")

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(
                condition=models.Q(what="put", of__isnull=True) | models.Q(what="release", of__isnull=False),
                name="hold_release_names_its_put",
            ),
        ]


class PieceFact(PieceEntry):
    """A fact that only some kinds have, noted on this piece: nozzles fitted, bend setting, stator date.

    `value` is the canonical text (`rack.calc.facts`), "" for "not known any more"; the newest standing entry
    of a name holds. One that belongs to the specification has moved the piece to another one as well.
    """

    name = models.CharField(max_length=30)
    value = models.CharField(max_length=80, blank=True)
    typed = models.CharField(max_length=80, blank=True)
    since = models.DateField()

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(condition=~models.Q(name=""), name="piecefact_name"),
        ]

    def __str__(self) -> str:
        return f"{self.name}: {self.value}"


def noted_facts(piece: Component) -> dict[str, PieceFact]:
    """The newest standing note of each fact of a piece, by name."""
    rows = PieceFact.objects.standing().filter(component=piece).order_by("id")
    return {row.name: row for row in rows}
