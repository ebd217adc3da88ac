"""The due list that is shown, to print and to take away: PDF, CSV, XLSX."""

from datetime import date

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspection.exchange.due_table import DueTable, write_csv, write_xlsx
from inspection.views.board import Board, Row
from rack.calc.sheets import CAUTIONS_ALWAYS
from rack.calc.standing import EVER, NEVER
from rack.desk import at_desk
from rack.downloads import CSV, PDF, XLSX, download, paper_size
from rack.paper import listsheet

#: So many rows stand in a file; a longer list is narrowed first.
MOST = 2_000
COLUMNS = (
    listsheet.Column("No", 0.045, "right"), listsheet.Column("Serial", 0.1),
    listsheet.Column("Painted", 0.075), listsheet.Column("Tag", 0.095), listsheet.Column("Item", 0.18),
    listsheet.Column("Lies on", 0.1), listsheet.Column("Class", 0.065), listsheet.Column("Due", 0.075),
    listsheet.Column("Why", 0.265),
)  # fmt: skip


class Listed:
    """The rows of the list that is shown, as many as a file takes."""

    def __init__(self, request: HttpRequest) -> None:
        self.board, self.query = Board(request), request.GET.urlencode()
        pieces = list(self.board.rows.order_by(self.board.key, "id")[: MOST + 1])
        self.more = len(pieces) > MOST
        self.rows = self.board.shown(pieces[:MOST])
        self.printed = timezone.localtime(timezone=self.board.site.zone)

    @property
    def cut(self) -> str:
        """What a reader must know of a list that is longer than its paper; "" where all of it is there."""
        whole = self.board.counts[self.board.name]
        said = f"Only the first {MOST:,} of {whole:,} pieces stand here; narrow the list for the others."
        return said if self.more else ""

    @property
    def narrowed(self) -> str:
        return ", ".join(f"{label.lower()} {word}" for label, word in self.board.form.narrowed)

    @property
    def name(self) -> str:
        """The name of the file without its ending."""
        return f"{self.board.site.code}-{self.board.name}-{self.board.today:%Y-%m-%d}"

    @property
    def table(self) -> DueTable:
        site, query = self.board.site, self.query
        head = [
            ("Site", f"{site.name} ({site.code})"), ("List", self.board.word),
            ("As of", self.board.today.isoformat()), ("Printed", f"{self.printed:%Y-%m-%d %H:%M}"),
            ("Narrowed by", self.narrowed or "nothing"),
            ("Live page", settings.ADDRESS + reverse("due_list") + (f"?{query}" if query else "")),
            *([("Mind", self.cut)] if self.cut else ()), *(("Caution", text) for text in CAUTIONS_ALWAYS),
        ]  # fmt: skip
        return DueTable(head, [_cells(row) for row in self.rows])


def _cells(row: Row) -> tuple[str, ...]:
    piece = row.piece
    return (
        piece.serial, row.painted, piece.tag, str(piece.spec), str(piece.place or ""),
        piece.get_state_display(), piece.pipe_class, piece.scheme, piece.edition, row.word,
        _day(piece.soon_on), _day(piece.due_on), _day(piece.over_on), row.why,
    )  # fmt: skip


def _day(day: date) -> str:
    return "already" if day == EVER else "" if day == NEVER else day.isoformat()


@at_desk()
@require_GET
def due_pdf(request: HttpRequest) -> HttpResponse:
    listed = Listed(request)
    board, printed = listed.board, f"Printed {listed.printed:%Y-%m-%d %H:%M}."
    sheet = listsheet.ListSheet(
        what="Due list", site=f"{board.site.name} ({board.site.code})",
        title=f"{board.word}, {board.today:%Y-%m-%d}",
        under=f"{listed.narrowed.capitalize() or 'All pieces at the site'}. {printed}",
        columns=COLUMNS,
        rows=[_paper(n, row) for n, row in enumerate(listed.rows, 1)],
        notes=[listed.cut] if listed.cut else [], cautions=CAUTIONS_ALWAYS,
        foot="It has no revision: hours and days go on, and the live page shows what holds now.",
        figures=[("Pieces", f"{board.counts[board.name]:,}")],
    )  # fmt: skip
    data = listsheet.pdf(sheet, size=paper_size(request, board.site))
    return download(data, PDF, f"{listed.name}.pdf", inline=True)


def _paper(n: int, row: Row) -> tuple[str, ...]:
    piece = row.piece
    where = str(piece.place or piece.get_state_display())
    held = "held; " if piece.holds_n else ""
    return (
        str(n), piece.serial or "not readable", row.painted, piece.tag, str(piece.spec), where,
        piece.pipe_class or "–", row.when, held + row.why,
    )  # fmt: skip


@at_desk()
@require_GET
def due_csv(request: HttpRequest) -> HttpResponse:
    listed = Listed(request)
    return download(write_csv(listed.table), CSV, f"{listed.name}.csv")


@at_desk()
@require_GET
def due_xlsx(request: HttpRequest) -> HttpResponse:
    listed = Listed(request)
    return download(write_xlsx(listed.table), XLSX, f"{listed.name}.xlsx")
