"""The tools of a BHA sheet: the bit and its number, what telescopes, how each length was taken."""

import re
from collections.abc import Iterator
from fractions import Fraction

from rack.calc.bha_typed import TypedBha, TypedPiece, listed, size_text
from rack.calc.bha_typed_rows import pin_of, start
from rack.calc.bits import read_nozzles, total_flow_area_in2
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.kinds import kind_of
from rack.calc.kinds.facts import FIXED
from rack.calc.lengths import Length
from rack.calc.names import key_of
from rack.calc.telescopes import both_problems, stands_of

#: A bit, shoulder to nose, is hardly longer than so many times its size; from memory, common practice.
LONG_BIT = {"fixed": Fraction(2), "roller": Fraction(3, 2)}
_WITH_PIN = re.compile(
    r"\b(incl(uding|\.)?|with|w/|\+)\s*(the |its )?pin\b|\bpin (counted|included|incl)", re.I
)
_TFA = re.compile(r"\bTFA\b\D{0,6}(\d+[.,]\d+)", re.I)
_NOZZLES = re.compile(r"\b\d{1,2}\s*x\s*\d{1,2}\b(?:[\s,+]+\d{1,2}\s*x\s*\d{1,2}\b)*", re.I)


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
