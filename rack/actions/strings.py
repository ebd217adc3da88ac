"""What people do with a string as a whole: begin one for a well, change its head, end it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from django.db import transaction
from django.db.models import F, Max

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_site, lock_string
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.units import NM
from rack.errors import Refused
from rack.models import Journal, Plan, RuleConsent, Section, Site, String, Well
from rack.models.carrying import answers_that_hold, origin_of
from rack.people import check_can

#: The verb under which the journal has the corrections of a depth.
CORRECT = "correct depth"
STANDS = (1, 2, 3, 4)
#: No stick-up and no kelly is longer than this: 40 m.
LONGEST = Length(40 * NM["m"])


@dataclass(frozen=True)
class StringHead:
    """What is asked once at the head of a string. Lengths in nanometres."""

    well: Well
    section: Section | None = None
    title: str = ""
    stand_n: int = 3
    stick_up_nm: int = 0
    kelly_nm: int | None = None
    plan: Plan | None = None


def begin_string(
    asked: Asked, site: Site, head: StringHead, *, carry: Collection[int] | None = None
) -> String:
    """Begin a string for a well: nothing is in it yet.

    The answers to rules that hold on its plan are carried over, each with where it was given: those of the
    primary keys `carry`, or all of them. What is answered on the plan later stays with the plan.
    """
    check_can(asked.hand.user, "string", site)
    head = _checked(site, head)
    with transaction.atomic():
        body = {**_body(head), "carry": None if carry is None else sorted(carry)}
        line, again = open_line(asked, "begin string", site, f"Began a string for {head.well}", body)
        if again:
            return String.objects.get(begun_by=line)
        lock_site(site.pk)
        answers = _carried(head.plan, carry)
        last = String.objects.at(site).aggregate(last=Max("number"))["last"] or 0
        made = String.objects.create(
            site=site, number=last + 1, begun_by=line, begun_at=line.at, **_columns(head)
        )
        _carry(line, made, answers)
    return made


def _carried(plan: Plan | None, carry: Collection[int] | None) -> list[RuleConsent]:
    """The answers of the plan that go along; one that was seen and holds no longer is said."""
    holding = answers_that_hold(plan) if plan else []
    if carry is None:
        return holding
    if set(carry) - {one.pk for one in holding}:
        text = "An answer that was ticked holds no longer; look at what is left and begin again."
        raise Refused([stops(text, code="answer", where="answer")])
    return [one for one in holding if one.pk in carry]


def _carry(line: Journal, made: String, answers: Sequence[RuleConsent]) -> None:
    RuleConsent.objects.bulk_create(
        RuleConsent(
            journal=line, seq=seq, at=line.at, string=made, check_code=one.check_code, reason=one.reason,
            component_id=one.component_id, lot_id=one.lot_id, delivery_id=one.delivery_id, where=one.where,
            ends_on=one.ends_on, origin=origin_of(one),
        )
        for seq, one in enumerate(answers)
    )  # fmt: skip


def change_string(asked: Asked, string: String, head: StringHead, *, seen: int | None = None) -> String:
    """Write the head of a string anew; the journal keeps what was said before."""
    check_can(asked.hand.user, "string", string.site)
    head = _checked(string.site, head)
    with transaction.atomic():
        body = {"string": string.pk, **_body(head)}
        _, again = open_line(asked, "change string", string.site, f"Wrote the head of {string} anew", body)
        now = lock_string(string.pk)
        if again:
            return now
        check_version(now, seen)
        _running_only(now)
        head = replace(head, plan=head.plan or now.plan)
        String.objects.filter(pk=now.pk).update(version=F("version") + 1, **_columns(head))
    return String.objects.get(pk=string.pk)


def end_string(asked: Asked, string: String) -> String:
    """End a string whose pieces have all left it."""
    check_can(asked.hand.user, "string", string.site)
    with transaction.atomic():
        line, again = open_line(asked, "end string", string.site, f"Ended {string}", {"string": string.pk})
        now = lock_string(string.pk)
        if again:
            return now
        _running_only(now)
        there = now.members.now().count()
        counted = now.unlisted.standing().count()
        if there or counted:
            what = f"{there} pieces are" if there != 1 else "1 piece is"
            more = " Name or take back what is in it by count only." if counted else ""
            raise Refused([stops(f"{what} still in {now}: lay them down first.{more}", code="string")])
        String.objects.filter(pk=now.pk).update(ended_at=line.at, version=F("version") + 1)
    return String.objects.get(pk=string.pk)


def correct_depth(
    asked: Asked, string: String, nm: int, reason: str, *, seen: int | None = None
) -> String:
    """Write down what is added to the depth of this string in all, with the reason; 0 takes it away.

    No joint changes by it: where it comes from is a strap out of the hole (trade guide 5.4).
    """
    site = string.site
    check_can(asked.hand.user, "string", site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say where the correction comes from; it is printed.", code="reason")])
    if abs(nm) > LONGEST.nanometres:
        raise Refused(
            [stops("A correction of more than 40 m is a slip; look at the tally.", code="correction")]
        )
    with transaction.atomic():
        body = {"string": string.pk, "nm": nm, "reason": reason}
        much = Length(abs(nm)).shown(site.length_unit, site.digits)
        by = f"{'-' if nm < 0 else '+'}{much} {site.length_unit}"
        sentence = f"Corrected the depth of {string} by {by} in all: {reason}"
        _, again = open_line(asked, CORRECT, site, sentence, body)
        now = lock_string(string.pk)
        if again:
            return now
        check_version(now, seen)
        _running_only(now)
        String.objects.filter(pk=now.pk).update(correction_nm=nm, version=F("version") + 1)
    return String.objects.get(pk=string.pk)


def _running_only(string: String) -> None:
    if string.ended_at:
        text = f"{string} has come to its end; nothing changes in it any more."
        raise Refused([stops(text, code="string")])


def _checked(site: Site, head: StringHead) -> StringHead:
    problems: list[Problem] = []
    if head.well.site_id != site.pk:
        problems.append(stops("This well is of another site.", code="well", where="well"))
    if head.section and head.section.well_id != head.well.pk:
        problems.append(stops("This section is of another well.", code="section", where="section"))
    if head.plan and head.plan.site_id != site.pk:
        problems.append(stops("This plan is of another site.", code="plan", where="plan"))
    if head.stand_n not in STANDS:
        problems.append(stops("A stand is of 1 to 4 joints.", code="stand", where="stand_n"))
    for name, nm in (("stick_up", head.stick_up_nm), ("kelly", head.kelly_nm)):
        if nm is not None and not 0 <= nm <= LONGEST.nanometres:
            words = "The stick-up" if name == "stick_up" else "The kelly"
            problems.append(stops(f"{words} is 0 to 40 m long.", code=name, where=name))
    if problems:
        raise Refused(problems)
    title = " ".join(head.title.split())[:120]
    return replace(head, title=title)


def _columns(head: StringHead) -> dict[str, object]:
    names = ("well", "section", "title", "stand_n", "stick_up_nm", "kelly_nm", "plan")
    return {name: getattr(head, name) for name in names}


def _body(head: StringHead) -> dict[str, object]:
    return {**_columns(head), "well": head.well.pk, "section": head.section and head.section.pk,
            "plan": head.plan and head.plan.pk}
