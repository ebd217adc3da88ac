"""What people do with planned strings: begin one, put pieces in, move them, take them out, answer a rule."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_pieces, lock_plan, lock_site
from rack.calc.checks import Problem, stops
from rack.errors import Refused
from rack.models import Component, Delivery, Plan, PlanLine, RuleConsent, Section, Site, Spec, String, Well
from rack.people import check_can

STEP = 1_000_000
MOST_COUNT, MOST_LINES = 1000, 3000


@dataclass(frozen=True)
class PlanHead:
    """What a plan is for. `wishes` is canonical JSON of what is asked of it."""

    title: str
    well: Well | None = None
    section: Section | None = None
    wishes: str = "{}"


@dataclass(frozen=True)
class Put:
    """One thing put into a plan: a piece, or so many pieces of a specification; and why it was chosen."""

    component: Component | None = None
    spec: Spec | None = None
    count: int = 1
    length_nm: int | None = None
    why: str = ""


def begin_plan(asked: Asked, site: Site, head: PlanHead, puts: Sequence[Put] = ()) -> Plan:
    """Begin a planned string, with these pieces from the bit upward where there are some already."""
    check_can(asked.hand.user, "plan", site)
    head = _checked(site, head)
    with transaction.atomic():
        body = {**_body(head), "site": site.pk, "puts": [_as_text(put) for put in puts]}
        line, again = open_line(asked, "begin plan", site, f"Began a plan: {head.title}", body)
        if again:
            return Plan.objects.get(begun_by=line)
        lock_pieces([put.component.pk for put in puts if put.component])
        lock_site(site.pk)
        last = Plan.objects.at(site).aggregate(last=Max("number"))["last"] or 0
        made = Plan.objects.create(site=site, number=last + 1, begun_by=line, **_columns(head))
        _put(made, puts, 0)
    return made


def change_plan(asked: Asked, plan: Plan, head: PlanHead, *, seen: int | None = None) -> Plan:
    """Write the head of a plan anew; the journal keeps what was said before."""
    head = _checked(plan.site, head)
    with transaction.atomic():
        now = _open(asked, "change plan", plan, f"Wrote the head of {plan} anew", _body(head), seen)
        if now:
            Plan.objects.filter(pk=plan.pk).update(**_columns(head))
    return Plan.objects.get(pk=plan.pk)


def put_in(asked: Asked, plan: Plan, puts: Sequence[Put], *, below: int | None = None,
           seen: int | None = None) -> None:  # fmt: skip
    """Put pieces into a plan, the first lowest: on top, or under the line whose primary key is `below`."""
    if not puts:
        raise Refused([stops("Choose what goes into the plan.", code="pieces")])
    with transaction.atomic():
        body = {"puts": [_as_text(put) for put in puts], "below": below}
        ids = [put.component.pk for put in puts if put.component]
        now = _open(asked, "put in plan", plan, f"Put {_count(puts)} into {plan}", body, seen, ids)
        if now:
            _put(now, puts, _room(now, below, len(puts)))


def take_out(asked: Asked, plan: Plan, lines: Sequence[int], *, seen: int | None = None) -> None:
    """Take lines out of a plan; the journal keeps which."""
    if not lines:
        raise Refused([stops("Tick what is to be taken out.", code="pieces")])
    with transaction.atomic():
        rows = list(plan.lines.filter(pk__in=lines).select_related("component", "spec"))
        what = ", ".join(str(row.component or f"{row.count_n} x {row.spec}") for row in rows[:5])
        body = {"lines": sorted(lines)}
        now = _open(asked, "take out of plan", plan, f"Took {what} out of {plan}"[:400], body, seen)
        if now:
            now.lines.filter(pk__in=lines).delete()


def move_line(asked: Asked, plan: Plan, line: int, *, up: bool, seen: int | None = None) -> None:
    """Let a line change places with the one above it, or with the one below it."""
    with transaction.atomic():
        body = {"line": line, "up": up}
        sentence = f"Moved a piece of {plan} {'up' if up else 'down'}"
        now = _open(asked, "move in plan", plan, sentence, body, seen)
        if now is None:
            return
        rows = list(now.lines.from_the_bit())
        at = next((n for n, row in enumerate(rows) if row.pk == line), None)
        other = None if at is None else at + (1 if up else -1)
        if at is None or other is None or not 0 <= other < len(rows):
            raise Refused([stops("It cannot be moved further.", code="order")])
        for row, rank in ((rows[at], rows[other].rank), (rows[other], rows[at].rank)):
            PlanLine.objects.filter(pk=row.pk).update(rank=rank)


def exchange(asked: Asked, plan: Plan, line: int, piece: Component) -> None:
    """Let another piece stand in the place of a line; the journal keeps which one stood there."""
    with transaction.atomic():
        row = plan.lines.filter(pk=line).select_related("component", "spec").first()
        was = (row.component or f"{row.count_n} x {row.spec}") if row else "a line"
        body = {"line": line, "piece": piece.pk}
        sentence = f"Put {piece} in the place of {was} in {plan}"[:400]
        now = _open(asked, "exchange in plan", plan, sentence, body, None, [piece.pk])
        if now is None:
            return
        if row is None or not now.lines.filter(pk=line).exists():
            raise Refused([stops("This line is not in the plan any more; look at it again.", code="order")])
        problems = _put_problems(now, [Put(piece)])
        if problems:
            raise Refused(problems)
        now.lines.filter(pk=line).update(component=piece, spec=None, count_n=1, length_nm=None, why="")


def end_plan(asked: Asked, plan: Plan) -> Plan:
    """End a plan: it stays in the book and shares no piece any more."""
    with transaction.atomic():
        now = _open(asked, "end plan", plan, f"Ended {plan}", {}, None)
        if now:
            today = timezone.now().astimezone(plan.site.zone).date()
            Plan.objects.filter(pk=plan.pk).update(ended_on=today)
    return Plan.objects.get(pk=plan.pk)


@dataclass(frozen=True)
class Yes:
    """A yes to what a rule asks: which rule, of what, why, until when.

    `lot` and `delivery` give it for a whole lot: then it needs a last day.
    """

    check_code: str
    reason: str
    where: str = ""
    component: Component | None = None
    lot: Spec | None = None
    ends_on: date | None = None
    delivery: Delivery | None = None


def consent(asked: Asked, of: Plan | String, yes: Yes) -> RuleConsent:
    """Say yes to what a rule asks of a string; only what asks can be answered, never what stops."""
    check_can(asked.hand.user, "string", of.site)
    reason = " ".join(yes.reason.split())[:300]
    if not reason:
        raise Refused([stops("Say why it is taken all the same; it is printed.", code="reason")])
    _check_end(of.site, yes)
    with transaction.atomic():
        key = "plan" if isinstance(of, Plan) else "string"
        body = {key: of.pk, "code": yes.check_code, "where": yes.where, "reason": reason,
                "ends_on": yes.ends_on,
                "component": yes.component and yes.component.pk, "lot": yes.lot and yes.lot.pk,
                "delivery": yes.delivery and yes.delivery.pk}  # fmt: skip
        sentence = f"Said yes to {yes.check_code} of {of}{_for_what(yes)}: {reason}"[:400]
        line, again = open_line(asked, "consent", of.site, sentence, body)
        if again:
            return RuleConsent.objects.get(journal=line)
        return RuleConsent.objects.create(
            journal=line, at=line.at, check_code=yes.check_code, where=yes.where[:120], reason=reason,
            component=yes.component, lot=yes.lot,
            delivery=yes.delivery, ends_on=yes.ends_on, **{key: of},
        )  # fmt: skip


def _check_end(site: Site, yes: Yes) -> None:
    """An answer for a whole lot ends on a day; no answer ends before it is given."""
    if (yes.lot or yes.delivery) and yes.ends_on is None:
        text = "Say until which day it holds: an answer for a whole lot comes to an end."
        raise Refused([stops(text, code="ends_on", where="ends_on")])
    if yes.ends_on and yes.ends_on < timezone.now().astimezone(site.zone).date():
        text = f"{yes.ends_on} is over already; nothing would be answered."
        raise Refused([stops(text, code="ends_on", where="ends_on")])
    if yes.delivery and yes.delivery.site_id != site.pk:
        raise Refused([stops("This delivery came to another site.", code="delivery")])


def _for_what(yes: Yes) -> str:
    what = f" for {yes.delivery}" if yes.delivery else f" for every {yes.lot}" if yes.lot else ""
    return what + (f" until {yes.ends_on}" if yes.ends_on else "")


def _open(
    asked: Asked, verb: str, plan: Plan, sentence: str, body: Mapping[str, object], seen: int | None,
    pieces: Sequence[int] = (),
) -> Plan | None:  # fmt: skip
    """Steps 1 and 2 of what is done to a plan; None where it was done before. Its version goes on by one."""
    check_can(asked.hand.user, "plan", plan.site)
    _, again = open_line(asked, verb, plan.site, sentence, {"plan": plan.pk, **body})
    if again:
        return None
    lock_pieces(pieces)
    now = lock_plan(plan.pk)
    check_version(now, seen)
    if now.ended_on:
        raise Refused([stops(f"{now} has ended; nothing changes in it any more.", code="plan")])
    Plan.objects.filter(pk=now.pk).update(version=F("version") + 1)
    return now


def _put(plan: Plan, puts: Sequence[Put], rank: int, step: int = STEP) -> None:
    problems = _put_problems(plan, puts)
    if problems:
        raise Refused(problems)
    PlanLine.objects.bulk_create(
        PlanLine(plan=plan, rank=rank + step * (n + 1), component=put.component,
                 spec=None if put.component else put.spec, count_n=put.count, length_nm=put.length_nm,
                 why=" ".join(put.why.split())[:160])
        for n, put in enumerate(puts)
    )  # fmt: skip


def _put_problems(plan: Plan, puts: Sequence[Put]) -> list[Problem]:
    there = set(plan.lines.exclude(component=None).values_list("component", flat=True))
    problems, seen = [], set(there)
    for put in puts:
        piece = put.component
        if piece is None:
            if put.spec is None or not 1 <= put.count <= MOST_COUNT:
                problems.append(stops(f"Put in 1 to {MOST_COUNT} pieces by count.", code="count"))
            continue
        if piece.site_id != plan.site_id:
            problems.append(stops(f"{piece} belongs to another site.", code="site", where=str(piece)))
        if piece.pk in seen:
            problems.append(stops(f"{piece} is in this plan already.", code="R20", where=str(piece)))
        seen.add(piece.pk)
    if plan.lines.count() + len(puts) > MOST_LINES:
        problems.append(stops(f"A plan holds up to {MOST_LINES:,} lines.", code="many"))
    return problems


def _room(plan: Plan, below: int | None, count: int) -> int:
    """The rank above which the new lines go; those above it are moved up to make room."""
    if below is None:
        return plan.lines.aggregate(top=Max("rank"))["top"] or 0
    line = plan.lines.filter(pk=below).first()
    if line is None:
        raise Refused([stops("The line under which they go is not in the plan any more.", code="order")])
    plan.lines.filter(rank__gte=line.rank).update(rank=F("rank") + STEP * count)
    return line.rank - STEP


def _checked(site: Site, head: PlanHead) -> PlanHead:
    title = " ".join(head.title.split())[:120]
    problems = []
    if not title:
        problems.append(stops("Give the plan a name.", code="title", where="title"))
    if head.well and head.well.site_id != site.pk:
        problems.append(stops("This well is of another site.", code="well", where="well"))
    if head.section and (head.well is None or head.section.well_id != head.well.pk):
        problems.append(stops("This section is of another well.", code="section", where="section"))
    if problems:
        raise Refused(problems)
    return PlanHead(title, head.well, head.section, head.wishes)


def _columns(head: PlanHead) -> dict[str, object]:
    return {name: getattr(head, name) for name in ("title", "well", "section", "wishes")}


def _body(head: PlanHead) -> dict[str, object]:
    return {"title": head.title, "well": head.well and head.well.pk,
            "section": head.section and head.section.pk, "wishes": head.wishes}  # fmt: skip


def _as_text(put: Put) -> str:
    what = put.component.pk if put.component else f"{put.count} of {put.spec and put.spec.pk}"
    return f"{what} {put.length_nm or ''}".strip()


def _count(puts: Sequence[Put]) -> str:
    number = sum(put.count for put in puts)
    return "1 piece" if number == 1 else f"{number} pieces"
