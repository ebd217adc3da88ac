"""The page of a report before it is accepted, as plain values."""

import re
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from inspection.calc.report_typed import ReportHead
from inspection.calc.report_whole import counted
from inspection.forms.reports import ColumnsForm, LotForm, WordsForm
from inspection.views.report_changes import head_form
from inspection.views.report_incoming import Incoming, Line, Preview
from inspection.views.report_reading import preview_of
from rack.calc.checks import Severity
from rack.models import Site

ROWS_A_PAGE = 100
#: How a difference says that an earlier class holds.
_KEPT_DOWN = re.compile(r"given, ([^.;]+?) holds: a class rises only by repair")


def shown(request: HttpRequest, incoming: Incoming, site: Site, forms: dict[str, Any]) -> dict[str, Any]:
    """Everything that the preview shows; `forms` are those that came back with something wrong."""
    preview = preview_of(incoming, site)
    read = preview.read
    only = request.GET.get("show") == "problems"
    lines = [line for line in preview.lines if line.problems or not line.recorded]
    lines = lines if only else list(preview.lines)
    first = _first(request, len(lines))
    here, part = reverse("inspect_report_preview", args=[incoming.digest]), "&show=problems" if only else ""
    asking = sum(one.severity is Severity.ASKS for one in preview.all_problems)
    return {
        "incoming": incoming, "preview": preview, "head": _head(read.report.head, read.report.by.said),
        "figures": _figures(preview), "foot": _foot(preview), "missing": preview.missing[:400],
        "lines": [(line, _worth(line)) for line in lines[first : first + ROWS_A_PAGE]], "only": only,
        "asking": asking, "recorded_n": sum(line.recorded for line in preview.lines),
        "stopped": any(one.severity is Severity.STOPS for one in preview.problems),
        "left": [line for line in preview.lines if line.fate not in ("recorded", "recorded already")],
        "people": read.report.head.inspectors,
        "head_form": head_form(None, preview, incoming),
        "columns_form": ColumnsForm(mapping=read.mapping),
        "words_form": WordsForm(words=preview.spellings, by=read.report.by, settled=dict(incoming.aliases)),
        "lot_form": LotForm(site=site, sheets=[read.sheet, *read.others],
                            initial={"lot": incoming.lot, "sheet": read.sheet}),
        "reason": request.POST.get("reason", "")[:300], "why": request.POST.get("why", "")[:120],
        "part": f"?{request.GET.urlencode()}" if request.GET else "",
        "back": f"{here}?from={first - ROWS_A_PAGE}{part}" if first else "",
        "next": f"{here}?from={first + ROWS_A_PAGE}{part}" if first + ROWS_A_PAGE < len(lines) else "",
        "pager_words": f"{first + 1} to {min(first + ROWS_A_PAGE, len(lines))} of {len(lines)}",
    } | forms  # fmt: skip


def _first(request: HttpRequest, count: int) -> int:
    text = request.GET.get("from", "")
    number = int(text) if text.isdecimal() and len(text) < 8 else 0
    return min(number, max(0, count - 1)) // ROWS_A_PAGE * ROWS_A_PAGE


def _figures(preview: Preview) -> list[tuple[str, str]]:
    lines = preview.lines
    fates = [line.fate for line in lines]
    held = sum(bool(line.judged and line.judged.effect.hold) for line in lines if line.recorded)
    return [
        ("Rows", str(len(lines))), ("To be recorded", str(fates.count("recorded"))),
        ("Not tied", str(fates.count("not tied"))), ("Left out", str(fates.count("left out"))),
        ("Of the lot without a row", str(len(preview.missing))),
        ("Fall in class", str(sum(line.falls for line in lines if line.recorded))),
        ("Will be held", str(held)), ("Lengths end", str(sum(line.is_cut for line in lines))),
    ]  # fmt: skip


def _head(head: ReportHead, by: str) -> list[tuple[str, str]]:
    """The head as it was understood."""
    parts = [(one.name, one.level, one.valid_to and f"until {one.valid_to}") for one in head.inspectors]
    people = "; ".join(", ".join(part for part in some if part) for some in parts)
    tools = "; ".join(
        f"{one.name}, good until {one.due}" if one.due else one.name for one in head.instruments
    )
    days = f"{head.first_day or 'not read'} to {head.last_day or 'not read'}"
    return [
        ("Company", head.company or "not read"), ("Report", head.number or "not read"), ("Days", days),
        ("Inspectors", people or "not read"), ("Calibration", tools or "not read"),
        ("Methods", ", ".join(head.methods) or "none understood"),
        ("Acceptance", f"{head.accepted_to or 'no class read'}, {by}"),
    ]  # fmt: skip


def _foot(preview: Preview) -> list[tuple[str, int, str, bool]]:
    """Each count of the foot, what the rows come to, and whether they agree."""
    right = counted(preview.read.report)
    found = []
    for what, count in preview.read.report.foot.counts:
        if what in right:
            rows = " or ".join(str(one) for one in dict.fromkeys(right[what]))
            found.append((what, count, rows, count in right[what]))
    return found


def _worth(line: Line) -> dict[str, Any]:
    """What would follow from a row, in words."""
    judged = line.judged
    if judged is None:
        return {"computed": "", "held": "", "words": []}
    effect, words = judged.effect, []
    if line.falls:
        words.append(f"falls from {judged.before} to {effect.held}")
    if effect.hold:
        words.append(f"held: {effect.hold}")
    if line.is_cut:
        words.append(f"{' and '.join(line.found.ends.cut) if line.found else ''}: its length ends")
    if effect.differs:
        words.append(effect.differs)
    kept = _KEPT_DOWN.search(effect.differs)
    return {"computed": effect.computed, "held": kept[1] if kept else effect.held, "words": words}
