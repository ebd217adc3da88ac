"""Holding kept figures to the subqueries that rebuild them."""

from collections.abc import Callable, Iterator
from typing import Any

from django.db.models import QuerySet

from rack.auditing.difference import Difference


def compare(
    rows: QuerySet[Any], of: Callable[[dict[str, Any]], str], more: tuple[str, ...], **should: Any
) -> Iterator[Difference]:
    """Hold each kept figure to its subquery: one statement for the table, a row in memory at a time."""
    renamed = {f"should_{name}": expression for name, expression in should.items()}
    table = rows.order_by("pk").annotate(**renamed).values("pk", *more, *should, *renamed)
    for row in table.iterator():
        for name in should:
            if row[name] != row[f"should_{name}"]:
                yield Difference(of(row), name, row[name], row[f"should_{name}"])
