"""Deliveries that were accepted: the list, and what became of each of its rows."""

import json

from django.db import models

from rack.calc.checks import Problem, Severity
from rack.models.files import File
from rack.models.journal import Entry, LedgerQuerySet
from rack.models.people import Site
from rack.models.pieces import Component
from rack.models.places import Place


class DeliveryQuerySet(LedgerQuerySet):
    def for_user(self, user: object) -> "DeliveryQuerySet":
        return self.filter(site__in=Site.objects.for_user(user))

    def at(self, site: Site) -> "DeliveryQuerySet":
        return self.filter(site=site)

    def of_file(self, site: Site, sha256: str) -> "DeliveryQuerySet":
        """Deliveries that were accepted from the very same file at this site."""
        return self.standing().filter(site=site, file__sha256=sha256)


class Delivery(Entry):
    """One accepted list."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="deliveries")
    file = models.ForeignKey(File, on_delete=models.PROTECT, related_name="deliveries")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    sender = models.CharField(max_length=80, blank=True)
    mapping = models.TextField()
    counted = models.TextField()
    ticket = models.CharField(max_length=60, blank=True, db_default="")
    order_no = models.CharField(max_length=60, blank=True, db_default="")
    truck = models.CharField(max_length=60, blank=True, db_default="")
    hand_count_n = models.PositiveIntegerField(null=True, blank=True)

    objects = DeliveryQuerySet.as_manager()

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["site", "-id"], name="delivery_site")]

    def __str__(self) -> str:
        return f"Delivery {self.pk}: {self.file}"


class Delivered(Entry):
    """One row of an accepted list: as typed, as read, and the piece that it became, if any."""

    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="rows")
    sheet = models.CharField(max_length=80, blank=True)
    row_n = models.PositiveIntegerField()
    typed = models.TextField()
    read = models.TextField()
    fate = models.CharField(max_length=12, choices=[("accepted", "accepted"), ("left out", "left out")])
    component = models.ForeignKey(
        Component, null=True, on_delete=models.PROTECT, related_name="delivered_rows"
    )

    class Meta(Entry.Meta):
        indexes = [models.Index(fields=["delivery", "id"], name="delivered_delivery")]

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What the row said when the list was accepted: questions that were answered, notes of damage."""
        said = json.loads(self.read).get("problems", ())
        return tuple(Problem(Severity(one["severity"]), one["text"]) for one in said)


class RememberedMapping(models.Model):
    """How the columns of a sender were set when a list of theirs was last accepted: one row a sender."""

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="remembered_mappings")
    sender_key = models.CharField(max_length=80)
    mapping = models.TextField()
    delivery = models.ForeignKey(Delivery, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "sender_key"], name="one_mapping_a_sender"),
        ]

    def __str__(self) -> str:
        return f"Columns of {self.delivery.sender}, delivery {self.delivery_id}"
