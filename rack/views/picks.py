"""The pick list of a plan: its pieces in the order in which the racks are unloaded, as PDF, CSV and XLSX."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.calc.choosing import unloading_order
from rack.calc.lengths import Length
from rack.desk import at_desk
from rack.downloads import paper_size
from rack.exchange.book import Cell, as_shown
from rack.exchange.list_files import ListFile
from rack.models import Component, Plan
from rack.models.bha import answers_of
from rack.models.judging import judge_plan
from rack.models.links import holds_of
from rack.models.lying import painted_numbers
from rack.models.unloading import lying_on_racks
from rack.paper import listsheet
from rack.views.listing import listed
from rack.views.plans import plan_here

PICKS = (
    listsheet.Column("No", 0.05, "right"), listsheet.Column("Lies on", 0.16),
    listsheet.Column("Painted", 0.08),
    listsheet.Column("Serial", 0.14), listsheet.Column("Tag", 0.1), listsheet.Column("Item", 0.29),
    listsheet.Column("Length", 0.1, "right"), listsheet.Column("Picked", 0.08),
)  # fmt: skip
CAUTIONS = (
    "Layer by layer from the top; what stays is chocked again. Nobody between rack and load.",
    "Take each tag off before the piece goes in the hole. Protectors stay on until stabbing.",
)


@at_desk()
@require_GET
def plan_picks(request: HttpRequest, number: int, form: str = "pdf") -> HttpResponse:
    """The pieces of a plan in the order in which the racks are unloaded; what is held is named below."""
    one = plan_here(request, number)
    all_of_them = in_order(one)
    judged = judge_plan(one, timezone.localdate())[1]
    asked = {key for found in judged.problems if found.code == "R16" for key in found.keys}
    holds = holds_of([piece.pk for piece in all_of_them if piece.pk in asked])  # an answered one goes along
    pieces = [piece for piece in all_of_them if piece.pk not in holds]
    painted = painted_numbers(piece.pk for piece in pieces)
    notes = [f"{line.count_n} x {line.spec}: list to follow."
             for line in one.lines.filter(component=None).select_related("spec")]  # fmt: skip
    notes += [f"Left out, held: {piece}, tag {piece.tag}: {'; '.join(holds[piece.pk])}."
              for piece in all_of_them if piece.pk in holds]  # fmt: skip
    notes += answers_of(judged)
    if form != "pdf":
        return listed(_file(request, one, pieces, painted, notes), form, f"pick-list-{one.number}")
    sheet = listsheet.ListSheet(
        what="Pick list", site=f"{one.site.name} ({one.site.code})", title=str(one).capitalize(),
        under=f"In the order in which the racks are unloaded, printed {_moment()}",
        columns=PICKS, rows=[_row(n, piece, painted) for n, piece in enumerate(pieces, 1)], notes=notes,
        cautions=CAUTIONS,
        foot="The plan changes; its page shows it now. Tick each piece as it is picked up.",
    )  # fmt: skip
    answer = HttpResponse(
        listsheet.pdf(sheet, size=paper_size(request, one.site)), content_type="application/pdf"
    )
    answer["Content-Disposition"] = f'inline; filename="pick-list-{one.number}.pdf"'
    return answer


def in_order(one: Plan) -> list[Component]:
    """The pieces of a plan, those on the racks first and layer by layer from the top."""
    here = Component.objects.filter(plan_lines__plan=one)
    pieces = list(here.select_related("spec", "place", "site").distinct())
    wanted = {piece.pk for piece in pieces}
    lying = [row for row in unloading_order(lying_on_racks(one.site)) if row.key in wanted]
    order = {row.key: n for n, row in enumerate(lying)}
    return sorted(pieces, key=lambda piece: (order.get(piece.pk, len(order)), piece.pk))


def _row(n: int, piece: Component, painted: dict[int, str]) -> tuple[str, ...]:
    site = piece.site
    length = "" if piece.length_nm is None else Length(piece.length_nm).shown(site.length_unit, site.digits)
    return str(n), *_words(piece, painted), length, ""


def _words(piece: Component, painted: dict[int, str]) -> tuple[str, ...]:
    where, serial = str(piece.place or "–"), piece.serial or "not readable"
    return where, painted.get(piece.pk, ""), serial, piece.tag, str(piece.spec)


def _file(
    request: HttpRequest, one: Plan, pieces: list[Component], painted: dict[int, str], notes: list[str]
) -> ListFile:
    site = one.site
    rows: list[tuple[Cell, ...]] = [
        (n, *_words(piece, painted), as_shown(piece.length_nm, site.length_unit, site.digits), "",
         piece.length_nm)
        for n, piece in enumerate(pieces, 1)
    ]  # fmt: skip
    head = [
        ("Site", f"{site.name} ({site.code})"), ("Pick list", str(one)),
        ("Order", "as the racks are unloaded, layer by layer from the top"), ("Written", _moment()),
        ("Live page", request.build_absolute_uri(reverse("plan", args=[one.number]))),
    ]  # fmt: skip
    headings = [*(column.head for column in PICKS), "Exact length (nm)"]
    headings[6] = f"Length ({site.length_unit})"
    return ListFile("Pick list", head, headings, rows, notes)


def _moment() -> str:
    return f"{timezone.localtime():%Y-%m-%d %H:%M}"
