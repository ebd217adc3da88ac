"""The names on a report: running numbers, serials, painted numbers, against each other and the lot."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from inspection.calc.report_typed import TypedJoint, TypedReport
from rack.calc.checks import Problem, asks, note
from rack.calc.names import key_of
from rack.calc.receiving import ReadRow
from rack.calc.serial_slips import serial_questions

_CP = "common practice"
#: Words for "cannot be read", as they stand in the column of serials.
UNREADABLE = frozenset({"ILL", "ILLEGIBLE", "NR", "NOTREADABLE", "UNREADABLE", "NOTLEGIBLE", "WORN",
                        "WORNOFF", "NONE", "NOSERIAL"})  # fmt: skip
_ALIKE = str.maketrans("OQILSBZ", "0011582")


@dataclass(frozen=True)
class LotJoint:
    """One joint of the lot as the register has it."""

    serial: str
    painted: str = ""


def is_unreadable(serial: str) -> bool:
    """Say whether `serial` is a word for "cannot be read". Raises nothing. Source: paper samples."""
    return key_of(serial) in UNREADABLE


def name_problems(report: TypedReport, lot: Sequence[LotJoint] = ()) -> Iterator[Problem]:
    """Yield what is wrong with the numbers and names of `report`, and what of the `lot` has no row.

    The lot is empty where it is not known. Raises nothing. Source: paper samples, common practice.
    """
    yield from _numbers(report.rows)
    yield from _twice(report.rows, "serial", "serial")
    yield from _twice(report.rows, "painted", "painted number")
    yield from _damaged(report)
    if lot:
        yield from _against_lot(report.rows, lot)


def _listed(names: Iterable[str], most: int = 8) -> str:
    found = list(names)
    return ", ".join(found[:most]) + (f" and {len(found) - most} more" if len(found) > most else "")


def _numbers(rows: Sequence[TypedJoint]) -> Iterator[Problem]:
    """Running numbers: skipped, twice, going back. They are no key: the next lot begins at 1 again."""
    seen: dict[int, TypedJoint] = {}
    for row in rows:
        if not (row.jt.isascii() and row.jt.isdigit() and len(row.jt) < 6):
            continue
        number = int(row.jt)
        if number in seen:
            yield asks(
                f"Joint no. {number} stands twice: in row {seen[number].row} and in row {row.row}.",
                code="number",
                where=row.where,
                source=_CP,
            )
        seen.setdefault(number, row)
    if len(seen) < 2:
        return
    low, high = min(seen), max(seen)
    missing = [number for number in range(min(low, 1) if low < 4 else low, high + 1) if number not in seen]
    if missing and len(missing) <= len(seen):
        verb = "stands" if len(missing) == 1 else "stand"
        yield asks(
            f"Joint no. {_listed(map(str, missing))} {verb} nowhere: skipped, or a row lost?",
            code="number",
            where=_listed(map(str, missing)),
            source=_CP,
        )


def _twice(rows: Sequence[TypedJoint], field: str, name: str) -> Iterator[Problem]:
    seen: dict[str, TypedJoint] = {}
    for row in rows:
        text = getattr(row, field)
        key = key_of(text)
        if not key or is_unreadable(text):
            continue
        if key in seen:
            yield asks(
                f"The {name} {text} stands twice: {seen[key].said} and {row.said}.",
                code=field,
                where=row.where,
                source=_CP,
            )
        seen.setdefault(key, row)


def _damaged(report: TypedReport) -> Iterator[Problem]:
    rows = report.rows
    if "serial" in report.columns:
        for row in rows:
            if is_unreadable(row.serial) or not row.serial:
                what = "cannot be read" if row.serial else "is blank"
                tie = (
                    f"tied by the painted number {row.painted} alone"
                    if row.painted
                    else "nothing ties the row"
                )
                raised = note if row.painted and row.serial else asks
                yield raised(
                    f"{row.said[:1].upper()}{row.said[1:]}: the serial {what}; {tie}.",
                    code="serial",
                    where=row.where,
                    source=_CP,
                )
    there = [row for row in rows if row.serial and not is_unreadable(row.serial)]
    listed = [ReadRow(row=row.row, serial=row.serial, painted=row.painted) for row in there]
    for at, problems in serial_questions(listed).items():
        for problem in problems:
            yield asks(
                f"{there[at].said[:1].upper()}{there[at].said[1:]}: {problem.text[0].lower()}"
                f"{problem.text[1:]}",
                code="serial",
                where=there[at].where,
                source=_CP,
            )


def alike(name: str) -> str:
    """Return `name` in one form for what an eye takes for another: O and 0, I and 1; zeros at the front lost.

    No unit; raises nothing. Source: common practice.
    """
    return key_of(name).translate(_ALIKE).lstrip("0")


def one_sign_apart(key: str, known: Iterable[str]) -> list[str]:
    """Return those of the `known` keys that `key` becomes when one sign changes or two change places.

    No unit; raises nothing. Source: slips of the hand, common practice.
    """
    return [other for other in known if len(other) == len(key) >= 4 and _is_near(key, other)]


def _is_near(one: str, other: str) -> bool:
    off = [at for at, (left, right) in enumerate(zip(one, other, strict=True)) if left != right]
    if len(off) == 2 and off[1] == off[0] + 1:
        return one[off[0]] == other[off[1]] and one[off[1]] == other[off[0]]
    return len(off) == 1


def _against_lot(rows: Sequence[TypedJoint], lot: Sequence[LotJoint]) -> Iterator[Problem]:
    by_serial = {key_of(joint.serial): joint for joint in lot if joint.serial}
    by_alike = {alike(joint.serial): joint for joint in lot if joint.serial}
    by_painted = {key_of(joint.painted): joint for joint in lot if joint.painted}
    named = {key_of(row.serial) for row in rows if row.serial}
    found: set[LotJoint] = set()
    for row in rows:
        exact = by_serial.get(key_of(row.serial)) if row.serial else None
        tied = by_painted.get(key_of(row.painted)) if row.painted else None
        head = f"{row.said[:1].upper()}{row.said[1:]}"
        if exact is not None:
            found.add(exact)
            if tied is not None and tied != exact:
                yield asks(
                    f"{head}: serial {row.serial} is painted {exact.painted or 'without a number'} in the "
                    f"register, the report says {row.painted}.",
                    code="painted",
                    where=row.where,
                    source=_CP,
                )
            continue
        readable = bool(row.serial) and not is_unreadable(row.serial)
        guess = by_alike.get(alike(row.serial)) if readable else None
        if guess is None and tied is None and readable:
            near = one_sign_apart(key_of(row.serial), [key for key in by_serial if key not in named])
            guess = by_serial[near[0]] if len(near) == 1 else None
        if guess is not None or tied is not None:
            found.add(guess or tied)  # type: ignore[arg-type]
        if readable:
            likely = guess or tied
            perhaps = f"; {likely.serial}, perhaps?" if likely is not None and likely.serial else "."
            yield asks(
                f"{head}: serial {row.serial} is not of this lot{perhaps}",
                code="lot",
                where=row.where,
                source=_CP,
            )
    missing = [joint.serial or joint.painted for joint in lot if joint not in found]
    if missing:
        count = len(missing)
        yield asks(
            f"{count} joint{'s' if count > 1 else ''} of the lot {'have' if count > 1 else 'has'} no row: "
            f"{_listed(missing)}.",
            code="lot",
            measured=str(len(lot) - count),
            limit=str(len(lot)),
            source=_CP,
        )
