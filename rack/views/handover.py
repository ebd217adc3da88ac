"""What one tour hands to the next: figures, the last changes, holds, answers, what comes next."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from rack.desk import at_desk
from rack.downloads import paper_size
from rack.exchange.list_files import ListFile
from rack.models import String
from rack.models.ahead import coming, left_out_of
from rack.models.bha import answers_of
from rack.models.judging import judge_string
from rack.models.string_lines import lines_of
from rack.paper import listsheet
from rack.views.depths import correction_words
from rack.views.listing import listed
from rack.views.running_pages import counts_of, held_of
from rack.views.strings import figures_of, last_done, string_here

HANDED = (
    listsheet.Column("When", 0.18), listsheet.Column("What was done", 0.6), listsheet.Column("By", 0.22),
)  # fmt: skip
MOST_DONE = 20
CAUTIONS = (
    "The string is what was written down; count the derrick and the rack before you take over.",
    "A jar carries a mandrel clamp: off at the rotary going in, on coming out.",
)


@dataclass(frozen=True)
class Handed:
    """What is handed over, as text."""

    figures: list[tuple[str, str]]
    rows: list[tuple[str, str, str]]
    notes: list[str]


@at_desk()
@require_GET
def string_handover(request: HttpRequest, number: int, form: str = "pdf") -> HttpResponse:
    one = string_here(request, number)
    site, told, moment = one.site, _handed(one), f"{timezone.localtime():%Y-%m-%d %H:%M}"
    where, title = f"{site.name} ({site.code})", f"{str(one).capitalize()}, {one.well}"
    if form != "pdf":
        live = request.build_absolute_uri(reverse("string", args=[one.number]))
        head = [("Site", where), ("Tour handover", title), ("As it stood", moment), *told.figures,
                ("Live page", live)]  # fmt: skip
        headings = [column.head for column in HANDED]
        made = ListFile("Handover", head, headings, told.rows, [*told.notes, *CAUTIONS])
        return listed(made, form, f"handover-{one.number}")
    sheet = listsheet.ListSheet(
        what="Tour handover", site=where, title=title, under=f"As it stood {moment}", figures=told.figures,
        columns=HANDED, rows=told.rows, notes=told.notes, cautions=CAUTIONS,
        foot="The string changes; its page shows it now.",
        signers=("Handed over by", "Taken over by", "Date and time"),
    )  # fmt: skip
    answer = HttpResponse(
        listsheet.pdf(sheet, size=paper_size(request, site)), content_type="application/pdf"
    )
    answer["Content-Disposition"] = f'inline; filename="handover-{one.number}.pdf"'
    return answer


def _handed(one: String) -> Handed:
    members, judged = judge_string(one, timezone.localdate())
    after = coming(one, members)
    done = [entry for entry in last_done(one) if entry["stands"]][:MOST_DONE]
    correction = correction_words(one)
    return Handed(
        figures=[*figures_of(one, lines_of(one)), *counts_of(one, members)[2:]],
        rows=[(f"{timezone.localtime(entry['at']):%Y-%m-%d %H:%M}", entry["line"].sentence,
               str((entry["line"].by and entry["line"].by.get_full_name()) or entry["line"].by or ""))
              for entry in done],
        notes=[
            f"Next: {after[0].name}, {after[0].where}." if after else "Nothing waits to go in.",
            *([correction] if correction else []),
            *[f"Of the plan, cannot go in: {item.name}, {item.stopped}." for item in after if item.stopped],
            *[f"Of the plan, not run: {row.component}: {row.reason}." for row in left_out_of(one).values()],
            *[f"Held: {entry['words']}" for entry in held_of(one, members, after)],
            *answers_of(judged),
        ],
    )  # fmt: skip
