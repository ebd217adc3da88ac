"""What fell in class, why, and which planned strings lost it: page and paper."""

from datetime import date, timedelta
from urllib.parse import urlencode

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspection.models import Job
from inspection.models.fallen import Fall, fallen
from rack.desk import at_desk, found_or_404, may, site_of
from rack.downloads import PDF, download, paper_size
from rack.paper import listsheet

#: So many days back when nothing is chosen.
BACK = 90
#: So many tags are named by one address.
MOST_TAGS = 200
COLUMNS = (
    listsheet.Column("Serial", 0.12), listsheet.Column("Tag", 0.09), listsheet.Column("Item", 0.2),
    listsheet.Column("Was", 0.09), listsheet.Column("Is", 0.09), listsheet.Column("Day", 0.09),
    listsheet.Column("Why", 0.21), listsheet.Column("Planned in", 0.11),
)  # fmt: skip
CAUTIONS = (
    "What fell is to be re-banded and laid apart; a rejected piece stays out of the hole.",
    "A class is an aid: qualified people, the contract, the maker's sheet and local law come first.",
)


class SinceForm(forms.Form):
    since = forms.DateField(label="Since", required=False, widget=forms.DateInput({"type": "date"}))


@at_desk()
@require_GET
def due_fallen(request: HttpRequest) -> HttpResponse:
    form, job = SinceForm(request.GET or None), _job(request)
    since = _since(form, job)
    rows = fallen(site_of(request), since, job.pk if job else None)
    form.fields["since"].initial = None if job else since
    tags = dict.fromkeys(one.piece.tag for one in rows)
    context = {
        "form": form, "rows": rows, "since": since, "job": job, "narrowed": bool(request.GET),
        "crumbs": [("Due", "/due/"), *([(str(job).capitalize(), f"/jobs/{job.number}/")] if job else [])],
        "query": f"?job={job.number}" if job else f"?since={since.isoformat()}",
        "tags": urlencode([("piece", tag) for tag in tags]) if 0 < len(tags) <= MOST_TAGS
        and "tag" in may(request) else "",
    }  # fmt: skip
    return render(request, "inspection/due_fallen.html", context)


@at_desk()
@require_GET
def due_fallen_pdf(request: HttpRequest) -> HttpResponse:
    site, job = site_of(request), _job(request)
    since = _since(SinceForm(request.GET or None), job)
    sheet = listsheet.ListSheet(
        what="What fell in class", site=f"{site.name} ({site.code})",
        title=f"Fallen on {job}" if job else f"Fallen since {since:%Y-%m-%d}",
        under=f"Printed {timezone.localtime():%Y-%m-%d %H:%M}", columns=COLUMNS,
        rows=[_row(one) for one in fallen(site, since, job.pk if job else None)], cautions=CAUTIONS,
        foot="The register changes; its page shows what holds now.",
    )  # fmt: skip
    return download(listsheet.pdf(sheet, size=paper_size(request, site)), PDF, "fallen.pdf", inline=True)


def _row(one: Fall) -> tuple[str, ...]:
    piece, row = one.piece, one.inspection
    was = row.class_before or "not known"
    return (piece.serial or "not readable", piece.tag, str(piece.spec), was, one.now, f"{row.on:%Y-%m-%d}",
            one.why, one.lost_to)  # fmt: skip


def _job(request: HttpRequest) -> Job | None:
    """The job that the address names."""
    number = request.GET.get("job", "")
    if not (number.isascii() and number.isdecimal() and len(number) < 10):
        return None
    return found_or_404(Job.objects.at(site_of(request)), number=int(number))  # type: ignore[no-any-return]


def _since(form: SinceForm, job: Job | None) -> date:
    chosen = form.cleaned_data["since"] if form.is_valid() else None
    return chosen or (date.min if job else timezone.localdate() - timedelta(days=BACK))
