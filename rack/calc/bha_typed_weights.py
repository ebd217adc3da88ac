"""What the pieces of a BHA sheet weigh: a foot, each, and together."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from rack.calc.bha_typed import TypedBha, TypedPiece
from rack.calc.bha_typed_rows import start
from rack.calc.checks import Problem, asks
from rack.calc.lengths import ZERO, Length
from rack.calc.lookup import number as figure_of
from rack.calc.lookup import rows
from rack.calc.units import NM
from rack.calc.weights import STEEL_PPG, collar_weight_lb_ft, spiral_collar_weight_lb_ft

#: How far a collar may stand from geometry before it is asked; elevator and slip recesses take some.
_NEAR_COLLAR = 0.08
#: Heavy-weight pipe varies by make; its table is from memory.
_NEAR_HEAVY = 0.2
#: Steel of a tool hardly fills less of the body than this, nor more than all of it; common practice.
_LEAST_SHARE, _MOST_SHARE = 0.35, 1.12


def each(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the pieces of the `sheet` whose weight does not follow from lb/ft and length, or lb/ft from its
    diameters. Raises nothing. Source: multiplication; geometry of steel, table "heavyweight"."""
    for piece in sheet.pieces:
        follows = None
        if piece.lb_ft is not None and piece.length is not None:
            follows = piece.lb_ft * Fraction(piece.length.nanometres, NM["ft"])
        if follows is not None and piece.lb is not None and not _near(sheet, piece, follows, piece.lb):
            yield _apart(sheet, piece, follows, piece.lb)
        yield from _by_size(
            sheet,
            piece,
            agrees=follows is not None and piece.lb is not None and _near(sheet, piece, follows, piece.lb),
        )


def _near(sheet: TypedBha, piece: TypedPiece, follows: Fraction, lb: Fraction) -> bool:
    """Within rounding: half a unit of the weight, lb/ft to its last figure, or one in two hundred."""
    length_ft = Fraction(piece.length.nanometres, NM["ft"]) if piece.length else Fraction(0)
    slack = max(Fraction(5, 2), abs(follows) / 200, length_ft * Fraction(6, 100))
    return abs(follows - lb) <= slack


def _apart(sheet: TypedBha, piece: TypedPiece, follows: Fraction, lb: Fraction) -> Problem:
    ratio = follows / lb if lb else Fraction(0)
    guess = " A decimal is lost, perhaps." if _tenfold(ratio) else ""
    if piece.count > 1 and abs(ratio - piece.count) < Fraction(1, 20) * piece.count:
        guess = " The weight is that of one piece, perhaps."
    length = sheet.shown(piece.length) if piece.length is not None else ""
    return asks(
        f"{start(piece)}: {sheet.weight(lb)} is written; {sheet.per_length(piece.lb_ft or follows)} x "
        f"{length} is {sheet.weight(follows)}.{guess}",
        code="weight",
        where=piece.where,
        measured=sheet.weight(lb),
        limit=sheet.weight(follows),
    )


def _tenfold(ratio: Fraction) -> bool:
    return any(abs(ratio - power) <= power / 20 for power in
               (Fraction(10), Fraction(1, 10), Fraction(100), Fraction(1, 100)))  # fmt: skip


def _by_size(sheet: TypedBha, piece: TypedPiece, *, agrees: bool) -> Iterator[Problem]:
    if piece.lb_ft is None or not piece.od or piece.od > 60 * NM["in"] or (piece.bore or 0) >= piece.od:
        return
    od, bore = piece.od / NM["in"], (piece.bore or 0) / NM["in"]
    lb_ft = float(piece.lb_ft)
    if piece.kind == "collar" and piece.bore:
        spiral = piece.facts.get("surface") == "spiral"
        formula = (spiral_collar_weight_lb_ft if spiral else collar_weight_lb_ft)(od, bore)
        low = spiral_collar_weight_lb_ft(od, bore) * (1 - _NEAR_COLLAR)
        high = collar_weight_lb_ft(od, bore) * (1 + _NEAR_COLLAR)
        if not low <= lb_ft <= high:
            yield _odd(sheet, piece, formula, "steel of that OD and ID")
    elif piece.kind == "heavy_weight":
        table = [
            float(figure_of(row["approx_weight_lb_ft_with_joints"]) or 0)
            for row in rows("heavyweight")
            if figure_of(row["od_in"]) == Fraction(piece.od, NM["in"])
        ]
        if table and abs(lb_ft - table[0]) > table[0] * _NEAR_HEAVY:
            yield _odd(sheet, piece, table[0], "the table (from memory)")
    elif piece.kind == "drill_pipe":
        labels = [
            float(row["nominal_weight_lb_ft"])
            for row in rows("drill_pipe")
            if figure_of(row["od_in"]) == Fraction(piece.od, NM["in"])
        ]
        near = min(labels, key=lambda label: abs(label - lb_ft), default=0.0)
        if near and not near * 0.9 <= lb_ft <= near * 1.35:
            yield _odd(sheet, piece, near, "the nearest label weight")
    else:
        tube = collar_weight_lb_ft(od, bore)
        solid = collar_weight_lb_ft(max(od, (piece.gauge or 0) / NM["in"]), 0)
        least = tube * _LEAST_SHARE * (0.3 if piece.kind in ("bit", "core_bit") else 1)
        if not least <= lb_ft <= solid * _MOST_SHARE and (
            not agrees or lb_ft > solid * _MOST_SHARE or _tenfold(Fraction(lb_ft / tube)) or lb_ft < tube / 5
        ):
            yield _odd(
                sheet,
                piece,
                solid if lb_ft > solid else tube,
                "a solid bar" if lb_ft > solid else "steel of that OD and ID",
            )


def _odd(sheet: TypedBha, piece: TypedPiece, formula: float, of: str) -> Problem:
    said, right = piece.lb_ft or Fraction(0), Fraction(formula).limit_denominator(1000)
    guess = (
        " A decimal is lost, perhaps."
        if any(right and abs(said * power / right - 1) <= Fraction(1, 4) for power in (10, Fraction(1, 10)))
        else ""
    )
    return asks(
        f"{start(piece)}: {sheet.per_length(said)} is written; {of} weighs {sheet.per_length(right)}.{guess}",
        code="lb/ft",
        where=piece.where,
        measured=sheet.per_length(said),
        limit=sheet.per_length(right),
        source="geometry, common practice",
    )


def weight_of(piece: TypedPiece) -> Fraction | None:
    """Return what a `piece` weighs in air in lb: as written, else by lb/ft and length; None where neither
    is known. Raises nothing. Source: multiplication."""
    if piece.lb is not None:
        return piece.lb
    if piece.lb_ft is None or piece.length is None:
        return None
    return piece.lb_ft * Fraction(piece.length.nanometres, NM["ft"])


def air_sum(pieces: tuple[TypedPiece, ...]) -> Fraction | None:
    """Return the weight of `pieces` in air in lb, None where one is not known. Raises nothing.

    Source: addition.
    """
    weights = [weight_of(piece) for piece in pieces]
    known = [weight for weight in weights if weight is not None]
    return sum(known, Fraction(0)) if known and len(known) == len(weights) else None


def foot(sheet: TypedBha) -> Iterator[Problem]:
    """Yield the sums in the foot of the `sheet` that are not the sums of its rows.

    Length, weight in air, in mud, below the jars. Not asked where rows are missing. Raises nothing.
    Source: addition; RP 7G for the buoyancy.
    """
    end, pieces = sheet.foot, sheet.in_hole
    lengths = [piece.length for piece in pieces if piece.length is not None]
    total = sum(lengths, ZERO) if len(lengths) == len(pieces) and lengths else None
    if sheet.missing:
        cums = [piece.cum for piece in pieces if piece.cum is not None]
        total = max(cums, default=None)
    if (
        end.length is not None
        and total is not None
        and abs(end.length - total) > sheet.step * (1 + ceil(len(pieces) / 10))
    ):
        yield _length(sheet, end.length, total)
    if sheet.missing:
        return
    laid = [piece for piece in sheet.pieces if piece.laid]
    air = air_sum(pieces)
    if end.air is not None and air is not None and not _sums(end.air, air, len(pieces)):
        with_laid = air_sum(sheet.pieces) if laid else None
        words = (
            " The pieces laid down are in it." if with_laid and _sums(end.air, with_laid, len(pieces)) else ""
        )
        yield asks(
            f"The foot says {sheet.weight(end.air)} in air; the rows make {sheet.weight(air)}.{words}",
            code="air",
            where="foot",
            measured=sheet.weight(end.air),
            limit=sheet.weight(air),
        )
    yield from _mud(sheet, end.air if end.air is not None else air)
    yield from _jar(sheet)


def _length(sheet: TypedBha, written: Length, right: Length) -> Problem:
    words = ""
    for piece in sheet.pieces:
        if piece.laid and piece.length and abs(written - right - piece.length) <= sheet.step * 2:
            words = f" {start(piece)}, laid down, is in it."
    return asks(
        f"The foot says {sheet.shown(written)} of BHA; the rows make {sheet.shown(right)}.{words}",
        code="BHA length",
        where="foot",
        measured=sheet.shown(written),
        limit=sheet.shown(right),
    )


def _sums(written: Fraction, right: Fraction, n: int) -> bool:
    """Within rounding of each row, or to the hundred where the foot is written so."""
    slack = Fraction(n, 2) + 1
    for step in (1000, 500, 100, 50, 10):
        if written >= 20 * step and written % step == 0:
            slack = max(slack, Fraction(step, 2))
            break
    return abs(written - right) <= slack


def buoyed(sheet: TypedBha, lb: Fraction) -> Fraction | None:
    """Return what `lb` in air weighs in the mud of the `sheet`, None where that is not known.

    Raises nothing. Source: RP 7G, 1 - ppg/65.5.
    """
    mud = sheet.head.mud_ppg
    return None if mud is None or mud >= 30 else lb * (1 - mud / Fraction(str(STEEL_PPG)))


def _close(written: Fraction, right: Fraction, n: int) -> bool:
    return _sums(written, right, n) or abs(written - right) <= right / 100


def _mud(sheet: TypedBha, air: Fraction | None) -> Iterator[Problem]:
    written = sheet.foot.mud
    right = buoyed(sheet, air) if air is not None else None
    if written is None or right is None or air is None or _close(written, right, len(sheet.in_hole)):
        return
    words = " That is the weight in air." if _close(written, air, len(sheet.in_hole)) else ""
    yield asks(
        f"The foot says {sheet.weight(written)} in mud; {sheet.weight(air)} in {sheet.head.mud} are "
        f"{sheet.weight(right)}.{words}",
        code="mud",
        where="foot",
        measured=sheet.weight(written),
        limit=sheet.weight(right),
        source="RP 7G, 1 - ppg/65.5",
    )


def _jar(sheet: TypedBha) -> Iterator[Problem]:
    written, pieces = sheet.foot.below_jar, sheet.in_hole
    jars = [n for n, piece in enumerate(pieces) if piece.kind == "jar"]
    if written is None:
        if jars and sheet.foot.said:
            yield asks(
                "The foot does not say the weight below the jar.",
                code="below jar",
                where="foot",
                source="R31",
            )
        return
    if not jars:
        yield asks(
            f"The foot says {sheet.weight(written)} below the jar, and no jar stands on the sheet.",
            code="below jar",
            where="foot",
            measured=sheet.weight(written),
        )
        return
    air = air_sum(pieces[: jars[0]])
    if air is None:
        return
    rights = {"air": air, "mud": buoyed(sheet, air)}
    asked = [sheet.foot.below_jar_in] if sheet.foot.below_jar_in else ["mud", "air"]
    known = {name: rights[name] for name in asked if rights[name] is not None}
    if not known or any(_close(written, right, jars[0]) for right in known.values() if right is not None):
        return
    words = " or ".join(
        f"{sheet.weight(right)} in {name}" for name, right in known.items() if right is not None
    )
    with_jar = air_sum(pieces[: jars[0] + 1])
    share = buoyed(sheet, Fraction(1)) or Fraction(1)
    tail = ""
    if with_jar is not None and any(_close(written, with_jar * one, jars[0]) for one in (Fraction(1), share)):
        tail = " The jar itself is in it."
    yield asks(
        f"The foot says {sheet.weight(written)} below the jar; the rows below {pieces[jars[0]].said} make "
        f"{words}.{tail}",
        code="below jar",
        where="foot",
        measured=sheet.weight(written),
        limit=words,
        source="R31",
    )
