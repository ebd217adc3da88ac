"""Gathering a casing plan as plain facts: its items with their lengths and losses, and its checks."""

from dataclasses import dataclass, field

from django.db.models import Prefetch
from django.utils import timezone

from rack.calc.casing_checks import PlanFacts, plan_problems
from rack.calc.casing_parts import HUNG_BELOW, JOINT, PARTS
from rack.calc.casing_tally import CasingItem as Facts
from rack.calc.casing_tally import Counts, Landing, Layout, counts, landing, lay_out
from rack.calc.checks import Problem
from rack.calc.datums import datum_problems, shoulder_problem
from rack.calc.lengths import ZERO, Length
from rack.calc.losses import Loss
from rack.calc.sheets import NOTHING_OFF
from rack.models.casing import CasingItem, CasingPlan, Centralizer
from rack.models.comparing import length_of, loss_of
from rack.models.tallies import Line
from rack.models.wells import DatumReading


@dataclass(frozen=True)
class DatumFacts:
    """What depths are counted from: its name, how deep the landing shoulder lies, who measured it when.

    `reading` is the measurement of the well that it comes from, None where it was typed at the plan's head.
    """

    name: str
    shoulder_nm: int | None
    measured: str
    reading: DatumReading | None = None


@dataclass(frozen=True)
class Planned:
    """A plan with everything that follows from it. `rows` and `facts` are the same items in one order."""

    plan: CasingPlan
    datum: DatumFacts
    rows: list[CasingItem]
    facts: list[Facts]
    sources: list[str]
    layout: Layout
    landing: Landing
    counts: Counts
    nowhere: list[Line]
    problems: list[Problem] = field(default_factory=list)


def datum_of(plan: CasingPlan) -> DatumFacts:
    """The datum of a plan: the one of its well that governs, else as it was typed at the plan's head.

    What was typed for the landing shoulder goes before that of the well: a liner lands elsewhere.
    """
    reading = plan.well.governing() if plan.well else None
    if reading is not None:
        shoulder = reading.shoulder_nm if plan.shoulder_nm is None else plan.shoulder_nm
        words = f"measured on {reading.measured_on:%Y-%m-%d} by {reading.measured_by}"
        return DatumFacts(reading.name, shoulder, words, reading)
    on = f" on {plan.measured_on:%Y-%m-%d}" if plan.measured_on else ""
    by = f" by {plan.measured_by}" if plan.measured_by else ""
    words = f"measured{on}{by}" if on or by else "when and by whom measured is not said"
    return DatumFacts(plan.datum, plan.shoulder_nm, words)


def rows_of(plan: CasingPlan) -> list[CasingItem]:
    """The items from the bottom up, each with its line, its piece and its centralizers."""
    rows = plan.items.filter(removed=False).in_order()
    there = Centralizer.objects.filter(removed=False).order_by("id")
    stand = Prefetch("centralizers", there, to_attr="stand")
    return list(rows.select_related("line__component__spec", "line__component__site").prefetch_related(stand))


def planned(plan: CasingPlan) -> Planned:
    """The plan laid out and checked. Ask only while its tally is not blind (law 13)."""
    rows = rows_of(plan)
    common = _common_loss(plan, rows)
    made = [_facts(plan, row, common) for row in rows]
    facts = [one for one, _ in made]
    lines = list(plan.tally.lines.standing().in_order())
    there = {row.line_id for row in rows}
    datum = datum_of(plan)
    layout = lay_out(facts, length_of(datum.shoulder_nm))
    needs = landing(layout, length_of(plan.hole_nm), length_of(plan.off_bottom_nm))
    nowhere = [line for line in lines if line.pk not in there]
    received = len(lines) - sum(row.line is not None and row.kind != JOINT for row in rows)
    problems = plan_problems(PlanFacts(
        items=tuple(facts), layout=layout, landing=needs, received=received,
        nowhere=tuple(line.painted or str(line) for line in nowhere), track=plan.track_n,
        unit=plan.tally.unit, digits=plan.tally.digits,
    ))
    problems = [*problems, *_datum_problems(plan, datum, facts)]
    return Planned(plan, datum, rows, facts, [source for _, source in made], layout, needs,
                   counts(facts, received), nowhere, problems)


def _datum_problems(plan: CasingPlan, datum: DatumFacts, items: list[Facts]) -> list[Problem]:
    """What is to be said of the datum of the well that was chosen, nothing where none was."""
    if plan.well is None:
        return []
    reading = datum.reading.as_datum if datum.reading else None
    today = timezone.localdate(timezone=plan.tally.site.zone)
    found = datum_problems(reading, plan.well.rig_from, today)
    if plan.shoulder_nm is not None:
        found = [one for one in found if one.code != "shoulder"]
    hung = any(item.kind == HUNG_BELOW and item.role == "run" for item in items)
    other = shoulder_problem(length_of(plan.shoulder_nm), reading.shoulder if reading else None,
                             unit=plan.tally.unit, digits=plan.tally.digits)  # fmt: skip
    return found + ([other] if other and not hung else [])


def _facts(plan: CasingPlan, row: CasingItem, common: Loss | None) -> tuple[Facts, str]:
    """One item as the rules see it, and where its loss comes from."""
    line = row.line
    pins = 1 if row.kind == JOINT else PARTS[row.kind].pins
    pins = pins if row.loses else 0
    loss, source = _loss(plan, row, common) if pins else (ZERO, "")
    length, moved = length_of(row.length_nm), False
    if line is not None:
        held = line.first_nm if line.first_nm is not None else line.second_nm
        length = length_of(held)
        piece = line.component
        moved = bool(piece and not plan.tally.open and piece.length_nm != held)
    return Facts(
        name=(line.painted if line else "") or row.name, kind=row.kind, role=row.role, length=length,
        loss=loss, pins=pins, cut_off=Length(row.cut_off_nm), reason=row.reason, away=row.away,
        locked=row.locked, drifted=row.drifted, threads=row.threads,
        centralizers=sum(one.count for one in row.stand),  # type: ignore[attr-defined]
        line=str(row.line_id or ""), withdrawn=bool(line and line.withdrawn), moved=moved,
    ), source


def _loss(plan: CasingPlan, row: CasingItem, common: Loss | None) -> tuple[Length | None, str]:
    """What a pin of this item loses: as typed for it or for the plan, else what the tables say.

    Parts are measured as the joints are: where those are taken threads off, nothing comes off a part
    either, unless its own loss was typed.
    """
    if row.loss_nm is not None:
        return Length(row.loss_nm), "typed for this part"
    if plan.tally.kind in NOTHING_OFF:
        return ZERO, f"{plan.tally.kind}: nothing comes off"
    if plan.loss_nm is not None:
        return Length(plan.loss_nm), plan.loss_source or "typed at the head of the plan"
    found = loss_of(plan.tally, row.line) if row.line is not None else common
    return (found.length, found.source) if found else (None, "")


def _common_loss(plan: CasingPlan, rows: list[CasingItem]) -> Loss | None:
    """What a part of the string loses where nobody typed it: what every joint loses, if they are alike."""
    found = [loss_of(plan.tally, row.line) for row in rows if row.line is not None and row.kind == JOINT]
    alike = {loss.length for loss in found if loss is not None}
    return found[0] if len(alike) == 1 and None not in found else None


def serial_of(row: CasingItem) -> str:
    if row.line is not None:
        return row.line.component.serial if row.line.component else row.line.serial_typed
    return row.serial
