"""What the office does with the handbook tables: add a row with its source, take it back."""

import json

from django.db import transaction

from rack.actions.journal import Asked, open_line
from rack.calc.checks import Problem, stops
from rack.calc.lookup import SOURCES, Catalogue, Row, key_text, tidied
from rack.errors import Refused
from rack.models import OfficeRow
from rack.people import check_can

LONGEST_SOURCE, LONGEST_CELL = 200, 200


def add_row(asked: Asked, table: str, row: Row, source: str) -> OfficeRow:
    """Add a row, or a maker's value for an entry that is shipped; it governs from now on at every site.

    `row` is column -> text in the table's own units, without its source. A later row for the same entry
    governs over an earlier one. Only an office whose post counts everywhere may. Raises Refused naming
    every column that cannot be read.
    """
    check_can(asked.hand.user, "reference", None)
    source = " ".join(source.split())
    cells = _checked(table, row, source)
    values = json.dumps(cells, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    with transaction.atomic():
        line, again = open_line(
            asked, "reference", None, f"Added to table {table}: {_named(table, cells)}, from {source}",
            {"table": table, "row": cells, "source": source},
        )  # fmt: skip
        if again:
            return OfficeRow.objects.get(journal=line)
        return OfficeRow.objects.create(
            journal=line, at=line.at, table=table, values=values, source=source,
            supersedes=key_text(table, cells),
        )  # fmt: skip


def take_back(asked: Asked, row: OfficeRow) -> OfficeRow:
    """Take back a row of the office by an entry that reverses it; what it superseded governs again."""
    check_can(asked.hand.user, "reference", None)
    with transaction.atomic():
        sentence = f"Took back from table {row.table}: {_named(row.table, row.cells)}"
        line, again = open_line(asked, "reference back", None, sentence, {"row": row.pk})
        if again:
            return OfficeRow.objects.get(journal=line)
        now = OfficeRow.objects.select_for_update().get(pk=row.pk)
        if now.reverses_id or OfficeRow.objects.filter(reverses=now).exists():
            raise Refused([stops("This row was taken back already.", code="reference")])
        return OfficeRow.objects.create(
            journal=line, at=line.at, reverses=now, table=now.table, values=now.values, source=now.source,
            supersedes=now.supersedes,
        )  # fmt: skip


def _checked(table: str, row: Row, source: str) -> dict[str, str]:
    """The cells as they are kept, blank ones left out. Raises Refused with everything that is wrong."""
    problems = [*_problems_of_cells(table, row), *_problems_of_source(source)]
    if problems:
        raise Refused(problems)
    cells = {column: cell for column, cell in tidied(table, row).items() if cell}
    try:
        Catalogue({table: [{**cells, "source": source}]})
    except ValueError as wrong:
        raise Refused([stops(f"{wrong}.", code="reference")]) from None
    return cells


def _problems_of_cells(table: str, row: Row) -> list[Problem]:
    found = []
    for column, text in row.items():
        if column in ("source", "conf"):
            found.append(stops(f"{column} is not a cell to type here.", where=column, code="reference"))
        if len(text) > LONGEST_CELL:
            found.append(stops(f"Keep it under {LONGEST_CELL} letters; this has {len(text)}.", where=column,
                               code="reference"))  # fmt: skip
        try:
            tidied(table, {column: text})
        except ValueError as wrong:
            found.append(stops(f"{str(wrong).partition(': ')[2]}.", where=column, code="reference"))
    if not any(text.strip() for text in row.values()):
        found.append(stops("Type at least one figure of the row.", code="reference"))
    return found


def _problems_of_source(source: str) -> list[Problem]:
    if not source:
        return [stops("Name the document or the maker's sheet that the row comes from.", where="source",
                      code="reference")]  # fmt: skip
    if len(source) > LONGEST_SOURCE:
        return [stops(f"Keep the source under {LONGEST_SOURCE} letters; this has {len(source)}.",
                      where="source", code="reference")]  # fmt: skip
    return []


def _named(table: str, cells: Row) -> str:
    """The entry in words: the cells of its key that are known."""
    return " ".join(cells[column] for column in SOURCES[table].key if cells.get(column))
