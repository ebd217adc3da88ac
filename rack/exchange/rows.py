"""One row of a list made into a piece: typed cells by what they are, and what each was read as."""

import re
from dataclasses import replace

from rack.calc import item_parts as parts
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.items import facts_of
from rack.calc.lengths import ZERO, Length
from rack.calc.list_names import no_name_problem
from rack.calc.receiving import Column, Mapping, ReadRow, SheetMapping, same_length_twice
from rack.calc.serial_slips import spreadsheet_slip
from rack.calc.specs import SpecFacts
from rack.calc.telescopes import said_stands
from rack.calc.units import NM
from rack.exchange.cells import BLANK, DITTO, UNREADABLE, Cell, column_letters, is_unworked
from rack.exchange.row_facts import SPEC_ROLES, spec_of
from rack.exchange.row_lengths import missing_mark, parsed, unit_of
from rack.exchange.row_own import own_of
from rack.exchange.row_words import kind_that_fits, read_of
from rack.exchange.workbook import Sheet

_NAMES = ("serial", "owner_no", "painted")
_LONGEST_NAME = 60
#: No fact of a piece takes more signs; the rest of a cell is kept as typed.
_LONGEST_WORDS = 120
_LONGEST = 120 * NM["ft"]


class RowReader:
    """Reads the rows of one sheet one after the other; remembers what a ditto mark stands for."""

    def __init__(self, sheet: Sheet, mapped: SheetMapping, mapping: Mapping) -> None:
        self.sheet, self.mapped, self.mapping = sheet, mapped, mapping
        self._above: dict[int, str] = {}
        self._specs: dict[tuple[str, ...], tuple[SpecFacts | None, tuple[Problem, ...]]] = {}
        self.has_length = any(column.role in ("length", "length_ft") for column in mapped.columns)
        self.has_names = any(column.role in _NAMES for column in mapped.columns)
        self.columns = {column.index: column for column in mapped.columns}

    def cells(self, at: int) -> dict[str, Cell]:
        """Return the filled cells of a row by role, or by heading (or letter) where the column has none."""
        made: dict[str, Cell] = {}
        for index, typed in enumerate(self.sheet.rows[at]):
            typed = re.sub(r"\s+", " ", typed.replace("\ufeff", "").replace("\xa0", " ")).strip()
            if not typed:
                continue
            forced = re.fullmatch(r'="([^"]*)"', typed)  # a spreadsheet's way to keep figures as text
            typed = forced[1].strip() if forced else typed
            column = self.columns.get(index, Column(index))
            key = column.role or column.heading.strip() or f"column {column_letters(index)}"
            while key in made:
                key += " "
            is_ditto = typed.lower() in DITTO and column.role not in (
                *_NAMES,
                "number",
                "length",
                "length_ft",
                "length_in",
            )
            text = self._above.get(index, "") if is_ditto else typed
            self._above[index] = text
            made[key] = Cell(
                column, typed, text, (at, index) in self.sheet.numbers, (at, index) in self.sheet.dates
            )
        return made

    def length_of(self, cells: dict[str, Cell]) -> tuple[Length | None, str, tuple[Problem, ...]]:
        """Return the length of a row, the unit it was typed in, and every problem."""
        if "length_ft" in cells or "length_in" in cells:
            return self._feet_and_inches(cells)
        cell, said = cells.get("length"), cells.get("length_unit")
        if cell is None or cell.text.lower() in BLANK:
            return None, self._unit(cell, said), self._blank(cell)
        length, problems = self.read_length(cell, said)
        again = cells.get("length_again")
        if again and length is not None and again.column.unit and again.text.lower() not in BLANK:
            second, _ = self.read_length(again)
            if second is not None and not same_length_twice(length, second):
                problems = (
                    *problems,
                    asks(
                        f"“{again.column.heading}” says {again.typed} and “{cell.column.heading}” says "
                        f"{cell.typed}: "
                        "these are two lengths. The latter is taken.",
                        code="two lengths",
                    ),
                )
        return length, self._unit(cell, said), problems

    def _unit(self, cell: Cell | None, said: Cell | None = None) -> str:
        column = cell.column if cell else self.mapped.column("length")
        named = unit_of(cell.text) if cell else ""
        named = named or (unit_of(f"1 {said.text}") if said else "")
        return named or (column.unit if column else "") or self.mapping.length_unit or "ft"

    def _blank(self, cell: Cell | None) -> tuple[Problem, ...]:
        if not self.has_length:
            return ()
        typed = f" (“{cell.typed}”)" if cell else ""
        return (
            asks(
                f"No length{typed}: accepted without one, left out of every sum, and strapped later?",
                code="no length",
            ),
        )

    def read_length(self, cell: Cell, said: Cell | None = None) -> tuple[Length | None, tuple[Problem, ...]]:
        """Return the length in a cell, None with a STOPS that says why when it cannot be one."""
        text, unit = said_stands(cell.text)[0], self._unit(cell, said)
        if cell.is_date:
            return None, (
                stops(
                    f"The length is a date in the workbook ({text}); type the figure again.", code="length"
                ),
            )
        if text.lower() in DITTO:
            return None, (
                asks(
                    "A ditto mark stands for a length, but every joint is measured: accepted without?",
                    code="no length",
                ),
            )
        if is_unworked(text):
            return None, (
                stops(
                    f"The length is a formula without a stored value ({text[:60]}); open the workbook in a "
                    "spreadsheet and save it, or type the figure.",
                    code="formula",
                ),
            )
        decimal = "." if cell.is_number else self.mapping.decimal
        length, problems = parsed(text, unit, decimal)
        if length is None:
            return None, problems
        if length <= ZERO:
            return None, (
                stops(
                    f"A length of {text} is no length; leave the cell empty if it was not measured.",
                    code="length",
                ),
            )
        if length.nanometres > _LONGEST:
            return None, (
                stops(
                    f"{text} {unit} is longer than any piece{missing_mark(length, unit) or '.'}",
                    code="length",
                ),
            )
        return length, problems

    def _feet_and_inches(self, cells: dict[str, Cell]) -> tuple[Length | None, str, tuple[Problem, ...]]:
        texts = [
            cells[key].text if key in cells and cells[key].text.lower() not in BLANK else ""
            for key in ("length_ft", "length_in")
        ]
        if not any(texts):
            return None, "ft", self._blank(cells.get("length_ft"))
        feet, inches = (re.sub(r"(?<=\d)\.0*$", "", text) or "0" for text in texts)
        length, problems = parsed(f"{feet} ft {inches} in", "ft", self.mapping.decimal)
        if length is not None and not ZERO < length <= Length(_LONGEST):
            return None, "ft", (stops(f"{feet} ft {inches} in is no length of a piece.", code="length"),)
        return length, "ft", problems

    def is_piece(self, cells: dict[str, Cell], length: Length | None) -> bool:
        """Say whether a row stands for a piece and not for a line of text or a signature."""
        names = [cells[role].text for role in _NAMES if role in cells]
        facts = sum(1 for role in (*SPEC_ROLES, "pipe_class") if role in cells)
        item = facts_of(cells["item"].text) if "item" in cells else None
        if length is not None or facts >= 2:
            return True
        if item and (item.kind or item.od_nm) and (names or "number" in cells):
            return True
        serial_like = any(
            re.search(r"\d", name) and not name.endswith(":") and len(name) <= 30 for name in names
        )
        if len(cells) == 1:
            return serial_like and " " not in names[0] and ":" not in names[0]
        return serial_like or any(name.lower() in UNREADABLE for name in names)

    def row(self, at: int, cells: dict[str, Cell], length_kind: str) -> ReadRow:
        """Return the row as a piece, with the problems that it has by itself."""
        length, unit, problems = self.length_of(cells)
        names, name_problems = self._names(cells)
        spec, spec_problems = self._spec(cells)
        own = own_of(spec, cells, length, self.read_length)
        if own.length is not length:  # a jar with its two lengths and no third one
            problems = tuple(each for each in problems if each.code != "no length")
            unit = self._unit(cells.get("length_closed") or cells["length_open"])
        pipe_class, class_problems = (
            parts.read_class(cells["pipe_class"].text[:_LONGEST_WORDS])
            if _said("pipe_class", cells)
            else ("", ())
        )
        made = ReadRow(
            row=self.sheet.lines[at],
            sheet=self.sheet.name,
            number=cells["number"].text if "number" in cells else "",
            typed=_typed(cells),
            serial=names["serial"],
            owner_no=names["owner_no"],
            painted=names["painted"],
            item=self._item(cells),
            spec=own.spec,
            pipe_class=pipe_class[:40],
            length=own.length,
            length_unit=unit,
            length_kind=kind_that_fits(length_kind, spec),
            place=cells["place"].text[:80] if _said("place", cells) else "",
            block=self.sheet.block_of(at),
            facts=own.facts,
            stands=own.stands,
            other=own.other,
        )
        if not any(names.values()) and self.has_names:
            name_problems = (*name_problems, no_name_problem(made))
        found = (*name_problems, *problems, *spec_problems, *class_problems, *own.problems,
                 *self._odd_cells(cells))
        found = tuple(replace(each, where=each.where or made.where) for each in found)
        return replace(made, read=read_of(made), problems=found)

    def _names(self, cells: dict[str, Cell]) -> tuple[dict[str, str], tuple[Problem, ...]]:
        names: dict[str, str] = dict.fromkeys(_NAMES, "")
        found: list[Problem] = []
        for role in _NAMES:
            cell = cells.get(role)
            if cell is None or cell.text.lower() in BLANK:
                continue
            word = {"serial": "serial", "owner_no": "owner's number", "painted": "painted number"}[role]
            if cell.text.lower() in UNREADABLE:
                found.append(note(f"The {word} is “{cell.typed}”: kept as not readable.", code="no name"))
            elif cell.text.lower() in DITTO:
                found.append(
                    asks(
                        f"A ditto mark stands for a {word}, but each piece has its own: not readable?",
                        code="no name",
                    )
                )
            elif is_unworked(cell.text):
                words = f"is a formula without a stored value ({cell.text[:60]})"
                found.append(asks(f"The {word} {words}: kept as not readable?", code="formula"))
            elif len(cell.text) > _LONGEST_NAME:
                found.append(stops(f"The {word} has more than {_LONGEST_NAME} signs.", code="name"))
            else:
                names[role] = cell.text
                found += _odd_name(cell, word)
        return names, tuple(found)

    def _odd_cells(self, cells: dict[str, Cell]) -> list[Problem]:
        found = []
        quantity = parts.number(cells["quantity"].text) if "quantity" in cells else None
        if quantity is not None and quantity != 1:
            found.append(
                stops(
                    f"The row stands for {cells['quantity'].typed} pieces; each needs a row of its own.",
                    code="quantity",
                )
            )
        beyond = [
            cell for cell in cells.values() if cell.column.index not in self.columns and not cell.column.role
        ]
        if beyond and self.sheet.delimiter == "," and all(cell.text.isdigit() for cell in beyond):
            found.append(
                stops(
                    f"There are more cells than headings (“{beyond[0].typed[:40]}”): "
                    "a decimal comma cut a figure in two. "
                    "Save the list with semicolons, or leave the row out.",
                    code="columns",
                )
            )
        elif beyond and self.sheet.delimiter and len(self.columns) > 1:
            found.append(
                asks(
                    f"There are more cells than headings (“{beyond[0].typed[:40]}”): did the columns shift?",
                    code="columns",
                )
            )
        return found

    def _item(self, cells: dict[str, Cell]) -> str:
        """Return what the piece is, as typed: the words of the item, else its columns one after the other."""
        if "item" in cells:
            return cells["item"].text[:200]
        said = [f"{cell.text} {cell.column.unit}".strip() for key, cell in cells.items() if key in SPEC_ROLES]
        return " ".join(said)[:200] or self.mapping.default_item

    def _spec(self, cells: dict[str, Cell]) -> tuple[SpecFacts | None, tuple[Problem, ...]]:
        item = cells["item"].text if "item" in cells and cells["item"].text.lower() not in BLANK else ""
        said = {
            role: replace(cells[role], text=cells[role].text[:_LONGEST_WORDS])
            for role in SPEC_ROLES
            if role in cells and cells[role].text.lower() not in BLANK
        }
        key = (item, *(f"{role}={cell.text}" for role, cell in said.items()))
        if key not in self._specs:
            self._specs[key] = spec_of(item, said, self.mapping.default_item)
        return self._specs[key]


def _said(role: str, cells: dict[str, Cell]) -> bool:
    """Say whether a cell of this role says anything: "N/A" and a dash stand for nothing."""
    return role in cells and cells[role].text.lower() not in BLANK


def _typed(cells: dict[str, Cell]) -> dict[str, str]:
    """Return what was typed, by role; feet and inches in two columns are one length as well."""
    typed = {key: cell.typed for key, cell in cells.items()}
    if "length" not in typed and {"length_ft", "length_in"} & set(typed):
        typed["length"] = f"{typed.get('length_ft', '0')} ft {typed.get('length_in', '0')} in"
    return typed


def _odd_name(cell: Cell, word: str) -> list[Problem]:
    """Ask about a number that a spreadsheet damaged; serials are judged among their neighbours later."""
    said = spreadsheet_slip(cell.text) if word != "serial" else ""
    return (
        [asks(f"The {word} {cell.text} {said}; what is stamped on the piece?", code="name")] if said else []
    )
