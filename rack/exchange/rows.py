"""One row of a list made into a piece: typed cells by what they are, and what each was read as."""

import re
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal

from rack.calc import item_parts as parts
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.items import Facts, facts_of, over, settle
from rack.calc.kinds import KINDS
from rack.calc.lengths import ZERO, Length
from rack.calc.outliers import shown_digits
from rack.calc.receiving import Column, Mapping, ReadRow, SheetMapping, no_name_problem, same_length_twice
from rack.calc.specs import SpecFacts
from rack.calc.units import NM
from rack.exchange.workbook import Sheet

DITTO = frozenset(
    {
        '"',
        "''",
        "do",
        "do.",
        "ditto",
        "dito",
        "dto",
        "dto.",
        "〃",
        '-"-',
        "„",
        "”",
        "idem",
        "id.",
        "same",
        "s.o.",
        "wie oben",
        '- " -',
        ",,",
    }
)
BLANK = frozenset(
    {
        "",
        "-",
        "--",
        "---",
        "–",
        "—",
        "n/a",
        "na",
        "n.a.",
        "?",
        "??",
        "tbd",
        "k.a.",
        "unknown",
        "unbekannt",
        "none",
        "nil",
        "not measured",
        "nicht gemessen",
        ".",
    }
)
UNREADABLE = frozenset(
    {
        "ill",
        "illegible",
        "not readable",
        "unreadable",
        "not legible",
        "n/r",
        "nr",
        "unlesbar",
        "nicht lesbar",
        "unleserlich",
        "illisible",
        "ilegible",
        "ulesbar",
        "worn",
        "worn off",
        "no serial",
        "ohne nr",
        "ohne",
        "missing",
        "fehlt",
        "see list",
    }
)
_SPEC_ROLES = (
    "kind",
    "od",
    "bore",
    "wall",
    "weight",
    "grade",
    "range",
    "connection",
    "up_conn",
    "down_conn",
    "tj_od",
    "tj_bore",
)
_NAMES = ("serial", "owner_no", "painted")
_LONGEST_NAME = 60
_LONGEST = 120 * NM["ft"]


def column_letters(index: int) -> str:
    """Return the letters of a column as a spreadsheet has them: 0 is A, 26 is AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@dataclass(frozen=True)
class Cell:
    """One filled cell below a heading; `text` has a ditto mark replaced by what it repeats."""

    column: Column
    typed: str
    text: str
    is_number: bool = False
    is_date: bool = False


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
        cell = cells.get("length")
        if cell is None or cell.text.lower() in BLANK:
            return None, self._unit(cell), self._blank(cell)
        length, problems = self.read_length(cell)
        again = cells.get("length_again")
        if again and length is not None and again.column.unit and again.text.lower() not in BLANK:
            second, _ = self.read_length(again)
            if second is not None and not same_length_twice(length, second):
                problems = (
                    *problems,
                    asks(
                        f"“{again.column.heading}” says {again.typed} and “{cell.column.heading}” says {cell.typed}: "
                        "these are two lengths. The latter is taken.",
                        code="two lengths",
                    ),
                )
        return length, self._unit(cell), problems

    def _unit(self, cell: Cell | None) -> str:
        column = cell.column if cell else self.mapped.column("length")
        named = _unit_of(cell.text) if cell else ""
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

    def read_length(self, cell: Cell) -> tuple[Length | None, tuple[Problem, ...]]:
        """Return the length in a cell, None with a STOPS that says why when it cannot be one."""
        text, unit = cell.text, self._unit(cell)
        if cell.is_date:
            return None, (
                stops(
                    f"The length is a date in the workbook ({text}); type the figure again.", code="length"
                ),
            )
        if text.lower() in DITTO:
            return None, (
                asks(
                    "A ditto mark stands for a length, but every joint is measured: accepted without a length?",
                    code="no length",
                ),
            )
        decimal = "." if cell.is_number else self.mapping.decimal
        length, problems = _parsed(text, unit, decimal)
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
                    f"{text} {unit} is longer than any piece{_missing_mark(length, unit) or '.'}",
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
        length, problems = _parsed(f"{feet} ft {inches} in", "ft", self.mapping.decimal)
        if length is not None and not ZERO < length <= Length(_LONGEST):
            return None, "ft", (stops(f"{feet} ft {inches} in is no length of a piece.", code="length"),)
        return length, "ft", problems

    def is_piece(self, cells: dict[str, Cell], length: Length | None) -> bool:
        """Say whether a row stands for a piece and not for a line of text, a signature or a heading of a layer."""
        names = [cells[role].text for role in _NAMES if role in cells]
        facts = sum(1 for role in (*_SPEC_ROLES, "pipe_class") if role in cells)
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
        pipe_class, class_problems = (
            parts.read_class(cells["pipe_class"].text) if "pipe_class" in cells else ("", ())
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
            spec=spec,
            pipe_class=pipe_class[:40],
            length=length,
            length_unit=unit,
            length_kind=_kind_that_fits(length_kind, spec),
            place=cells["place"].text[:80] if "place" in cells else "",
        )
        if not any(names.values()) and self.has_names:
            name_problems = (*name_problems, no_name_problem(made))
        found = (*name_problems, *problems, *spec_problems, *class_problems, *self._odd_cells(cells))
        found = tuple(replace(each, where=each.where or made.where) for each in found)
        return replace(made, read=_read_of(made), problems=found)

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
                        f"A ditto mark stands for a {word}, but every piece has its own: kept as not readable?",
                        code="no name",
                    )
                )
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
                    f"The row stands for {cells['quantity'].typed} pieces; each piece needs a row of its own.",
                    code="quantity",
                )
            )
        beyond = [
            cell for cell in cells.values() if cell.column.index not in self.columns and not cell.column.role
        ]
        if beyond and self.sheet.delimiter == "," and all(cell.text.isdigit() for cell in beyond):
            found.append(
                stops(
                    f"There are more cells than headings (“{beyond[0].typed[:40]}”): a decimal comma cut a figure in two. "
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
        said = [
            f"{cell.text} {cell.column.unit}".strip() for key, cell in cells.items() if key in _SPEC_ROLES
        ]
        return " ".join(said)[:200] or self.mapping.default_item

    def _spec(self, cells: dict[str, Cell]) -> tuple[SpecFacts | None, tuple[Problem, ...]]:
        item = cells["item"].text if "item" in cells and cells["item"].text.lower() not in BLANK else ""
        said = {
            role: cells[role]
            for role in _SPEC_ROLES
            if role in cells and cells[role].text.lower() not in BLANK
        }
        key = (item, *(f"{role}={cell.text}" for role, cell in said.items()))
        if key not in self._specs:
            facts = facts_of(item) if item else Facts()
            facts = over(facts, _column_facts(said, facts))
            if self.mapping.default_item:
                facts = _filled(facts, facts_of(self.mapping.default_item))
            spec, problems = settle(facts)
            self._specs[key] = spec, tuple(_named(each, item) for each in problems)
        return self._specs[key]


def _typed(cells: dict[str, Cell]) -> dict[str, str]:
    """Return what was typed, by role; feet and inches in two columns are one length as well."""
    typed = {key: cell.typed for key, cell in cells.items()}
    if "length" not in typed and {"length_ft", "length_in"} & set(typed):
        typed["length"] = f"{typed.get('length_ft', '0')} ft {typed.get('length_in', '0')} in"
    return typed


def _named(problem: Problem, item: str) -> Problem:
    """Name the words that do not say a kind, so that the sentence stands by itself."""
    if problem.code == "kind" and item and item not in problem.text:
        return replace(problem, text=f"“{item[:60]}”: {problem.text[:1].lower()}{problem.text[1:]}")
    return problem


def _filled(facts: Facts, default: Facts) -> Facts:
    """Return `facts` with what the default says of the rest; a fact of the row always stands."""
    missing = {
        name: getattr(default, name)
        for name in default.__dataclass_fields__
        if name != "problems" and not getattr(facts, name) and not (name == "kind" and facts.kind_word)
    }
    return replace(facts, **missing, problems=tuple(dict.fromkeys((*facts.problems, *default.problems))))


def _column_facts(said: dict[str, Cell], item: Facts) -> Facts:
    """Return the facts that the columns of a row say, each read by its role."""
    made: dict[str, str | int] = {}
    problems: list[Problem] = []
    if "kind" in said:
        facts = facts_of(said["kind"].text)
        made.update(kind=facts.kind, kind_word=facts.kind_word)
        if not facts.kind_word:
            problems.append(asks(f"“{said['kind'].text}” is no kind of piece that is known.", code="kind"))
    for role in ("od", "bore", "wall", "tj_od", "tj_bore"):
        if role in said:
            word = {
                "od": "Diameter",
                "bore": "Bore",
                "wall": "Wall",
                "tj_od": "Tool joint OD",
                "tj_bore": "Tool joint bore",
            }[role]
            unit = said[role].column.unit or ("in" if role != "wall" else "")
            unit = said[role].column.unit if role in ("od", "wall") else unit
            made[f"{role}_nm"], found = parts.read_size(said[role].text, unit, word)
            problems += found
    for role, read in (("grade", parts.read_grade), ("range", parts.read_range)):
        if role in said:
            made[role], found = read(said[role].text)
            problems += found
    problems += _threads(said, made)
    if "weight" in said:
        kind = str(made.get("kind") or item.kind)
        cell = said["weight"]
        made["weight_mlb_ft"], found = parts.read_weight(
            cell.text, cell.column.unit, kind, int(made.get("od_nm") or item.od_nm)
        )
        problems += found
    return Facts(**made, problems=tuple(problems))  # type: ignore[arg-type]


def _threads(said: dict[str, Cell], made: dict[str, str | int]) -> list[Problem]:
    problems: list[Problem] = []
    if "connection" in said:
        text = said["connection"].text
        thread, genders, found = parts.read_thread(text)
        two = facts_of(text) if found else Facts()
        if two.up_conn and two.down_conn and two.up_conn != two.down_conn:
            made.update(
                up_conn=two.up_conn,
                up_gender=two.up_gender,
                down_conn=two.down_conn,
                down_gender=two.down_gender,
            )
        else:
            made.update(up_conn=thread, down_conn=thread)
            if len(genders) == 2:
                up, down = sorted(genders)
                made.update(up_gender=up, down_gender=down)
            problems += found
    for role, gender in (("up_conn", "up_gender"), ("down_conn", "down_gender")):
        if role in said:
            thread, genders, found = parts.read_thread(said[role].text)
            made.update({role: thread, gender: genders[0] if genders else ""})
            problems += found
    return problems


def _parsed(text: str, unit: str, decimal: str) -> tuple[Length | None, tuple[Problem, ...]]:
    try:
        return Length.parse(text, unit, decimal=decimal), ()
    except ValueError as error:
        sentence = str(error)
    if decimal:
        try:  # a list may mix its marks; what is doubtful by itself stays refused
            other = "," if decimal == "." else "."
            if re.fullmatch(rf"\d+{re.escape(other)}(?:\d\d?|\d{{4,}})\D*", text):
                return Length.parse(text, unit), (
                    note(f"{text} has another decimal mark than the list.", code="mark"),
                )
        except ValueError:
            pass
    exact = re.fullmatch(r"\d+[.,]\d{6,}", text)
    if exact:  # a figure that was worked out, not read: finer than any tape
        rounded = Decimal(text.replace(",", ".")).quantize(Decimal("0.00001"), ROUND_HALF_UP)
        return Length.parse(str(rounded), unit, decimal="."), (
            note(
                f"{text} {unit} was worked out, not read off a tape; {rounded} {unit} is taken.",
                code="rounded",
            ),
        )
    return None, (stops(f"{sentence} Correct it, or leave the row out.", code="length"),)


def _unit_of(text: str) -> str:
    found = re.search(
        r"\d\s*(ft|feet|'|mm|cm|mtrs?|metres?|meters?|m|in|\")(?![\w/])",
        text.lower().replace("’", "'").replace("′", "'"),
    )
    return (
        {
            "feet": "ft",
            "'": "ft",
            '"': "in",
            "mtr": "m",
            "mtrs": "m",
            "metre": "m",
            "metres": "m",
            "meter": "m",
            "meters": "m",
        }.get(found[1], found[1])
        if found
        else ""
    )


def _missing_mark(length: Length, unit: str) -> str:
    for times in (10, 100, 1000):
        nanometres, rest = divmod(length.nanometres, times)
        if not rest and 18 * NM["ft"] <= nanometres <= 48 * NM["ft"]:
            return f"; the decimal mark is missing, perhaps: {Length(nanometres).shown(unit, shown_digits(unit))}?"
    return ""


def _odd_name(cell: Cell, word: str) -> list[Problem]:
    if cell.is_date:
        return [
            asks(
                f"The {word} became a date in the workbook ({cell.text}); what is stamped on the piece?",
                code="name",
            )
        ]
    if re.fullmatch(r"\d([.,]\d+)?E\+?\d+", cell.text, re.IGNORECASE):
        return [
            asks(
                f"The {word} {cell.text} lost its last digits in a spreadsheet; what is stamped on the piece?",
                code="name",
            )
        ]
    return []


def _kind_that_fits(length_kind: str, spec: SpecFacts | None) -> str:
    """Return the kind of length when this kind of piece can be measured so, else "" (its usual kind)."""
    return length_kind if spec is None or length_kind in KINDS[spec.kind].lengths else ""


def _read_of(row: ReadRow) -> dict[str, str]:
    """Return what a row was read as, in the words that stand beside the typed cells."""
    read = {
        "serial": row.serial,
        "owner_no": row.owner_no,
        "painted": row.painted,
        "pipe_class": row.pipe_class,
        "place": row.place,
    }
    if row.length is not None:
        read["length"] = (
            f"{row.length.shown(row.length_unit, shown_digits(row.length_unit))} {row.length_unit}"
        )
    spec = row.spec
    if spec:
        read |= {
            "kind": KINDS[spec.kind].name,
            "grade": spec.grade,
            "range": spec.range,
            "up_conn": f"{spec.up_conn} {spec.up_gender}".strip(),
            "down_conn": f"{spec.down_conn} {spec.down_gender}".strip(),
            "weight": f"{spec.weight_mlb_ft / 1000:.2f} lb/ft" if spec.weight_mlb_ft else "",
        }
        for role in ("od", "bore", "wall", "tj_od", "tj_bore"):
            value = getattr(spec, f"{role}_nm")
            read[role] = f"{parts.inches(value)} in" if value else ""
    return {role: text for role, text in read.items() if text}
