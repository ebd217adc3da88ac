"""The joints of a BHA sheet: what each end of a piece is screwed into."""

import re
from collections.abc import Iterator

from rack.calc.bha_typed import TypedBha, TypedPiece
from rack.calc.bha_typed_rows import start
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.connections import canonical
from rack.calc.kinds import kind_of
from rack.calc.names import key_of

_GENDER = re.compile(r"(?<![A-Z0-9])(BOX|PIN|B|P)(?![A-Z0-9])\.?\s*(?:UP|DOWN|DN)?\s*$", re.I)
_BLANK = frozenset({"", "NA", "NONE", "NIL"})


def end_of(text: str) -> tuple[str, str]:
    """Return the thread and the gender that a cell's `text` names: "4 1/2 IF BOX" is ("NC50", "box").

    A thread that is not known stays as typed, without its gender. Raises nothing. Source: table
    "interchange".
    """
    found = _GENDER.search(text)
    gender = "" if found is None else "box" if found[1].upper().startswith("B") else "pin"
    bare = text[: found.start()].strip() if found else text.strip()
    if key_of(bare) in _BLANK:
        return "", gender
    try:
        return canonical(bare), gender
    except ValueError:
        return bare, gender


def joints(sheet: TypedBha) -> Iterator[Problem]:
    """Yield where neighbours of the `sheet` do not make up: another thread, box on box, pin on pin.

    Two names of one thread are the same. Rows between which a number is missing are no neighbours. Raises
    nothing. Source: rules R02 and R03, tables "connections" and "interchange".
    """
    if not {"down", "up"} & sheet.columns:
        yield asks("The sheet has no columns of connections.", code="R02", source="R02")
        return
    below: TypedPiece | None = None
    for piece in sheet.in_hole:
        if below is not None and _neighbours(sheet, below, piece):
            yield from _joint(below, piece)
        yield from _own(piece)
        below = piece
    yield from _bare(sheet)


def _neighbours(sheet: TypedBha, below: TypedPiece, above: TypedPiece) -> bool:
    if below.order is None or above.order is None:
        return True
    low, high = sorted((below.order, above.order))
    return not any(low < number < high for number in sheet.missing)


def _joint(below: TypedPiece, above: TypedPiece) -> Iterator[Problem]:
    thread, gender = end_of(below.up)
    other, opposite = end_of(above.down)
    place = f"Between {below.said} and {above.said}"
    if thread and other and key_of(thread) != key_of(other):
        yield stops(
            f"{place}: {thread} {gender} up and {other} {opposite} down do not make up; a crossover is "
            "missing.".replace("  ", " "),
            code="R02",
            where=above.where,
            measured=f"{other} {opposite}".strip(),
            limit=thread,
            source="R02",
        )
    elif gender and gender == opposite:
        words = "box on box" if gender == "box" else "pin on pin"
        rule = "R03" if below.kind in ("bit", "core_bit") else "R02"
        yield stops(
            f"{place}: {words} ({thread or other}).",
            code=rule,
            where=above.where,
            measured=f"{other or thread} {opposite}",
            source=rule,
        )


def _own(piece: TypedPiece) -> Iterator[Problem]:
    """A crossover that joins the same thread and genders, a name that nobody knows."""
    for text in (piece.down, piece.up):
        thread, _ = end_of(text)
        if thread and not _known(thread):
            yield note(
                f"{start(piece)}: the thread “{thread[:30]}” is not in the tables; it is compared as typed.",
                code="thread",
                where=piece.where,
                measured=thread[:30],
            )
            break
    (down, low), (up, high) = end_of(piece.down), end_of(piece.up)
    if piece.kind == "crossover" and down and down == up and low and high and low != high:
        yield asks(
            f"{start(piece)} is called a crossover and joins {down} to {up}.",
            code="thread",
            where=piece.where,
            measured=down,
        )


def _known(thread: str) -> bool:
    try:
        canonical(thread)
    except ValueError:
        return False
    return True


def _bare(sheet: TypedBha) -> Iterator[Problem]:
    """Ends that should have a thread and have none, said once where many are blank."""
    bare = []
    top = sheet.in_hole[-1] if sheet.in_hole else None
    for piece in sheet.in_hole:
        one_end = kind_of(piece.kind).one_end if piece.kind else ""
        down, up = end_of(piece.down)[0], end_of(piece.up)[0]
        needs_down = one_end != "up" and piece is not sheet.in_hole[0]
        if (needs_down and not down) or (not up and piece is not top and one_end != "down"):
            bare.append(piece)
    if len(bare) > 3:
        numbers = ", ".join(piece.number or f"row {piece.row}" for piece in bare[:12])
        yield asks(
            f"An end has no connection at No. {numbers}{' and more' if len(bare) > 12 else ''}.",
            code="thread",
            where=bare[0].where,
            source="R02",
        )
    else:
        for piece in bare:
            yield asks(
                f"{start(piece)} in row {piece.row}: an end has no connection.",
                code="thread",
                where=piece.where,
                source="R02",
            )
