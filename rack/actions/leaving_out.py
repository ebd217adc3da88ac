"""A string goes without a piece of its plan: written down with the reason, and taken back when it comes."""

from django.db import transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import lock_pieces, lock_string
from rack.calc.checks import Problem, stops
from rack.errors import Refused
from rack.models import Component, Journal, Member, NotRun, PlanLine, String
from rack.people import check_can


def leave_out(asked: Asked, string: String, piece: Component, reason: str) -> NotRun:
    """Go past a piece of the plan: it stays in the plan as not run, with the reason."""
    check_can(asked.hand.user, "run", string.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        text = f"Say why {string} goes without {piece}; the plan keeps it as not run."
        raise Refused([stops(text, code="reason", where="reason")])
    with transaction.atomic():
        body = {"string": string.pk, "piece": piece.pk, "reason": reason}
        sentence = f"Went past {piece} of the plan in {string}: {reason}"
        line, again = open_line(asked, "leave out", string.site, sentence, body)
        if again:
            return NotRun.objects.get(journal=line)
        now = _locked(string, piece)
        problems = _problems(now, piece)
        if problems:
            raise Refused(problems)
        return _written(line, now, piece, reason)


def call_back(asked: Asked, string: String, piece: Component) -> NotRun:
    """Take back that a string goes without a piece: it is one of the next of the plan again."""
    check_can(asked.hand.user, "run", string.site)
    with transaction.atomic():
        body = {"string": string.pk, "piece": piece.pk}
        sentence = f"{piece} of the plan comes in {string} after all"
        line, again = open_line(asked, "call back", string.site, sentence, body)
        if again:
            return NotRun.objects.get(journal=line)
        now = _locked(string, piece)
        row = NotRun.objects.standing().filter(string=now, component=piece).first()
        if row is None:
            raise Refused([stops(f"{piece} is not left out of {now}.", code="plan", where=str(piece))])
        return _written(line, now, piece, row.reason, reverses=row)


def _locked(string: String, piece: Component) -> String:
    lock_pieces([piece.pk])
    now = lock_string(string.pk)
    if now.ended_at:
        raise Refused([stops(f"{now} has come to its end; nothing changes in it any more.", code="string")])
    return now


def _problems(string: String, piece: Component) -> list[Problem]:
    if not PlanLine.objects.filter(plan=string.plan_id, component=piece).exclude(plan=None).exists():
        return [stops(f"{piece} is not in the plan of {string}.", code="plan", where=str(piece))]
    if Member.objects.filter(string=string, component=piece).exists():
        return [stops(f"{piece} was made up in {string}; lay it down.", code="plan", where=str(piece))]
    if NotRun.objects.standing().filter(string=string, component=piece).exists():
        return [stops(f"{piece} is left out of {string} already.", code="plan", where=str(piece))]
    return []


def _written(
    line: Journal, string: String, piece: Component, reason: str, *, reverses: NotRun | None = None
) -> NotRun:
    made = NotRun.objects.create(
        journal=line, at=line.at, component=piece, string=string, reason=reason, reverses=reverses
    )
    String.objects.filter(pk=string.pk).update(version=F("version") + 1)
    return made
