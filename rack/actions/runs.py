"""The run as a whole: begun when the bit goes in, ended when it is out, taken up again if that was a slip."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType

from django.db import transaction
from django.db.models import Max

from rack.actions.accepting import accept_problems
from rack.actions.journal import Asked, open_line
from rack.actions.legs import finish
from rack.actions.locks import check_version, lock_string
from rack.actions.posting import Sharing, count_the_run, open_sharing, share_anew, standing_hours
from rack.calc.bits import DullGrade, read_bit_number, read_dull
from rack.calc.checks import Problem, asks, stops
from rack.calc.hours import policy_for, rule_for
from rack.calc.lookup import rows
from rack.calc.running import AHEAD_S
from rack.errors import Refused
from rack.models import Leg, Run, Section, String
from rack.models.stays import differing, memberships_of
from rack.people import check_can


@dataclass(frozen=True)
class RunHead:
    """What is written at the head of a run. Depth in nanometres; `policy` is kind -> policy."""

    bha_no: str = ""
    bit_no: str = ""
    run_no: str = ""
    section: Section | None = None
    in_at: datetime | None = None
    in_nm: int | None = None
    policy: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class RunEnd:
    """What is written when the bit is out: when, how deep it was, why it was pulled, how it looked.

    `bit_type` is "roller cone" or "fixed cutter", by which the dull grade is read. `connections` is the
    number that somebody counted; None takes the joints that came one by one.
    """

    out_at: datetime | None = None
    out_nm: int | None = None
    reason_pulled: str = ""
    dull: str = ""
    bit_type: str = "fixed cutter"
    connections: int | None = None


def begin_run(
    asked: Asked, string: String, head: RunHead | None = None, reason: str = "", *, seen: int | None = None
) -> Run:
    """Begin a run of a string; it has one at a time."""
    head = head or RunHead()
    check_can(asked.hand.user, "hours", string.site)
    with transaction.atomic():
        body = {
            "string": string.pk, "bha": head.bha_no, "bit": head.bit_no, "run": head.run_no,
            "section": head.section and head.section.pk, "in_at": head.in_at, "in_nm": head.in_nm,
            "policy": dict(head.policy), "reason": reason,
        }  # fmt: skip
        line, again = open_line(asked, "begin run", string.site, f"Began a run of {string}", body)
        if again:
            return Run.objects.get(begun_by=line)
        now = lock_string(string.pk)
        check_version(now, seen)
        last = Run.objects.filter(string=now).order_by("-number").first()
        problems, bit = _head_problems(now, head, last, line.at)
        accept_problems(line, now, problems, reason)
        number = (Run.objects.filter(string=now).aggregate(last=Max("number"))["last"] or 0) + 1
        return Run.objects.create(
            string=now, section=head.section, number=number, bha_no=_short(head.bha_no), bit_no=bit,
            run_no=_short(head.run_no), in_at=head.in_at, in_nm=head.in_nm, tz=now.site.tz,
            policy=json.dumps(dict(head.policy), sort_keys=True, separators=(",", ":")), begun_by=line,
        )  # fmt: skip


def end_run(
    asked: Asked, run: Run, end: RunEnd | None = None, reason: str = "", *, seen: int | None = None
) -> Run:
    """End a run: the bit is out. Its lines are shared as the string stands; each piece has one run more."""
    end = end or RunEnd()
    reason = " ".join(reason.split())
    with transaction.atomic():
        body = {
            "out_at": end.out_at, "out_nm": end.out_nm, "pulled": end.reason_pulled, "dull": end.dull,
            "type": end.bit_type, "connections": end.connections, "reason": reason,
        }  # fmt: skip
        sentence = f"Ended {run} of {run.string}"
        sharing = open_sharing(asked, "end run", run, sentence, seen, **body)
        if sharing is None:
            return Run.objects.get(pk=run.pk)
        now, pulled = sharing.run, end.reason_pulled.strip().upper()
        if now.ended_by_id:
            raise Refused([stops(f"{now} has come to its end.", code="run")])
        grade = read_dull(end.dull, end.bit_type) if end.dull.strip() else None
        problems = _end_problems(sharing, end, pulled, grade)
        accept_problems(sharing.line, now.string, problems, reason)
        shared_by = memberships_of(now, upto=now.shared_id)
        now.out_at, now.out_nm = end.out_at, end.out_nm
        memberships = sharing.memberships()
        share_anew(sharing, memberships, differing(shared_by, memberships))
        count_the_run(sharing, memberships, end.connections)
        finish(
            sharing, out_at=end.out_at, out_nm=end.out_nm, reason_pulled=pulled, ended_by=sharing.line,
            dull="-".join(column.code for column in grade.columns)[:60] if grade else "",
            dull_typed=end.dull.strip()[:80],
        )  # fmt: skip
    return Run.objects.get(pk=run.pk)


def take_up_run(asked: Asked, run: Run, reason: str, *, seen: int | None = None) -> Run:
    """Take the end of a run back, with the run and the connections that it gave to its pieces."""
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why its end is taken back.", code="reason")])
    with transaction.atomic():
        sentence = f"Took back the end of {run}, {run.string}: {reason}"
        sharing = open_sharing(asked, "take up run", run, sentence, seen, reason=reason)
        if sharing is None:
            return Run.objects.get(pk=run.pk)
        now = sharing.run
        if not now.ended_by_id:
            raise Refused([stops(f"{now} has not come to its end.", code="run")])
        other = Run.objects.open().filter(string=now.string).first()
        if other:
            raise Refused([stops(f"{other} of this string is still open; end that first.", code="run")])
        for row in standing_hours(run=now, leg=None, event=None):
            sharing.turn(row)
        shared_by = memberships_of(now, upto=now.shared_id)
        now.out_at = now.out_nm = None
        memberships = sharing.memberships()
        share_anew(sharing, memberships, differing(shared_by, memberships))
        finish(sharing, out_at=None, out_nm=None, reason_pulled="", dull="", dull_typed="", ended_by=None)
    return Run.objects.get(pk=run.pk)


def reasons_pulled() -> dict[str, str]:
    """Why a bit comes out, code -> words: column 8 of the dull grade."""
    return {row["code"]: row["meaning"] for row in rows("dull") if row["column"] == "8 reason pulled"}


def _short(text: str) -> str:
    return " ".join(text.split())[:12]


def _head_problems(
    string: String, head: RunHead, last: Run | None, now: datetime
) -> tuple[list[Problem], str]:
    problems: list[Problem] = []
    bit = _short(head.bit_no)
    if string.ended_at:
        problems.append(stops(f"{string} has come to its end; it has no more runs.", code="string"))
    if last and not last.ended_by_id:
        problems.append(stops(f"{last} of this string is still open; end that first.", code="run"))
    if head.section and head.section.well_id != string.well_id:
        problems.append(stops("This section is of another well.", code="section", where="section"))
    if bit:
        try:
            bit = str(read_bit_number(bit))
        except ValueError as wrong:
            problems.append(stops(str(wrong), code="bit", where="bit_no"))
    if head.in_at and head.in_at > now + timedelta(seconds=AHEAD_S):
        problems.append(stops("The time at which it went in is still to come.", code="time", where="in_at"))
    if head.in_at and last and last.out_at and head.in_at < last.out_at:
        problems.append(stops(f"It went in before {last} came out.", code="time", where="in_at"))
    if head.in_nm is not None and head.in_nm < 0:
        problems.append(stops("A depth is below the datum, never above it.", code="depth", where="in_nm"))
    try:
        for kind in head.policy:
            rule_for(kind)
            policy_for(kind, head.policy)
    except ValueError as wrong:
        problems.append(stops(f"How hours are credited: {wrong}", code="policy", where="policy"))
    return problems, bit


def _end_problems(sharing: Sharing, end: RunEnd, pulled: str, grade: DullGrade | None) -> list[Problem]:
    run, line = sharing.run, sharing.line
    problems: list[Problem] = list(grade.problems) if grade else []
    if end.out_at and end.out_at > line.at + timedelta(seconds=AHEAD_S):
        problems.append(stops("The time at which it came out is still to come.", code="time", where="out_at"))
    if end.out_at and run.in_at and end.out_at < run.in_at:
        problems.append(stops("It came out before it went in.", code="time", where="out_at"))
    lines = Leg.objects.standing().filter(run=run)
    if end.out_at and lines.filter(to_at__gt=end.out_at).exists():
        text = "A time line of this run ends after it came out; take that line back first."
        problems.append(stops(text, code="time", where="out_at"))
    if end.out_nm is not None and end.out_nm < 0:
        problems.append(stops("A depth is below the datum, never above it.", code="depth", where="out_nm"))
    if end.connections is not None and not 0 <= end.connections <= 10_000:
        text = "Connections are counted from 0; a run has hundreds, not more."
        problems.append(stops(text, code="connections", where="connections"))
    if pulled and pulled not in reasons_pulled():
        problems.append(asks(f"{pulled[:12]} is no reason that the table knows.", code="pulled",
                             where="reason_pulled", source="table dull, column 8"))  # fmt: skip
    problems += [] if end.out_at else [
        asks("When it came out is not known; write it down, or say why not.", code="time", where="out_at")
    ]  # fmt: skip
    return problems
