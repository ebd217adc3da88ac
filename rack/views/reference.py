"""The handbook tables: each with its source and confidence, and the rows that the office adds."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from rack.actions import reference as actions
from rack.calc.lookup import (
    CONFIDENCE,
    OPEN_TABLES,
    SOURCES,
    TABLES,
    Row,
    caution,
    figure_columns,
    key_text,
    rows,
)
from rack.calc.reference.parts import named
from rack.desk import asked, at_desk, found_or_404
from rack.errors import Refused
from rack.forms.reference import OfficeRowForm, label_of
from rack.models import OfficeRow
from rack.people import can, check_can
from rack.views.opening import confidence

CRUMB = ("Reference", "/reference/")
#: What the four pages are for, in the order of the index.
PICKS = (
    ("reference_pipe", "Drill pipe", "strength by class, smallest wall, weight, tool joint and its limits"),
    (
        "reference_connections",
        "Connections",
        "dimensions, what mates, bending strength ratio, make-up torque",
    ),
    ("reference_casing", "Casing and tubing", "drift, collapse, burst, joint strength, make-up loss, range"),
    ("reference_bits", "Bits", "gauge tolerance, pin, flow area, classification code and dull grade"),
)

#: Headings of the tables whose short name is no word.
TITLES = {
    "grades": "Grades of drill pipe",
    "tool_joint_weights": "Weights with tool joints",
    "heavyweight": "Heavy-weight pipe",
    "heavyweight_joints": "Heavy-weight pipe, joints",
    "makeup_loss": "Make-up loss",
    "casing_grades": "Grades of casing and tubing",
    "casing_small_seen": "Casing, 4-1/2 and 5 in",
    "bsr_ranges": "Bending strength ratios",
    "collar_recess": "Recesses of collars",
    "connection_inspection": "Limits of used connections",
    "srg_boreback": "Stress relief",
    "dull": "Dull grading",
    "rules": "Rules of the string",
    "label_grids": "Sheets of labels",
    "class_bands": "Bands of a class",
}


@dataclass(frozen=True)
class TableRow:
    """A row of a table as it stands on its page. `struck`: a row of the office stands in its place."""

    cells: tuple[tuple[str, str, bool], ...]
    source: str
    letter: str
    confidence: str
    caution: str
    note: str
    struck: bool
    number: int = 0
    office: OfficeRow | None = None


def may_add(request: HttpRequest) -> bool:
    """Whether this person may add rows: they count at every site, so the post must too."""
    return can(request.user, "reference", None)


@at_desk()
@require_GET
def reference(request: HttpRequest) -> HttpResponse:
    added: dict[str, int] = {}
    for row in OfficeRow.objects.all().governing():
        added[row.table] = added.get(row.table, 0) + 1
    tables = [
        {
            "source": SOURCES[name],
            "title": title_of(name),
            "letters": _letters(name),
            "added": added.get(name, 0),
        }
        for name in TABLES
    ]
    return render(
        request, "rack/reference.html", {"tables": tables, "picks": PICKS, "confidence": CONFIDENCE.items()}
    )


def title_of(table: str) -> str:
    """The name of a table as a heading: "Drill pipe"."""
    return TITLES.get(table) or table.replace("_", " ").capitalize()


def _letters(table: str) -> str:
    return ", ".join(
        f"{count}\N{NO-BREAK SPACE}{letter}" for letter, count in SOURCES[table].confidence.items()
    )


@at_desk()
@require_GET
def reference_table(request: HttpRequest, name: str) -> HttpResponse:
    source = _table(name)
    standing = list(OfficeRow.objects.of_table(name).standing().select_related("journal__by").order_by("-id"))
    columns = [
        column for column in rows(name)[0]
        if column not in ("source", "conf", "note") and _has(name, column, standing)
    ]  # fmt: skip
    context = {
        "source": source, "title": title_of(name), "crumbs": [CRUMB], "letters": _confidences(name),
        "columns": [(label_of(column), column in figure_columns(name)) for column in columns],
        "rows": [*_own(name, columns, standing), *_shipped(name, columns, standing)],
        "may_add": name in OPEN_TABLES and may_add(request),
    }  # fmt: skip
    return render(request, "rack/reference_table.html", context)


def _table(name: str) -> Any:
    if name not in SOURCES:
        raise Http404("There is no such table.")
    return SOURCES[name]


def _has(table: str, column: str, own: list[OfficeRow]) -> bool:
    return any(row[column] for row in rows(table)) or any(row.cells.get(column) for row in own)


def _confidences(table: str) -> list[tuple[int, str]]:
    return [(count, confidence(letter)) for letter, count in SOURCES[table].confidence.items()]


def _own(table: str, columns: list[str], standing: list[OfficeRow]) -> list[TableRow]:
    """The rows of the office, the newest first; an older one for the same entry is struck."""
    found, seen = [], set()
    for row in standing:
        cells = row.cells
        found.append(TableRow(
            _cells(table, columns, cells), row.source, "E", confidence("E"), "", cells.get("note", ""),
            row.supersedes in seen, office=row,
        ))  # fmt: skip
        seen.add(row.supersedes)
    return found


def _shipped(table: str, columns: list[str], standing: list[OfficeRow]) -> list[TableRow]:
    superseded = {row.supersedes for row in standing}
    return [
        TableRow(
            _cells(table, columns, row), named(row["source"]), row["conf"], confidence(row["conf"]),
            caution(row), row["note"], key_text(table, row) in superseded, number=number,
        )
        for number, row in enumerate(rows(table), 1)
    ]  # fmt: skip


def _cells(table: str, columns: list[str], row: Row | dict[str, str]) -> tuple[tuple[str, str, bool], ...]:
    figures = figure_columns(table)
    return tuple((label_of(column), row.get(column, ""), column in figures) for column in columns)


@at_desk()
@require_http_methods(["GET", "POST"])
def reference_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add a row, or a maker's value in the place of the shipped row that the address names."""
    if name not in OPEN_TABLES:
        raise Http404("There is no such table, or the office adds nothing to it.")
    check_can(request.user, "reference", None)
    form = OfficeRowForm(request.POST or None, table=name, initial=_begun(request, name))
    problems: tuple[Any, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_row(asked(request), name, form.cells, form.cleaned_data["source"])
        except Refused as refused:
            problems = _beside(form, refused.problems)
        else:
            undo = "undo:" + reverse("reference_take_back", args=[row.pk])
            messages.success(request, f"{row.journal.sentence}.", extra_tags=undo)
            return redirect("reference_table", name=name)
    context = {"form": form, "problems": problems, "title": title_of(name), "source": SOURCES[name],
               "crumbs": [CRUMB, (title_of(name), reverse("reference_table", args=[name]))]}  # fmt: skip
    wrong = request.method == "POST"
    return render(request, "rack/reference_add.html", context, status=422 if wrong else 200)


def _begun(request: HttpRequest, table: str) -> Row | None:
    """The shipped row that the new one stands in for: its cells are there to be changed."""
    text = request.GET.get("row", "")
    number = int(text) if text.isdecimal() and len(text) < 6 else 0
    return {**rows(table)[number - 1], "source": "", "note": ""} if 0 < number <= len(rows(table)) else None


def _beside(form: OfficeRowForm, problems: tuple[Any, ...]) -> tuple[Any, ...]:
    """Put each problem beside the field it is about, and return those about none."""
    for problem in problems:
        if problem.where in form.fields:
            form.add_error(problem.where, problem.text)
    return tuple(problem for problem in problems if problem.where not in form.fields)


@at_desk()
@require_POST
def reference_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    row = found_or_404(OfficeRow.objects.entered(), pk=pk)
    try:
        taken = actions.take_back(asked(request), row)
    except Refused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, f"{taken.journal.sentence}.")
    return redirect("reference_table", name=row.table)
