"""Closing a tally into an immutable sheet, and opening it again for the next revision."""

import secrets
from collections import Counter
from collections.abc import Container
from dataclasses import replace

from django.db import transaction
from django.db.models import F

from rack.actions.closing_more import more_of, sheet_finding, sum_slip
from rack.actions.journal import Asked, open_line
from rack.actions.kept import keep_lengths
from rack.actions.locks import check_version, lock_pieces, lock_tally
from rack.calc.checks import Severity, asks, stops
from rack.calc.closing import closing_problems
from rack.calc.sheets import (
    Hands,
    SheetContent,
    SheetFinding,
    SheetLine,
    SheetLoss,
    Withdrawn,
    check,
    digest_of,
    totals_of,
)
from rack.calc.strapped import Finding
from rack.calc.straps import Comparison
from rack.calc.tags import new_code
from rack.errors import ChangedMeanwhile, Refused
from rack.models import Journal, Line, Sheet, Strap, Tally
from rack.models.closing import closing_facts
from rack.models.comparing import compared, held_nm, lines_of, loss_of
from rack.models.lengths import how_lines_stood
from rack.people import check_can


def close(
    asked: Asked, tally: Tally, *, reason: str = "", seen: int | None = None, written: str = ""
) -> Sheet:
    """Close a tally: write its sheet and give every piece the length that holds.

    What STOPS refuses; what ASKS needs the reason, which is printed on the sheet. `written` is the total
    that somebody added up on paper, held against the sum.
    """
    check_can(asked.hand.user, "close", tally.site)
    reason = " ".join(reason.split())[:300]
    with transaction.atomic():
        line, again = open_line(
            asked, "close tally", tally.site, f"Closed {tally}",
            {"tally": tally.pk, "reason": reason, **({"written": written} if written else {})},
        )
        if again:
            return Sheet.objects.get(journal=line)
        tied = tally.lines.standing().exclude(component=None)
        locked = lock_pieces(tied.values_list("component", flat=True))
        now = lock_tally(tally.pk)
        _refuse_closed(now)
        check_version(now, seen)
        lines = lines_of(now)
        _refuse_unlocked(now, lines, locked)
        comparison = compared(now, lines) if _both_straps(now) else None
        content = build(line, now, lines, comparison, reason)
        slip = sum_slip(now, content.sum_nm, written)
        _refuse(now, lines, comparison, reason, slip)
        if slip:
            content = replace(content, checks=(*content.checks, sheet_finding(slip)))
        _refuse_sums(content)
        sheet = _store(line, now, content)
        if not now.words.by_stand:  # a strap out of the hole corrects the depth, not the joints
            _hand_over(line, now, lines)
    return sheet


def revise(asked: Asked, tally: Tally, reason: str) -> Tally:
    """Open a closed tally again; closing it then writes the next revision. The old sheet stays."""
    check_can(asked.hand.user, "close", tally.site)
    reason = " ".join(reason.split())[:200]
    if not reason:
        raise Refused([stops("Say in a few words why the tally is opened again; it stays in the book.")])
    with transaction.atomic():
        _, again = open_line(
            asked,
            "revise tally",
            tally.site,
            f"Opened {tally} for a new revision: {reason}",
            {"tally": tally.pk, "reason": reason},
        )
        now = lock_tally(tally.pk)
        if again:
            return now
        if now.open:
            raise Refused([stops(f"{tally} is open already.", code="open")])
        Tally.objects.filter(pk=now.pk).update(open=True, version=F("version") + 1)
        now.open = True
    return now


def build(
    line: Journal, tally: Tally, lines: list[Line], comparison: Comparison | None, reason: str
) -> SheetContent:
    """The content of the sheet, from the rows as they stand."""
    site, code = tally.site, _free_code()
    sheet_lines = sheet_lines_of(tally, lines)
    losses = losses_of(tally, lines)
    heads = tally.heads.order_by("strap_n")
    gone = tally.lines.filter(withdrawn=True).in_order()
    return SheetContent(
        site_code=site.code,
        site_name=site.name,
        tally_no=tally.number,
        title=tally.title,
        purpose=tally.get_purpose_display(),
        item=item_of(tally, lines),
        unit=tally.unit,
        digits=tally.digits,
        length_kind=tally.kind,
        straps_wanted=tally.straps_wanted,
        straps_taken=len(heads),
        hands=tuple(Hands(head.strap_n, head.tape, head.reader, head.writer) for head in heads),
        opened_at=tally.opened_at.astimezone(site.zone).isoformat(timespec="minutes"),
        closed_at=line.at.astimezone(site.zone).isoformat(timespec="minutes"),
        closed_by=line.by.get_full_name() or line.by.get_username() if line.by else "",
        revision=tally.revision + 1,
        code=code,
        lines=sheet_lines,
        reason=reason,
        withdrawn=tuple(Withdrawn(row.painted, row.serial_typed, row.reason) for row in gone),
        losses=losses,
        column_length=tally.column_n,
        page_length=tally.page_n,
        cancels=comparison.cancels if comparison else False,
        gate_nm=comparison.gate.nanometres if comparison else 0,
        findings=tuple(
            SheetFinding(found.code, tuple(n + 1 for n in found.lines), found.words, found.do)
            for found in (comparison.findings if comparison else ())
        ),
        **totals_of(sheet_lines, losses, tally.kind),
        **more_of(tally, lines, code),
    )


def sheet_lines_of(tally: Tally, lines: list[Line]) -> tuple[SheetLine, ...]:
    """The lines as the sheet would carry them now."""
    sure = confirmed_lines(tally)
    stood = how_lines_stood(lines, tally.kind)
    return tuple(_sheet_line(n, tally, row, sure, stood) for n, row in enumerate(lines, start=1))


def _sheet_line(n: int, tally: Tally, row: Line, sure: set[int], stood: dict[int, str]) -> SheetLine:
    piece = row.component
    loss = loss_of(tally, row)
    holds = held_nm(tally, row)
    return SheetLine(
        n=n,
        painted=row.painted,
        serial=piece.serial if piece else row.serial_typed,
        tag=piece.tag if piece else "",
        item=str(piece.spec) if piece else "",
        nm=holds or 0,
        first_nm=row.first_nm,
        second_nm=row.second_nm,
        loss_nm=loss.length.nanometres if loss else None,
        loss_source=loss.source if loss else "",
        loss_conf=loss.conf if loss else "",
        note="; ".join(_notes(row, sure, stood)),
    )


def _notes(row: Line, sure: set[int], stood: dict[int, str]) -> list[str]:
    """What a person confirmed, and of a tool that telescopes which of its lengths the line holds."""
    notes = ["confirmed as read"] if row.pk in sure else []
    if row.pk in stood:
        notes.append(f"measured {stood[row.pk]}" if stood[row.pk] else "open or closed is not said")
    return notes


def confirmed_lines(tally: Tally) -> set[int]:
    """The lines on which a reading asked a question and somebody said yes."""
    sure = Strap.objects.standing().filter(line__tally=tally, questions_n__gt=0, consents__isnull=False)
    return set(sure.values_list("line", flat=True))


def losses_of(tally: Tally, lines: list[Line]) -> tuple[SheetLoss, ...]:
    """Each loss once, with how many pins it comes off."""
    found = [(str(row.component.spec) if row.component else "", loss_of(tally, row)) for row in lines]
    counted = Counter(
        (item, loss.length.nanometres, loss.source, loss.conf, loss.mark)
        for item, loss in found
        if loss and loss.length.nanometres
    )
    return tuple(
        SheetLoss(what=item, loss_nm=nm, source=f"{source}; {mark}" if mark else source, conf=conf, pins=pins)
        for (item, nm, source, conf, mark), pins in counted.items()
    )


def item_of(tally: Tally, lines: list[Line]) -> str:
    kinds = list(dict.fromkeys(str(row.component.spec) for row in lines if row.component))
    if len(kinds) == 1:
        return kinds[0]
    return f"{len(kinds)} kinds of piece" if kinds else str(tally.spec or "")


def _store(line: Journal, tally: Tally, content: SheetContent) -> Sheet:
    text = content.to_text()
    sheet = Sheet.objects.create(
        journal=line,
        at=line.at,
        tally=tally,
        revision=content.revision,
        code=content.code,
        digest=digest_of(text),
        content=text,
    )
    Tally.objects.filter(pk=tally.pk).update(open=False, revision=content.revision, version=F("version") + 1)
    tally.heads.filter(finished_at=None).update(finished_at=line.at)
    return sheet


def _hand_over(line: Journal, tally: Tally, lines: list[Line]) -> None:
    """Every piece takes the length of its line; from here on it governs."""
    head = tally.heads.get(strap_n=1)
    stood = how_lines_stood(lines, tally.kind)
    Strap.objects.bulk_create(
        (
            Strap(
                journal=line,
                seq=seq,
                at=line.at,
                line=row,
                component_id=row.component_id,
                strap_n=0,
                what="reading",
                nm=held_nm(tally, row),
                kind=tally.kind,
                typed_unit=tally.unit,
                tape=head.tape,
                hands=head.hands,
                stands=stood.get(row.pk, ""),
            )
            for seq, row in enumerate(lines)
        ),
        batch_size=500,
    )
    ids = [row.component_id for row in lines if row.component_id]
    for start in range(0, len(ids), 500):
        keep_lengths(ids[start : start + 500])


def _both_straps(tally: Tally) -> bool:
    return tally.heads.filter(strap_n=2, finished_at__isnull=False).exists()


def _refuse_closed(tally: Tally) -> None:
    if not tally.open:
        raise Refused([stops(f"{tally} is closed already; make a new revision to change it.", code="closed")])


def _refuse_unlocked(tally: Tally, lines: list[Line], locked: Container[int]) -> None:
    """A piece that came to the tally before the tally was locked is not locked itself: to lock it now
    would be the wrong way round, and two hands could wait for each other."""
    if any(row.component_id and row.component_id not in locked for row in lines):
        raise ChangedMeanwhile(
            f"A piece was put on {tally} in the meantime. Nothing was stored. "
            "Load the page again and repeat it."
        )


def _refuse(
    tally: Tally, lines: list[Line], comparison: Comparison | None, reason: str, slip: Finding | None
) -> None:
    problems = closing_problems(closing_facts(tally, lines, comparison))
    problems += [asks(f"{slip.words} {slip.do}", code=slip.code)] if slip else []
    hard = [problem for problem in problems if problem.severity is Severity.STOPS]
    asking = any(problem.severity is Severity.ASKS for problem in problems)
    if hard or (asking and not reason):
        raise Refused(hard or problems)


def _refuse_sums(content: SheetContent) -> None:
    """A sheet that does not add up is never stored, whatever made it."""
    wrong = check(content)
    if wrong:
        raise Refused(wrong)


def _free_code() -> str:
    while True:
        code = new_code(secrets.randbits(30))
        if code and not Sheet.objects.filter(code=code).exists():
            return code
