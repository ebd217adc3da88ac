"""A closed tally at the address that stands on its paper: the page, PDF, CSV and XLSX of one revision."""

from datetime import datetime
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.lengths import Length
from rack.calc.sheets import SheetContent, SheetFinding
from rack.calc.tags import read_code
from rack.desk import at_desk, found_or_404
from rack.downloads import CSV, PDF, XLSX, download, paper_size
from rack.errors import TierbookError
from rack.exchange import sheet_book, sheet_csv
from rack.models import Sheet
from rack.paper import tally_sheet
from rack.views.columns import page_number
from rack.views.tally_facts import outside, sheet_facts

#: So many pages of fifty stand on one screen.
ON_SCREEN = 10


class NotNow(TierbookError):
    """A sheet whose readings are shut away while a second strap is open (law 13)."""

    status = 409


SHUT = (
    "The tally of this sheet is open again and its second strap is not finished; until then the first "
    "readings are shown to nobody, and they stand on this sheet too."
)


@at_desk()
@require_GET
def sheet(request: HttpRequest, code: str) -> HttpResponse:
    """The live page of one revision; the first sentence says whether the paper is current."""
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        return render(request, "rack/sheet.html", {"wrong": str(wrong), "code": code}, status=404)
    newest = one.tally.sheets.order_by("-revision").defer("content")[0]
    context: dict[str, Any] = {
        "sheet": one, "newest": newest, "tally": one.tally, "current": newest.pk == one.pk, "code": one.code,
        "newest_at": timezone.localtime(newest.at, one.tally.site.zone),
        "crumbs": [("Tallies", reverse("tally_list")), (f"Tally {one.tally.number}", _tally_at(one))],
    }
    if one.tally.is_blind:
        return render(request, "rack/sheet.html", {**context, "shut": SHUT})
    content = SheetContent.from_text(one.content)
    facts = sheet_facts(content)
    last = -(-len(facts.pages) // ON_SCREEN)
    here = page_number(request.GET.get("page", ""), last)
    context |= {
        "content": content, "facts": facts, "shown": facts.pages[(here - 1) * ON_SCREEN : here * ON_SCREEN],
        "back": f"?page={here - 1}" if here > 1 else "", "next": f"?page={here + 1}" if here < last else "",
        "words": f"part {here} of {last}",
        "opened": _when(content.opened_at), "closed": _when(content.closed_at),
        "straps": _straps(content), "differences": _differences(content),
        "inside": len(content.differences) - len(outside(content)), "losses": _losses(content),
        "notes": [(line.name, line.note) for line in content.lines if line.note],
        "findings": _findings(content, content.findings), "checks": _findings(content, content.checks),
        **stands_shown(content), "sample": _sample(content),
        "other_size": "Letter" if paper_size(request, one.tally.site) == "A4" else "A4",
    }
    return render(request, "rack/sheet.html", context)


@at_desk()
@require_GET
def sheet_pdf(request: HttpRequest, code: str) -> HttpResponse:
    """The sheet on paper, drawn from its text alone."""
    one = _printable(request, code)
    content = SheetContent.from_text(one.content)
    page = tally_sheet.pdf(content, size=paper_size(request, one.tally.site), address=address_of(one))
    return download(page, PDF, f"{_name(content)}.pdf", inline=True)


@at_desk()
@require_GET
def sheet_table(request: HttpRequest, code: str) -> HttpResponse:
    """The sheet as a CSV file, drawn from its text alone."""
    content = SheetContent.from_text(_printable(request, code).content)
    text = sheet_csv.write(content)
    return download(text.encode(), CSV, f"{_name(content)}.csv")


@at_desk()
@require_GET
def sheet_xlsx(request: HttpRequest, code: str) -> HttpResponse:
    """The sheet as a workbook, drawn from its text alone."""
    one = _printable(request, code)
    content = SheetContent.from_text(one.content)
    return download(sheet_book.write(content, address_of(one)), XLSX, f"{_name(content)}.xlsx")


def address_of(one: Sheet) -> str:
    """What the code on the paper opens."""
    return f"{settings.ADDRESS}/S/{one.code}"


def _sheet(request: HttpRequest, code: str) -> Sheet:
    """The sheet of this code at one of this person's sites. ValueError where the code cannot be right."""
    rows = Sheet.objects.for_user(request.user).select_related("tally__site", "journal__by")
    return found_or_404(rows, code=read_code(code, "sheet"))  # type: ignore[no-any-return]


def _printable(request: HttpRequest, code: str) -> Sheet:
    try:
        one = _sheet(request, code)
    except ValueError as wrong:
        raise Http404(str(wrong)) from None
    if one.tally.is_blind:
        raise NotNow(SHUT)
    return one


def _tally_at(one: Sheet) -> str:
    return reverse("tally", args=[one.tally.number])


def _name(content: SheetContent) -> str:
    return f"{content.site_code}-tally-{content.tally_no}-revision-{content.revision}"


def _when(instant: str) -> datetime:
    return datetime.fromisoformat(instant)


def _straps(content: SheetContent) -> list[tuple[str, str]]:
    """Each strap: which, then whose hands, the tape and its own total where it read every joint."""
    rows = []
    for hands in content.hands:
        total = content.strap_sums[hands.strap_n - 1]
        names = ", ".join(name for name in (hands.reader, hands.writer) if name) or "hands not said"
        tape = f", tape {hands.tape}" if hands.tape else ""
        length = f"; total {_shown(content, total)} {content.unit}" if total is not None else ""
        rows.append(("First strap" if hands.strap_n == 1 else "Second strap", f"{names}{tape}{length}"))
    return rows


def _differences(content: SheetContent) -> list[tuple[str, str, str, str]]:
    """Each joint whose readings are outside the gate: its name, both readings, how far they lie apart."""
    rows = []
    for line, apart in outside(content):
        sign = "+" if apart > 0 else ""
        rows.append((line.name, _shown(content, line.first_nm), _shown(content, line.second_nm),
                     sign + _shown(content, apart)))
    return rows


def _findings(content: SheetContent, found: tuple[SheetFinding, ...]) -> list[tuple[str, SheetFinding]]:
    """Each finding with the names of its joints."""
    return [
        (", ".join(content.lines[n - 1].name for n in one.lines if n <= len(content.lines)), one)
        for one in found
    ]


def stands_shown(content: SheetContent) -> dict[str, Any]:
    """What a page says of a strap out of the hole: its stands and the correction that was accepted."""
    accepted = content.correction
    return {
        "content": content, "stands": _stands(content),
        "correction": accepted and _signed(content, accepted.nm),
    }  # fmt: skip


def _stands(content: SheetContent) -> list[tuple[int, str, str, str, str]]:
    """Each stand: its number, its joints, their sum, what was read, and read less summed."""
    rows = []
    for one in content.stands:
        names = [content.lines[n - 1].name for n in one.lines]
        rows.append((
            one.number, f"{names[0]} to {names[-1]}" if len(names) > 1 else names[0],
            _shown(content, one.joints_nm), _shown(content, one.read_nm),
            _signed(content, one.read_nm - one.joints_nm),
        ))  # fmt: skip
    return rows


def _sample(content: SheetContent) -> dict[str, Any] | None:
    """Count times the average of the joints drawn, beside what it is held against."""
    made = content.sample
    return None if made is None else {
        "names": ", ".join(content.lines[n - 1].name for n in made.lines), "code": made.code,
        "mean": Length(made.mean_nm).shown(content.unit, content.digits + 1), "against": made.against,
        "expected": _shown(content, made.expected_nm), "sum": _shown(content, made.sum_nm),
        "apart": _signed(content, made.expected_nm - made.sum_nm), "limit": _shown(content, made.limit_nm),
        "agrees": abs(made.expected_nm - made.sum_nm) <= made.limit_nm, "n": len(made.lines),
    }  # fmt: skip


def _signed(content: SheetContent, nm: int) -> str:
    return f"{'+' if nm > 0 else '−' if nm < 0 else ''}{_shown(content, abs(nm))}"


def _losses(content: SheetContent) -> list[dict[str, Any]]:
    return [
        {
            "what": loss.what or content.item, "pins": loss.pins, "source": loss.source, "conf": loss.conf,
            "loss": Length(loss.loss_nm).shown(content.unit, content.digits + 1),
        }
        for loss in content.losses
    ]


def _shown(content: SheetContent, nm: int | None) -> str:
    return "–" if nm is None else Length(nm).shown(content.unit, content.digits)
