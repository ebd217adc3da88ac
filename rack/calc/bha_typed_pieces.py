"""Each piece of a BHA sheet by itself: its sizes, fishing neck, bore, and how its length was taken."""

from collections.abc import Iterator
from fractions import Fraction

from rack.calc.bha_typed import TypedBha, TypedPiece, named, size_text
from rack.calc.bha_typed_rows import start
from rack.calc.checks import Problem, asks, stops
from rack.calc.kinds import kind_of
from rack.calc.lookup import number as figure_of
from rack.calc.lookup import rows
from rack.calc.units import NM

#: Kinds that pass a casing closed and open below it.
EXPANDS = ("under_reamer",)
#: Tools that cut a wider hole than the bit below them.
OPENERS = ("under_reamer", "hole_opener")


def kinds(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the pieces of the `sheet` whose words name no kind. Raises nothing. Source: table of kinds."""
    for piece in sheet.pieces:
        if not piece.kind:
            words = f"“{piece.item[:40]}” names no kind of piece" if piece.item else "it has no item"
            yield asks(
                f"{start(piece)} in row {piece.row}: {words}; it is taken for a tool of that name.",
                code="kind",
                where=piece.where,
                measured=piece.item[:40],
            )


def sizes(sheet: TypedBha) -> Iterator[Problem]:
    """Yield what of the `sheet` is wider than the hole or the casing, and bores wider than bodies.

    Raises nothing. Source: rules R17 and R22; table "casing" for the drift.
    """
    drift = drift_of(sheet)
    opened = False
    for piece in sheet.in_hole:
        widest = max((size for size in (piece.od, piece.gauge) if size), default=0)
        word = "gauge" if piece.gauge and widest == piece.gauge else "OD"
        hole = sheet.head.hole
        expands = piece.kind in EXPANDS
        if hole and widest > hole and not opened and piece.kind not in OPENERS:
            yield asks(
                f"{start(piece)}: {word} {size_text(widest)} is wider than the hole of {size_text(hole)}.",
                code="R17",
                where=piece.where,
                measured=size_text(widest),
                limit=size_text(hole),
                source="R17",
            )
        if drift and widest > drift[0] and not expands:
            yield asks(
                f"{start(piece)}: {word} {size_text(widest)} is wider than the drift of the last casing, "
                f"{size_text(drift[0])} ({drift[1]}).",
                code="R17",
                where=piece.where,
                measured=size_text(widest),
                limit=size_text(drift[0]),
                source="R17",
            )
        opened = opened or piece.kind in OPENERS
        if piece.kind == "bit" and hole and widest and widest < hole and not _opens(sheet):
            yield asks(
                f"{start(piece)} is {size_text(widest)} and the head says a hole of {size_text(hole)}.",
                code="R22",
                where=piece.where,
                measured=size_text(widest),
                limit=size_text(hole),
                source="R22",
            )
        yield from _widths(piece)


def _opens(sheet: TypedBha) -> bool:
    return any(piece.kind in OPENERS for piece in sheet.in_hole)


def _widths(piece: TypedPiece) -> Iterator[Problem]:
    """What cannot be: a bore as wide as the body, a gauge narrower than it."""
    if piece.od and piece.bore and piece.bore >= piece.od:
        yield stops(
            f"{start(piece)}: the ID {size_text(piece.bore)} is not less than the OD {size_text(piece.od)}.",
            code="size",
            where=piece.where,
            measured=size_text(piece.bore),
            limit=size_text(piece.od),
        )
    if piece.od and piece.gauge and piece.gauge < piece.od and piece.kind not in ("bit", "core_bit"):
        yield asks(
            f"{start(piece)}: the gauge {size_text(piece.gauge)} is less than the OD {size_text(piece.od)}.",
            code="size",
            where=piece.where,
            measured=size_text(piece.gauge),
            limit=size_text(piece.od),
        )
    if piece.kind in ("bit", "core_bit") and piece.od and piece.gauge and piece.gauge > piece.od:
        yield asks(
            f"{start(piece)}: the gauge {size_text(piece.gauge)} is more than the size "
            f"{size_text(piece.od)}.",
            code="size",
            where=piece.where,
            measured=size_text(piece.gauge),
            limit=size_text(piece.od),
        )


def drift_of(sheet: TypedBha) -> tuple[int, str] | None:
    """Return the drift of the last casing of the `sheet` in whole nanometres, with what it is of.

    Without a weight the widest drift of the size stands, so that only what passes in no weight is named.
    None where the size is not in the table. Raises nothing. Source: table "casing".
    """
    head = sheet.head
    if not head.casing_od:
        return None
    found = [row for row in rows("casing") if round(float(row["od_in"]) * NM["in"]) == head.casing_od]
    said = [row for row in found if figure_of(row["weight_lb_ft"]) == head.casing_lb_ft]
    best = max(said or found, key=lambda row: float(row["drift_in"]), default=None)
    if best is None:
        return None
    words = f"{best['size']} in {best['weight_lb_ft']} lb/ft" if said else f"the lightest {best['size']} in"
    return round(float(best["drift_in"]) * NM["in"]), words


def necks(sheet: TypedBha) -> Iterator[Problem]:
    """Yield what the fishing diagram of the `sheet` lacks: necks, diameters, bores; a neck that cannot be.

    Raises nothing. Source: rule R29, trade guide 12.
    """
    wanted = [piece for piece in sheet.in_hole if _has_neck(piece)]
    if wanted and not {"neck_od", "neck"} & sheet.columns:
        yield asks("The sheet has no columns for the fishing neck.", code="R29", source="R29")
    else:
        blank = [piece for piece in wanted if piece.neck_od is None or piece.neck is None]
        yield from _without(blank, "fishing neck", "a fishing neck's OD and length")
    yield from _without(
        [piece for piece in sheet.in_hole if piece.od is None and piece.gauge is None], "OD", "an OD"
    )
    yield from _without([piece for piece in sheet.in_hole if piece.length is None], "length", "a length")
    yield from _without([piece for piece in wanted if piece.bore is None], "ID", "an ID")
    for piece in sheet.in_hole:
        widest = max((size for size in (piece.od, piece.gauge) if size), default=0)
        if piece.neck_od and widest and piece.neck_od > widest:
            yield asks(
                f"{start(piece)}: the fishing neck {size_text(piece.neck_od)} is wider than the body "
                f"{size_text(widest)}.",
                code="R29",
                where=piece.where,
                measured=size_text(piece.neck_od),
                limit=size_text(widest),
                source="R29",
            )
        if piece.neck_od and piece.bore and piece.neck_od <= piece.bore:
            yield stops(
                f"{start(piece)}: the fishing neck {size_text(piece.neck_od)} is not wider than the ID "
                f"{size_text(piece.bore)}.",
                code="R29",
                where=piece.where,
                measured=size_text(piece.neck_od),
                limit=size_text(piece.bore),
                source="R29",
            )
        if piece.neck is not None and piece.length is not None and piece.neck > piece.length:
            yield asks(
                f"{start(piece)}: the fishing neck of {sheet.shown(piece.neck)} is longer than the "
                f"piece of {sheet.shown(piece.length)}.",
                code="R29",
                where=piece.where,
                measured=sheet.shown(piece.neck),
                limit=sheet.shown(piece.length),
                source="R29",
            )


def _has_neck(piece: TypedPiece) -> bool:
    return bool(piece.kind) and any(fact.name == "neck_nm" for fact in kind_of(piece.kind).facts)


def _without(pieces: list[TypedPiece], code: str, what: str) -> Iterator[Problem]:
    if len(pieces) > 3:
        yield asks(f"{named(pieces)} have not {what}.", code=code, where=pieces[0].where, source="R29")
        return
    for piece in pieces:
        yield asks(
            f"{start(piece)} in row {piece.row} has not {what}.", code=code, where=piece.where, source="R29"
        )


def bores(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the rows of the `sheet` whose ID is that of the tube, where the tool joint is tighter.

    Raises nothing. Source: tables "drill_pipe" and "tool_joint_weights".
    """
    for piece in sheet.in_hole:
        if piece.bore is None:
            continue
        if piece.tj_bore and piece.tj_bore < piece.bore:
            yield asks(
                f"{start(piece)}: the ID {size_text(piece.bore)} is that of the tube; the tool joint's "
                f"{size_text(piece.tj_bore)} is the least bore.",
                code="bore",
                where=piece.where,
                measured=size_text(piece.bore),
                limit=size_text(piece.tj_bore),
            )
        if piece.kind != "drill_pipe" or piece.tj_bore or piece.od is None:
            continue
        size = Fraction(piece.od, NM["in"])
        tubes = [
            row
            for row in rows("drill_pipe")
            if figure_of(row["od_in"]) == size and abs(float(row["id_in"]) - piece.bore / NM["in"]) < 0.011
        ]
        tight = sorted(
            {
                figure_of(row["tj_id"]) or Fraction(99)
                for row in rows("tool_joint_weights")
                if figure_of(row["size"]) == size and row["tj_id"]
            }
        )
        if tubes and tight and tight[-1] * NM["in"] < piece.bore:
            limit = " to ".join(
                dict.fromkeys(size_text(int(one * NM["in"])) for one in (tight[0], tight[-1]))
            )
            yield asks(
                f"{start(piece)}: the ID {size_text(piece.bore)} is that of the tube; tool joints of "
                f"this size have {limit}.",
                code="bore",
                where=piece.where,
                measured=size_text(piece.bore),
                limit=limit,
                source="tables drill_pipe, tool_joint_weights",
            )
