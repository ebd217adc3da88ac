"""Printing a casing plan: its revision is written down for ever, with its code."""

import secrets

from django.db import transaction
from django.db.models import F

from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_tally
from rack.calc.casing_content import CasingContent, CasingRow, check, digest_of
from rack.calc.casing_parts import JOINT, PARTS
from rack.calc.checks import Severity, stops
from rack.calc.lengths import Length
from rack.calc.tags import new_code
from rack.errors import Refused
from rack.models import CasingItem, CasingPlan, CasingSheet, Journal, Sheet, StringSheet
from rack.models.casing_facts import Planned, planned, serial_of
from rack.people import check_can

_KINDS = (CasingSheet, Sheet, StringSheet)
BLIND = "The second strap of the tally is open; a casing plan is printed when it is finished (law 13)."


def print_plan(asked: Asked, plan: CasingPlan, *, reason: str = "", seen: int | None = None) -> CasingSheet:
    """Write the next revision of a plan. What STOPS refuses; what ASKS needs the reason, which is printed."""
    site = plan.tally.site
    check_can(asked.hand.user, "close", site)
    reason = " ".join(reason.split())[:300]
    with transaction.atomic():
        words = f"Printed the {plan} as revision {plan.revision + 1}"
        line, again = open_line(asked, "print casing plan", site, words, {"plan": plan.pk, "reason": reason})
        if again:
            return CasingSheet.objects.get(journal=line)
        tally = lock_tally(plan.tally_id)
        now = CasingPlan.objects.select_related("tally__site", "tally__spec", "well").get(pk=plan.pk)
        check_version(now, seen)
        if tally.is_blind:
            raise Refused([stops(BLIND, code="blind")])
        facts = planned(now)
        hard = [problem for problem in facts.problems if problem.severity is Severity.STOPS]
        soft = [problem for problem in facts.problems if problem.severity is Severity.ASKS]
        if hard or (soft and not reason):
            raise Refused(hard or soft)
        content = build(line, facts, reason, tuple(problem.text for problem in soft))
        wrong = check(content)
        if wrong:
            raise Refused(wrong)
        text = content.to_text()
        sheet = CasingSheet.objects.create(
            journal=line, at=line.at, plan=now, revision=content.revision, code=content.code,
            digest=digest_of(text), content=text,
        )
        CasingPlan.objects.filter(pk=now.pk).update(revision=content.revision, version=F("version") + 1)
    return sheet


def build(line: Journal, facts: Planned, reason: str, asked: tuple[str, ...]) -> CasingContent:
    """The content of the next revision, from the plan as it stands."""
    plan = facts.plan
    tally, site, layout = plan.tally, plan.tally.site, facts.layout
    assert layout.total is not None
    return CasingContent(
        site_code=site.code, site_name=site.name, tally_no=tally.number, tally_title=tally.title,
        tally_revision=tally.revision, length_kind=tally.kind, string=plan.string, well=plan.well_name,
        datum=facts.datum.name, shoulder_nm=facts.datum.shoulder_nm, measured=facts.datum.measured,
        hole_nm=plan.hole_nm, off_bottom_nm=plan.off_bottom_nm, track_n=plan.track_n, unit=tally.unit,
        digits=tally.digits,
        hands=tuple(f"strap {head.strap_n}: {head.hands or 'hands not said'}, tape {head.tape or '–'}"
                    for head in tally.heads.order_by("strap_n")),
        printed_at=line.at.astimezone(site.zone).isoformat(timespec="minutes"),
        printed_by=line.by.get_full_name() or line.by.get_username() if line.by else "",
        revision=plan.revision + 1, code=free_code(), received=facts.counts.received,
        rows=tuple(_row(facts, n) for n in range(len(facts.rows))),
        total_nm=layout.total.nanometres, shoe_nm=layout.shoe.nanometres if layout.shoe else None,
        to_run=facts.counts.to_run, spare=facts.counts.spare, left_out=facts.counts.left_out,
        on_rack=facts.counts.on_rack, asked=asked, reason=reason,
    )


def _row(facts: Planned, n: int) -> CasingRow:
    row, item = facts.rows[n], facts.facts[n]
    return CasingRow(
        kind=item.kind, name=item.name, words=words_of(row), serial=serial_of(row), role=item.role,
        nm=item.length.nanometres if item.length else None,
        loss_nm=item.loss.nanometres if item.loss else 0, pins=item.pins,
        cut_off_nm=item.cut_off.nanometres, reason=item.reason, away=item.away, locked=item.locked,
        drifted=item.drifted, threads=item.threads, centralizers=centralizer_words(facts.plan, row),
        centralizers_n=item.centralizers, loss_source=facts.sources[n], line=item.line,
    )


def words_of(row: CasingItem) -> str:
    """What the item is, in words: the part's name, or what the joint is made to."""
    if row.kind != JOINT:
        return row.words or PARTS[row.kind].name
    if row.line and row.line.component:
        return str(row.line.component.spec)
    return row.words or ("joint found" if row.line is None else "")


def centralizer_words(plan: CasingPlan, row: CasingItem) -> str:
    """The centralizers of an item as they are printed: "2 bow 1.50 ft from pin"."""
    tally = plan.tally
    parts = []
    for one in row.stand:  # type: ignore[attr-defined]
        place = ""
        if one.from_pin_nm is not None:
            place = f" {Length(one.from_pin_nm).shown(tally.unit, tally.digits)} {tally.unit} from pin"
        parts.append(f"{one.count} {one.what}{place}")
    return "; ".join(parts)


def free_code() -> str:
    """A code that no sheet bears yet, of whatever kind."""
    while True:
        code = new_code(secrets.randbits(30))
        if code and not any(kind.objects.filter(code=code).exists() for kind in _KINDS):
            return code
