"""What a sheet carries beside its lines: checks, the third list, the sample, stands and their correction."""

from typing import Any

from rack.calc.checks import stops
from rack.calc.lengths import Length
from rack.calc.sampling import written_total
from rack.calc.sheet_rows import SheetCorrection, SheetFinding, SheetSample, SheetStand
from rack.calc.strapped import GATE, Finding, Terms
from rack.errors import Refused
from rack.models import Line, Purpose, Tally
from rack.models.checking import Checked, checked
from rack.models.standing import Stands, stands_of
from rack.models.strap_hands import two_straps


def more_of(tally: Tally, lines: list[Line], code: str) -> dict[str, Any]:
    """The later fields of `SheetContent` for a tally that closes now; `code` is the sheet's own."""
    found = checked(tally, lines, code=code, closing=True)
    more: dict[str, Any] = {
        "mind": "" if tally.purpose in (Purpose.DELIVERY, Purpose.RACK) else tally.words.mind,
        "checks": (*(sheet_finding(each) for each in found.findings), *_of_hands(tally)),
        "third": tuple(sheet_finding(each) for each in found.third),
        "third_list": found.third_list.name if found.third else "",
        "sample": _sample(found, tally, lines),
    }
    return more | (_stands(tally, stands_of(tally, lines)) if tally.words.by_stand else {})


def sum_slip(tally: Tally, sum_nm: int, written: str) -> Finding | None:
    """What is wrong with a total that was added up on paper; nothing where none was written."""
    if not written.strip():
        return None
    if tally.is_blind:  # the sum is the first strap's, and nobody may see it yet (law 13)
        raise Refused([stops("The second strap is open; finish it before a total on paper is compared.")])
    try:
        length = Length.parse(written, tally.unit)
    except ValueError as problem:
        raise Refused([stops(f"The total on paper: {problem}", code="written")]) from None
    terms = Terms(GATE, tally.unit, tally.digits)
    return written_total(Length(sum_nm), length, terms, where="The total on paper")


def sheet_finding(found: Finding) -> SheetFinding:
    """A finding as a sheet carries it: its lines count from 1."""
    return SheetFinding(found.code, tuple(n + 1 for n in found.lines), found.words, found.do)


def _of_hands(tally: Tally) -> tuple[SheetFinding, ...]:
    """What is to be said of the hands of two straps and of readings that came late: paper carries it too."""
    both = two_straps(tally)
    return tuple(SheetFinding(one.code, (), one.text, "") for one in (both.problems if both else ()))


def _sample(found: Checked, tally: Tally, lines: list[Line]) -> SheetSample | None:
    made, listed = found.sample, found.third_list.lengths
    if made is None:
        return None
    ids = [line.component_id or 0 for line in lines]
    whole = all(piece in listed for piece in ids)
    total = found.total_nm if not whole else sum(listed[piece] for piece in ids)
    return SheetSample(
        code=made.code, lines=made.lines, mean_nm=round(made.mean_nm), expected_nm=round(made.expected_nm),
        sum_nm=total, limit_nm=made.limit_nm, against=found.third_list.name if whole else "the sum",
    )  # fmt: skip


def _stands(tally: Tally, stands: Stands) -> dict[str, Any]:
    accepted = stands.correction
    by = accepted.journal.by if accepted else None
    return {
        "stands": tuple(
            SheetStand(
                row.number, tuple(n + 1 for n in row.places), row.read.summed.nanometres, row.entry.nm
            )
            for row in stands.rows
        ),
        "stands_words": stands.judgement.words,
        "correction": accepted
        and SheetCorrection(
            nm=accepted.nm,
            by=(by.get_full_name() or by.get_username()) if by else "",
            at=accepted.at.astimezone(tally.site.zone).isoformat(timespec="minutes"),
            reason=accepted.reason,
        ),
    }
