"""The printed casing plan: one immutable text from which the running list and the casing detail are drawn.

As for a closed tally (`sheets`): canonical JSON of text and whole numbers, so that the same plan is the
same bytes for ever and its digest proves it.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any

from rack.calc.casing_parts import JOINT
from rack.calc.casing_tally import CasingItem, Layout, lay_out
from rack.calc.checks import Problem, stops
from rack.calc.lengths import Length
from rack.calc.sheets import CAUTIONS_ALWAYS

CAUTIONS = (
    *CAUTIONS_ALWAYS,
    "Count and read the joints that lie on the rack before the string is landed.",
    "Nobody under or in line with a lifted joint; protectors on before the catwalk and until stabbing.",
)


@dataclass(frozen=True)
class CasingRow:
    """One item on paper. Lengths in whole nanometres; `name` as painted, `words` what it is.

    `centralizers` is text as it is printed ("2 x bow, 1.50 from the pin"). `loss_source` tells
    where the loss comes from.
    """

    kind: str
    name: str
    words: str
    serial: str
    role: str
    nm: int | None
    loss_nm: int
    pins: int
    cut_off_nm: int
    reason: str
    away: bool
    locked: bool
    drifted: bool
    threads: bool
    centralizers: str
    centralizers_n: int
    loss_source: str
    line: str

    def item(self) -> CasingItem:
        """Return the row as the rules see it. Raises nothing. Source: house style."""
        length = None if self.nm is None else Length(self.nm)
        return CasingItem(
            name=self.name, kind=self.kind, role=self.role, length=length, loss=Length(self.loss_nm),
            pins=self.pins, cut_off=Length(self.cut_off_nm), reason=self.reason, away=self.away,
            locked=self.locked, drifted=self.drifted, threads=self.threads,
            centralizers=self.centralizers_n, line=self.line,
        )


@dataclass(frozen=True)
class CasingContent:
    """Everything that a printed plan says, from the bottom up; lengths in whole nanometres."""

    site_code: str
    site_name: str
    tally_no: int
    tally_title: str
    tally_revision: int
    length_kind: str
    string: str
    well: str
    datum: str
    shoulder_nm: int | None
    measured: str
    hole_nm: int | None
    off_bottom_nm: int | None
    track_n: int | None
    unit: str
    digits: int
    hands: tuple[str, ...]
    printed_at: str
    printed_by: str
    revision: int
    code: str
    received: int
    rows: tuple[CasingRow, ...]
    total_nm: int
    shoe_nm: int | None
    to_run: int
    spare: int
    left_out: int
    on_rack: tuple[str, ...]
    asked: tuple[str, ...] = ()
    reason: str = ""
    cautions: tuple[str, ...] = CAUTIONS
    program: str = "Tierbook"

    def to_text(self) -> str:
        """Return the canonical JSON text. Raises nothing. Source: house style."""
        return json.dumps(asdict(self), sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "CasingContent":
        """Return the plan that `text` was made from. Raises ValueError when it is no such text.
        Source: house style."""
        try:
            values = json.loads(text, parse_float=_no_fraction)
            if set(values) != {field.name for field in fields(cls)}:
                raise ValueError("not the text of a casing plan: other fields")
            return cls(**{**values, **_rebuilt(values)})
        except (TypeError, KeyError, AttributeError) as error:
            raise ValueError(f"not the text of a casing plan: {error}") from None

    def layout(self) -> Layout:
        """Return the string laid out again from the rows. Raises nothing. Source: house style."""
        anchor = None if self.shoulder_nm is None else Length(self.shoulder_nm)
        return lay_out([row.item() for row in self.rows], anchor)

    def shown(self, length: Length | int | None, more: int = 0) -> str:
        """Return a `length` (or nm) as it is printed, "–" for None, with `more` figures. Raises nothing.
        Source: law 1 of the house."""
        if length is None:
            return "–"
        exact = Length(length) if isinstance(length, int) else length
        return exact.shown(self.unit, self.digits + more)


def _no_fraction(text: str) -> int:
    raise ValueError(f"not the text of a casing plan: {text} is not a whole number")


def _rebuilt(values: dict[str, Any]) -> dict[str, Any]:
    lists = {name: tuple(values[name]) for name in ("hands", "on_rack", "asked", "cautions")}
    return {**lists, "rows": tuple(CasingRow(**row) for row in values["rows"])}


def digest_of(text: str) -> str:
    """Return the sha256 of a plan's `text` in UTF-8, 64 hex digits. Raises nothing. Source: house style."""
    return hashlib.sha256(text.encode()).hexdigest()


def check(content: CasingContent) -> list[Problem]:
    """Return a STOPS for every figure of `content` that its own rows do not give, [] when all agree.

    Counting by pins must give what the lines lose one by one. Raises nothing. Source: law 1 of the house.
    """
    layout = content.layout()
    fresh = {
        "total_nm": None if layout.total is None else layout.total.nanometres,
        "shoe_nm": None if layout.shoe is None else layout.shoe.nanometres,
        "to_run": layout.joints,
        "spare": _count(content.rows, "spare"),
        "left_out": _count(content.rows, "out"),
    }
    return [
        stops(f"{name} on the plan is {getattr(content, name)}, its rows give {value}.", code="sheet")
        for name, value in fresh.items()
        if getattr(content, name) != value
    ]


def _count(rows: Sequence[CasingRow], role: str) -> int:
    return sum(row.kind == JOINT and row.role == role for row in rows)
