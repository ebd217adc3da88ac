"""The shipped tables of inspection: one folder a document and edition, each row with source and confidence.

A blank cell ("") is "not in the source", never zero. Old editions stay; rows are never edited.
"""

import csv
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from rack.calc.lookup import CONFIDENCE, Document, Row, TableSource, caution, number

__all__ = ["CONFIDENCE", "SOURCES", "TABLES", "Row", "caution", "documents", "number", "rows"]

_FOLDER = Path(__file__).with_name("tables")


def _sources() -> dict[str, TableSource]:
    described = tomllib.loads((_FOLDER / "SOURCES.toml").read_text(encoding="utf-8"))
    return {
        name: TableSource(
            name=name, document=facts["document"], edition=facts["edition"], table=facts["table"],
            where=facts["where"], units=facts["units"], key=tuple(facts["key"]), rows=facts["rows"],
            confidence=MappingProxyType(facts["confidence"]), sums=MappingProxyType(facts.get("sums", {})),
            note=facts.get("note", ""),
        )
        for name, facts in described.items()
    }  # fmt: skip


#: Every shipped table by "folder/name", with its source.
SOURCES: Mapping[str, TableSource] = MappingProxyType(_sources())
TABLES: tuple[str, ...] = tuple(SOURCES)


def _read(path: Path) -> tuple[Row, ...]:
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(MappingProxyType(row) for row in csv.DictReader(file))


@cache
def rows(table: str) -> tuple[Row, ...]:
    """Return every shipped row of `table`, in the order of the file, cells as text.

    `table` is one of `TABLES`, "folder/name" (no unit); each row has "source", "conf" and "note".
    Raises ValueError for an unknown table. Source: the table's own, see `SOURCES`.
    """
    if table not in SOURCES:
        raise ValueError(f"table: there is no table {table!r}; there are {', '.join(TABLES)}")
    return _read(_FOLDER / f"{table}.csv")


@cache
def documents() -> tuple[Document, ...]:
    """Return the documents that rows name by their title, each with where it was seen.

    Takes nothing, raises nothing. Source: the list of documents shipped beside the tables.
    """
    return tuple(Document("", row["title"], row["where"]) for row in _read(_FOLDER / "documents.csv"))
