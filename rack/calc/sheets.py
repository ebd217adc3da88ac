"""The closed tally: one immutable text from which every print, page and file of it is drawn.

A sheet is built once, when the tally closes. Its text is canonical JSON (sorted keys, no blanks,
UTF-8, whole numbers only), so that the same sheet is the same bytes for ever and its digest proves
it. Nothing is looked up again later: descriptions, losses and sources are copied in.
"""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, fields
from typing import Any

from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.sheet_rows import (
    Hands,
    SheetCorrection,
    SheetFinding,
    SheetLine,
    SheetLoss,
    SheetSample,
    SheetStand,
    Withdrawn,
)

__all__ = [
    "CAUTIONS_ALWAYS", "CAUTIONS_STRAPPING", "NOTHING_OFF", "ROUNDING", "Hands", "SheetContent",
    "SheetCorrection", "SheetFinding", "SheetLine", "SheetLoss", "SheetSample", "SheetStand", "Withdrawn",
    "check", "digest_of", "totals_of",
]  # fmt: skip

#: Kinds of length from which nothing more comes off when the pieces are made up.
NOTHING_OFF = ("pins off", "threads off")

#: What every paper of the rack carries (trade guide 9).
CAUTIONS_ALWAYS = (
    "Local law, the contract and the maker's sheet come first.",
    "Classes and due dates are aids; inspection, acceptance and return to service are for qualified persons.",
    "A tag that reads OK does not replace looking at the pipe.",
)

#: What a paper carries that is used beside the stack (trade guide 9).
CAUTIONS_STRAPPING = (
    "Never stand, step or reach between joints; do not count from on top of the stack.",
    "Chock the pipe before measuring. Stop the crane while strapping.",
    "Nobody under or in line with a lifted joint.",
    "Roll pipe from the ends, with tools; mind hands between joints, at chocks and at protectors.",
    "Eye protection, gloves, boots and hard hat.",
)

ROUNDING = "Each line and each total is rounded once, half up, from the exact length."


def _later(nothing: Any) -> Any:
    """A field that came after the first sheets were closed; see `LATER`."""
    return field(default=nothing, metadata={"later": True})


@dataclass(frozen=True)
class SheetContent:
    """Everything that a closed tally says. Lengths in whole nanometres, instants as ISO text with zone.

    `made_up_nm` is the total with every make-up loss taken off, None where a loss is not known.
    `code` is the sheet's own tag code; `reason` says why fewer straps or differences were accepted.
    `gate_nm` is how far two good straps of a joint may be apart; 0 on sheets from before it was kept.
    """

    site_code: str
    site_name: str
    tally_no: int
    title: str
    purpose: str
    item: str
    unit: str
    digits: int
    length_kind: str
    straps_wanted: int
    straps_taken: int
    hands: tuple[Hands, ...]
    opened_at: str
    closed_at: str
    closed_by: str
    revision: int
    code: str
    lines: tuple[SheetLine, ...]
    count: int
    sum_nm: int
    shortest_nm: int | None
    longest_nm: int | None
    made_up_nm: int | None
    reason: str = ""
    withdrawn: tuple[Withdrawn, ...] = ()
    losses: tuple[SheetLoss, ...] = ()
    findings: tuple[SheetFinding, ...] = ()
    cancels: bool = False
    cautions: tuple[str, ...] = CAUTIONS_ALWAYS + CAUTIONS_STRAPPING
    rounding: str = ROUNDING
    program: str = "Tierbook"
    column_length: int = 10
    page_length: int = 50
    # Added after the first sheets were closed: left out of the text while they say nothing (`LATER`).
    mind: str = _later("")
    checks: tuple[SheetFinding, ...] = _later(())
    third: tuple[SheetFinding, ...] = _later(())
    third_list: str = _later("")
    sample: SheetSample | None = _later(None)
    stands: tuple[SheetStand, ...] = _later(())
    stands_words: str = _later("")
    correction: SheetCorrection | None = _later(None)
    gate_nm: int = _later(0)

    def to_text(self) -> str:
        """Return the canonical JSON text. Raises ValueError where a value is not text, whole or yes/no.

        Source: house style.
        """
        values = asdict(self)
        for name, nothing in LATER.items():
            if values[name] == nothing:
                del values[name]
        _refuse_inexact(values, "sheet")
        return json.dumps(values, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "SheetContent":
        """Return the sheet that `text` was made from. Raises ValueError when it is no such text.

        Source: house style.
        """
        try:
            values = json.loads(text, parse_float=_no_fraction, parse_constant=_no_fraction)
        except json.JSONDecodeError as error:
            raise ValueError(f"not the text of a sheet: {error}") from None
        if not isinstance(values, dict):
            raise ValueError("not the text of a sheet: it is no JSON object")
        try:
            return cls(**{**values, **_rebuilt(values)})
        except (KeyError, TypeError) as error:
            raise ValueError(f"not the text of a sheet: {error}") from None

    def digest(self) -> str:
        """Return the sha256 of the canonical text in UTF-8, as 64 hex digits.

        Raises ValueError as `to_text` does. Source: house style.
        """
        return digest_of(self.to_text())

    @property
    def strap_sums(self) -> tuple[int | None, int | None]:
        """The totals of the first and the second strap in nm; None where a line lacks that reading."""
        return _total([line.first_nm for line in self.lines]), _total([line.second_nm for line in self.lines])

    @property
    def differences(self) -> tuple[tuple[SheetLine, int], ...]:
        """Every line whose two readings differ, with second less first in nm, in sheet order."""
        pairs = ((line, line.first_nm, line.second_nm) for line in self.lines)
        return tuple((line, b - a) for line, a, b in pairs if a is not None and b is not None and a != b)

    @property
    def outside(self) -> tuple[tuple[SheetLine, int], ...]:
        """Those of the differences that are further apart than the sheet's gate; all where it has none."""
        return tuple((line, apart) for line, apart in self.differences if abs(apart) > self.gate_nm)

    @property
    def loss_sum_nm(self) -> int:
        """What comes off in all, in nm: each loss times its pins."""
        return sum(loss.loss_nm * loss.pins for loss in self.losses)


#: Fields that came after the first sheets were closed, with what they are when they say nothing: a sheet
#: that does not need them has the text, and so the digest, that it had before they existed. Only add here.
LATER: Mapping[str, Any] = {
    one.name: one.default for one in fields(SheetContent) if one.metadata.get("later")
}


def digest_of(text: str) -> str:
    """Return the sha256 of a sheet's text in UTF-8, as 64 hex digits.

    `text` is that of a sheet. Raises nothing. Source: house style.
    """
    return hashlib.sha256(text.encode()).hexdigest()


def totals_of(lines: Sequence[SheetLine], losses: Sequence[SheetLoss], length_kind: str) -> Mapping[str, Any]:
    """Return count, sum_nm, shortest_nm, longest_nm and made_up_nm as the lines and losses give them.

    `lines` in sheet order, lengths in nm. `made_up_nm` is None where a loss that should come off is
    not known. Raises nothing. Source: common practice (losses counted by pins, not by joints less one).
    `losses` are those of the sheet with their pins, `length_kind` is how the lengths were taken.
    """
    sizes = [line.nm for line in lines]
    off = sum(loss.loss_nm * loss.pins for loss in losses)
    known = length_kind in NOTHING_OFF or all(line.loss_nm is not None for line in lines)
    return {
        "count": len(lines),
        "sum_nm": sum(sizes),
        "shortest_nm": min(sizes, default=None),
        "longest_nm": max(sizes, default=None),
        "made_up_nm": sum(sizes) - off if known else None,
    }


_WORDS = {
    "count": "The number of joints",
    "sum_nm": "The total",
    "shortest_nm": "The shortest joint",
    "longest_nm": "The longest joint",
    "made_up_nm": "The length made up",
}


def check(content: SheetContent) -> tuple[Problem, ...]:
    """Recompute every total from the lines and return a STOPS for each that disagrees, () when all agree.

    `content` is a sheet about to be stored, printed or audited. Raises nothing: a sheet that does not
    add up is an answer.
    Source: law 1 of the house.
    """
    fresh = totals_of(content.lines, content.losses, content.length_kind)
    problems = [
        _disagrees(content, name, getattr(content, name), fresh[name])
        for name in _WORDS
        if getattr(content, name) != fresh[name]
    ]
    by_line = sum(line.loss_nm or 0 for line in content.lines)
    if by_line != content.loss_sum_nm:
        problems.append(_disagrees(content, "losses", content.loss_sum_nm, by_line))
    if [line.n for line in content.lines] != list(range(1, len(content.lines) + 1)):
        problems.append(stops("The lines are not numbered 1, 2, 3 and so on.", code="sheet"))
    return tuple(problems)


def _disagrees(content: SheetContent, name: str, kept: int | None, fresh: int | None) -> Problem:
    shown, right = (_shown(content, name, value) for value in (kept, fresh))
    words = _WORDS.get(name, "What comes off when made up")
    exact = f" (exactly {kept} and {fresh} nm)" if shown == right else ""
    return stops(
        f"{words} on the sheet is {shown}, the lines give {right}{exact}.",
        code="sheet", where=name, measured=shown, limit=right, unit="" if name == "count" else content.unit,
    )


def _shown(content: SheetContent, name: str, value: int | None) -> str:
    if value is None:
        return "not known"
    return str(value) if name == "count" else Length(value).shown(content.unit, content.digits)


def _total(sizes: Sequence[int | None]) -> int | None:
    known = [size for size in sizes if size is not None]
    return sum(known) if known and len(known) == len(sizes) else None


def _no_fraction(text: str) -> int:
    raise ValueError(f"not the text of a sheet: {text} is not a whole number")


def _refuse_inexact(value: object, where: str) -> None:
    """A float in the text would print differently one day: only text, whole numbers, yes/no and blanks."""
    for place, inner in _parts(value, where):
        if not (inner is None or isinstance(inner, str | int)):
            raise ValueError(f"{place} is {inner!r}; a sheet holds only text and whole numbers")


def _parts(value: object, where: str) -> Iterator[tuple[str, object]]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield from _parts(inner, f"{where}.{name}")
    elif isinstance(value, list | tuple):
        for place, inner in enumerate(value):
            yield from _parts(inner, f"{where}[{place}]")
    else:
        yield where, value


def _rebuilt(values: Mapping[str, Any]) -> dict[str, Any]:
    """The parts of the text that are more than plain values. Unknown names raise TypeError."""
    missing = {one.name for one in fields(SheetContent)} - set(values) - set(LATER)
    if missing:
        raise KeyError("missing: " + ", ".join(sorted(missing)))
    return {
        "hands": tuple(Hands(**each) for each in values["hands"]),
        "lines": tuple(SheetLine(**each) for each in values["lines"]),
        "withdrawn": tuple(Withdrawn(*each) for each in values["withdrawn"]),
        "losses": tuple(SheetLoss(**each) for each in values["losses"]),
        "findings": _with_lines(SheetFinding, values["findings"]),
        "cautions": tuple(values["cautions"]),
        **{name: make(values[name]) for name, make in _LATER_MADE.items() if values.get(name)},
    }


def _with_lines(kind: Any, rows: Sequence[Mapping[str, Any]]) -> tuple[Any, ...]:
    """Rows of a kind that names lines of the sheet."""
    return tuple(kind(**{**each, "lines": tuple(each["lines"])}) for each in rows)


_LATER_MADE: Mapping[str, Callable[[Any], Any]] = {
    "checks": lambda rows: _with_lines(SheetFinding, rows),
    "third": lambda rows: _with_lines(SheetFinding, rows),
    "sample": lambda row: _with_lines(SheetSample, [row])[0],
    "stands": lambda rows: _with_lines(SheetStand, rows),
    "correction": lambda row: SheetCorrection(**row),
}
