"""What a BHA sheet of a plan or of a string in the hole says now, and whether a printed one still holds."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from rack.calc.bha import BhaContent, BhaHead, content_of
from rack.calc.chain import Link
from rack.calc.checks import Severity
from rack.calc.hours import amount_shown, run_totals
from rack.calc.rules import Consent, Found
from rack.models.blindness import is_shut
from rack.models.judging import Judged, judge_plan, judge_string, wishes_of
from rack.models.pieces import Component
from rack.models.plans import Plan
from rack.models.runs import Run
from rack.models.stays import as_legs, legs_of
from rack.models.strings import String

#: The clocks of a run as the head of a sheet has them, and the fields that hold them.
_CLOCKS = (
    ("rotating", "rotating_s"), ("sliding", "sliding_s"), ("on bottom", "bottom_s"),
    ("circulating", "circulating_s"), ("below rotary", "below_rotary_s"),
)  # fmt: skip
#: So many sentences of what the rules stop stand on the paper; the page of the string has them all.
MOST_STOPS = 12
_AT_ONCE = 500


def content_now(of: Plan | String, at: datetime) -> BhaContent:
    """The sheet as it would be printed now, without a revision and a code."""
    site = of.site
    _, judged = judge_plan(of, at.date()) if isinstance(of, Plan) else judge_string(of, at.date())
    return content_of(
        _head(of), judged.links, unit=site.length_unit, digits=site.digits, revision=0, code="",
        made_at=at.isoformat(timespec="minutes"), made_by="", remarks=_remarks(judged.links),
        notes=_notes(judged), catalogue=judged.tables,
    )  # fmt: skip


def _head(of: Plan | String) -> BhaHead:
    """A string's sheet bears the numbers, depths and hours of its newest run."""
    site = of.site
    run = None if isinstance(of, Plan) else of.runs.select_related("section").order_by("-number").first()
    section = (run and run.section) or of.section
    wishes = wishes_of(of if isinstance(of, Plan) else of.plan)
    mud = wishes.mud_mppg if wishes.mud_mppg is not None else (section.mud_mppg if section else None)
    head = BhaHead(
        site.code, site.name, f"{str(of)[:1].upper()}{str(of)[1:]}", str(of.well or ""),
        hole_nm=section.hole_nm if section else 0,
        mud_mppg=mud, casing=section.casing if section else "",
    )  # fmt: skip
    if run is None:
        return head
    return replace(
        head, bha_no=run.bha_no, bit_no=run.bit_no, run_no=run.run_no or str(run.number),
        depth_in_nm=run.in_nm, depth_out_nm=run.out_nm, hours=_hours(run),
    )  # fmt: skip


def _hours(run: Run) -> tuple[tuple[str, str], ...]:
    rows = legs_of(run)
    if not rows:
        return ()
    totals = run_totals(as_legs(run, rows))
    return tuple((word, amount_shown(field, totals[field])) for word, field in _CLOCKS)


def _remarks(links: Sequence[Link]) -> dict[int, str]:
    """What the floor must know of a piece beside its figures: held, its clamp, in another string."""
    found = {}
    for n, link in enumerate(links, 1):
        clamp = link.facts.get("clamp", "")
        said = [f"held: {reason}" for reason in link.holds]
        said += [f"clamp {clamp}"] * bool(clamp) + [f"in {link.elsewhere}"] * bool(link.elsewhere)
        if said:
            found[n] = "; ".join(said)
    return found


def _notes(judged: Judged) -> tuple[str, ...]:
    """What the rules stop, how much of what they ask waits for an answer, and every answer that counts."""
    stopped = [one for one in judged.problems if one.severity is Severity.STOPS]
    waiting = sum(one.severity is Severity.ASKS for one in judged.problems)
    notes = [f"Not cleared, {one.code}: {one.text}" for one in stopped[:MOST_STOPS]]
    if len(stopped) > MOST_STOPS:
        notes.append(f"Not cleared: {len(stopped) - MOST_STOPS} more, on the page of the string.")
    if waiting:
        notes.append("The rules ask one thing that nobody has answered." if waiting == 1 else
                     f"The rules ask {waiting} things that nobody has answered.")  # fmt: skip
    return (*notes, *answers_of(judged))


def answers_of(judged: Judged) -> tuple[str, ...]:
    """Every answer that counts now, as paper says it: for what, why, by whom, until when."""
    return tuple(_answers(judged.left.consented))


def _answers(consented: Sequence[tuple[Found, tuple[Consent, ...]]]) -> Iterator[str]:
    """Each yes once, with the first problem that it answers."""
    of: dict[Consent, list[Found]] = {}
    for problem, consents in consented:
        for consent in consents:
            of.setdefault(consent, []).append(problem)
    for consent, problems in of.items():
        more = f" (and {len(problems) - 1} like it)" if len(problems) > 1 else ""
        given = f", for {consent.given_for}" if consent.given_for else ""
        end = f"{given}, until {consent.until}" if consent.until else given
        said = f"Taken all the same by {consent.by or 'the program'}: {consent.reason}{end}."
        yield f"{consent.code}: {problems[0].text}{more} {said}"


def still_says(printed: BhaContent, now: BhaContent) -> bool:
    """Whether a printed sheet says what the string is now. Hours and the depth out grow with every tour."""
    return (
        (printed.lines, printed.notes, printed.unit) == (now.lines, now.notes, now.unit)
        and _lasting(printed.head) == _lasting(now.head)
    )  # fmt: skip


def _lasting(head: BhaHead) -> BhaHead:
    return replace(head, hours=(), depth_out_nm=None)


def is_shut_away(content: BhaContent) -> bool:
    """Whether a piece of the sheet is strapped a second time now: its length is nobody's to read (law 13)."""
    tags = [line.tag for line in content.lines if line.tag]
    some = (tags[start : start + _AT_ONCE] for start in range(0, len(tags), _AT_ONCE))
    return any(Component.objects.filter(is_shut(), tag__in=part).exists() for part in some)
