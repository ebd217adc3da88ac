"""The list of a load from the rows as they stand: the one moment at which anything is looked up."""

import json
import secrets
from collections.abc import Sequence

from rack.calc.loadlist import LoadContent, LoadLine
from rack.calc.rackload import weight_a_foot
from rack.calc.tags import new_code
from rack.models.blindness import is_shut
from rack.models.deliveries import Delivered
from rack.models.hire import Hire, hires_of
from rack.models.journal import Journal
from rack.models.loads import Loaded, LoadOut, LoadSheet, LoadWhy
from rack.models.lying import open_length
from rack.models.pieces import Component, Hold, Mark, MarkKind


def content_of(load: LoadOut, rows: Sequence[Loaded], line: Journal, code: str) -> LoadContent:
    """What the paper of this load says for good."""
    site = load.site
    lines = lines_of(load, rows)
    return LoadContent(
        site_code=site.code,
        site_name=site.name,
        number=load.number,
        revision=load.revision + 1,
        code=code,
        why=load.why,
        to=load.destination,
        to_site=load.to_site.code if load.to_site else "",
        carrier=load.carrier,
        remark=load.remark,
        unit=site.length_unit,
        digits=site.digits,
        sent_at=line.at.astimezone(site.zone).isoformat(timespec="minutes"),
        sent_by=(line.by.get_full_name() or line.by.get_username()) if line.by else "",
        lines=lines,
        count=len(lines),
        sum_nm=sum(each.nm or 0 for each in lines),
    )


def lines_of(load: LoadOut, rows: Sequence[Loaded]) -> tuple[LoadLine, ...]:
    """The lines in the order in which the lifts began, each lift in the order in which it was put on."""
    ids = [row.component_id for row in rows]
    all_rows = Component.objects.select_related("spec").annotate(shut=is_shut())
    pieces = {piece.pk: piece for some in _some(ids) for piece in all_rows.filter(pk__in=some)}
    painted, owned = _marks(ids, MarkKind.PAINTED), _marks(ids, MarkKind.OWNER)
    holds, lists = _holds(ids), _lists(ids)
    begun = {lift: place for place, lift in enumerate(dict.fromkeys(row.lift for row in rows))}
    ordered = sorted(rows, key=lambda row: (begun[row.lift], row.pk))
    # Only an owner who gets it back is told what it ran.
    hires = hires_of(list(pieces.values()), load.site.zone) if load.why == LoadWhy.RETURN else {}
    items = {piece.spec_id: str(piece.spec) for piece in pieces.values()}
    return tuple(
        _line(n, row, pieces[row.component_id], items[pieces[row.component_id].spec_id],
              painted.get(row.component_id, ""), owned.get(row.component_id, ""),
              tuple(holds.get(row.component_id, ())), lists.get(row.component_id),
              hires.get(row.component_id, Hire()))
        for n, row in enumerate(ordered, start=1)
    )  # fmt: skip


def _line(
    n: int, row: Loaded, piece: Component, item: str, painted: str, owner_no: str,
    holds: tuple[str, ...], listed: "tuple[str, str, int | None] | None", hire: Hire,
) -> LoadLine:  # fmt: skip
    spec = piece.spec
    mlb_ft, basis = weight_a_foot(spec.kind, spec.weight_mlb_ft, spec.od_nm, spec.bore_nm)
    name, pipe_class, nm = listed or ("", "", None)
    return LoadLine(
        n=n, lift=row.lift, tag=piece.tag, serial=piece.serial, painted=painted, owner_no=owner_no, item=item,
        nm=open_length(piece), length_kind=piece.length_kind, mlb_ft=mlb_ft,
        weight_basis=basis if mlb_ft else "",
        protectors=row.protectors, damage=row.damage, holds=holds, received_on=piece.received_on.isoformat(),
        list_name=name, list_class=pipe_class, list_nm=nm,
        clocks=hire.clocks, credited=hire.credited, events=hire.events,
    )  # fmt: skip


def _marks(ids: list[int], what: str) -> dict[int, str]:
    found: dict[int, str] = {}
    for some in _some(ids):
        marks = Mark.objects.current().filter(component__in=some, what=what).order_by("id")
        found |= dict(marks.values_list("component", "text"))
    return found


def _holds(ids: list[int]) -> dict[int, list[str]]:
    """The reasons of the holds that stand, by piece."""
    found: dict[int, list[str]] = {}
    for some in _some(ids):
        rows = Hold.objects.filter(component__in=some, what="put", released_by=None).order_by("id")
        for piece, reason in rows.values_list("component", "reason"):
            found.setdefault(piece, []).append(reason)
    return found


def _lists(ids: list[int]) -> dict[int, tuple[str, str, int | None]]:
    """What the list said of a piece when it came: name of the list, class, length in nm."""
    found: dict[int, tuple[str, str, int | None]] = {}
    for some in _some(ids):
        rows = Delivered.objects.filter(component__in=some, fate="accepted").order_by("id")
        for piece, read, name in rows.values_list("component", "read", "delivery__file__typed_name"):
            said = json.loads(read)
            found[piece] = (name, str(said.get("pipe_class") or ""), said.get("length_nm"))
    return found


def classes_of(ids: list[int]) -> dict[int, tuple[str, str, bool]]:
    """The class of each piece, its day (ISO text), and whether an inspection gave it or the last list did."""
    found: dict[int, tuple[str, str, bool]] = {}
    for some in _some(ids):
        rows = Delivered.objects.filter(component__in=some, fate="accepted").select_related("delivery__site")
        for row in rows.defer("typed").order_by("id"):
            day = row.at.astimezone(row.delivery.site.zone).date().isoformat()
            found[row.component_id or 0] = (
                str(json.loads(row.read).get("pipe_class") or ""), day, False
            )  # fmt: skip
        looked = Component.objects.filter(pk__in=some).exclude(class_on=None).exclude(pipe_class="")
        for pk, given, on in looked.values_list("pk", "pipe_class", "class_on"):
            found[pk] = (given, on.isoformat() if on else "", True)
    return found


def free_code() -> str:
    """A code that no load bears yet."""
    while True:
        code = new_code(secrets.randbits(30))
        if code and not LoadSheet.objects.filter(code=code).exists():
            return code


def _some(ids: list[int]) -> list[list[int]]:
    return [ids[start : start + 500] for start in range(0, len(ids), 500)]
