"""The dull grade of a bit: eight columns, read and checked, the raw text kept."""

import re
from dataclasses import dataclass
from fractions import Fraction

from rack.calc.bits.sizes import BIT_TYPES
from rack.calc.checks import Problem, asks
from rack.calc.given import one_of
from rack.calc.lookup import Catalogue
from rack.calc.losses import SHIPPED

#: The eight columns as the table names them, in the order in which they are written.
COLUMNS = ("1 inner", "2 outer", "3 dull characteristic", "4 location", "5 bearing/seal", "6 gauge",
           "7 other characteristic", "8 reason pulled")
_IN_GAUGE = ("I", "IN", "X")


@dataclass(frozen=True)
class DullColumn:
    """One column: its name without the number, the code as written, and its meaning, "" when unknown."""

    name: str
    code: str
    meaning: str


@dataclass(frozen=True)
class DullGrade:
    """A dull grade: `raw` as typed, the columns that were read, gauge wear in sixteenths of an inch
    (0 = in gauge, None = not read), and the questions it raises."""

    raw: str
    columns: tuple[DullColumn, ...]
    gauge_16ths: int | None
    problems: tuple[Problem, ...]


def _applies(applies_to: str, bit_type: str) -> bool:
    return applies_to == "both" or applies_to.startswith("roller" if bit_type == "roller cone" else "fixed")


def _meanings(column: str, bit_type: str, catalogue: Catalogue) -> dict[str, str]:
    """The meaning of every code; the office's rows come first in a catalogue and are written last here."""
    return {row["code"]: row["meaning"] for row in reversed(catalogue.rows("dull"))
            if row["column"] == column and _applies(row["applies_to"], bit_type)}


def _split(text: str) -> list[str]:
    """The cells of a grade: parted by dashes, commas, bars or blanks; by slashes where nothing else is."""
    cells = [cell for cell in re.split(r"[\s,;|–—-]+", text.strip().upper()) if cell]
    return text.strip().upper().split("/") if len(cells) == 1 and text.count("/") == 7 else cells


def gauge_16ths(text: str) -> int:
    """Return gauge wear in sixteenths of an inch: "I", "IN", "X" = 0; "2", "2/16" and "1/8" are all 2.

    `text` is the sixth column of a dull grade; 0 to 16. Raises ValueError for what is no such figure.
    Source: table "dull"; charts write it in three ways, sixteenths are stored.
    """
    code = text.strip().upper()
    if code in _IN_GAUGE:
        return 0
    found = re.fullmatch(r"(\d{1,2})(?:/(\d{1,2}))?", code)
    if found and found[2] != "0" and found[2] != "00":
        sixteenths = Fraction(int(found[1]) * 16, int(found[2])) if found[2] else Fraction(int(found[1]))
        if sixteenths.denominator == 1 and 1 <= sixteenths <= 16:
            return int(sixteenths)
    raise ValueError(f"text: {text!r} is no gauge wear; allowed are I (in gauge) and 1/16 to 16/16")


def _codes(column: str, cell: str) -> list[str]:
    """The single codes of a cell: "LC2" is LC, "NM" at a location is N and M, "BT/CT" is both."""
    if column == "4 location":
        return list(cell.replace("/", ""))
    if column[0] in "37":
        return [re.sub(r"\(?[123]+\)?$", "", part) for part in cell.split("/")]
    return [cell]


def _column(column: str, cell: str, bit_type: str, catalogue: Catalogue) -> tuple[DullColumn, list[Problem]]:
    name, known = column[2:], _meanings(column, bit_type, catalogue)
    if column == "5 bearing/seal" and bit_type == "roller cone" and re.fullmatch("[0-8]", cell):
        return DullColumn(name, cell, f"{known['0-8'].split(' (')[0]}: {cell} of 8"), []
    if column == "6 gauge":
        try:
            sixteenths = gauge_16ths(cell)
        except ValueError:
            return DullColumn(name, cell, ""), [_question(name, cell)]
        return DullColumn(name, cell, known[str(sixteenths) if sixteenths else "I"]), []
    codes = _codes(column, cell)
    unknown = [code for code in codes if code not in known or code == "0-8"]
    meaning = "; ".join(known[code] for code in codes if code in known)
    return DullColumn(name, cell, meaning), [_question(name, code, bit_type) for code in unknown]


def _question(name: str, code: str, bit_type: str = "") -> Problem:
    of_bit = f" of a {bit_type} bit" if bit_type else ""
    return asks(f"{code or 'nothing'!r} in column {name} is no code{of_bit} that the table knows.",
                code="dull grade", where=name)


def read_dull(text: str, bit_type: str, *, catalogue: Catalogue = SHIPPED) -> DullGrade:
    """Return a dull grade, read and checked; what was typed is always kept.

    `text` has eight columns: "1-2-WT-A-E-I-NO-TD", "2,4,BT,S,X,1/16,CT,PR"; `bit_type` is "roller cone" or
    "fixed cutter". What is not understood comes back as a question, never an error; only an unknown
    `bit_type` raises ValueError. `catalogue` holds the office's own rows. Source: table "dull" (IADC); WO in
    column 8 is a washout of the string, in columns 3 and 7 of the bit.
    """
    one_of("bit_type", bit_type, BIT_TYPES)
    cells = _split(text)
    if len(cells) != len(COLUMNS):
        count = asks(f"A dull grade has 8 columns, {text!r} has {len(cells)}.", code="dull grade",
                     measured=str(len(cells)), limit="8")
        return DullGrade(text, (), None, (count,))
    read = [_column(column, cell, bit_type, catalogue) for column, cell in zip(COLUMNS, cells, strict=True)]
    try:
        wear: int | None = gauge_16ths(cells[5])
    except ValueError:
        wear = None
    return DullGrade(text, tuple(column for column, _ in read), wear,
                     tuple(problem for _, problems in read for problem in problems))
