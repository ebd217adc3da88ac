"""The rows of a BHA sheet in their order: numbers, counts, serials, and cumulative lengths that follow."""

from collections.abc import Iterator, Sequence

from rack.calc.bha_typed import TypedBha, TypedPiece, listed, named
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.connections import canonical, thread_of
from rack.calc.lengths import ZERO, Length
from rack.calc.names import key_of
from rack.calc.units import NM

#: Words that stand for "somewhere else" in the column of serials.
SEE_LIST = ("SEELIST", "SEETALLY", "LIST", "LISTTOFOLLOW", "TOFOLLOW", "VARIOUS", "ASPERLIST", "PERLIST",
            "ATTACHED", "SEEATTACHED", "MULTIPLE")  # fmt: skip
#: No single joint or tool of a string is so long, but a core barrel (trade guide 11; common practice).
LONGEST_FT = 50


def numbers(sheet: TypedBha) -> Iterator[Problem]:
    """Yield what is wrong with the numbers of the `sheet`: twice, out of order, none, counted from the top.

    Raises nothing. Source: common practice; law 6 of this project for the bit as number 1.
    """
    seen: dict[str, TypedPiece] = {}
    for piece in sheet.pieces:
        key = key_of(piece.number)
        if key and key in seen:
            yield stops(
                f"No. {piece.number} stands twice: in row {seen[key].row} and in row {piece.row}.",
                code="number",
                where=piece.where,
                measured=piece.number,
            )
        elif key:
            seen[key] = piece
    bare = [piece for piece in sheet.pieces if not piece.number]
    if bare and len(bare) < len(sheet.pieces):
        rows = listed([f"{piece.row}" for piece in bare])
        yield asks(
            f"Without a number: row{'s' * (len(bare) > 1)} {rows}; put in by hand?",
            code="number",
            where=bare[0].where,
        )
    elif bare:
        yield note("No row has a number; they are taken as they stand.", code="number")
    up = 1 if sheet.counted == "bit" else -1
    figured = [piece for piece in sheet.pieces if piece.order is not None]
    for below, above in zip(figured, figured[1:], strict=False):
        if up * ((above.order or 0) - (below.order or 0)) < 0:
            yield asks(
                f"The numbers go from {below.number} to {above.number} in row {above.row}: a row was "
                "moved or put in by hand.",
                code="number",
                where=above.where,
                measured=above.number,
            )
    yield from _direction(sheet)


def _direction(sheet: TypedBha) -> Iterator[Problem]:
    said = sheet.head.numbered.lower()
    from_bit = "bit" in said or "bottom" in said
    from_top = "top" in said or "surface" in said
    if sheet.counted == "top" and not from_top:
        words = "the head says from the bit" if from_bit else "the head does not say so"
        bit = sheet.pieces[0]
        yield asks(
            f"The numbers count from the top down: the {bit.item or 'bit'} is No. {bit.number or '–'}, "
            f"and {words}. The rows were turned round; No. 1 is the bit here.",
            code="top down",
            where=bit.where,
            measured=bit.number,
            limit="1",
            source="law 6",
        )
    if sheet.counted == "bit" and from_top and not from_bit:
        yield asks(
            "The head says that the numbers count from the top, and No. 1 is the bit.",
            code="top down",
            source="law 6",
        )
    if sheet.cum_from_top and sheet.counted == "bit":
        yield asks(
            "The cumulative lengths count from the top down; from the bit they keep when the string grows.",
            code="top down",
            source="law 6",
        )


def cumulative(sheet: TypedBha) -> Iterator[Problem]:
    """Yield every cumulative length of the `sheet` that does not follow from the lengths, a gap once.

    A step may be one of the last figure off, by rounding. Raises nothing. Source: addition.
    """
    pieces = sheet.pieces if not sheet.cum_from_top else tuple(reversed(sheet.pieces))
    near = sheet.step
    jump, jumped = ZERO, False
    carried = ZERO
    before: Length | None = ZERO
    last: TypedPiece | None = None
    for at, piece in enumerate(pieces):
        if piece.cum is None or piece.length is None or before is None:
            before = piece.cum if piece.cum is not None else None if piece.length else before
            last, carried = piece, ZERO
            continue
        length = ZERO if piece.laid else piece.length
        off = piece.cum - before - length
        if _gap(last, piece, sheet) and off > near:
            jump, jumped, off = jump + off, True, ZERO
        if piece.laid and abs(off - piece.length) <= near:
            yield stops(
                f"{start(piece)} is laid down and its {sheet.shown(piece.length)} are counted all the same.",
                code="laid down",
                where=piece.where,
                measured=sheet.shown(piece.length),
                limit=sheet.shown(ZERO),
            )
        elif abs(off) > near and not (carried and abs(off + carried) <= near):
            after = _next_off(pieces, at, sheet)
            yield _wrong(sheet, piece, before + length, off, alone=abs(off + after) <= near < abs(after))
            carried = off
        else:
            carried = ZERO
        before, last = piece.cum, piece
    yield from _missing(sheet, jump, jumped=jumped)


def _gap(last: TypedPiece | None, piece: TypedPiece, sheet: TypedBha) -> bool:
    """Whether numbers are missing between two rows that follow one another."""
    low = last.order if last is not None else 0
    if sheet.counted == "top" and last is None:
        return False
    if low is None or piece.order is None:
        return False
    a, b = sorted((low, piece.order))
    return any(a < number < b for number in sheet.missing)


def _next_off(pieces: Sequence[TypedPiece], at: int, sheet: TypedBha) -> Length:
    """How far the cumulative length after this one is off its own step."""
    if at + 1 >= len(pieces):
        return ZERO
    here, there = pieces[at], pieces[at + 1]
    if here.cum is None or there.cum is None or there.length is None or _gap(here, there, sheet):
        return ZERO
    return there.cum - here.cum - (ZERO if there.laid else there.length)


def _wrong(sheet: TypedBha, piece: TypedPiece, sum_: Length, off: Length, *, alone: bool) -> Problem:
    more = "too much" if off > ZERO else "too little"
    tail = "the next one goes on from the right sum" if alone else "every one after it carries it"
    text = (
        f"The cumulative length at {piece.said} does not follow: {sheet.shown(piece.cum or ZERO)} is "
        f"written, {sheet.shown(sum_)} is the sum, {sheet.shown(abs(off))} {more}; {tail}."
        f"{_guess(sheet, piece, off)}"
    )
    return stops(
        text,
        code="cumulative",
        where=piece.where,
        measured=sheet.shown(piece.cum or ZERO),
        limit=sheet.shown(sum_),
        unit=sheet.unit,
    )


def _guess(sheet: TypedBha, piece: TypedPiece, off: Length) -> str:
    length, near = piece.length or ZERO, sheet.step * 2
    if abs(off + length) <= near:
        return " Its length was left out."
    if abs(off - length) <= near:
        return " Its length was counted twice."
    pin = pin_of(piece)
    if pin is not None and abs(off + pin) <= near:
        return f" That is the pin of {sheet.shown(pin)}: the length is with its pin, perhaps."
    in_metres = Length(length.nanometres * NM["m"] // NM["ft"])
    if sheet.unit == "ft" and length and abs(length + off - in_metres) <= near * 2:
        return " The length stands in metres, perhaps."
    if piece.count > 1 and abs(off - length * (piece.count - 1)) <= near * piece.count:
        return f" The length is that of one of the {piece.count} pieces, perhaps."
    return ""


def pin_of(piece: TypedPiece) -> Length | None:
    """Return the length of the pin of a `piece`, of a bit its upper one; None where it has none or it is
    not known. Raises nothing. Source: table "connections"."""
    end = piece.up if piece.kind in ("bit", "core_bit") else piece.down
    if "PIN" not in end.upper().split() and piece.kind not in ("bit", "core_bit"):
        return None
    try:
        inch = thread_of(canonical(end)).pin_length
    except ValueError:
        return None
    return Length(round(inch * NM["in"]))


def _missing(sheet: TypedBha, jump: Length, *, jumped: bool) -> Iterator[Problem]:
    absent = [str(number) for number in sheet.missing]
    if not absent:
        return
    shown = listed(absent) if len(absent) <= 12 else f"{', '.join(absent[:12])} and {len(absent) - 12} more"
    many = len(absent) > 1
    text = f"Number{'s' * many} {shown} stand{'s' * (not many)} nowhere on the sheet"
    if jumped:
        text += (
            f", and the cumulative lengths jump by {sheet.shown(jump)} there: an extract, or rows left "
            "out? Lengths and weights of the foot cannot be added up."
        )
    elif any(piece.cum is not None for piece in sheet.pieces):
        text += ", and the cumulative lengths go on without a jump: skipped?"
    else:
        text += ": skipped, or rows left out?"
    yield asks(text, code="missing", measured=str(len(sheet.pieces)), limit=str(len(absent)))


def counts(sheet: TypedBha) -> Iterator[Problem]:
    """Yield what counts, serials and laid-down rows of the `sheet` hide. Raises nothing.

    Source: issue of the wells ("15 heavy-weight, list to follow"); common practice.
    """
    for piece in sheet.pieces:
        if piece.count < 2:
            if (
                piece.length is not None
                and piece.length > Length(LONGEST_FT * NM["ft"])
                and piece.kind in ("drill_pipe", "heavy_weight", "collar")
            ):
                yield asks(
                    f"{start(piece)} is {sheet.shown(piece.length)} long: a section in one row?",
                    code="quantity",
                    where=piece.where,
                    measured=sheet.shown(piece.length),
                    limit=f"{LONGEST_FT} ft",
                    source="common practice",
                )
            continue
        yield asks(
            f"{start(piece)} is {piece.count} pieces in one row: one length and no serials of their "
            "own; unnamed until the list is tied.",
            code="quantity",
            where=piece.where,
            measured=str(piece.count),
            limit="1",
        )
        if (
            piece.length is not None
            and piece.length < Length(10 * NM["ft"]) * piece.count
            and piece.kind in ("drill_pipe", "heavy_weight")
        ):
            yield asks(
                f"{start(piece)}: {sheet.shown(piece.length)} for {piece.count} pieces; the length of "
                "one of them, perhaps.",
                code="quantity",
                where=piece.where,
                measured=sheet.shown(piece.length),
                source="common practice",
            )
    for piece in sheet.pieces:
        if piece.laid and piece.cum is None and piece.length is not None:
            yield note(f"{start(piece)} is laid down and not counted.", code="laid down", where=piece.where)
    yield from _serials(sheet)


def _serials(sheet: TypedBha) -> Iterator[Problem]:
    if "serial" not in sheet.columns:
        yield asks("The sheet has no column of serials.", code="serial")
        return
    seen: dict[str, TypedPiece] = {}
    bare = []
    for piece in sheet.pieces:
        key = key_of(piece.serial)
        if key in SEE_LIST:
            yield asks(
                f"{start(piece)}: the serial is “{piece.serial}”; the list must be tied before anybody "
                "knows what is in the hole.",
                code="serial",
                where=piece.where,
                measured=piece.serial,
            )
        elif not key:
            bare += [piece] if piece.count == 1 else []
        elif key in seen:
            yield asks(
                f"Serial {piece.serial} stands twice: {seen[key].said} in row {seen[key].row} and "
                f"{piece.said} in row {piece.row}.",
                code="serial",
                where=piece.where,
                measured=piece.serial,
            )
        else:
            seen[key] = piece
    if bare:
        yield note(f"Without a serial: {named(bare)}.", code="serial", where=bare[0].where)


def start(piece: TypedPiece) -> str:
    """Return what begins a sentence about a `piece`. Raises nothing. Source: English."""
    return piece.said[:1].upper() + piece.said[1:]
