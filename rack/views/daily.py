"""A daily report for a run: handed in, shown as it was read, changed by hand, accepted as time lines."""

from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from rack.actions import daily as actions
from rack.actions.files import bytes_of, keep_bytes
from rack.calc.checks import Severity
from rack.calc.daily import Choices, Taken, take
from rack.calc.daily.taking import read_cells
from rack.desk import asked, at_desk
from rack.errors import NotAtHand, Refused, UnreadableFile
from rack.exchange.daily_report import DailyFile, read_daily
from rack.forms.daily import ChoicesForm, ReportForm, RowForm
from rack.models import DailyReport, Run
from rack.models.stays import as_legs, facts_of_run, legs_of
from rack.views.daily_shown import query_of, row_of, shown
from rack.views.runs import run_here


@dataclass(frozen=True)
class Waiting:
    """A report that waits to be accepted; it lives in the session, nothing of it in the register."""

    digest: str
    name: str
    media: str
    choices: str

    def keep(self, request: HttpRequest, run: Run) -> None:
        waiting = request.session.get("reports", {})
        waiting.pop(f"{run.pk}:{self.digest}", None)
        waiting[f"{run.pk}:{self.digest}"] = vars(self)
        request.session["reports"] = dict(list(waiting.items())[-10:])

    @classmethod
    def of(cls, request: HttpRequest, run: Run, digest: str) -> "Waiting":
        found = request.session.get("reports", {}).get(f"{run.pk}:{digest}")
        if found is None:
            raise NotAtHand("This report is not at hand any more. Choose the file again.")
        return cls(**found)


@at_desk("hours")
@require_http_methods(["GET", "POST"])
def run_report(request: HttpRequest, ident: int) -> HttpResponse:
    """Hand a report in; what is no report is refused in one sentence, and what was pasted is kept."""
    one = run_here(request, ident)
    form = ReportForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        data, name, media = form.handed_in()
        try:
            read_daily(data, name)
        except UnreadableFile as refused:
            form.add_error("file" if form.cleaned_data["file"] else "pasted", str(refused))
        else:
            waiting = Waiting(keep_bytes(data), name, media, Choices().to_text())
            waiting.keep(request, one)
            return redirect("run_report_preview", ident=one.pk, digest=waiting.digest)
    context = {"run": one, "form": form, "crumbs": _crumbs(one),
               "reports": DailyReport.objects.standing().filter(run=one)
               .select_related("file", "journal__by").order_by("-id")[:20]}  # fmt: skip
    return render(request, "rack/run_report.html", context, status=422 if request.method == "POST" else 200)


@at_desk("hours")
@require_http_methods(["GET", "POST"])
def run_report_preview(request: HttpRequest, ident: int, digest: str) -> HttpResponse:
    """Every row with what it is proposed as, what was counted and what was not, and why."""
    one = run_here(request, ident)
    waiting = Waiting.of(request, one, digest)
    file, taken = _read(waiting, one)
    what = request.POST.get("what", "") if request.method == "POST" else ""
    if what == "accept":
        return _accept(request, one, waiting, file, taken)
    if what == "choices":
        return _choose(request, one, waiting, file, taken)
    if what == "row":
        return _change(request, one, waiting, file, taken)
    if what:
        return _by_hand(request, one, waiting, taken, what)
    return _show(request, one, waiting, file, taken)


def _read(waiting: Waiting, run: Run) -> tuple[DailyFile, Taken]:
    try:
        file = read_daily(bytes_of(waiting.digest), waiting.name)
    except FileNotFoundError:
        raise NotAtHand("The file is not at hand any more. Choose it again; nothing was stored.") from None
    taken = take(
        file.rows, ZoneInfo(run.tz), Choices.from_text(waiting.choices), file_unit=file.unit,
        site_unit=run.string.site.length_unit, run=facts_of_run(run), there=as_legs(run, legs_of(run)),
    )  # fmt: skip
    return file, taken


def _accept(
    request: HttpRequest, run: Run, waiting: Waiting, file: DailyFile, taken: Taken
) -> HttpResponse:
    seen = request.POST.get("seen", "")
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None
    report = actions.ReportFile(waiting.digest, waiting.name, waiting.media)
    reason = request.POST.get("reason", "")[:200]
    try:
        actions.accept_report(asked(request), run, report, taken, reason, seen=version)
    except Refused as refused:
        return _show(request, run, waiting, file, taken, refused=refused.problems, reason=reason)
    n = len(taken.legs)
    words = f"{n} time line{'' if n == 1 else 's'} of {waiting.name} written down and shared out."
    messages.success(request, words)
    return redirect("run_page", ident=run.pk)


def _choose(
    request: HttpRequest, run: Run, waiting: Waiting, file: DailyFile, taken: Taken
) -> HttpResponse:
    form = ChoicesForm(request.POST, choices=taken.choices, wellbores=taken.wellbores)
    if not form.is_valid():
        return _show(request, run, waiting, file, taken, choices_form=form)
    return _kept(request, run, waiting, form.chosen(), "Read again so.")


def _change(
    request: HttpRequest, run: Run, waiting: Waiting, file: DailyFile, taken: Taken
) -> HttpResponse:
    """A row as a person typed it; what cannot be read is said, and stays in its field."""
    row = row_of(taken, request.POST.get("row", ""))
    if row is None:
        return redirect(_here(run, waiting) + query_of(request))
    form = RowForm(request.POST, cells={})
    typed = {cell: request.POST.get(cell, "") for cell in form.fields}
    _, problems = read_cells(row.row.n, typed, ZoneInfo(run.tz), run.string.site.length_unit)
    if not form.is_valid() or any(one.severity is Severity.STOPS for one in problems):
        more = {"editing": row, "row_form": form, "row_problems": problems}
        return _show(request, run, waiting, file, taken, **more)
    return _kept(request, run, waiting, taken.choices.with_row(row.row.n, typed),
                 f"Row {row.row.n} is changed.")  # fmt: skip


def _by_hand(request: HttpRequest, run: Run, waiting: Waiting, taken: Taken, what: str) -> HttpResponse:
    """Leave a row out, take it in, or take back what was typed of it."""
    row = row_of(taken, request.POST.get("row", ""))
    if row is None:
        return redirect(_here(run, waiting) + query_of(request))
    if what == "as read":
        return _kept(request, run, waiting, taken.choices.with_row(row.row.n, None),
                     f"Row {row.row.n} stands as it was read.")  # fmt: skip
    return _kept(request, run, waiting, taken.choices.toggled(row.row.n, taken=row.taken))


def _kept(
    request: HttpRequest, run: Run, waiting: Waiting, choices: Choices, words: str = ""
) -> HttpResponse:
    replace(waiting, choices=choices.to_text()).keep(request, run)
    if words:
        messages.success(request, words)
    return redirect(_here(run, waiting) + query_of(request))


def _here(run: Run, waiting: Waiting) -> str:
    return reverse("run_report_preview", args=[run.pk, waiting.digest])


def _crumbs(run: Run) -> list[tuple[str, str]]:
    return [("Runs", reverse("run_list")), (str(run).capitalize(), reverse("run_page", args=[run.pk]))]


def _show(
    request: HttpRequest, run: Run, waiting: Waiting, file: DailyFile, taken: Taken, **more: Any
) -> HttpResponse:
    crumbs = [*_crumbs(run), ("Daily report", reverse("run_report", args=[run.pk]))]
    context = {"waiting": waiting, "crumbs": crumbs, **shown(request, run, file, taken), **more}
    return render(request, "rack/run_report_preview.html", context, status=422 if more else 200)
