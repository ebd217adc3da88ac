"""A rack as a workbook: its layers with their load, and every piece that lies on it."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.rackload import LayerLoad, weight_lb
from rack.exchange.book import Cell, Table, decimal, length, workbook


@dataclass(frozen=True)
class LyingRow:
    """One piece on the rack: its length in whole nm, None = not known; weight in 1/1000 lb/ft, 0 = not."""

    layer: int
    painted: str
    name: str
    tag: str
    item: str
    nm: int | None
    mlb_ft: int
    basis: str
    held: bool
    state: str


@dataclass(frozen=True)
class RackBook:
    """What stands in the file of a rack; `address` is its live page, `printed` when it stood so.

    `layers` from the top down, then `whole`; the pieces of `lying` as they lie, from the bottom up.
    """

    site: str
    rack: str
    printed: str
    address: str
    unit: str
    digits: int
    rating: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    layers: tuple[LayerLoad, ...]
    whole: LayerLoad
    lying: tuple[LyingRow, ...]


def write(book: RackBook) -> bytes:
    """Return the workbook. A rack has no revision: its head says at which moment it stood so."""
    head: list[tuple[Cell, ...]] = [
        ("Site", book.site), ("Rack", book.rack), ("As it stood", book.printed), ("Live page", book.address),
        ("Rating", book.rating), *(("Mind", text) for text in book.notes),
        *(("Caution", text) for text in book.cautions),
    ]  # fmt: skip
    return workbook([_layers(book, head), _pieces(book, head[:4])])


def _layers(book: RackBook, head: Sequence[Sequence[Cell]]) -> Table:
    headings = ("Layer", "Pieces", "Held", f"Length ({book.unit})", "Load (lb)", "Load (kg)", "Not weighed")
    rows = [_layer(book, one, f"Layer {one.layer}") for one in book.layers]
    return Table("Layers", head, headings, rows, [_layer(book, book.whole, "All")])


def _layer(book: RackBook, one: LayerLoad, name: str) -> tuple[Cell, ...]:
    held = sum(piece.held for piece in book.lying if one.layer in (0, piece.layer))
    return (name, one.count, held, length(one.nm, book.unit, book.digits), decimal(float(one.lb), 0),
            decimal(float(one.kg), 0), len(one.not_in_sum))  # fmt: skip


def _pieces(book: RackBook, head: Sequence[Sequence[Cell]]) -> Table:
    headings = ("Layer", "Painted", "Serial", "Tag", "Item", f"Length ({book.unit})", "Weight (lb/ft)",
                "Weight from", "Weight (lb)", "Held", "State", "Exact length (nm)")  # fmt: skip
    whole = book.whole
    known = [piece.nm for piece in book.lying if piece.nm is not None]
    total: tuple[Cell, ...] = (
        "Total", "", f"{whole.count} pieces", "", "", length(sum(known), book.unit, book.digits), None, "",
        decimal(float(whole.lb), 1), "", "", sum(known),
    )  # fmt: skip
    return Table("Pieces", head, headings, [_piece(book, one) for one in book.lying], [total])


def _piece(book: RackBook, one: LyingRow) -> tuple[Cell, ...]:
    weight = weight_lb(one.nm, one.mlb_ft)
    return (
        one.layer, one.painted, one.name, one.tag, one.item, length(one.nm, book.unit, book.digits),
        decimal(one.mlb_ft / 1000, 3) if one.mlb_ft else None, one.basis if one.mlb_ft else "",
        None if weight is None else decimal(float(weight), 1), "yes" if one.held else "", one.state, one.nm,
    )  # fmt: skip
