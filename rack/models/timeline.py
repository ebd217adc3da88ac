"""The line of time of a piece: every ledger that speaks of it, newest first."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from heapq import merge
from itertools import islice
from typing import Any

from django.apps import apps
from django.db.models import QuerySet

from rack.calc.lengths import Length
from rack.models.deliveries import Delivered
from rack.models.journal import PieceEntry
from rack.models.pieces import Component
from rack.models.tallies import Strap

MOST = 50


@dataclass(frozen=True)
class Moment:
    """One entry: when, by whom, what happened, and the detail behind it."""

    at: datetime
    ident: int
    who: str
    what: str
    detail: str


def line_of_time(piece: Component, most: int = MOST) -> list[Moment]:
    """The newest entries of every ledger about `piece`, newest first; blind readings stay away."""
    ledgers: list[QuerySet[Any]] = [
        model._default_manager.filter(component=piece)
        for model in apps.get_models()
        if issubclass(model, PieceEntry)
    ]
    ledgers += [Strap.objects.visible().filter(component=piece), Delivered.objects.filter(component=piece)]
    each = (
        map(_moment, rows.select_related("journal", "journal__by").order_by("-at", "-id")[:most])
        for rows in ledgers
    )
    newest = islice(merge(*each, key=lambda moment: (moment.at, moment.ident), reverse=True), 2 * most)
    return _one_a_line(newest)[:most]


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
    by = row.journal.by
    who = (by.get_full_name() or by.get_username()) if by else "the program"
    return Moment(row.at, row.journal_id, who, row.journal.sentence, _detail(row))


def _detail(row: Any) -> str:
    if isinstance(row, Strap):
        if row.what == "ended":
            return "the length is no longer valid"
        unit = row.typed_unit if row.typed_unit in ("ft", "m") else "ft"
        length = f"{Length(row.nm or 0).shown(unit, 3 if unit == 'm' else 2)} {unit}, {row.kind}"
        back = "taken back: " if row.reverses_id else ""
        return ", ".join(
            part for part in (f"{back}{length}", row.hands, row.tape and f"tape {row.tape}") if part
        )
    if isinstance(row, Delivered):
        given = json.loads(row.read).get("pipe_class", "")
        return f"row {row.row_n} of the list" + (f"; class on the list: {given}" if given else "")
    return ""
