"""A row of a BHA sheet as a link of a string: its specification, its facts, its length."""

from rack.calc.bha_typed import TypedBha, TypedPiece
from rack.calc.bha_typed_ends import end_of
from rack.calc.bha_typed_rows import SEE_LIST
from rack.calc.chain import Link
from rack.calc.facts import facts_text
from rack.calc.items import facts_of
from rack.calc.kinds import kind_of
from rack.calc.names import key_of
from rack.calc.specs import SpecFacts


def link_of(piece: TypedPiece, sheet: TypedBha) -> Link:
    """Return the link that a row of the `sheet` is; what the row does not say stays not known."""
    serial = "" if key_of(piece.serial) in SEE_LIST else piece.serial
    named = piece.count == 1 and bool(serial)
    words = piece.item or "piece without an item"
    ident = serial or (f"{words}, list to follow" if piece.count > 1 else words)
    return Link(
        ident=ident, spec=spec_of(piece), length=piece.length, serial=serial, count=piece.count, named=named,
        facts=_facts(piece), stands=piece.stands, opened=piece.opened, closed=piece.closed,
        key=piece.row,
    )


def spec_of(piece: TypedPiece) -> SpecFacts:
    """Return the specification that a row says; a row of no known kind is a tool of that name."""
    code = piece.kind or "other"
    kind = kind_of(code)
    known = facts_of(piece.item)
    (down, low), (up, high) = end_of(piece.down), end_of(piece.up)
    extra = {"name": piece.item[:60] or "not said"} if not piece.kind else dict(piece.facts)
    pipe = code in ("drill_pipe", "heavy_weight")
    return SpecFacts(
        kind=code, od_nm=piece.od or piece.gauge or 0, bore_nm=piece.bore or 0,
        weight_mlb_ft=round(piece.lb_ft * 1000) if piece.lb_ft is not None else 0,
        grade=known.grade if pipe else "", range=known.range if pipe else "",
        up_conn=up, up_gender=high if high or not up else kind.up, down_conn=down,
        down_gender=low if low or not down else kind.down, tj_bore_nm=piece.tj_bore or 0,
        facts=facts_text(kind, extra | _sizes(piece)),
    )


def _sizes(piece: TypedPiece) -> dict[str, str]:
    found = {"neck_od_nm": piece.neck_od, "gauge_nm": piece.gauge}
    made = {name: str(value) for name, value in found.items() if value}
    if piece.neck is not None:
        made["neck_nm"] = str(piece.neck.nanometres)
    return made


def _facts(piece: TypedPiece) -> dict[str, str]:
    """Facts of its own: those of the specification, and what is a matter of this very piece."""
    sensor = {"sensor_nm": str(piece.sensor.nanometres)} if piece.sensor is not None else {}
    return {**piece.facts, **_sizes(piece), **sensor}

