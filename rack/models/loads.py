"""Loads that are sent away: what is put on, the list as it left, and what arrived at the other end."""

from django.db import models

from rack.calc.loadlist import ARRIVES_AS, PROTECTORS
from rack.models.journal import Entry, Journal, LedgerQuerySet, PieceEntry
from rack.models.people import Site
from rack.models.places import Place


class LoadWhy(models.TextChoices):
    SITE = "site", "to another site"
    RETURN = "return", "rental going back to its owner"
    INSPECTION = "inspection", "for inspection"
    REPAIR = "repair", "for repair"
    OTHER = "other", "handed over to somebody else"


class LoadOutQuerySet(models.QuerySet):
    def at(self, site: Site) -> "LoadOutQuerySet":
        return self.filter(site=site)

    def for_user(self, user: object) -> "LoadOutQuerySet":
        """Loads of this person's sites, sent by them or on their way to them."""
        sites = Site.objects.for_user(user)
        gone = models.Q(to_site__in=sites) & ~models.Q(state="open")
        return self.filter(models.Q(site__in=sites) | gone)

    def coming_to(self, site: Site) -> "LoadOutQuerySet":
        return self.filter(to_site=site, state="sent")


class LoadOut(models.Model):
    """A load: open while pieces are put on it, then sent, then arrived.

    State and revision are kept from the sheets and arrivals; each sending writes a revision.
    """

    STATES = (("open", "open"), ("sent", "on its way"), ("arrived", "arrived"))

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="loads")
    number = models.PositiveIntegerField()
    why = models.CharField(max_length=12, choices=LoadWhy.choices)
    to_site = models.ForeignKey(Site, null=True, on_delete=models.PROTECT, related_name="loads_coming")
    to = models.CharField(max_length=120, blank=True)
    carrier = models.CharField(max_length=80, blank=True)
    remark = models.CharField(max_length=300, blank=True)
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(Journal, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=8, choices=STATES, default="open")
    revision = models.PositiveIntegerField(default=0)
    version = models.PositiveIntegerField(default=0)

    objects = LoadOutQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "number"], name="loadout_number"),
            models.CheckConstraint(condition=models.Q(why__in=list(ARRIVES_AS)), name="loadout_why"),
            models.CheckConstraint(
                condition=models.Q(state__in=["open", "sent", "arrived"]), name="loadout_state"
            ),
            models.CheckConstraint(
                condition=models.Q(why="site", to_site__isnull=False)
                | (~models.Q(why="site") & models.Q(to_site__isnull=True) & ~models.Q(to="")),
                name="loadout_goes_somewhere",
            ),
        ]
        indexes = [
            models.Index(fields=["to_site", "state"], name="loadout_coming"),
        ]

    def __str__(self) -> str:
        return f"Load {self.number}"

    @property
    def destination(self) -> str:
        return self.to_site.name if self.to_site else self.to


class LoadedQuerySet(LedgerQuerySet):
    def on(self, load: LoadOut) -> "LoadedQuerySet":
        """What lies on the load, in the order in which it was put on."""
        return self.standing().filter(loadout=load).order_by("id")


class Loaded(PieceEntry):
    """A piece was put on a load; taking it off again reverses the entry."""

    loadout = models.ForeignKey(LoadOut, on_delete=models.PROTECT, related_name="loaded")
    lift = models.CharField(max_length=30)
    protectors = models.CharField(max_length=10, choices=list(PROTECTORS.items()), blank=True)
    damage = models.CharField(max_length=200, blank=True)

    objects = LoadedQuerySet.as_manager()

    class Meta(PieceEntry.Meta):
        constraints = [
            *PieceEntry.Meta.constraints,
            models.CheckConstraint(
                condition=models.Q(protectors__in=list(PROTECTORS)), name="loaded_protectors"
            ),
        ]


class LoadSheetQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "LoadSheetQuerySet":
        """The lists that left a site of this person, or went to one."""
        sites = Site.objects.for_user(user)
        mine = models.Q(loadout__site__in=sites) | models.Q(loadout__to_site__in=sites)
        return self.filter(mine, code__isnull=False)


class LoadSheet(Entry):
    """The list of a load as it left: canonical text from which all paper is drawn. Taking the load back
    reverses it; sending it again writes the next revision."""

    loadout = models.ForeignKey(LoadOut, on_delete=models.PROTECT, related_name="sheets")
    revision = models.PositiveIntegerField()
    code = models.CharField(max_length=7, unique=True, null=True)
    digest = models.CharField(max_length=64, blank=True)
    content = models.TextField(blank=True)
    reason = models.CharField(max_length=300, blank=True)

    objects = LoadSheetQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.UniqueConstraint(
                fields=["loadout", "revision"],
                condition=models.Q(reverses__isnull=True),
                name="loadsheet_revision",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.loadout}, revision {self.revision}"


class Arrival(Entry):
    """What came at the other end, in one go: how many, what was short and what was over, by name."""

    loadout = models.ForeignKey(LoadOut, on_delete=models.PROTECT, related_name="arrivals")
    sheet = models.ForeignKey(LoadSheet, on_delete=models.PROTECT, related_name="arrivals")
    place = models.ForeignKey(Place, null=True, on_delete=models.PROTECT, related_name="+")
    came_n = models.PositiveIntegerField()
    complete = models.BooleanField()
    short = models.TextField(default="[]")
    over = models.TextField(default="[]")
    remark = models.CharField(max_length=300, blank=True)
