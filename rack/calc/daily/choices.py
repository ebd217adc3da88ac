"""What a person chooses about a daily report before its rows become time lines; to and from text."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType
from typing import Any

#: What of a row a person may change, in the order of a tour sheet; all as typed text.
CELLS: tuple[str, ...] = (
    "date", "from", "to", "from_depth", "to_depth", "rotating", "sliding", "circulating", "bottom",
    "below_rotary", "rpm",
)  # fmt: skip
_LONGEST = 40


@dataclass(frozen=True)
class Choices:
    """How a report is read for one run, and what was done to its rows by hand.

    `wellbore` whose rows are taken ("" = the one with most rows), `unit` of the depth column ("" = as the
    file says, else metres), `dated_after` that reports are dated the day after the work, `day` the day of
    rows that name none, `first` and `last` the report days that are taken. `out` are rows left out by hand,
    `back` those taken in all the same, `changed` row number -> cell -> text as typed.
    """

    wellbore: str = ""
    unit: str = ""
    dated_after: bool = False
    day: date | None = None
    first: date | None = None
    last: date | None = None
    out: frozenset[int] = frozenset()
    back: frozenset[int] = frozenset()
    changed: Mapping[int, Mapping[str, str]] = field(default_factory=lambda: MappingProxyType({}))

    def toggled(self, n: int, *, taken: bool) -> "Choices":
        """Return the choices with row `n` left out where it is `taken`, else taken in.

        Raises nothing. Source: house style.
        """
        if taken:
            return replace(self, out=self.out | {n}, back=self.back - {n})
        return replace(self, out=self.out - {n}, back=self.back | {n})

    def with_row(self, n: int, cells: Mapping[str, str] | None) -> "Choices":
        """Return the choices with row `n` as its `cells` were typed; None takes what was typed back.

        Raises nothing. Source: house style.
        """
        changed = {row: typed for row, typed in self.changed.items() if row != n}
        if cells is not None:
            changed[n] = MappingProxyType({cell: " ".join(str(cells.get(cell, "")).split())[:_LONGEST]
                                           for cell in CELLS})  # fmt: skip
        return replace(self, changed=MappingProxyType(changed))

    def to_text(self) -> str:
        """Return the canonical JSON text.

        Raises nothing. Source: house style.
        """
        plain = {
            "wellbore": self.wellbore, "unit": self.unit, "dated_after": self.dated_after,
            **{name: day.isoformat() if (day := getattr(self, name)) else "" for name in _DAYS},
            "out": sorted(self.out), "back": sorted(self.back),
            "changed": {str(n): dict(cells) for n, cells in self.changed.items()},
        }  # fmt: skip
        return json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)

    @classmethod
    def from_text(cls, text: str) -> "Choices":
        """Return the choices that `text` was made from. Raises ValueError when it is no such text.

        Source: house style.
        """
        try:
            plain: dict[str, Any] = json.loads(text)
            days = {name: date.fromisoformat(plain[name]) if plain[name] else None for name in _DAYS}
            changed = {int(n): MappingProxyType(dict(cells)) for n, cells in plain["changed"].items()}
            return cls(
                plain["wellbore"], plain["unit"], plain["dated_after"], **days, out=frozenset(plain["out"]),
                back=frozenset(plain["back"]), changed=MappingProxyType(changed),
            )  # fmt: skip
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise ValueError(f"not the choices of a report: {error}") from None


_DAYS = ("day", "first", "last")
