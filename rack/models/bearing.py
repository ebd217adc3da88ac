"""What stands on a piece now: the names it bears and the holds that were put on it, in one question."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import BigIntegerField, DateTimeField, F, QuerySet, TextField, Value
from django.db.models.functions import Cast

from rack.models.pieces import Component, Hold, Mark, MarkKind

_NO_TEXT = Value("", output_field=TextField())
_COLUMNS = ("is_hold", "id", "what", "words", "put_at", "photo_file", "username", "first_name", "last_name")


@dataclass(frozen=True)
class Bears:
    """A name that stands on the piece, and what sort of name it is."""

    what: str
    text: str


@dataclass(frozen=True)
class OpenHold:
    """A hold that nobody has released."""

    pk: int
    reason: str
    at: datetime
    by: str
    has_photo: bool = False


def borne_by(piece: Component) -> tuple[list[Bears], list[OpenHold]]:
    """The names that the piece bears now, by sort, and its open holds, the oldest first."""
    names = _part(
        Mark.objects.current().filter(component=piece), is_hold=0, words=F("text"),
        put_at=Cast(Value(None), DateTimeField()), photo_file=Cast(Value(None), BigIntegerField()),
        username=_NO_TEXT, first_name=_NO_TEXT, last_name=_NO_TEXT,
    )  # fmt: skip
    by = {name: F(f"journal__by__{name}") for name in ("username", "first_name", "last_name")}
    holds = _part(
        Hold.objects.filter(component=piece, what="put", released_by=None),
        is_hold=1, words=F("reason"), put_at=F("at"), photo_file=F("photo"), **by,
    )  # fmt: skip
    rows = list(names.union(holds, all=True).order_by("is_hold", "what", "id"))
    return (
        [Bears(MarkKind(row.what).label, row.words) for row in rows if not row.is_hold],
        [
            OpenHold(row.id, row.words, row.put_at, _name(row), bool(row.photo_file))
            for row in rows
            if row.is_hold
        ],
    )


def _part(rows: QuerySet[Any], *, is_hold: int, **columns: Any) -> QuerySet[Any]:
    return rows.order_by().annotate(is_hold=Value(is_hold), **columns).values_list(*_COLUMNS, named=True)


def _name(row: Any) -> str:
    full = " ".join(name for name in (row.first_name, row.last_name) if name)
    return full or row.username or "the program"
