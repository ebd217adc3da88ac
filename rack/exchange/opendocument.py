"""An ODS workbook as sheets of text: what repeats is counted before it is written out."""

import io
import zipfile
from dataclasses import dataclass, field
from xml.parsers import expat

from rack.errors import UnreadableFile
from rack.exchange.table import (
    MOST_COLUMNS,
    MOST_ROWS,
    MOST_SHEETS,
    MOST_UNPACKED,
    Sheet,
    check_size,
    trimmed,
)

#: A sheet that is wider or longer than this is refused before its cells are made.
_WIDEST = 4 * MOST_COLUMNS
_MOST_CELLS = 6_000_000
#: Texts that stand beside a cell and not in it.
_SPACES = ("text:p", "text:s", "text:tab", "text:line-break")
_BESIDE = ("office:annotation", "draw:frame", "draw:custom-shape", "draw:g")


def is_opendocument(names: set[str]) -> bool:
    return "content.xml" in names


def read_opendocument(data: bytes, shown: str) -> list[Sheet]:
    """Return the sheets of an ODS file. Raises UnreadableFile with one sentence for what is none."""
    content = _content(data, shown)
    reader = _Reader(shown)
    try:
        reader.read(content)
    except UnreadableFile:
        raise
    except (expat.ExpatError, ValueError, LookupError) as error:
        raise UnreadableFile(
            f"{shown} is a damaged workbook; open it, save it again and try that."
        ) from error
    if not any(sheet.rows for sheet in reader.sheets):
        raise UnreadableFile(f"{shown} is a workbook without a filled cell.")
    for sheet in reader.sheets:
        check_size(sheet.rows, shown)
    return reader.sheets


def _content(data: bytes, shown: str) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = {entry.filename for entry in archive.infolist()}
            if any(name.startswith("Basic/") and name.endswith(".xml") for name in names):
                raise UnreadableFile(f"{shown} carries macros; save it as a workbook without them.")
            manifest = archive.open("META-INF/manifest.xml").read(1_000_000) if _MANIFEST in names else b""
            if b"encryption-data" in manifest:
                raise UnreadableFile(f"{shown} is protected by a password; save it without one.")
            too_much = archive.getinfo("content.xml").file_size > MOST_UNPACKED
            with archive.open("content.xml") as member:
                content = b"" if too_much else member.read(MOST_UNPACKED + 1)
    except UnreadableFile:
        raise
    except Exception as error:  # whatever a broken archive makes the reader of archives raise
        raise UnreadableFile(f"{shown} is cut short or damaged; send it again.") from error
    if too_much or len(content) > MOST_UNPACKED:
        raise UnreadableFile(f"{shown} unpacks to more than a delivery list ever needs; it is not opened.")
    return content


_MANIFEST = "META-INF/manifest.xml"


@dataclass
class _Cell:
    text: str = ""
    kind: str = ""
    value: str = ""
    formula: str = ""
    times: int = 1


@dataclass
class _Reader:
    """Listens to the parser; holds the sheet, the row and the cell that are open."""

    shown: str
    sheets: list[Sheet] = field(default_factory=list)
    hidden_styles: set[str] = field(default_factory=set)
    style: str = ""
    name: str = ""
    is_hidden: bool = False
    rows: list[list[str]] = field(default_factory=list)
    numbers: set[tuple[int, int]] = field(default_factory=set)
    dates: set[tuple[int, int]] = field(default_factory=set)
    row: list[_Cell] = field(default_factory=list)
    row_times: int = 1
    blank: int = 0
    cells: int = 0
    cell: _Cell | None = None
    beside: int = 0

    def read(self, content: bytes) -> None:
        parser = expat.ParserCreate()
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = self._refuse
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.Parse(content, True)

    def _refuse(self, *_: object) -> None:
        raise UnreadableFile(f"{self.shown} is a damaged workbook; open it, save it again and try that.")

    def _start(self, tag: str, given: dict[str, str]) -> None:
        if tag == "style:style":
            self.style = given.get("style:name", "")
        elif tag == "style:table-properties" and given.get("table:display") == "false":
            self.hidden_styles.add(self.style)
        elif tag == "table:table":
            self.name, self.rows, self.numbers, self.dates = given.get("table:name", ""), [], set(), set()
            self.blank = 0
            self.is_hidden = given.get("table:style-name", "") in self.hidden_styles
        elif tag == "table:table-row":
            self.row, self.row_times = [], int(given.get("table:number-rows-repeated", "1"))
        elif tag in ("table:table-cell", "table:covered-table-cell"):
            self._open(given)
        elif tag in _BESIDE:
            self.beside += 1
        elif self.cell is not None and not self.beside:
            is_space = tag in _SPACES and (tag != "text:p" or self.cell.text)
            self.cell.text += " " if is_space else ""

    def _open(self, given: dict[str, str]) -> None:
        kind = given.get("office:value-type", "")
        value = given.get("office:value") or given.get("office:date-value") or given.get("office:time-value")
        times = int(given.get("table:number-columns-repeated", "1"))
        self.cell = _Cell("", kind, value or "", given.get("table:formula", ""), times)

    def _text(self, text: str) -> None:
        if self.cell is not None and not self.beside:
            self.cell.text += text

    def _end(self, tag: str) -> None:
        if tag in ("table:table-cell", "table:covered-table-cell") and self.cell is not None:
            self.row.append(self.cell)
            self.cell = None
        elif tag in _BESIDE:
            self.beside -= 1
        elif tag == "table:table-row":
            self._end_row()
        elif tag == "table:table" and not self.is_hidden:
            self._end_sheet()

    def _end_row(self) -> None:
        while self.row and not _filled(self.row[-1]):
            self.row.pop()
        if not self.row:
            # An empty row is written out only when a filled one comes after it.
            self.blank += max(self.row_times, 0)
            return
        width = sum(max(cell.times, 1) for cell in self.row)
        if width > _WIDEST:
            raise UnreadableFile(f"{self.shown} has {width:,} columns; a delivery list has a few.")
        self.cells += width * self.row_times
        if len(self.rows) + self.blank + self.row_times > MOST_ROWS * 6 or self.cells > _MOST_CELLS:
            raise UnreadableFile(
                f"{self.shown} has more than {MOST_ROWS:,} rows; split it into lists of one delivery each."
            )
        self.rows += [[] for _ in range(self.blank)]
        self.blank = 0
        texts: list[str] = []
        for cell in self.row:
            for _ in range(max(cell.times, 1)):
                self._keep(cell, len(self.rows), len(texts), self.row_times)
                texts.append(_text_of(cell))
        self.rows += [trimmed(texts) for _ in range(self.row_times)]

    def _keep(self, cell: _Cell, row: int, column: int, times: int) -> None:
        kept = {"float": self.numbers, "currency": self.numbers, "percentage": self.numbers}.get(cell.kind)
        kept = self.dates if cell.kind in ("date", "time") else kept
        if kept is not None and cell.value:
            kept.update((row + more, column) for more in range(times))

    def _end_sheet(self) -> None:
        if len(self.sheets) >= MOST_SHEETS:
            raise UnreadableFile(
                f"{self.shown} has more than {MOST_SHEETS} sheets; a delivery list has a few."
            )
        lines = list(range(1, len(self.rows) + 1))
        self.sheets.append(Sheet(self.name, self.rows, lines, frozenset(self.numbers), frozenset(self.dates)))


def _filled(cell: _Cell) -> bool:
    return bool(cell.text.strip() or cell.value or cell.formula)


def _text_of(cell: _Cell) -> str:
    """Return what a cell holds: its stored value, not how it is shown; a formula without one as it stands."""
    if cell.kind in ("float", "currency", "percentage") and cell.value:
        from rack.exchange.spreadsheet import cell_text

        return cell_text(float(cell.value))
    if cell.kind == "date" and cell.value:
        return cell.value.removesuffix("T00:00:00").replace("T", " ")
    if cell.text.strip() or not cell.formula:
        return cell.text
    return "=" + cell.formula.partition("=")[2]
