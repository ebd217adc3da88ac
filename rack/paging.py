"""Pages by key: next and back are answered from an index, wherever in the list they lie."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.exceptions import ValidationError
from django.db.models import F, Func, IntegerField, QuerySet, Value
from django.db.models.lookups import GreaterThan, LessThan
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
    field = _field(rows, key)
    before, after = (_cursor(request.GET.get(way, ""), field) for way in ("before", "after"))
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


class _Row(Func):
    """Columns compared as one row: an index is entered at the row itself, also among thousands of one key."""

    template = "(%(expressions)s)"
    output_field = IntegerField()


def _beyond(rows: QuerySet[Any], key: str, cursor: tuple[Any, int], *, up: bool) -> QuerySet[Any]:
    value, ident = cursor
    at = _Row(Value(value, output_field=_field(rows, key)), Value(ident))
    here = _Row(F(key), F("id"))
    return rows.filter(GreaterThan(here, at) if up else LessThan(here, at))


def _field(rows: QuerySet[Any], key: str) -> Any:
    """The field of a key: a column, or what was worked out for each row."""
    worked = rows.query.annotations.get(key)
    return rows.model._meta.get_field(key) if worked is None else worked.output_field  # type: ignore[union-attr]


def _cursor(text: str, field: Any) -> tuple[Any, int] | None:
    """The key and id of "KD4101.17"; None for anything else, which shows the first page."""
    value, dot, ident = text.rpartition(".")
    if not dot or not ident.isdecimal() or len(ident) > 18 or "\0" in value:
        return None
    try:
        found = field.to_python(value)
    except ValidationError:
        return None
    if isinstance(found, int) and abs(found) >= 2**63:  # no column holds it
        return None
    return found, int(ident)


def _address(request: HttpRequest, way: str, row: Any, key: str) -> str:
    kept = [(name, value) for name, value in request.GET.lists() if name not in ("before", "after")]
    pairs = [(name, value) for name, values in kept for value in values]
    return "?" + urlencode([*pairs, (way, f"{getattr(row, key)}.{row.pk}")])
