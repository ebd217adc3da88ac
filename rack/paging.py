"""Pages by key: next and back are answered from an index, wherever in the list they lie."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.db.models import Q, QuerySet
from django.http import HttpRequest

PAGE = 50


@dataclass(frozen=True)
class KeyPage:
    """One page of rows with the addresses of its neighbours ("" for none)."""

    rows: list[Any]
    back: str
    next: str


def page_by_key(request: HttpRequest, rows: QuerySet[Any], key: str, size: int = PAGE) -> KeyPage:
    """One page of `rows` in the order of (`key`, id), after or before the row that the address names."""
    before, after = (_cursor(request.GET.get(way, ""), rows, key) for way in ("before", "after"))
    if before:
        found = list(_beyond(rows, key, before, up=False).order_by(f"-{key}", "-id")[: size + 1])
        more_back, more_next = len(found) > size, True
        shown = found[:size][::-1]
    else:
        start = _beyond(rows, key, after, up=True) if after else rows
        found = list(start.order_by(key, "id")[: size + 1])
        more_back, more_next = bool(after), len(found) > size
        shown = found[:size]
    return KeyPage(
        rows=shown,
        back=_address(request, "before", shown[0], key) if shown and more_back else "",
        next=_address(request, "after", shown[-1], key) if shown and more_next else "",
    )


def _beyond(rows: QuerySet[Any], key: str, cursor: tuple[str, int], *, up: bool) -> QuerySet[Any]:
    """Rows beyond the cursor. The plain range on `key` is for the index; the rest settles equal keys."""
    value, ident = cursor
    to = "gt" if up else "lt"
    return rows.filter(**{f"{key}__{to}e": value}).filter(
        Q(**{f"{key}__{to}": value}) | Q(**{f"id__{to}": ident})
    )


def _cursor(text: str, rows: QuerySet[Any], key: str) -> tuple[str, int] | None:
    """The key and id of "KD4101.17"; None for anything else, which shows the first page."""
    value, dot, ident = text.rpartition(".")
    if not dot or not ident.isdecimal() or len(ident) > 18 or "\0" in value:
        return None
    try:
        rows.filter(**{f"{key}__gte": value})  # a word where the key is a number
    except ValueError:
        return None
    return value, int(ident)


def _address(request: HttpRequest, way: str, row: Any, key: str) -> str:
    kept = [(name, value) for name, value in request.GET.lists() if name not in ("before", "after")]
    pairs = [(name, value) for name, values in kept for value in values]
    return "?" + urlencode([*pairs, (way, f"{getattr(row, key)}.{row.pk}")])
