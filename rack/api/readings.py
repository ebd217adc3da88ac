"""POST /api/readings: the one door by which lengths come in, from the page and from the phone."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID, uuid5

from django.core.exceptions import RequestDataTooBig
from django.db import DatabaseError
from django.http import HttpRequest
from ninja import Router, Status
from pydantic import ValidationError

from rack.actions import straps as actions
from rack.actions.journal import Asked, Hand
from rack.api.schemas import MOST, Fate, ProblemOut, QuestionOut, ReadingIn, RefusalOut, ResultOut
from rack.api.words import sentence
from rack.calc.checks import note, stops
from rack.calc.lengths import Length
from rack.desk import device_of
from rack.errors import AlreadyUsed, ChangedMeanwhile, Refused, TierbookError
from rack.models import Journal, Line, Strap, Tally
from rack.models.strapping import Sums, sums_of

router = Router(tags=["readings"])

#: A line that is tied to a piece in the same moment is read again so often before it is given up.
TRIES = 3
SHUT = "Stored. The second strap is open: the first one is shown again when the second is finished."

_BODY = {
    "requestBody": {
        "required": True,
        "content": {"application/json": {"schema": {
            "type": "array", "maxItems": MOST, "items": ReadingIn.model_json_schema(),
        }}},
    }
}


@dataclass
class _Call:
    """One call: who sends, what failed so far, and what its entries share."""

    user: Any
    device: Any
    failed: set[UUID] = field(default_factory=set)
    tallies: dict[int, Tally | None] = field(default_factory=dict)
    sums: dict[tuple[int, int], Sums | None] = field(default_factory=dict)

    def tally(self, pk: int | None) -> Tally:
        """The tally, which this person may see."""
        if pk not in self.tallies:
            rows = Tally.objects.for_user(self.user).select_related("site", "spec")
            self.tallies[pk or 0] = rows.filter(pk=pk).first()
        found = self.tallies[pk or 0]
        if found is None:
            raise Refused([stops("There is no such tally here.", code="tally")])
        return found

    def sums_of(self, tally: Tally, strap_n: int) -> Sums | None:
        """The sums of a strap after all entries of the call; none where they are not to be seen now."""
        place = (tally.pk, strap_n)
        if place not in self.sums:
            self.sums[place] = None if strap_n == 1 and tally.is_blind else sums_of(tally, strap_n)
        return self.sums[place]


@router.post(
    "/readings", operation_id="post_readings", openapi_extra=_BODY,
    response={200: list[ResultOut], 400: RefusalOut, 401: RefusalOut, 403: RefusalOut, 413: RefusalOut},
    summary="Store readings",
)
def post_readings(request: HttpRequest) -> Any:
    """Store a list of entries, each by itself, and answer each in the same order.

    A bad entry never loses the others. An entry that was sent before is answered "repeated" and
    stored once; the same key with something else in it is a "conflict".
    """
    items, refusal = _items(request)
    if refusal:
        return refusal
    call = _Call(request.user, device_of(request))
    done = [_one(call, item) for item in items]
    return [_answer(call, result, strap) for result, strap in done]


def _items(request: HttpRequest) -> tuple[list[Any], Status | None]:
    """The list in the body, or the refusal of the whole."""
    try:
        items = json.loads(request.body)
    except RequestDataTooBig:
        return [], _refusal(413, f"This is too much for one call; send at most {MOST} readings at once.")
    except (ValueError, RecursionError):
        return [], _refusal(400, "This is not JSON. Send a list of readings as JSON.")
    if not isinstance(items, list):
        return [], _refusal(400, "Send a list of readings, also for a single one.")
    if len(items) > MOST:
        return [], _refusal(400, f"{len(items)} readings are too many for one call; send at most {MOST}.")
    return items, None


def _refusal(status: int, sentence: str) -> Status:
    return Status(status, {"refused": sentence})


_Done = tuple[ResultOut, Strap | None]


def _one(call: _Call, item: Any) -> _Done:
    """One entry, whatever it is: no problem of it reaches the others."""
    try:
        entry = ReadingIn.model_validate(item)
    except ValidationError as wrong:
        key = str(item.get("key", ""))[:60] if isinstance(item, dict) else ""
        told = _told(stops(sentence(one)) for one in wrong.errors())
        return ResultOut(key=key, status="refused", problems=told), None
    try:
        if {entry.takes_back, entry.confirms} & call.failed:
            raise DatabaseError("what it speaks of was not stored")
        return _stored(call, entry)
    except AlreadyUsed as used:
        return _result(entry, "conflict", problems=_told([stops(str(used))])), None
    except Refused as refused:
        return _result(entry, "refused", problems=_told(refused.problems)), None
    except TierbookError as refused:
        return _result(entry, "refused", problems=_told([stops(str(refused))])), None
    except DatabaseError:
        call.failed.add(entry.key)
        told = _told([note("The store did not take this one now; it is sent again.")])
        return _result(entry, "failed", problems=told), None


def _result(entry: ReadingIn, status: Fate, **more: Any) -> ResultOut:
    return ResultOut(key=str(entry.key), status=status, **more)


def _stored(call: _Call, entry: ReadingIn) -> _Done:
    asked = Asked(entry.key, Hand(call.user, call.device, entry.made_at))
    again = Journal.objects.filter(key=entry.key).exists()
    strap = _again(lambda: _act(call, entry, asked))
    row = _line_of(strap)
    return _result(entry, "repeated" if again else "stored", line=row.pk, painted=row.painted), strap


def _act(call: _Call, entry: ReadingIn, asked: Asked) -> Strap:
    """Do what the entry asks; the reading that it is about comes back."""
    if entry.takes_back:
        return actions.take_back(asked, _reading(call, entry.takes_back))
    if entry.confirms:
        strap = _reading(call, entry.confirms)
        actions.confirm(asked, strap)
        return strap
    tally = call.tally(entry.tally)
    line = None
    if entry.line:
        line = tally.lines.filter(pk=entry.line).select_related("tally", "component__spec").first()
        if line is None:
            raise Refused([stops(f"There is no such line on {tally}.", code="line")])
    reading = actions.Reading(tally, entry.typed, entry.strap_n, line, entry.painted, entry.unit)
    strap = actions.read(asked, reading)
    if entry.confirm and strap.questions_n:
        # The yes has a key of its own that follows from the first: sent again, it is the same one.
        actions.confirm(Asked(uuid5(entry.key, "confirm"), asked.hand), strap)
    return strap


def _reading(call: _Call, key: UUID) -> Strap:
    """The reading that was stored under `key`, on a tally that this person may see."""
    tallies = Tally.objects.for_user(call.user)
    rows = Strap.objects.entered().filter(journal__key=key, line__tally__in=tallies)
    strap = rows.select_related("line", "line__tally", "line__tally__site").first()
    if strap is None:
        raise Refused([stops("There is no such reading here.", code="reading")])
    return strap


def _line_of(strap: Strap) -> Line:
    if strap.line is None:
        raise Refused([stops("This reading belongs to no line of a tally.", code="line")])
    return strap.line


def _again(act: Callable[[], Strap]) -> Strap:
    for _ in range(TRIES - 1):
        try:
            return act()
        except ChangedMeanwhile:
            continue
    return act()


def _answer(call: _Call, result: ResultOut, strap: Strap | None) -> ResultOut:
    """Fill in what may be seen: of the first strap nothing while the second is open (law 13).

    Done when every entry is stored, since a second strap may have been begun while they were.
    """
    if strap is None:
        return result
    tally = _line_of(strap).tally
    sums = call.sums_of(tally, strap.strap_n)
    if sums is None:
        result.problems = _told([note(SHUT)])
        return result
    result.count, result.unread = sums.count, sums.unread
    result.total = sums.total.shown(tally.unit, tally.digits)
    result.shown = Length(strap.nm or 0).shown(tally.unit, tally.digits)
    if strap.questions_n and not strap.consents.exists():
        result.questions = [QuestionOut(**found) for found in json.loads(strap.questions)]
    return result


def _told(problems: Any) -> list[ProblemOut]:
    return [ProblemOut(severity=str(problem.severity), text=problem.text) for problem in problems]
