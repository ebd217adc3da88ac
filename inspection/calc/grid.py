"""The grid of an inspection: its columns by kind and scope, and how one row of it is read."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from inspection.calc.criteria import Scheme
from inspection.calc.effects import Ends
from inspection.calc.entering import (
    COUPLED,
    STATES_SAID,
    WALLED,
    Field,
    body_of,
    ends_of,
    read,
    typed_with_unit,
)
from inspection.calc.readings import Look, Reading
from rack.calc.specs import SpecFacts

_WORDS_OF_STATE = {
    "": "", "ok": "ok", "o": "ok", "good": "ok", "st": "straighten", "rf": "reface", "fr": "reface",
    "refaced": "reface", "rc": "recut", "sr": "shop", "dbr": "reject", "scrap": "reject",
    **{state: state for state in STATES_SAID},
}  # fmt: skip
LONGEST = {"paint": 40, "remarks": 300}


@dataclass(frozen=True)
class Column:
    """One column of the grid. `sort` is "size", "state", "class", "at", "methods" or "text"; `field` what a
    size is read as; `parts` where a crack may be."""

    name: str
    label: str
    sort: str
    field: Field | None = None
    parts: tuple[str, ...] = ()


def columns_for(spec: SpecFacts, scope: str, by: str) -> tuple[Column, ...]:
    """Return the columns of the grid for pieces of `spec`, what `scope` asks for first, under scheme `by`.

    Raises ValueError for an unknown scheme. Source: what a scope asks for, trade guide 2 and 12; no unit.
    """
    body, ends, found = body_of(spec.kind, by), ends_of(spec), []
    if scope in ("tube", "full") and spec.kind in WALLED:
        found.append(_size("Wall", "wall", body))
    if scope in ("tube", "full") or (scope == "connections" and body == "body" and spec.kind not in COUPLED):
        found.append(_size("OD", "od", body))
    if scope in ("connections", "full") and body == "tube":
        found += [_size("Box OD", "od", "box"), _size("Shoulder", "shoulder", "box"),
                  _size("Pin OD", "od", "pin")]  # fmt: skip
    for end in ends:
        found += [Column(f"{end}_found", f"{end.capitalize()} found", "state"),
                  Column(f"{end}_after", f"{end.capitalize()} after", "state")]
    found.append(Column("given", "Class given", "class"))
    found += [Column("crack", "Cracks at", "at", parts=(body, *ends)),
              Column("indication", "Indication by", "methods"),
              Column("left", "Not done", "methods"), Column("paint", "Paint seen", "text"),
              Column("remarks", "Remarks", "text")]  # fmt: skip
    return tuple(found)


def _size(label: str, what: str, part: str) -> Column:
    field = Field(what, part)
    return Column(field.name, label, "size", field)


def read_state(text: str, label: str) -> str:
    """Return the state of an end typed in `text` ("rf" is "reface"), "" for nothing; `label` is the column.

    No unit. Raises ValueError with a sentence for an unknown word. Source: words of the trade.
    """
    spelled = " ".join(text.lower().split())
    if spelled not in _WORDS_OF_STATE:
        raise ValueError(f"{label}: “{text.strip()[:40]}” is no state of an end; type ok, reface (rf), "
                         "recut (rc), shop, straighten or reject.")
    return _WORDS_OF_STATE[spelled]


def read_parts(text: str, parts: Iterable[str]) -> tuple[str, ...]:
    """Return where a crack was found as typed in `text`: "pin" or "box, pin"; `parts` are those there are.

    No unit. Raises ValueError with a sentence for another place. Source: none needed.
    """
    there = tuple(parts)
    found = [word.lower() for word in re.split(r"[\s,;]+", text) if word]
    odd = [word for word in found if word not in there]
    if odd:
        raise ValueError(f"Cracks at: “{odd[0][:40]}” is no part of it; type {', '.join(there)}, or leave it "
                         "empty.")
    return tuple(dict.fromkeys(found))


def read_methods(text: str, label: str, done: Iterable[str]) -> tuple[str, ...]:
    """Return the methods typed in `text`: "EMI, MPI-F"; `done` are those of the sheet, `label` the column.

    No unit. Raises ValueError with a sentence for a method that the sheet has not. Source: none needed.
    """
    there = tuple(done)
    found = [word.upper() for word in re.split(r"[\s,;]+", text) if word]
    odd = [word for word in found if word not in there]
    if odd:
        raise ValueError(f"{label}: “{odd[0][:40]}” is no method of this sheet; there are "
                         f"{', '.join(there) or 'none'}.")
    return tuple(dict.fromkeys(found))


def read_class_exactly(text: str, one: Scheme) -> str:
    """Return the class of scheme `one` that is typed in `text`, "" for nothing; first letters will do where
    they mean one class only (no unit).

    Raises ValueError with a sentence naming the classes. Source: the scheme's own list.
    """
    spelled = " ".join(text.casefold().split())
    if not spelled:
        return ""
    exact = [name for name in one.names if name.casefold() == spelled]
    begins = [name for name in one.names if name.casefold().startswith(spelled)]
    digits = [name for name in one.names if spelled.isdigit() and name.casefold() == f"class {spelled}"
              and spelled != "1"]  # fmt: skip
    found = exact or digits or begins
    if len(found) != 1:
        raise ValueError(f"Class given: “{text.strip()[:40]}” is no class of {one.said}; there are "
                         f"{', '.join(one.names)}.")
    return found[0]


@dataclass
class GridRow:
    """What one row says: readings with what was typed, looks, class, ends; `wrong` every sentence about what
    cannot be read."""

    reads: list[tuple[Reading, str]] = field(default_factory=list)
    looks: list[Look] = field(default_factory=list)
    given: str = ""
    ends: dict[str, str] = field(default_factory=dict)
    paint: str = ""
    remarks: str = ""
    wrong: list[str] = field(default_factory=list)

    @property
    def as_ends(self) -> Ends:
        """Box and pin, as found and after repair."""
        return Ends(**self.ends)


def read_row(
    cells: Mapping[str, str], columns: Sequence[Column], methods: Iterable[str], one: Scheme, unit: str
) -> GridRow:
    """Return what a row says: `cells` by the names of `columns`, `methods` those done on the whole sheet.

    `one` is the scheme of the classes, `unit` "in" or "mm" for sizes without one. Raises nothing: what
    cannot be read is a sentence in `wrong`. Source: the readers of each column.
    """
    row, done = GridRow(), tuple(methods)
    for column in columns:
        text = " ".join(cells.get(column.name, "").replace("\0", "").split())
        if text:
            try:
                _cell(row, column, text, done, one, unit)
            except ValueError as wrong:
                row.wrong.append(str(wrong))
    named = {look.method for look in row.looks}
    row.looks += [Look(code, "nothing to reject") for code in done if code not in named]
    return row


def _cell(
    row: GridRow, column: Column, text: str, done: tuple[str, ...], one: Scheme, unit: str
) -> None:
    if column.sort == "size" and column.field is not None:
        typed = typed_with_unit(text, unit)
        row.reads += [(each, typed) for each in read(column.field, text, unit)]
    elif column.sort == "state":
        row.ends[column.name] = read_state(text, column.label)
    elif column.sort == "class":
        row.given = read_class_exactly(text, one)
    elif column.sort == "at":
        row.reads += [(Reading("crack", part, count=1), text) for part in read_parts(text, column.parts)]
    elif column.sort == "methods":
        result = "indication" if column.name == "indication" else ""
        codes = read_methods(text, column.label, done)
        twice = [look.method for look in row.looks if look.method in codes]
        if twice:
            raise ValueError(f"{column.label}: {twice[0]} cannot have an indication and be left out too.")
        row.looks += [Look(code, result) for code in codes]
    else:
        most = LONGEST[column.name]
        if len(text) > most:
            raise ValueError(f"{column.label}: keep it under {most} letters; this has {len(text)}.")
        setattr(row, column.name, text)
