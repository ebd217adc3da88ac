"""What the page of a casing plan shows: its rows from the bottom up, its figures, its questions."""

from dataclasses import dataclass
from typing import Any

from rack.actions.casing_printing import centralizer_words, words_of
from rack.calc.casing_content import CasingContent
from rack.calc.casing_parts import ROLES
from rack.calc.casing_tally import Stood, shoe_worked
from rack.calc.checks import Severity, stops
from rack.calc.lengths import Length
from rack.errors import Refused
from rack.models import CasingItem, CasingPlan
from rack.models.casing_facts import Planned, datum_of, planned, rows_of, serial_of


@dataclass(frozen=True)
class ShownRow:
    """One item as the page shows it; figures are text, "" where it is not run."""

    pk: str
    run: str
    name: str
    words: str
    serial: str
    tag: str
    role: str
    role_words: str
    reason: str
    length: str = ""
    effective: str = ""
    total: str = ""
    top: str = ""
    bottom: str = ""
    ticks: str = ""
    centralizers: str = ""
    is_joint: bool = True


def plan_context(plan: CasingPlan, *, blind: bool) -> dict[str, Any]:
    """Context of the page. While the tally is blind no length and nothing worked out of one is read."""
    sheets = list(plan.sheets.select_related("journal__by").order_by("-revision").defer("content"))
    unit, digits = plan.tally.unit, plan.tally.digits
    datum = datum_of(plan)
    head: dict[str, Any] = {
        name: "–" if nm is None else Length(nm).shown(unit, digits + more)
        for name, nm, more in (("shoulder", datum.shoulder_nm, 0), ("hole", plan.hole_nm, 0),
                               ("loss", plan.loss_nm, 1))
    }
    head["datum"] = datum
    if blind:
        return {**head, "rows": [_blind_row(plan, row) for row in rows_of(plan)], "sheets": sheets}
    facts = planned(plan)
    stops_n = sum(problem.severity is Severity.STOPS for problem in facts.problems)
    asks_n = sum(problem.severity is Severity.ASKS for problem in facts.problems)
    return {
        **head, "rows": _rows(facts), "sheets": sheets, "counts": facts.counts, "problems": facts.problems,
        "stopped": stops_n > 0, "asks": asks_n > 0, "nowhere": facts.nowhere,
        "count_figures": count_figures(facts), "figures": length_figures(facts),
        "worked": shoe_worked(
            facts.layout, datum=facts.datum.name, unit=plan.tally.unit, digits=plan.tally.digits
        ),
        "landing": landing_words(facts), "on_rack": ", ".join(facts.counts.on_rack),
        "current": bool(sheets) and says(facts) == said_by(plan),
    }


def changed_since(plan: CasingPlan) -> bool:
    """Whether the plan says something else than its newest sheet."""
    return says(planned(plan)) != said_by(plan)


def says(facts: Planned) -> Any:
    """What a sheet of the plan as it stands now would say, without its own code, day and reason."""
    rows = tuple(
        (item.name, item.kind, item.role, _nm(item.length), _nm(item.loss), item.pins, _nm(item.cut_off),
         item.locked, centralizer_words(facts.plan, row))
        for row, item in zip(facts.rows, facts.facts, strict=True)
    )
    return rows, facts.datum.shoulder_nm, facts.datum.name, facts.plan.well_name


def said_by(plan: CasingPlan) -> Any:
    """The same of the newest printed sheet."""
    content = CasingContent.from_text(plan.sheets.latest("revision").content)
    rows = tuple(
        (row.name, row.kind, row.role, row.nm, row.loss_nm, row.pins, row.cut_off_nm, row.locked,
         row.centralizers)
        for row in content.rows
    )
    return rows, content.shoulder_nm, content.datum, content.well


def _nm(length: Length | None) -> int:
    return 0 if length is None else length.nanometres


def _rows(facts: Planned) -> list[ShownRow]:
    plan, tally = facts.plan, facts.plan.tally
    stood = {id(one.item): one for one in facts.layout.stood}

    def shown(length: Length | None) -> str:
        return "–" if length is None else length.shown(tally.unit, tally.digits)

    made = []
    for row, item in zip(facts.rows, facts.facts, strict=True):
        one: Stood | None = stood.get(id(item))
        ticked = (("drift", item.drifted), ("threads", item.threads), ("thread-lock", item.locked))
        ticks = [word for word, done in ticked if done]
        made.append(ShownRow(
            pk=str(row.pk), run=str(one.n) if one else "", name=item.name, words=words_of(row),
            serial=serial_of(row), tag=row.line.component.tag if row.line and row.line.component else "",
            role=item.role, role_words="above the shoulder" if item.above else ROLES[item.role],
            reason=item.reason + ("; not on the rack" if item.away else ""), length=shown(item.length),
            effective=shown(item.effective) if item.role == "run" else "",
            total=shown(one.total) if one else "", top=shown(one.top) if one else "",
            bottom=shown(one.bottom) if one else "", ticks=", ".join(ticks),
            centralizers=centralizer_words(plan, row), is_joint=item.is_joint,
        ))
    return made


def _blind_row(plan: CasingPlan, row: CasingItem) -> ShownRow:
    return ShownRow(
        pk=str(row.pk), run="", name=(row.line.painted if row.line else "") or row.name, words=words_of(row),
        serial=serial_of(row), tag=row.line.component.tag if row.line and row.line.component else "",
        role=row.role, role_words=ROLES[row.role], reason=row.reason,
        centralizers=centralizer_words(plan, row), is_joint=row.kind == "joint",
    )


def count_figures(facts: Planned) -> list[tuple[str, str]]:
    counts = facts.counts
    return [
        ("Received", f"{counts.received:,}"), ("To run", f"{counts.to_run:,}"),
        ("Spare", f"{counts.spare:,}"), ("Left out", f"{counts.left_out:,}"),
        ("Must lie on the rack when landed", f"{len(counts.on_rack):,}"),
    ]


def length_figures(facts: Planned) -> list[tuple[str, str]]:
    tally, layout = facts.plan.tally, facts.layout

    def said(length: Length | None, more: int = 0) -> str:
        return "–" if length is None else f"{length.shown(tally.unit, tally.digits + more)} {tally.unit}"

    return [
        ("Below the shoulder", said(layout.total)), (f"Losses, {layout.pins} pins", said(layout.losses, 1)),
        (f"Shoe below {facts.datum.name}", said(layout.shoe)),
        ("Off bottom", said(facts.landing.off_bottom)), ("Stick-up", said(facts.landing.stick_up)),
    ]


def landing_words(facts: Planned) -> list[str]:
    """What landing needs, in sentences."""
    tally, land, datum = facts.plan.tally, facts.landing, facts.datum.name

    def said(length: Length) -> str:
        return f"{abs(length).shown(tally.unit, tally.digits)} {tally.unit}"

    words = []
    if land.shoulder is not None:
        words.append(f"With what it hangs on at {datum}, {said(land.shoulder)} are left to the landing "
                     "shoulder.")
    if land.space_out is not None and land.space_out.nanometres:
        more = land.space_out.nanometres > 0
        joints = abs(land.joints)
        whole = f", {joints} average joint{'' if joints == 1 else 's'} and the rest in pups" if joints else ""
        words.append(f"Space-out: {said(land.space_out)} {'are missing' if more else 'are too much'}{whole}.")
    elif land.space_out is not None:
        words.append("Space-out: nothing is missing.")
    if land.stick_up is not None:
        above = land.stick_up.nanometres > 0
        words.append(f"Landed, the landing joint ends {said(land.stick_up)} {'above' if above else 'below'} "
                     f"{datum}.")
    return words


def named(plan: CasingPlan, text: str) -> list[int]:
    """The items that somebody names: "1 to 31, 36A" means every item from 1 up to 31 in the plan's order."""
    rows = rows_of(plan)
    places = {((row.line.painted if row.line else "") or row.name).upper(): n for n, row in enumerate(rows)}
    found: list[int] = []
    for part in (piece.strip() for piece in text.replace("\n", ",").split(",")):
        if not part:
            continue
        first, to, last = (piece.strip().upper() for piece in part.partition(" to "))
        for name in (first, last) if to else (first,):
            if name not in places:
                raise Refused([stops(f"There is no {name} in the plan.", code="unknown")])
        ends = sorted((places[first], places[last])) if to else (places[first], places[first])
        found += [rows[n].pk for n in range(ends[0], ends[1] + 1) if rows[n].pk not in found]
    return found
