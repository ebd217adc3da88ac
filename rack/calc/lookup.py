"""The shipped handbook tables: rows as they stand in the source, each with its source and confidence.

A blank cell ("") is "not in the source", never zero. Shipped rows are never edited: the office adds
rows of its own, the caller hands them to `Catalogue`, and there they supersede the shipped ones.
"""

import csv
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import MappingProxyType

Row = Mapping[str, str]

_FOLDER = Path(__file__).with_name("tables")

#: What a confidence letter says about a row. "E" is never shipped: it marks what the office entered.
CONFIDENCE: Mapping[str, str] = MappingProxyType(
    {
        "A": "seen in two places or more",
        "B": "seen in one place",
        "C": "from memory, reproduced by a formula",
        "D": "from memory",
        "M": "from memory",
        "CP": "common practice",
        "E": "entered by the office",
    }
)

_IN_FIGURES = frozenset("0123456789./- +")
_CAUTIONS = {
    "C": "from memory, reproduced by a formula",
    "D": "from memory: verify against your standard",
    "M": "from memory: verify against your standard",
    "CP": "common practice, not the word of a standard",
}


@dataclass(frozen=True)
class TableSource:
    """Where one shipped table comes from, as `SOURCES.toml` says it.

    `key` are the columns that make two rows the same entry; `sums` the column sums as text,
    blank cells left out; `confidence` the number of rows by letter; `units` the source's own.
    """

    name: str
    document: str
    edition: str
    table: str
    where: str
    units: str
    key: tuple[str, ...]
    rows: int
    confidence: Mapping[str, int]
    sums: Mapping[str, str]
    note: str


@dataclass(frozen=True)
class Document:
    """A document that rows name by its short code: `code`, `title` and `where` it was seen."""

    code: str
    title: str
    where: str


def _sources() -> dict[str, TableSource]:
    described = tomllib.loads((_FOLDER / "SOURCES.toml").read_text(encoding="utf-8"))
    return {
        name: TableSource(
            name=name,
            document=facts["document"],
            edition=facts["edition"],
            table=facts["table"],
            where=facts["where"],
            units=facts["units"],
            key=tuple(facts["key"]),
            rows=facts["rows"],
            confidence=MappingProxyType(facts["confidence"]),
            sums=MappingProxyType(facts.get("sums", {})),
            note=facts.get("note", ""),
        )
        for name, facts in described.items()
    }


#: Every shipped table by name, with its source.
SOURCES: Mapping[str, TableSource] = MappingProxyType(_sources())
#: The names of the shipped tables, in the order in which they are listed.
TABLES: tuple[str, ...] = tuple(SOURCES)
#: Those to which the office may add rows: the rules of composition are checks, consented to, not replaced.
OPEN_TABLES: tuple[str, ...] = tuple(name for name in TABLES if name != "rules")


def _read(name: str) -> tuple[Row, ...]:
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(MappingProxyType(row) for row in csv.DictReader(file))


def _known(table: str) -> str:
    if table not in SOURCES:
        raise ValueError(f"table: there is no table {table!r}; there are {', '.join(TABLES)}")
    return table


@cache
def rows(table: str) -> tuple[Row, ...]:
    """Return every shipped row of `table`, in the order of the file, cells as text.

    `table` is one of `TABLES` (a name, no unit); each row has "source", "conf" and "note" besides
    the columns of the source, in the units that `SOURCES[table].units` names; "" = not in the source.
    Raises ValueError for an unknown table. Source: the table's own, see `SOURCES`.
    """
    return _read(_known(table))


@cache
def documents() -> Mapping[str, Document]:
    """Return the documents that rows name by a code, by code ("API72" -> API Spec 7-2 addendum).

    Takes nothing, raises nothing. Source: the list of documents shipped beside the tables.
    """
    listed = (Document(row["id"], row["title"], row["where"]) for row in _read("documents"))
    return MappingProxyType({document.code: document for document in listed})


def source_in_words(source: str) -> str:
    """Return a row's source with its document codes spelled out: "API72" becomes the title.

    `source` is the text of a row's "source" cell (no unit). Raises nothing: what is no code stays
    as it is. Source: `documents()`.
    """
    codes, parts = documents(), source.replace(";", " ; ").split()
    words = (codes[part].title if part in codes else part for part in parts)
    return " ".join(words).replace(" ; ", "; ")


def caution(row: Row) -> str:
    """Return what must stand beside a value of this row, "" when it was seen in a document.

    `row` is one row of a table with its "conf" letter (no unit); raises ValueError for an unknown
    letter. Source: `CONFIDENCE`.
    """
    letter = row.get("conf", "")
    if letter not in CONFIDENCE:
        raise ValueError(f"conf: {letter!r} is no letter of confidence; allowed are {', '.join(CONFIDENCE)}")
    return _CAUTIONS.get(letter, "")


def number(text: str) -> Fraction | None:
    """Return the value of a cell exactly: "0.362", "4-3/4", "6 3/4", "7/64"; None for a blank one.

    `text` is a cell of a table, in the unit of its column. Raises ValueError naming the text when it
    is no number. Source: how the shipped sources print their figures.
    """
    cell = text.strip()
    if not cell:
        return None
    if not set(cell) <= _IN_FIGURES:  # no powers of ten: "1e9999999" would take the machine
        raise ValueError(f"text: {text!r} is no number like 0.362, 4-3/4 or 7/64")
    whole, _, part = cell.replace(" ", "-").rpartition("-") if "/" in cell else ("", "", cell)
    try:
        return Fraction(whole or 0) + Fraction(part)
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"text: {text!r} is no number like 0.362, 4-3/4 or 7/64") from None


def _same_cell(left: str, right: str) -> bool:
    if left.strip().casefold() == right.strip().casefold():
        return True
    return _is_figure(left) and _is_figure(right) and number(left) == number(right)


@cache
def figure_columns(table: str) -> Mapping[str, bool]:
    """Return the columns of `table` that hold figures, each with whether all of them are decimal text.

    `table` is one of `TABLES` (no unit). True: every shipped cell is like "0.362"; False: some are like
    "4-3/4". A column with a word in it, or without any figure, is left out. Raises ValueError for an
    unknown table. Source: the shipped rows.
    """
    found = {}
    for column in rows(table)[0]:
        cells = [row[column].strip() for row in rows(table) if row[column].strip()]
        if cells and all(_is_figure(cell) for cell in cells):
            found[column] = not any("/" in cell for cell in cells)
    return MappingProxyType(found)


def _is_figure(cell: str) -> bool:
    try:
        return number(cell) is not None
    except ValueError:
        return False


def tidied(table: str, row: Row) -> dict[str, str]:
    """Return a row that somebody typed with blanks trimmed and its figures as the table writes them.

    `table` is one of `TABLES`, `row` column -> text in the table's units ("4 3/4" becomes "4.75" where
    the table has decimals only; "0,362" becomes "0.362"). Raises ValueError naming the column whose text
    is no figure, or an endless decimal. Source: the shipped rows.
    """
    figures, clean = figure_columns(table), {}
    for column, text in row.items():
        cell = " ".join(text.split())
        if cell and column in figures:
            cell = _as_decimal(column, cell) if figures[column] else _as_figure(column, cell)
        clean[column] = cell
    return clean


def _as_figure(column: str, cell: str) -> str:
    cell = cell.replace(",", ".") if cell.count(",") == 1 and "." not in cell else cell
    if not _is_figure(cell):
        raise ValueError(f"{column}: {cell!r} is no number like 0.362, 4-3/4 or 7/64")
    return cell


def _as_decimal(column: str, cell: str) -> str:
    cell = _as_figure(column, cell)
    if "/" not in cell:
        return cell
    value = number(cell) or Fraction(0)
    text = f"{float(value):.9f}".rstrip("0").rstrip(".")
    if Fraction(text) != value:
        raise ValueError(f"{column}: {cell!r} has no end as a decimal; write it as the sheet prints it")
    return text


def key_text(table: str, row: Row) -> str:
    """Return the canonical text of a row's key: equal texts are the same entry of `table`.

    `table` is one of `TABLES`, `row` column -> text in the table's units; "19.5" and "19.50" give the same
    text, capitals do not count. Raises ValueError for an unknown table. Source: `SOURCES[table].key`.
    """
    _known(table)
    cells = []
    for column in SOURCES[table].key:
        cell = row.get(column, "").strip()
        cells.append(str(number(cell)) if cell and _is_figure(cell) else cell.casefold())
    return " | ".join(cells)


class Catalogue:
    """The shipped tables together with the rows a caller brings (from the office's own lists).

    `own` maps a table name to rows of that table (cells as text, the table's units); every one needs
    a "source", and "conf" is "E" (entered by the office) unless it says otherwise. A row of the office
    supersedes each shipped row with the same key columns. Raises ValueError for an unknown table, an
    unknown column, an unknown letter, a missing source or a blank key. Source: the rows themselves.
    """

    def __init__(self, own: Mapping[str, Sequence[Row]] | None = None) -> None:
        """Check and keep `own` (table name -> rows as text, no unit).

        Raises ValueError that names what is wrong. Source: the rows themselves.
        """
        self._own: dict[str, tuple[Row, ...]] = {}
        for table, more in (own or {}).items():
            if _known(table) not in OPEN_TABLES:
                raise ValueError(f"table: {table} takes no rows of the office")
            self._own[table] = tuple(_checked(table, row) for row in more)

    def rows(self, table: str) -> tuple[Row, ...]:
        """Return the rows in force: the office's own first, then the shipped ones they do not supersede.

        `table` is one of `TABLES` (no unit); ValueError when it is not. Source: "source" of each row.
        """
        own = self._own.get(table, ())
        return own + tuple(row for row in rows(table) if not _superseded(table, row, own))

    def superseded(self, table: str) -> tuple[Row, ...]:
        """Return the shipped rows that a row of the office has put out of force.

        `table` is one of `TABLES` (no unit); ValueError when it is not. Source: "source" of each row.
        """
        own = self._own.get(table, ())
        return tuple(row for row in rows(table) if _superseded(table, row, own))

    def find(self, table: str, **cells: str) -> tuple[Row, ...]:
        """Return the rows in force whose cells equal `cells` ("19.5" finds "19.50", "4-1/2" finds "4.5").

        `table` is one of `TABLES`, `cells` column=text in the table's units. Raises ValueError for an
        unknown table or column. Source: "source" of each row.
        """
        columns = rows(table)[0]
        for column in cells:
            if column not in columns:
                raise ValueError(f"{column}: table {table} has no such column; it has {', '.join(columns)}")
        wanted = cells.items()
        return tuple(row for row in self.rows(table) if all(_same_cell(row[c], text) for c, text in wanted))


def _checked(table: str, row: Row) -> Row:
    columns = rows(table)[0]
    unknown = [column for column in row if column not in columns]
    if unknown:
        raise ValueError(f"{unknown[0]}: table {table} has no such column; it has {', '.join(columns)}")
    full = {column: row.get(column, "") for column in columns}
    full["conf"] = full["conf"] or "E"
    caution(full)
    if not full["source"].strip():
        raise ValueError(f"source: a row of {table} needs the document or sheet it comes from")
    for column in SOURCES[table].key:
        if column in row and row[column].strip():
            return MappingProxyType(full)
    raise ValueError(f"{', '.join(SOURCES[table].key)}: a row of {table} needs at least one of them")


def _superseded(table: str, shipped: Row, own: Iterable[Row]) -> bool:
    key = SOURCES[table].key
    return any(all(_same_cell(shipped[column], row[column]) for column in key) for row in own)
