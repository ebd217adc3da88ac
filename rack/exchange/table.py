"""A table as text, whatever file it came from, and how large one may be."""

from dataclasses import dataclass, field

from rack.errors import UnreadableFile

MOST_BYTES = 20 * 1024 * 1024
MOST_ROWS = 20_000
MOST_COLUMNS = 250
MOST_SHEETS = 50
#: A workbook of 20,000 rows unpacks to a tenth of this.
MOST_UNPACKED = 120 * 1024 * 1024
LONGEST_CELL = 5_000


@dataclass(frozen=True)
class Sheet:
    """One table as text: `rows` from the first row of the sheet on, cells stripped of nothing.

    `lines` is the number of each row in the file, from 1 (a quoted cell may span lines). `numbers`
    holds (row, column), from 0, of cells that a workbook keeps as numbers: their mark is a point.
    `dates` holds the cells that a workbook keeps as dates. `blocks` says of each row of a tally in
    blocks side by side which block it was taken from and which columns of the file its cells were.
    `notes` are sentences about what was left aside already.
    """

    name: str
    rows: list[list[str]]
    lines: list[int]
    numbers: frozenset[tuple[int, int]] = frozenset()
    dates: frozenset[tuple[int, int]] = frozenset()
    delimiter: str = field(default="", compare=False)
    blocks: tuple[tuple[int, tuple[int, ...]], ...] = ()
    notes: tuple[str, ...] = ()

    def block_of(self, at: int) -> int:
        """Return which of the blocks side by side a row was taken from, from 1; 0 where there are none."""
        return self.blocks[at][0] if self.blocks else 0

    def column_of(self, at: int, index: int) -> int:
        """Return the column in the file, from 0, of the cell at `index` of a row."""
        columns = self.blocks[at][1] if self.blocks else ()
        return columns[index] if index < len(columns) else index


def trimmed(cells: list[str]) -> list[str]:
    end = len(cells)
    while end and not cells[end - 1].strip():
        end -= 1
    return cells[:end]


def check_size(rows: list[list[str]], shown: str) -> None:
    widest = max((len(cells) for cells in rows), default=0)
    if widest > MOST_COLUMNS:
        raise UnreadableFile(f"{shown} has {widest:,} columns; a delivery list has a few.")
    filled = sum(1 for cells in rows if cells)
    if filled > MOST_ROWS:
        raise UnreadableFile(
            f"{shown} has more than {MOST_ROWS:,} rows; split it into lists of one delivery each."
        )
    if any(len(cell) > LONGEST_CELL for cells in rows for cell in cells):
        raise UnreadableFile(
            f"{shown} has a cell of more than {LONGEST_CELL:,} signs; it is no list of pieces."
        )
