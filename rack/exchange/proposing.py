"""How a file seems to be laid out: the heading row, what each column is, the unit and the decimal mark.

Everything found here is a proposal that a person may correct; what was inferred is said in a problem.
"""

import re
from collections import Counter
from dataclasses import dataclass, replace
from statistics import median

from rack.calc.checks import Problem, Severity, asks, note
from rack.calc.item_parts import number
from rack.calc.items import Facts, facts_of
from rack.calc.receiving import Column, Mapping, SheetMapping
from rack.errors import UnreadableFile
from rack.exchange import headings
from rack.exchange.workbook import HEADING_WITHIN, Sheet

_LOOKED_AT = 400
_NUMERIC = ("length", "length_again", "od", "bore", "wall", "weight", "tj_od", "tj_bore")
_COMMA = re.compile(r"\d+,(?:\d{1,2}|\d{4,})(?!\d)[^\d]*|0,\d+[^\d]*|\d{1,3}(?:\.\d{3})+,\d+[^\d]*")
_POINT = re.compile(r"\d+\.(?:\d{1,2}|\d{4,})(?!\d)[^\d]*|0\.\d+[^\d]*|\d{1,3}(?:,\d{3})+\.\d+[^\d]*")
_EITHER_COMMA = re.compile(r"\d{1,3},\d{3}")


@dataclass(frozen=True)
class Proposal:
    """A mapping with what was inferred for it, and the lines above the headings."""

    mapping: Mapping
    problems: tuple[Problem, ...]
    preamble: tuple[str, ...]


def propose(sheets: list[Sheet], name: str) -> Proposal:
    """Return how the sheets seem to be laid out. Raises UnreadableFile when none is a list of pieces."""
    found = [mapped for sheet in sheets if (mapped := _heading_of(sheet, name))]
    if not found:
        raise UnreadableFile(
            f"{name} is no list of pieces: no row has headings such as serial, item and length."
        )
    by_name = {sheet.name: sheet for sheet in sheets}
    problems: list[Problem] = []
    found = [_by_values(by_name[mapped.sheet], mapped, problems) for mapped in found]
    mapped_names = {mapped.sheet for mapped in found}
    problems += [
        note(f"Sheet {sheet.name} has no list of pieces and is not read.", code="sheet")
        for sheet in sheets
        if sheet.rows and sheet.name not in mapped_names
    ]
    preamble = tuple(line for mapped in found for line in preamble_of(by_name[mapped.sheet], mapped))
    mapping = Mapping(sheets=tuple(found), decimal=_decimal(by_name, found))
    mapping = replace(
        mapping, length_kind=_length_kind(found, preamble), default_item=_item(by_name, found, problems)
    )
    unit = (
        ""
        if all(_unit_named(mapped) for mapped in found)
        else _length_unit(by_name, found, preamble, problems)
    )
    return Proposal(replace(mapping, length_unit=unit), tuple(problems), preamble)


def preamble_of(sheet: Sheet, mapped: SheetMapping) -> list[str]:
    """Return the filled rows above the headings, each as one line of text."""
    above = (row for row, line in zip(sheet.rows, sheet.lines, strict=True) if line < mapped.heading_row)
    return [" ".join(cell.strip() for cell in row if cell.strip()) for row in above if row]


def _heading_of(sheet: Sheet, name: str) -> SheetMapping | None:
    best: tuple[int, int, int, tuple[str, ...]] | None = None
    for at, row in enumerate(sheet.rows[:HEADING_WITHIN]):
        for rows, cells in _candidates(sheet, at, tuple(row)):
            worth = headings.score(cells)
            if worth and headings.repeats(cells) > 1:
                raise UnreadableFile(
                    f"{name} is a tally in {headings.repeats(cells)} blocks side by side whose headings are "
                    "not the same; give each block the same headings, or put the blocks below each other."
                )
            if worth and (best is None or worth > best[0]):
                best = (worth, at, rows, cells)
    if best is None:
        return None
    _, at, rows, cells = best
    return SheetMapping(sheet.name, sheet.lines[at], sheet.lines[at + rows - 1], headings.columns_of(cells))


def _candidates(sheet: Sheet, at: int, row: tuple[str, ...]) -> list[tuple[int, tuple[str, ...]]]:
    """Return the row by itself, and with the one below when that holds units or more words."""
    below = sheet.rows[at + 1] if at + 1 < len(sheet.rows) else []
    filled = [cell for cell in below if cell.strip()]
    if not filled or any(re.search(r"\d", cell) for cell in filled) or len(row) < 2:
        return [(1, row)]
    if any(len(re.findall(r"\d", cell)) > 1 for cell in row):
        return [(1, row)]  # a line of the preamble, and no upper half of the headings
    width = max(len(row), len(below))
    upper, lower = [*row, *[""] * (width - len(row))], [*below, *[""] * (width - len(below))]
    joined = tuple(f"{one.strip()} {two.strip()}".strip() for one, two in zip(upper, lower, strict=True))
    units = all(
        headings.read_heading(cell.strip(" ()[]")).only_unit or not cell.strip(" -()[]") for cell in filled
    )
    # A row of units below is always part of the heading; a row of words only where it makes more of it.
    return [(2, joined)] if units else [(1, row), (2, joined)]


def _data(sheet: Sheet, mapped: SheetMapping) -> list[tuple[int, list[str]]]:
    """Return (place in the sheet, cells) of the first rows below the headings."""
    below = [
        (at, row) for at, row in enumerate(sheet.rows) if sheet.lines[at] > mapped.last_heading_row and row
    ]
    return below[:_LOOKED_AT]


def _values(sheet: Sheet, mapped: SheetMapping, index: int) -> list[str]:
    return [row[index].strip() for _, row in _data(sheet, mapped) if index < len(row) and row[index].strip()]


def _by_values(sheet: Sheet, mapped: SheetMapping, problems: list[Problem]) -> SheetMapping:
    """Correct what the headings say by what stands below: an "Item" of whole numbers is a running number."""
    roles = {column.role: column for column in mapped.columns if column.role}
    changed: dict[int, str] = {}

    def mostly(role: str, pattern: str) -> bool:
        values = _values(sheet, mapped, roles[role].index)
        return bool(values) and 10 * sum(bool(re.fullmatch(pattern, each)) for each in values) >= 8 * len(
            values
        )

    if "item" in roles and mostly("item", r"\d{1,4}"):
        changed[roles["item"].index] = "" if "number" in roles else "number"
        roles.setdefault("number", roles["item"])
    named = {"serial", "owner_no", "painted"} & set(roles)
    # Casing goes by the number painted on the joint, beside whatever number its owner gives it.
    joint = "number" in roles and headings.folded(roles["number"].heading).startswith(("jt", "joint", "jnt"))
    if "number" in roles and (not named or (joint and named == {"owner_no"})):
        if mostly("number", r"(?=.*\d)(?=.*[A-Za-z]).+|\d{5,}"):
            changed[roles["number"].index] = "serial"
        else:
            changed[roles["number"].index] = "painted"
            problems.append(
                note(
                    "There is no column of serials; "
                    f"“{roles['number'].heading}” is taken for the painted number.",
                    code="columns",
                )
            )
    if "od" in roles and "item" not in roles and not mostly("od", r"[\d.,/ \"'-]+(?:in|mm|inch|zoll)?\.?"):
        changed[roles["od"].index] = "item"
    columns = tuple(
        replace(column, role=changed[column.index], unit="") if column.index in changed else column
        for column in mapped.columns
    )
    return replace(mapped, columns=columns)


def _unit_named(mapped: SheetMapping) -> bool:
    column = mapped.column("length")
    return column is None or bool(column.unit) or mapped.column("length_unit") is not None


def _decimal(sheets: dict[str, Sheet], found: list[SheetMapping]) -> str:
    """Return the decimal mark of the typed figures: the one that all agree on, "" where they do not."""
    votes: Counter[str] = Counter()
    for mapped in found:
        sheet = sheets[mapped.sheet]
        wanted = [column for column in mapped.columns if column.role in _NUMERIC]
        for at, row in _data(sheet, mapped):
            for column in wanted:
                if column.index < len(row) and (at, column.index) not in sheet.numbers:
                    votes[_mark(row[column.index].strip(), column)] += 1
    if votes[","] and votes["."]:
        return ""
    if votes["."]:
        return "."
    # Figures such as 9,640 could be thousands, but no piece is that long.
    return "," if votes[","] or votes["either"] else ""


def _mark(text: str, column: Column) -> str:
    if column.unit == "mm" and column.role.startswith("length"):
        # Nobody measures a joint to a thousandth of a millimetre: three figures are thousands.
        grouped = re.fullmatch(r"\d{1,3}([.,])\d{3}", text)
        return {".": ",", ",": "."}[grouped[1]] if grouped else ""
    if _COMMA.fullmatch(text):
        return ","
    if _POINT.fullmatch(text):
        return "."
    return "either" if _EITHER_COMMA.fullmatch(text) else ""


def _length_kind(found: list[SheetMapping], preamble: tuple[str, ...]) -> str:
    for mapped in found:
        column = mapped.column("length") or mapped.column("length_ft")
        said = headings.length_kind_in(column.heading) if column else ""
        if said:
            return said
    return next((kind for line in preamble if (kind := headings.length_kind_in(line))), "")


def _length_unit(
    sheets: dict[str, Sheet], found: list[SheetMapping], preamble: tuple[str, ...], problems: list[Problem]
) -> str:
    """Return the unit that the preamble names, else the one in which the lengths are those of joints."""
    for line in preamble:
        unit = headings.length_unit_in(line)
        if unit:
            problems.append(note(f"Lengths are in {unit}: “{line[:80]}”.", code="unit"))
            return unit
    values = [
        float(value)
        for mapped in found
        if (column := mapped.column("length"))
        for text in _values(sheets[mapped.sheet], mapped, column.index)
        if (value := number(text))
    ]
    if not values:
        return ""
    middle = median(values)
    for unit, low, high in (("m", 4.5, 15), ("ft", 15, 60), ("cm", 450, 1500), ("mm", 4500, 15000)):
        if low <= middle < high:
            problems.append(
                asks(
                    f"The list names no unit of length; the middle length is {middle:g}, so {unit} is taken.",
                    code="unit",
                    unit=unit,
                )
            )
            return unit
    return ""


def _item(sheets: dict[str, Sheet], found: list[SheetMapping], problems: list[Problem]) -> str:
    """Return what the preamble says the pieces are, when the rows have no column that says it."""
    if all(mapped.column("item") for mapped in found):
        return ""
    texts: list[str] = []
    for mapped in found:
        sheet = sheets[mapped.sheet]
        for row, line in zip(sheet.rows, sheet.lines, strict=True):
            if line < mapped.heading_row:
                texts += _said_facts([cell.strip() for cell in row if cell.strip()])
    item = " ".join(dict.fromkeys(texts))[:200]
    if item:
        problems.append(note(f"What the pieces are is taken from above the headings: “{item}”.", code="item"))
    return item


_LABEL = re.compile(
    r"^(item|description|pipe|tubulars?|string|material|size|grade|weight|connection|conn|thread|range|bezeichnung|artikel|"
    r"verbindung|gute|gewicht|designation|kind|type|typ)\s*[:=]?\s*(.*)$"
)


def _asked(facts: Facts) -> bool:
    return any(each.severity is not Severity.NOTE for each in facts.problems)


def _said_facts(cells: list[str]) -> list[str]:
    """Return the texts of one line that say what the pieces are: labelled, or an item by themselves."""
    said = []
    for at, cell in enumerate(cells):
        label = _LABEL.match(headings.folded(cell.split(":")[0]))
        value = cell.partition(":")[2].strip()
        if label and not value and not label[2] and at + 1 < len(cells):
            value = cells[at + 1]
        text = (
            value
            if label and value
            else ""
            if at and _LABEL.fullmatch(headings.folded(cells[at - 1]))
            else cell
        )
        facts = facts_of(text) if text else None
        if facts is None:
            continue
        several = (
            sum(bool(each) for each in (facts.kind, facts.grade, facts.weight_mlb_ft, facts.up_conn))
            if facts.od_nm
            else 0
        )
        if (several and not _asked(facts)) or (
            label and value and (facts.up_conn or facts.grade or facts.kind or facts.range)
        ):
            said.append(text)
    return said
