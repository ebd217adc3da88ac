"""Batches of a grid as its page sends them: each with its own key, stored once however often it is sent."""

import json
import uuid
from typing import Any

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from inspection.actions.batches import Recorded, record_rows
from inspection.actions.found import Found, Head, Read
from inspection.calc.grid import GridRow, read_row
from inspection.views.recording import said_of
from inspection.views.sheets import Sheet, sheet_of
from rack.actions.journal import Asked, Hand
from rack.calc.checks import Problem, stops
from rack.desk import at_desk, device_of, site_of
from rack.errors import AlreadyUsed, TierbookError
from rack.models import Component, Hold, Site

#: Rows of one batch, and batches of one request.
AT_ONCE, MOST_BATCHES = 25, 10


class Unfit(TierbookError):
    """What was sent is no batch of a grid."""


@at_desk("inspect")
@require_POST
def inspect_grid_save(request: HttpRequest) -> JsonResponse:
    """Store batches of rows; the answer says of each row what became of it."""
    try:
        asked, site = _asked(request), site_of(request)
        sheet = sheet_of(request, asked["token"], site)
        answers = [_batch(request, site, sheet, each) for each in asked["batches"]]
    except TierbookError as wrong:
        return JsonResponse({"refused": str(wrong)}, status=wrong.status)
    return JsonResponse({"batches": answers})


def _asked(request: HttpRequest) -> dict[str, Any]:
    """What was sent, looked at for its shape only."""
    try:
        found = json.loads(request.body)
        batches = found["batches"]
        good = isinstance(found["token"], str) and isinstance(batches, list) and len(batches) <= MOST_BATCHES
        for one in batches if good else []:
            rows, reason = one["rows"], one.get("reason", "")
            uuid.UUID(one["key"])
            good = good and isinstance(rows, list) and 0 < len(rows) <= AT_ONCE and isinstance(reason, str)
            good = good and all(isinstance(row, dict) and isinstance(row.get("tag"), str) for row in rows)
            good = good and all(isinstance(text, str) for row in rows for text in row.values())
    except (ValueError, KeyError, TypeError, AttributeError):
        good = False
    if not good:
        raise Unfit("This is no batch of a grid. Load the page again; what was typed is kept.")
    return found  # type: ignore[no-any-return]


def _batch(request: HttpRequest, site: Site, sheet: Sheet, batch: dict[str, Any]) -> dict[str, Any]:
    tags = [row["tag"] for row in batch["rows"]]
    there = Component.objects.at(site).filter(tag__in=tags, pk__in=sheet.pieces)
    pieces = {piece.tag: piece for piece in there.select_related("spec", "site")}
    found, wrong = _read_rows(site, sheet, pieces, batch["rows"])
    both = (sheet.reason, " ".join(batch.get("reason", "").replace("\0", "").split())[:140])
    reason = "; ".join(text for text in both if text)
    done = _record(request, batch["key"], site, sheet.head(site), found, reason)
    holds = _holds(done)
    return {"key": batch["key"], "rows": [_answer(tag, pieces, done, wrong, holds) for tag in tags]}


def _read_rows(
    site: Site, sheet: Sheet, pieces: dict[str, Component], rows: list[dict[str, str]]
) -> tuple[list[Found], dict[str, list[Problem]]]:
    """What the rows say, and by tag what is wrong with those that cannot be read."""
    found: dict[str, Found] = {}
    wrong: dict[str, list[Problem]] = {}
    first = next(iter(pieces.values()), None)
    columns, by = (sheet.columns(site, first), sheet.scheme_of(site, first)) if first else ((), None)
    for row in rows:
        tag, piece = row["tag"], pieces.get(row["tag"])
        if piece is None or by is None:
            wrong[tag] = [stops("This piece is not on the sheet, or at another site now.", code="piece")]
        elif tag in found:
            wrong[tag] = [stops("This piece stands twice in the batch.", code="twice")]
        else:
            read = read_row(row, columns, sheet.methods, by, sheet.unit)
            if read.wrong:
                wrong[tag] = [stops(text, code="typed", where=str(piece)) for text in read.wrong]
            else:
                found[tag] = _found(piece, read)
    return list(found.values()), wrong


def _found(piece: Component, row: GridRow) -> Found:
    reads = tuple(Read(reading, "found", typed[:40]) for reading, typed in row.reads)
    return Found(
        piece, tuple(row.looks), reads, row.given, row.as_ends, paint=row.paint, remarks=row.remarks
    )


def _record(
    request: HttpRequest, key: str, site: Site, head: Head, found: list[Found], reason: str
) -> Recorded:
    if not found:
        return Recorded()
    user = request.user if request.user.is_authenticated else None
    asked = Asked(uuid.UUID(key), Hand(user, device_of(request)))
    try:
        return record_rows(asked, site, head, found, reason=reason)
    except AlreadyUsed:
        said = "These rows were stored already with other figures. Look at the piece, then send them again."
        return Recorded(problems={one.piece.pk: [stops(said, code="used")] for one in found})


def _holds(done: Recorded) -> dict[int, str]:
    lines = {row.journal_id for row in done.rows.values()}
    rows = Hold.objects.filter(journal__in=lines, what="put").values_list("component", "reason")
    return dict(rows)


def _answer(
    tag: str, pieces: dict[str, Component], done: Recorded, wrong: dict[str, list[Problem]],
    holds: dict[int, str],
) -> dict[str, Any]:  # fmt: skip
    piece = pieces.get(tag)
    pk = piece.pk if piece else 0
    problems = [_said(one) for one in wrong.get(tag) or done.problems.get(pk, [])]
    row = done.rows.get(pk)
    if row is None:
        return {"tag": tag, "status": "refused", "problems": problems}
    says = [text for text in (row.differs, f"Held: {holds[pk]}" if pk in holds else "") if text]
    return {
        "tag": tag, "status": "stored", "class": row.class_held, "said": said_of(row), "says": says,
        "problems": problems, "address": reverse("inspection", args=[row.pk]),
    }  # fmt: skip


def _said(one: Problem) -> dict[str, str]:
    behind = [f"measured {one.measured} {one.unit}".strip() if one.measured else "",
              f"limit {one.limit} {one.unit}".strip() if one.limit else "", one.source]  # fmt: skip
    return {"severity": one.severity, "text": one.text, "behind": " · ".join(text for text in behind if text)}
