"""A tally held against the register: numbers, pieces left out, order, recuts, threads that do not meet."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rack.calc.checks import Severity
from rack.calc.connections.names import End, canonical, why_not
from rack.calc.painted import order_of, same_number
from rack.calc.purposes import Purpose
from rack.calc.strapped import Finding

#: So many joints are named one by one in a sentence.
_NAMED = 8
#: An order is judged from so many lines on.
_ENOUGH = 5


@dataclass(frozen=True)
class Known:
    """One line and what the register knows of its piece.

    `registered` is the number painted on the piece ("" for none known), `piece` its key there (0 for no
    piece), `away` why it does not lie here ("in transit"), `ended` what ended its length after it was read
    ("recut on 2026-11-03"), `up` and `down` its ends, None where they are not known.
    """

    name: str
    painted: str = ""
    serial: str = ""
    registered: str = ""
    piece: int = 0
    away: str = ""
    ended: str = ""
    up: End | None = None
    down: End | None = None


@dataclass(frozen=True)
class Group:
    """Pieces that belong together by the register, a layer or a delivery: what it is called, and each
    piece's key and name."""

    name: str
    pieces: tuple[tuple[int, str], ...]


def repainted(lines: Sequence[Known]) -> list[Finding]:
    """Return T06 for each line whose painted number is not that of the register.

    Where most differ the joints were numbered anew, which is said once as a NOTE. Leading noughts, blanks
    and small letters are no difference. Raises nothing. Source: tally check T06, common practice.
    `lines` are those of the tally in order.
    """
    known = [(place, line) for place, line in enumerate(lines) if line.registered and line.painted]
    wrong = [(place, line) for place, line in known if not same_number(line.painted, line.registered)]
    if not wrong:
        return []
    if len(wrong) > _ENOUGH and 2 * len(wrong) > len(known):
        words = (
            f"{len(wrong)} of {len(known)} joints bear another number here than in the register: they were "
            "numbered anew."
        )
        return [
            Finding(
                "T06",
                (),
                words,
                "Paint the new numbers, or name the lines by the old.",
                severity=Severity.NOTE,
            )
        ]
    numbers = {line.painted: line for _, line in wrong}
    found = []
    for place, line in wrong:
        other = numbers.get(line.registered)
        changed = other is not None and same_number(other.registered, line.painted)
        why = f" It has changed places with joint {line.registered}." if changed else ""
        called = line.serial or f"the piece of line {place + 1}"
        words = f"{line.name}: the register has {called} painted {line.registered}.{why}"
        do = "Read tag and number on the steel. Repaint or tie the line anew; do not edit the length."
        found.append(Finding("T06", (place,), words, do))
    return found


def twice(lines: Sequence[Known]) -> list[Finding]:
    """Return T05 for serials that stand on two lines. Raises nothing. Source: tally check T05.

    `lines` are those of the tally in order.
    """
    counted = Counter(line.serial for line in lines if line.serial)
    found = []
    for serial, count in counted.items():
        if count > 1:
            places = tuple(place for place, line in enumerate(lines) if line.serial == serial)
            names = ", ".join(_low(lines[place].name) for place in places[:_NAMED])
            words = f"Serial {serial} stands on {count} lines: {names}. A joint counted twice?"
            found.append(Finding("T05", places, words, "Read the serials; withdraw the line too many."))
    return found


def balance(
    lines: Sequence[Known], groups: Sequence[Group], purpose: Purpose, *, struck_off: Collection[int] = ()
) -> list[Finding]:
    """Return T10 for pieces that belong to this tally by the register and are not on it, and the reverse.

    Balanced piece by piece: a total that agrees shows nothing. A group counts when at least half of it is
    on the tally; `struck_off` are pieces withdrawn with a reason. Nothing is balanced while lines have no
    piece. Raises nothing. Source: tally check T10, trade guide 5.4.
    `lines` are those of the tally, `groups` the pieces that came together, `purpose` what the tally is
    for.
    """
    found = [
        Finding("T10", (place,), f"{line.name}: {line.serial or 'its piece'} is {line.away} and cannot lie "
                "here.", "Find the joint, or withdraw its line with the reason.")
        for place, line in enumerate(lines) if line.away
    ]  # fmt: skip
    if any(not line.piece for line in lines):
        return found
    here = {line.piece for line in lines} | set(struck_off)
    for group in groups:
        left = [name for piece, name in group.pieces if piece not in here]
        if left and 2 * (len(group.pieces) - len(left)) >= len(group.pieces):
            one = len(left) == 1
            words = (
                f"{len(left)} of {len(group.pieces)} pieces of {group.name} {'is' if one else 'are'} not on "
                f"this tally: {_listed(left)}."
            )
            do = "Look for it on the rack: put it on the tally, or give the reason why it stays out."
            must = purpose.code in ("delivery", "rack", "casing")
            found.append(
                Finding(
                    "T10",
                    (),
                    words,
                    do if one else do.replace("it", "each", 1),
                    severity=Severity.ASKS if must else Severity.NOTE,
                )
            )
    return found


def out_of_turn(lines: Sequence[Known], purpose: Purpose) -> list[Finding]:
    """Return T11 for joints whose number stands out of its turn, where nearly all others are in order.

    Upward and downward are both an order. ASKS where the lines are the order of running, else a NOTE.
    Raises nothing. Source: tally check T11, common practice.
    `lines` are those of the tally in order, `purpose` what it is for.
    """
    if len(lines) < _ENOUGH or any(not line.painted for line in lines):
        return []
    keys = [order_of(line.painted) for line in lines]
    upward = _rising(keys)
    downward = {len(keys) - 1 - place for place in _rising(keys[::-1])}
    kept = max(upward, downward, key=len)
    odd = [place for place in range(len(lines)) if place not in kept]
    if not odd or 5 * len(odd) > len(lines):
        return []
    severity = Severity.ASKS if purpose.in_order else Severity.NOTE
    do = "Look which joint lies there; swap the lines or paint the number again."
    return [
        Finding(
            "T11",
            (place,),
            f"{lines[place].name} stands out of its turn{_between(lines, place)}.",
            do,
            severity=severity,
        )
        for place in odd[:_NAMED]
    ]


def _between(lines: Sequence[Known], place: int) -> str:
    if 0 < place < len(lines) - 1:
        return f", between {lines[place - 1].painted} and {lines[place + 1].painted}"
    return ", as the first line" if place == 0 else ", as the last line"


def _rising(keys: Sequence[tuple[tuple[int, str], ...]]) -> set[int]:
    """The places of a longest rising row of keys, found by patience."""
    tops: list[tuple[tuple[int, str], ...]] = []
    at: list[int] = []
    before: list[int] = []
    for place, key in enumerate(keys):
        pile = bisect_left(tops, key)
        before.append(at[pile - 1] if pile else -1)
        tops[pile : pile + 1], at[pile : pile + 1] = [key], [place]
    kept, place = set(), at[-1] if at else -1
    while place >= 0:
        kept.add(place)
        place = before[place]
    return kept


def recut(lines: Sequence[Known]) -> list[Finding]:
    """Return T16 for lengths that were read before the piece was cut, refaced or repaired.

    Raises nothing. Source: tally check T16, trade guide 11.
    `lines` are those of the tally.
    """
    return [
        Finding("T16", (place,), f"{line.name} was read before it changed: {line.ended}.", "Tape it again.")
        for place, line in enumerate(lines) if line.ended
    ]  # fmt: skip


def threads(lines: Sequence[Known], purpose: Purpose) -> list[Finding]:
    """Return T17 where threads of one tally do not make up with each other.

    Where the lines are the order of running, each box is held against the pin that comes into it; else
    every thread that is not the one of most joints is named once, as a NOTE. Other names of one thread are
    no difference. Raises nothing: a thread that no table knows is not judged. Source: tally check T17.
    `lines` are those of the tally in order, `purpose` what it is for.
    """
    return _neighbours(lines) if purpose.in_order else _mixed(lines)


def _neighbours(lines: Sequence[Known]) -> list[Finding]:
    found = []
    for place, (below, above) in enumerate(zip(lines, lines[1:], strict=False)):
        if below.up is None or above.down is None:
            continue
        try:
            why = why_not(below.up, above.down)
        except ValueError:
            continue
        if why:
            words = f"{below.name} and {_low(above.name)} above it do not make up: {why}"
            do = "Put the crossover that belongs between them on the tally, or the right joint."
            found.append(Finding("T17", (place, place + 1), words, do))
    return found[:_NAMED]


def _mixed(lines: Sequence[Known]) -> list[Finding]:
    threads: dict[str, list[int]] = {}
    for place, line in enumerate(lines):
        for end in {line.up, line.down} - {None}:
            name = _canonical(end)
            if name and place not in threads.setdefault(name, []):
                threads[name].append(place)
    if len(threads) < 2:
        return []
    most = max(threads, key=lambda name: len(threads[name]))
    found = []
    for name, places in threads.items():
        odd = tuple(place for place in places if place not in threads[most])
        if name != most and odd:
            words = f"{name} stands among {most}: {_listed([_low(lines[place].name) for place in odd])}."
            do = "Lay it aside, or have the crossover ready."
            found.append(Finding("T17", odd, words, do, severity=Severity.NOTE))
    return found


def _canonical(end: End | None) -> str:
    try:
        return canonical(end.thread) if end else ""
    except ValueError:
        return ""


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return ", ".join(names[:_NAMED]) + more


def _low(name: str) -> str:
    return name[0].lower() + name[1:]
