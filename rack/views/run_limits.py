"""Hours against limits: the pieces of a string or of the rack by kind, as bars with their words."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.hours import CLOCK_NAMES
from rack.calc.hours_limits import Bar
from rack.calc.kinds import KINDS
from rack.calc.standing import DUE, FINE, OVERDUE, SOON
from rack.desk import at_desk, site_of
from rack.downloads import paper_size
from rack.forms.run_pages import LimitsForm
from rack.models import Site, String
from rack.models.limits import against_limits, bars_of
from rack.paging import KeyPage, page_by_key
from rack.paper import hours_sheet
from rack.paper.drawing_svg import DAY, NIGHT
from rack.paper.hours_chart import LEGEND, picture

A_PAGE = 25
#: So many bars go on paper at once; a longer list is narrowed first.
MOST_ON_PAPER = 400
SHAPES = {OVERDUE: "over", DUE: "due", SOON: "soon", FINE: "fine", "": ""}
NO_LIMITS = (
    "No piece here has a limit yet, so the bars show hours alone, without marks. Limits are written down by "
    "whoever inspects."
)
CAUTION = (
    "Hours and due dates are aids; inspection, acceptance and return to service are for qualified persons. "
    "The maker's sheet, the contract and the law come first."
)


@dataclass(frozen=True)
class Question:
    """What the address asks for: whose clocks, and in words."""

    form: LimitsForm
    kind: str
    clock: str
    string: String | None

    @property
    def title(self) -> str:
        of = str(self.string).capitalize() if self.string else "Every piece that has run"
        return f"{of}: {KINDS[self.kind].name}" if self.kind else of

    @property
    def under(self) -> str:
        if self.clock:
            return f"Clock: {CLOCK_NAMES[self.clock]}"
        return "Every clock with a limit; of a piece without one, the clock that its kind goes by"


@at_desk()
@require_GET
def run_limits(request: HttpRequest) -> HttpResponse:
    site = site_of(request)
    asked = _asked(request, site)
    page = _page(request, site, asked)
    bars = bars_of(page.rows, site)
    query = request.GET.urlencode()
    context: dict[str, Any] = {
        "form": asked.form, "clear": reverse("run_limits") if _narrowed(asked) else "", "title": asked.title,
        "under": asked.under, "page": page, "query": query, "legend": LEGEND, "caution": CAUTION,
        "rows": [(row.component, bar, SHAPES[bar.state], dict(bar.marks))
                 for row, bar in zip(page.rows, bars, strict=True)],
        "said": _said(bars), "picture": reverse("run_limits_svg"), "narrowed": _narrowed(asked),
        "crumbs": [("Strings", reverse("string_list")), ("Runs", reverse("run_list"))],
    }  # fmt: skip
    return render(request, "rack/run_limits.html", context)


@at_desk()
@require_GET
def run_limits_svg(request: HttpRequest) -> HttpResponse:
    """The bars of a page by themselves, for an <img>; ?night=1 on dark ground, ?narrow=1 for a phone."""
    site = site_of(request)
    asked = _asked(request, site)
    bars = bars_of(_page(request, site, asked).rows, site)
    tint = NIGHT if request.GET.get("night") else DAY
    title = f"Hours against limits, {asked.title}"
    text = picture(bars, title, narrow=bool(request.GET.get("narrow")), tint=tint)
    return HttpResponse(text, content_type="image/svg+xml", headers={"Cache-Control": "no-store"})


@at_desk()
@require_GET
def run_limits_pdf(request: HttpRequest) -> HttpResponse:
    """The same on paper, from the first bar on, whatever page was open."""
    site = site_of(request)
    asked = _asked(request, site)
    rows = list(_rows(site, asked).order_by("order_key", "id")[: MOST_ON_PAPER + 1])
    bars = bars_of(rows[:MOST_ON_PAPER], site)
    more = [f"Only the first {MOST_ON_PAPER} stand here; narrow the list for the others."]
    sheet = hours_sheet.HoursSheet(
        f"{site.name} ({site.code})", asked.title, asked.under,
        timezone.localtime().strftime("%Y-%m-%d %H:%M"), bars,
        [*_said(bars), *(more if len(rows) > MOST_ON_PAPER else [])], CAUTION,
    )  # fmt: skip
    data = hours_sheet.pdf(sheet, size=paper_size(request, site))
    where = {"Content-Disposition": 'inline; filename="hours-against-limits.pdf"'}
    return HttpResponse(data, content_type="application/pdf", headers=where)


def _asked(request: HttpRequest, site: Site) -> Question:
    form = LimitsForm(request.GET or None, site=site)
    typed = form.cleaned_data if form.is_valid() else {}
    return Question(form, typed.get("kind", ""), typed.get("clock", ""), typed.get("string"))


def _narrowed(asked: Question) -> bool:
    return bool(asked.kind or asked.clock or asked.string)


def _rows(site: Site, asked: Question) -> Any:
    return against_limits(site, kind=asked.kind, string=asked.string, clock=asked.clock)


def _page(request: HttpRequest, site: Site, asked: Question) -> KeyPage:
    """One page of clocks by their share of the limit."""
    return page_by_key(request, _rows(site, asked), "order_key", A_PAGE)


def _said(bars: list[Bar]) -> list[str]:
    """What must be known before the bars are read."""
    if not bars:
        return []
    if all(bar.share is None for bar in bars):
        return [NO_LIMITS]
    return []
