"""What the office adds to the handbook tables: rows of its own, each with its source, that grow only."""

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from django.db import models

from rack.calc.lookup import OPEN_TABLES, TABLES, Catalogue
from rack.calc.losses import SHIPPED
from rack.models.journal import Entry, LedgerQuerySet


class OfficeRowQuerySet(LedgerQuerySet):
    def of_table(self, table: str) -> "OfficeRowQuerySet":
        return self.filter(table=table)

    def governing(self) -> list["OfficeRow"]:
        """Of each entry of a table the row that was added last and not taken back, in table order."""
        rows: list[Any] = list(self.standing().order_by("id"))
        latest = {(row.table, row.supersedes): row for row in rows}
        return sorted(latest.values(), key=lambda row: (TABLES.index(row.table), row.pk))


class OfficeRow(Entry):
    """A row of the office in one of the shipped tables. Its source is part of it.

    `values` is canonical JSON text, column -> cell as text, in the table's own units; `supersedes` is
    the canonical text of the key columns: the shipped row with the same key is out of force. A row
    that `reverses` another takes it back. There is no site: a figure is the same at all of them.
    """

    table = models.CharField(max_length=40)
    values = models.TextField()
    source = models.CharField(max_length=200)
    supersedes = models.TextField()

    objects = OfficeRowQuerySet.as_manager()

    class Meta(Entry.Meta):
        constraints = [
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=models.Q(table__in=list(OPEN_TABLES)), name="officerow_table"),
            models.CheckConstraint(condition=~models.Q(source=""), name="officerow_source"),
        ]
        indexes = [models.Index(fields=["table", "id"], name="officerow_table")]

    def __str__(self) -> str:
        return f"{self.table}: {self.source}"

    @property
    def cells(self) -> dict[str, str]:
        """The row as calc reads it, its source among the cells."""
        cells: dict[str, str] = json.loads(self.values)
        return {**cells, "source": self.source}


def catalogue_of(rows: Iterable[OfficeRow]) -> Catalogue:
    """The shipped tables with these rows of the office in force."""
    own: dict[str, list[Mapping[str, str]]] = {}
    for row in rows:
        own.setdefault(row.table, []).append(row.cells)
    return Catalogue(own)


def catalogue() -> Catalogue:
    """Every table as it is in force now: one query, made by whoever asks calc for a figure.

    While the same rows govern it is the same object, so that what was worked out with it may be kept.
    """
    rows = tuple(OfficeRow.objects.all().governing())
    return _same(tuple((row.pk, row.table, row.values, row.source) for row in rows))


@lru_cache(maxsize=4)
def _same(rows: tuple[tuple[int, str, str, str], ...]) -> Catalogue:
    own = [OfficeRow(pk=pk, table=table, values=values, source=source) for pk, table, values, source in rows]
    return catalogue_of(own) if own else SHIPPED
