"""The balance by piece as a workbook: its terms with their sum, and which pieces each term holds."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.balance import PARTS, UNPLACED, Balance, is_shown
from rack.exchange.book import Cell, Table, workbook

#: What stands where a piece is in no term.
NOWHERE = "on no rack and not laid aside"
_ORDER = {code: n for n, code in enumerate((*PARTS, UNPLACED))}


@dataclass(frozen=True)
class Held:
    """One piece by the term that holds it (a code of `PARTS`, or UNPLACED)."""

    part: str
    serial: str
    tag: str
    item: str


@dataclass(frozen=True)
class BalanceBook:
    """What stands in the file: `instant` is the moment it is of, `address` its live page.

    `narrowed` is what it was asked for, in words; `held` every piece, None where they are too many.
    """

    site: str
    instant: str
    printed: str
    address: str
    narrowed: Sequence[tuple[str, str]]
    balance: Balance
    held: Sequence[Held] | None


def name_of(part: str) -> str:
    """The words of a term, and of being in none."""
    return PARTS[part].name if part in PARTS else NOWHERE


def write(book: BalanceBook) -> bytes:
    """Return the workbook. A balance has no revision: its head says of which moment it is."""
    head: list[tuple[Cell, ...]] = [
        ("Site", book.site), ("Balance", book.instant), ("Printed", book.printed),
        ("Live page", book.address), *book.narrowed,
    ]  # fmt: skip
    found, tables = book.balance, []
    if not found.closes:
        head.append(("Mind", f"The terms hold {found.accounted} pieces and {found.received} were received."))
    if book.held is None:
        head.append(("Mind", "The pieces by name are too many for this file; narrow the balance for them."))
    else:
        held = sorted(book.held, key=lambda one: _ORDER[one.part])  # the order within a term is kept
        rows = [(name_of(one.part), one.serial, one.tag, one.item) for one in held]
        tables = [Table("Pieces", head, ("Where", "Serial", "Tag", "Item"), rows, [("Pieces", len(rows))])]
    return workbook([_terms(found, head), *tables])


def _terms(found: Balance, head: Sequence[Sequence[Cell]]) -> Table:
    rows: list[tuple[Cell, ...]] = [("received", found.received)]
    rows += [(PARTS[code].name, n) for code, n in found.parts.items() if is_shown(code, n)]
    totals: list[tuple[Cell, ...]] = [("Accounted for", found.accounted)]
    if found.difference:
        totals.append(("Received less accounted for", found.difference))
    return Table("Balance", head, ("Where", "Pieces"), rows, totals)
