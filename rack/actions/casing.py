"""What people do with a casing plan: begin it, put joints and parts in their places, tick them."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction
from django.db.models import F, Max

from rack.actions.casing_head import CasingHead, checked_head
from rack.actions.journal import Asked, open_line
from rack.actions.locks import check_version, lock_tally
from rack.calc.casing_parts import JOINT, PART_OF_PIECE, PARTS, ROLES
from rack.calc.checks import Problem, stops
from rack.calc.kinds import KINDS
from rack.errors import ChangedMeanwhile, Refused
from rack.models import RANK_STEP, CasingItem, CasingPlan, Centralizer, Line, Tally
from rack.people import check_can

TICKS = ("drifted", "threads", "locked")
MOST_ITEMS = 5000


@dataclass(frozen=True)
class Part:
    """A part that is put in, or a joint that was found: kind "joint" then, with its painted number."""

    kind: str
    name: str
    length_nm: int | None = None
    words: str = ""
    serial: str = ""
    loses: bool = True
    loss_nm: int | None = None
    cut_off_nm: int = 0
    locked: bool = False


def begin_plan(asked: Asked, tally: Tally, head: CasingHead) -> CasingPlan:
    """Begin the plan of a tally: every joint of it is to run, in the tally's order from the bottom up."""
    check_can(asked.hand.user, "tally", tally.site)
    head = checked_head(head, tally.site)
    with transaction.atomic():
        _, again = open_line(asked, "begin casing plan", tally.site, f"Began the casing plan of {tally}",
                             {"tally": tally.pk, **asdict(head)})  # fmt: skip
        now = lock_tally(tally.pk)
        if again:
            return CasingPlan.objects.get(tally=now)
        if CasingPlan.objects.filter(tally=now).exists():
            raise Refused([stops(f"{tally} has its casing plan already.", code="twice")])
        _refuse_other_pipe(now)
        plan = CasingPlan.objects.create(tally=now, **asdict(head))
        lines = now.lines.standing().in_order().select_related("component__spec")
        CasingItem.objects.bulk_create(
            CasingItem(plan=plan, rank=RANK_STEP * n, kind=kind_of_line(line), line=line, name=line.painted)
            for n, line in enumerate(lines, start=1)
        )
    return plan


def kind_of_line(line: Line) -> str:
    """A joint, or the part that the piece of this line is: a float shoe that was strapped with the rest."""
    return PART_OF_PIECE.get(line.component.spec.kind, JOINT) if line.component else JOINT


def set_head(asked: Asked, plan: CasingPlan, head: CasingHead, *, seen: int | None = None) -> None:
    """Write the head of a plan anew: well, datum, hole, make-up loss."""
    head = checked_head(head, plan.tally.site)
    with transaction.atomic():
        now, _ = _opened(asked, plan, "casing head", f"Changed the head of the {plan}", asdict(head), seen)
        if now:
            CasingPlan.objects.filter(pk=now.pk).update(**asdict(head))


def put_in(
    asked: Asked, plan: CasingPlan, part: Part, before: int | None, *, seen: int | None = None
) -> None:
    """Put a part in front of an item (None: on top of all), or a joint that was found.

    A joint that the tally knows and the plan does not is tied to its line; another one needs a length.
    """
    with transaction.atomic():
        now, _ = _opened(asked, plan, "casing part", f"Put {part.name} into the {plan}",
                         {**asdict(part), "before": before}, seen)  # fmt: skip
        if not now:
            return
        line = None
        if part.kind == JOINT:
            there = now.items.filter(removed=False, line__isnull=False).values("line")
            line = now.tally.lines.standing().filter(painted=part.name).exclude(pk__in=there).first()
        _check_part(now, part, tied=line is not None)
        values = asdict(part)
        if line is not None:
            values["length_nm"] = None
        rank = _make_room(now, before, 1)
        CasingItem.objects.create(plan=now, rank=rank, line=line, **values)


def move(
    asked: Asked, plan: CasingPlan, items: Sequence[int], before: int | None, *, seen: int | None = None
) -> None:
    """Put items, in the order they have, in front of another one (None: on top of all)."""
    with transaction.atomic():
        now, rows = _opened(asked, plan, "casing order", f"Put {len(items)} items of the {plan} elsewhere",
                            {"before": before}, seen, items)  # fmt: skip
        if not now:
            return
        if before in items:
            raise Refused([stops("An item cannot stand in front of itself.", code="order")])
        rank = _make_room(now, before, len(rows))
        for n, row in enumerate(rows):
            CasingItem.objects.filter(pk=row.pk).update(rank=rank + n)


def set_role(
    asked: Asked, plan: CasingPlan, items: Sequence[int], role: str, reason: str = "", *, away: bool = False,
    seen: int | None = None,
) -> None:
    """Say of items whether they are to run, spare, or left out with a reason; `away`: not on the rack."""
    reason = " ".join(reason.split())[:200]
    if role not in ROLES:
        raise Refused([stops(f"A joint is one of: {', '.join(ROLES.values())}.")])
    if role == "out" and not reason:
        raise Refused([stops("Say in a few words why it is left out; the sheet prints it.", code="reason")])
    with transaction.atomic():
        body = {"role": role, "reason": reason, "away": away}
        words = f"{len(items)} items of the {plan}: {ROLES[role]}{f', {reason}' if reason else ''}"
        now, rows = _opened(asked, plan, "casing role", words, body, seen, items)
        if not now:
            return
        parts = [row.name for row in rows if row.kind != JOINT and row.line_id is None]
        if parts and role != "run":
            raise Refused([stops(f"{parts[0]} is a part, not a joint of the tally: take it out instead.")])
        CasingItem.objects.filter(pk__in=[row.pk for row in rows]).update(
            role=role, reason=reason if role == "out" else "", away=away and role == "out"
        )


def tick(
    asked: Asked, plan: CasingPlan, items: Sequence[int], what: str, *, done: bool, seen: int | None = None
) -> None:
    """Tick items as drifted, threads looked at, or thread-locked, or take the tick back."""
    if what not in TICKS:
        raise Refused([stops(f"There is a tick for each of: {', '.join(TICKS)}.")])
    with transaction.atomic():
        words = f"{'Ticked' if done else 'Took the tick from'} {len(items)} items of the {plan}: {what}"
        now, rows = _opened(asked, plan, "casing tick", words, {"what": what, "done": done}, seen, items)
        if now:
            CasingItem.objects.filter(pk__in=[row.pk for row in rows]).update(**{what: done})


def centralize(
    asked: Asked, plan: CasingPlan, items: Sequence[int], what: str, count: int, from_pin_nm: int | None, *,
    seen: int | None = None,
) -> None:
    """Say what centralizers sit on these items; a count of nothing takes them all off."""
    what = " ".join(what.split())[:40]
    if count and not what:
        raise Refused([stops("Say which centralizer it is: bow, rigid, stop collar.")])
    if not 0 <= count <= 20:
        raise Refused([stops(f"1 to 20 centralizers sit on one joint; {count} was typed.")])
    with transaction.atomic():
        words = f"{count} {what or 'centralizers'} on each of {len(items)} items of the {plan}"
        body = {"what": what, "count": count, "from_pin_nm": from_pin_nm}
        now, rows = _opened(asked, plan, "centralizers", words, body, seen, items)
        if not now:
            return
        on = Centralizer.objects.filter(item__in=[row.pk for row in rows], removed=False)
        on = on.filter(what=what) if count else on
        on.update(removed=True)
        if count:
            Centralizer.objects.bulk_create(
                Centralizer(item=row, what=what, count=count, from_pin_nm=from_pin_nm) for row in rows
            )


def take_out(asked: Asked, plan: CasingPlan, items: Sequence[int], *, seen: int | None = None) -> None:
    """Take parts, or joints that no tally has, out of the plan; joints of the tally are left out instead."""
    with transaction.atomic():
        now, rows = _opened(asked, plan, "casing part out", f"Took {len(items)} items out of the {plan}",
                            {}, seen, items)  # fmt: skip
        if not now:
            return
        joints = [row.name for row in rows if row.line and not row.line.withdrawn]
        if joints:
            raise Refused([stops(f"Joint {joints[0]} stands on the tally: leave it out with a reason.",
                                 code="balance")])
        Centralizer.objects.filter(item__in=[row.pk for row in rows]).update(removed=True)
        CasingItem.objects.filter(pk__in=[row.pk for row in rows]).update(removed=True)


def _opened(
    asked: Asked, plan: CasingPlan, verb: str, words: str, body: dict[str, Any], seen: int | None,
    items: Sequence[int] = (),
) -> tuple[CasingPlan | None, list[CasingItem]]:
    """Steps 1 to 3 of every change: who may, the journal, the locks. None when it was done before."""
    site = plan.tally.site
    check_can(asked.hand.user, "tally", site)
    _, again = open_line(asked, verb, site, words, {"plan": plan.pk, "items": sorted(items), **body})
    if again:
        return None, []
    lock_tally(plan.tally_id)
    now = CasingPlan.objects.select_related("tally__site").get(pk=plan.pk)
    check_version(now, seen)
    rows = list(now.items.filter(pk__in=list(items), removed=False).select_related("line").in_order())
    if len(rows) != len(set(items)):
        raise ChangedMeanwhile("One of the chosen items is not in the plan any more. Load the page again.")
    if verb not in ("casing head", "casing part") and not rows:
        raise Refused([stops("Choose one or more rows first.", code="chosen")])
    CasingPlan.objects.filter(pk=now.pk).update(version=F("version") + 1)
    return now, rows


def _make_room(plan: CasingPlan, before: int | None, count: int) -> int:
    """The first of `count` free ranks in front of an item, or on top of all."""
    rows = plan.items
    if before is None:
        return int(rows.aggregate(top=Max("rank"))["top"] or 0) + RANK_STEP
    found = rows.filter(pk=before, removed=False).first()
    if found is None:
        raise Refused([stops("The item in front of which it shall stand is not in the plan.", code="order")])
    front = rows.filter(rank__lt=found.rank).aggregate(top=Max("rank"))["top"]
    front = found.rank - RANK_STEP if front is None else front
    if found.rank - front <= count:
        rows.filter(rank__gte=found.rank).update(rank=F("rank") + RANK_STEP * (count + 1))
        return int(front) + RANK_STEP // 2
    return int(front) + (found.rank - int(front) - count + 1) // 2


def _refuse_other_pipe(tally: Tally) -> None:
    rows = tally.lines.standing().select_related("component__spec").exclude(component=None)
    kinds = {row.component.spec.kind for row in rows if row.component}
    other = sorted(KINDS[kind].name for kind in kinds if KINDS[kind].family != "coupled")
    if other:
        raise Refused([stops(f"{tally} has {other[0]} on it; a casing plan is made of coupled joints.",
                             code="kind")])


def _check_part(plan: CasingPlan, part: Part, *, tied: bool) -> None:
    wrong: list[Problem] = []
    if part.kind != JOINT and part.kind not in PARTS:
        wrong.append(stops(f"A part is one of: {', '.join(kind.name for kind in PARTS.values())}."))
    if not part.name.strip() or len(part.name) > 20:
        wrong.append(stops("Give it a name of up to 20 letters: FS, MK1, 36A."))
    if part.length_nm is None and not tied:
        wrong.append(stops(f"Type the length of {part.name or 'the part'}.", code="unread"))
    if part.length_nm is not None and not 0 <= part.length_nm <= 10**12:
        wrong.append(stops("A part is between nothing and 1,000 m long."))
    if part.kind == JOINT and plan.items.filter(removed=False, kind=JOINT, name=part.name).exists():
        wrong.append(stops(f"Joint {part.name} is in the plan already; move it instead.", code="twice"))
    if part.cut_off_nm < 0:
        wrong.append(stops("A cut-off cannot be less than nothing."))
    if plan.items.filter(removed=False).count() >= MOST_ITEMS:
        wrong.append(stops(f"A plan holds at most {MOST_ITEMS} items."))
    if wrong:
        raise Refused(wrong)

