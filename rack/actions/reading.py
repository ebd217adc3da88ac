"""One reading of a tally line as it is typed: its length, and of a tool that telescopes which one it is."""

from dataclasses import dataclass

from rack.calc.checks import Problem, asks, stops
from rack.calc.kinds import KINDS
from rack.calc.lengths import Length, strap_digits
from rack.calc.telescopes import both_problems, said_stands
from rack.errors import Refused
from rack.models import Line, Tally
from rack.models.lengths import standing_lengths


@dataclass(frozen=True)
class Reading:
    """One length as it comes in: the tally, which strap, the line or its painted number, the typing.

    "31.24 closed" says of a tool that telescopes which of its lengths was read.
    `tape` and `hands` are those of the pencil sheet it stood on, where they are not the strap's own.
    """

    tally: Tally
    typed: str
    strap_n: int = 1
    line: Line | None = None
    painted: str = ""
    unit: str = ""
    settling: bool = False
    tape: str = ""
    hands: str = ""

    @property
    def figures(self) -> str:
        return said_stands(self.typed)[0]

    @property
    def stands(self) -> str:
        return said_stands(self.typed)[1]


def length_typed(reading: Reading) -> Length:
    """The length that was typed; a bare number is in the tally's unit."""
    try:
        length = strap_digits(reading.figures, reading.unit or reading.tally.unit, reading.tally.digits)
    except ValueError as problem:
        raise Refused([stops(str(problem), code="length", measured=reading.typed[:40])]) from None
    if length.nanometres <= 0:
        raise Refused([stops("A joint is longer than nothing; type its length.", code="length")])
    return length


def check_stands(row: Line, stands: str) -> None:
    """Raise Refused where a reading says open or closed of a piece that has only one length."""
    spec = row.component.spec if row.component else row.tally.spec
    if stands and spec and not KINDS[spec.kind].telescopes:
        name = KINDS[spec.kind].name
        raise Refused([stops(f"A {name} has one length, neither open nor closed; type it alone.",
                             code="stands")])  # fmt: skip


def stands_problems(row: Line, length: Length, stands: str) -> list[Problem]:
    """Ask where the length that was read open is not longer than the closed one known of this piece."""
    if not stands or row.component_id is None:
        return []
    other = "closed" if stands == "open" else "open"
    known = standing_lengths([row.component_id]).get(row.component_id, {}).get(other)
    if known is None or known.kind != row.tally.kind:
        return []
    pair = (length, Length(known.nm or 0)) if stands == "open" else (Length(known.nm or 0), length)
    found = both_problems(*pair, unit=row.tally.unit, digits=row.tally.digits)
    return [asks(one.text, code=one.code, measured=one.measured, limit=one.limit) for one in found]
