"""Each piece of a BHA sheet by itself: its sizes, fishing neck, bore, and how its length was taken."""

import re
from collections.abc import Iterator
from fractions import Fraction

from rack.calc.bha_typed import TypedBha, TypedPiece, listed, named, size_text
from rack.calc.bha_typed_rows import pin_of, start
from rack.calc.bits import read_nozzles, total_flow_area_in2
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.kinds import kind_of
from rack.calc.kinds.facts import FIXED
from rack.calc.lengths import Length
from rack.calc.lookup import number as figure_of
from rack.calc.lookup import rows
from rack.calc.names import key_of
from rack.calc.telescopes import both_problems, stands_of
from rack.calc.units import NM

#: Kinds that pass a casing closed and open below it.
EXPANDS = ("under_reamer",)
#: Tools that cut a wider hole than the bit below them.
OPENERS = ("under_reamer", "hole_opener")
#: A bit, shoulder to nose, is hardly longer than so many times its size; from memory, common practice.
LONG_BIT = {"fixed": Fraction(2), "roller": Fraction(3, 2)}
_WITH_PIN = re.compile(
    r"\b(incl(uding|\.)?|with|w/|\+)\s*(the |its )?pin\b|\bpin (counted|included|incl)", re.I
)
_TFA = re.compile(r"\bTFA\b\D{0,6}(\d+[.,]\d+)", re.I)
_NOZZLES = re.compile(r"\b\d{1,2}\s*x\s*\d{1,2}\b(?:[\s,+]+\d{1,2}\s*x\s*\d{1,2}\b)*", re.I)


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


def taken(sheet: TypedBha) -> Iterator[Problem]:
    """Yield how lengths of the `sheet` were taken where it matters: a bit with its pin, a jar open or closed.

    Raises nothing. Source: trade guide 11, rule R30, table "connections"; the usual length of a bit is
    common practice.
    """
    said = sheet.head.lengths.lower()
    counted = re.search(r"pins? (are )?(counted|included|in)\b|with pins?|overall", said)
    if counted and not re.search(r"\bnot\b|without|pins? off|excl", said):
        yield asks(
            f"The head says lengths “{sheet.head.lengths[:40]}”: every pin is counted twice in the "
            "cumulative length.",
            code="pins",
            measured=sheet.head.lengths[:40],
            limit="pins off",
        )
    for piece in sheet.in_hole:
        if piece.kind == "bit":
            yield from _bit_length(sheet, piece)
        if piece.kind and kind_of(piece.kind).telescopes:
            yield from _stands(sheet, piece)
        yield from _nozzles(piece)


def _bit_length(sheet: TypedBha, piece: TypedPiece) -> Iterator[Problem]:
    pin, size = pin_of(piece), piece.od or piece.gauge
    words = f" {piece.item} {piece.remarks}"
    if piece.length is None:
        return
    less = f"; less the pin of {sheet.shown(pin)} it is {sheet.shown(piece.length - pin)}" if pin else ""
    if _WITH_PIN.search(words):
        yield asks(
            f"{start(piece)}: the length {sheet.shown(piece.length)} is with its pin{less}.",
            code="pins",
            where=piece.where,
            measured=sheet.shown(piece.length),
            limit="shoulder to nose",
        )
        return
    make = piece.facts.get("make", "")
    most = LONG_BIT["fixed" if make in FIXED else "roller"] if make else LONG_BIT["fixed"]
    if size and pin and piece.length > Length(int(size * most)):
        limit = sheet.shown(Length(int(size * most)))
        yield asks(
            f"{start(piece)}: {sheet.shown(piece.length)} is long for a bit of {size_text(size)}{less}. "
            "With its pin?",
            code="pins",
            where=piece.where,
            measured=sheet.shown(piece.length),
            limit=limit,
            source="common practice",
        )


def _stands(sheet: TypedBha, piece: TypedPiece) -> Iterator[Problem]:
    for found in both_problems(piece.opened, piece.closed, unit=sheet.unit, digits=sheet.digits):
        yield stops(
            f"{start(piece)}: {found.text}",
            code="R30",
            where=piece.where,
            measured=found.measured,
            limit=found.limit,
            source="R30",
        )
    if piece.length is None:
        return
    known = stands_of(piece.length, piece.opened, piece.closed)
    either = [length for length in (piece.opened, piece.closed) if length is not None]
    if len(either) == 2 and not known:
        shown = " and ".join(sheet.shown(length) for length in either)
        yield asks(
            f"{start(piece)}: its length {sheet.shown(piece.length)} is neither of {shown}, open and closed.",
            code="R30",
            where=piece.where,
            measured=sheet.shown(piece.length),
            limit=shown,
            source="R30",
        )
    elif piece.stands and known and known != piece.stands:
        yield asks(
            f"{start(piece)} is said to stand {piece.stands}, and its length is the one {known}.",
            code="R30",
            where=piece.where,
            measured=sheet.shown(piece.length),
            source="R30",
        )
    elif not piece.stands and not known:
        yield asks(
            f"{start(piece)} in row {piece.row}: open or closed is not said; a length without its state "
            "is no length.",
            code="R30",
            where=piece.where,
            measured=sheet.shown(piece.length),
            source="R30",
        )


def _nozzles(piece: TypedPiece) -> Iterator[Problem]:
    said = _TFA.search(f"{piece.remarks} {piece.item}")
    fitted = _NOZZLES.search(piece.item) or _NOZZLES.search(piece.remarks)
    if piece.kind not in ("bit", "core_bit") or said is None or fitted is None:
        return
    try:
        area = total_flow_area_in2(read_nozzles(" ".join(re.sub(r"[,+]", " ", fitted[0]).split())))
    except ValueError:
        return
    written = said[1].replace(",", ".")
    if abs(area - float(written)) > 0.0055:
        yield asks(
            f"{start(piece)}: TFA {written} in2 is written; {fitted[0]} make {area:.3f} in2.",
            code="TFA",
            where=piece.where,
            measured=written,
            limit=f"{area:.3f}",
            unit="in2",
            source="geometry of the nozzles",
        )


def bits(sheet: TypedBha) -> Iterator[Problem]:
    """Yield what does not go together about the bit of the `sheet`: none, two, another number, a rerun.

    Raises nothing. Source: rule R01, trade guide 12 (5RR1 is bit 5 rerun).
    """
    found = [piece for piece in sheet.in_hole if piece.kind in ("bit", "core_bit")]
    bottom = ("bit", "core_bit", "mill", "hole_opener", "scraper", "fishing_tool")
    first = sheet.in_hole[0] if sheet.in_hole else None
    if first is not None and first.kind and first.kind not in bottom and (first.order or 1) == 1:
        yield asks(
            f"At the bottom stands {first.said}, no bit or other hole-making tool.",
            code="R01",
            where=first.where,
            measured=first.item[:40],
            source="R01",
        )
    if len(found) > 1:
        yield asks(
            f"{listed([piece.said for piece in found])} are both bits.",
            code="bit",
            where=found[1].where,
            measured=str(len(found)),
            limit="1",
        )
    elif found and first is not None and found[0] is not first and (first.kind in bottom or not first.kind):
        yield asks(
            f"{start(found[0])} does not stand at the bottom; {first.said} is below it.",
            code="R01",
            where=found[0].where,
            source="R01",
        )
    if found:
        yield from _bit_number(sheet, found[0])


def _bit_number(sheet: TypedBha, piece: TypedPiece) -> Iterator[Problem]:
    head = key_of(sheet.head.bit_no)
    if not head and (sheet.head.bha_no or sheet.head.rig):
        yield note("The head has no bit number.", code="bit")
        return
    here = re.search(r"\bbit\s*(?:no\.?|#)\s*(\w+)", f"{piece.item} {piece.remarks}", re.I)
    if here and head and key_of(here[1]) != head:
        yield asks(
            f"The head says bit {sheet.head.bit_no}, row {piece.row} says bit {here[1]}.",
            code="bit",
            where=piece.where,
            measured=here[1],
            limit=sheet.head.bit_no,
        )
    rerun = "RR" in head
    used = piece.since is not None and piece.since > 0
    fresh = key_of(piece.inspected) in ("NEW", "NEU") or bool(re.search(r"\bnew\b", piece.remarks, re.I))
    if rerun and (fresh or (piece.since is not None and not used)):
        yield asks(
            f"Bit {sheet.head.bit_no} is a rerun, and {piece.said} has no hours before this run.",
            code="bit",
            where=piece.where,
            measured=sheet.head.bit_no,
        )
    elif used and head and not rerun:
        yield asks(
            f"{start(piece)} has hours before this run and the head says bit {sheet.head.bit_no}, no "
            "rerun (RR).",
            code="bit",
            where=piece.where,
            measured=sheet.head.bit_no,
        )
    elif used and fresh:
        yield asks(
            f"{start(piece)} is called new and has hours before this run.", code="bit", where=piece.where
        )
