"""The journal and the abstract ledgers: rows that are added, never edited and never deleted."""

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import F, Value
from django.db.models.functions import Coalesce
from django.db.models.lookups import Exact


class Journal(models.Model):
    """One line an intention: who, when by their own clock and by the server's, and what was asked.

    `key` makes every action safe to repeat: the same key with the same body gives the first
    answer again, the same key with another body is refused.
    """

    key = models.UUIDField(unique=True)
    body_digest = models.CharField(max_length=64)
    verb = models.CharField(max_length=40)
    site = models.ForeignKey("rack.Site", null=True, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    device = models.ForeignKey("rack.Device", null=True, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(null=True)
    at = models.DateTimeField()
    sentence = models.TextField()
    facts = models.TextField()

    class Meta:
        indexes = [
            models.Index(fields=["site", "-id"], name="journal_site"),
            models.Index(fields=["by", "-id"], name="journal_by"),
        ]

    def __str__(self) -> str:
        return self.sentence


class LedgerQuerySet(models.QuerySet):
    """Reading a ledger: what still stands and what was reversed."""

    def standing(self) -> Self:
        """Entries that are neither a reversal nor reversed."""
        return self.entered().filter(reversed_by=None)

    def entered(self) -> Self:
        """Entries that take nothing back, whether they were taken back themselves or not.

        Asked of a computed figure and not of the column: SQLite takes every blank of a unique column
        for one row, and would walk through the whole ledger by that index, once for each line.
        """
        reverses = Coalesce(F("reverses_id"), Value(0), output_field=models.BigIntegerField())
        return self.filter(Exact(reverses, 0))


class Entry(models.Model):
    """A row of a ledger. `reverses` points at the entry that this one takes back, once at most."""

    # No index of its own: the unique pair and the piece's index begin with the same column.
    journal = models.ForeignKey(
        Journal, on_delete=models.PROTECT, related_name="%(class)s_rows", db_index=False
    )
    seq = models.PositiveIntegerField(default=0)
    at = models.DateTimeField()
    reverses = models.OneToOneField("self", null=True, on_delete=models.PROTECT, related_name="reversed_by")

    objects = LedgerQuerySet.as_manager()

    class Meta:
        abstract = True
        constraints = [models.UniqueConstraint(fields=["journal", "seq"], name="%(class)s_journal_seq")]


class PieceEntry(Entry):
    """A ledger row about one piece; its line of time merges all of these."""

    component = models.ForeignKey(
        "rack.Component", on_delete=models.PROTECT, related_name="%(class)s_rows", db_index=False
    )

    class Meta(Entry.Meta):
        abstract = True
        indexes = [models.Index(fields=["component", "-at", "-id"], name="%(class)s_piece")]
