"""The line of time of a piece: every ledger that speaks of it, newest first."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.apps import apps
from django.db.models import BigIntegerField, F, Min, QuerySet, TextField, Value
from django.db.models.functions import Cast

from rack.calc.lengths import Length
from rack.models.deliveries import Delivered
from rack.models.journal import PieceEntry
from rack.models.pieces import Component
from rack.models.runs import Hours
from rack.models.tallies import Strap

MOST = 50
#: So many rows of ledgers one line of the journal writes about a piece, at most: the clocks of a time line.
ROWS_A_LINE = 6

_NO_TEXT = Value("", output_field=TextField())
#: Cast, so that each part of the one question has the same type in the same column.
_NO_FIGURE = Cast(Value(None), BigIntegerField())
_BLANK = {
    "nm": _NO_FIGURE, "kind": _NO_TEXT, "typed_unit": _NO_TEXT, "hands": _NO_TEXT, "tape": _NO_TEXT,
    "what": _NO_TEXT, "stands": _NO_TEXT, "row_n": _NO_FIGURE, "read": _NO_TEXT,
}  # fmt: skip


@dataclass(frozen=True)
class Moment:
    """One entry: when, by whom, what happened, and the detail behind it."""

    at: datetime
    ident: int
    who: str
    what: str
    detail: str


def line_of_time(piece: Component, most: int = MOST) -> list[Moment]:
    """The newest entries of every ledger about `piece`, newest first; blind readings stay away.

    One question to the database, however many ledgers there are.
    """
    ledgers = [model for model in apps.get_models() if issubclass(model, PieceEntry)]
    parts = [_part(_of(model, piece)) for model in ledgers]
    read = {name: F(name) for name in ("nm", "kind", "typed_unit", "hands", "tape", "what", "stands")}
    parts.append(_part(Strap.objects.visible().filter(component=piece), rank=1, **read))
    listed = Delivered.objects.filter(component=piece)
    parts.append(_part(listed, rank=2, row_n=F("row_n"), read=F("read")))
    rows = parts[0].union(*parts[1:], all=True).order_by("-at", "-journal_id", "of_rank", "-id")
    # A line of hours is a row for each clock: so many more are read, and fifty lines are shown.
    return _one_a_line(map(_moment, rows[: ROWS_A_LINE * most]))[:most]


def _of(model: type[PieceEntry], piece: Component) -> QuerySet[Any]:
    """The entries of a ledger about a piece. Of hours one row stands for its line of the journal.

    A week of tours gives a piece hundreds of rows at once, and they would crowd out everything else.
    """
    entries = model._default_manager.filter(component=piece)
    if model is not Hours:
        return entries
    first = entries.order_by().values("journal").annotate(first=Min("pk")).values("first")
    return entries.filter(pk__in=first)


def _part(entries: QuerySet[Any], rank: int = 0, **given: Any) -> QuerySet[Any]:
    """The entries of one ledger as rows with the same columns for each; what it does not know is blank."""
    by = {f"by_{name}": F(f"journal__by__{name}") for name in ("username", "first_name", "last_name")}
    more = {f"of_{name}": given.get(name, blank) for name, blank in _BLANK.items()}
    rows = entries.order_by().annotate(of_rank=Value(rank), sentence=F("journal__sentence"), **by, **more)
    return rows.values_list(
        "at", "id", "journal_id", "reverses_id", "sentence", *by, "of_rank", *more, named=True
    )


def _one_a_line(moments: Iterable[Moment]) -> list[Moment]:
    """One moment for each journal line: an action that wrote to several ledgers happened once."""
    once: dict[int, Moment] = {}
    for moment in moments:
        first = once.setdefault(moment.ident, moment)
        if moment.detail and moment.detail not in first.detail:
            detail = f"{first.detail}; {moment.detail}" if first.detail else moment.detail
            once[moment.ident] = replace(first, detail=detail)
    return list(once.values())


def _moment(row: Any) -> Moment:
    full = " ".join(name for name in (row.by_first_name, row.by_last_name) if name)
    who = full or row.by_username or "the program"
    return Moment(row.at, row.journal_id, who, row.sentence, _detail(row))


def _detail(row: Any) -> str:
    if row.of_what == "ended":
        return "the length is no longer valid"
    if row.of_nm is not None:
        unit = row.of_typed_unit if row.of_typed_unit in ("ft", "m") else "ft"
        length = f"{Length(row.of_nm).shown(unit, 3 if unit == 'm' else 2)} {unit}, {row.of_kind}"
        length += row.of_stands and f", {row.of_stands}"
        back = "taken back: " if row.reverses_id else ""
        tape = row.of_tape and f"tape {row.of_tape}"
        return ", ".join(part for part in (f"{back}{length}", row.of_hands, tape) if part)
    if row.of_read:
        given = json.loads(row.of_read).get("pipe_class", "")
        return f"row {row.of_row_n} of the list" + (f"; class on the list: {given}" if given else "")
    return ""
