"""What the page of a daily report shows: its rows by their fate, each with its hours and why."""

from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from rack.actions import daily as actions
from rack.actions.legs import new_problems
from rack.calc.checks import Severity
from rack.calc.daily import Taken, TakenRow, cells_of
from rack.calc.hours import CLOCK_NAMES, LINE_CLOCKS, amount_shown, hours_shown
from rack.calc.lengths import Length
from rack.exchange.daily_report import DailyFile
from rack.forms.daily import ChoicesForm, RowForm
from rack.models import Run

ROWS_A_PAGE = 100
#: Which rows are shown, the word for each.
SHOWN = (("taken", "Taken"), ("asked", "With a question"), ("left", "Left out"), ("all", "All"))


def row_of(taken: Taken, text: str) -> TakenRow | None:
    """The row of this number, None where there is none."""
    if not text.isdecimal() or len(text) > 7:
        return None
    return next((row for row in taken.rows if row.row.n == int(text)), None)


def query_of(request: HttpRequest, **more: str) -> str:
    """The query of the page without the row that is being changed."""
    query = request.GET.copy()
    query.pop("row", None)
    for name, text in more.items():
        query[name] = text
    return f"?{query.urlencode()}" if query else ""


def shown(request: HttpRequest, run: Run, file: DailyFile, taken: Taken) -> dict[str, Any]:
    """The context of the page: the rows that were asked for, the figures, what stops and what asks."""
    of_lines = new_problems(run, taken.legs, numbered=True) if taken.legs else []
    whole = [*file.problems, *taken.problems, *of_lines]
    answers = [*actions.questions(taken), *of_lines]
    editing = row_of(taken, request.GET.get("row", ""))
    return {
        "run": run, "taken": taken, "figures": _figures(taken), "activities": _activities(taken),
        "problems": [one for one in whole if one.severity is not Severity.NOTE],
        "notes": [one for one in whole if one.severity is Severity.NOTE],
        "asking": sum(one.severity is Severity.ASKS for one in answers),
        "stopped": any(one.severity is Severity.STOPS for one in answers),
        "choices_form": ChoicesForm(choices=taken.choices, wellbores=taken.wellbores),
        "editing": editing,
        "row_form": RowForm(cells=_typed(editing, run, taken.choices.unit)) if editing else None,
        "columns": file.columns.items(), "left_columns": file.left, **_rows(request, run, taken),
    }  # fmt: skip


def rows_shown(request: HttpRequest, run: Run, taken: Taken) -> dict[str, Any]:
    """The rows alone with their figures, of a report that is not changed any more."""
    return {"run": run, "taken": taken, "figures": _figures(taken), **_rows(request, run, taken)}


def _rows(request: HttpRequest, run: Run, taken: Taken) -> dict[str, Any]:
    """One page of the rows of one fate, with the way to the others."""
    parts = _parts(taken)
    chosen = request.GET.get("show", "")
    chosen = chosen if chosen in parts else "taken" if taken.taken else "all"
    rows = parts[chosen]
    first = min(_number(request.GET.get("from", "")), max(0, len(rows) - 1)) // ROWS_A_PAGE * ROWS_A_PAGE
    last = min(first + ROWS_A_PAGE, len(rows))
    return {
        "rows": [_cells(row, run) for row in rows[first:last]], "shown": chosen,
        "tabs": [(name, words, len(parts[name])) for name, words in SHOWN],
        "here": query_of(request), "part": query_of(request, show=chosen),
        "back": query_of(request, show=chosen, **{"from": str(first - ROWS_A_PAGE)}) if first else "",
        "next": query_of(request, show=chosen, **{"from": str(last)}) if last < len(rows) else "",
        "pager_words": f"{min(first + 1, last)} to {last} of {len(rows)}",
    }  # fmt: skip


def _parts(taken: Taken) -> dict[str, list[TakenRow]]:
    asking = [row for row in taken.taken
              if any(one.severity is not Severity.NOTE for one in row.problems)]  # fmt: skip
    left = [row for row in taken.rows if not row.taken]
    return {"taken": list(taken.taken), "asked": asking, "left": left, "all": list(taken.rows)}


def _typed(row: TakenRow, run: Run, unit: str) -> dict[str, str]:
    """The cells of a row to be changed; a depth names its unit, so that none is rounded by being shown."""
    ends = (row.leg.from_nm, row.leg.to_nm) if row.leg else ()
    return cells_of(row.leg, ZoneInfo(run.tz), {nm: _exact(nm, unit) for nm in ends if nm is not None})


def _exact(nm: int, unit: str) -> str:
    feet = f"{Length(nm).feet.normalize():f}"
    if unit == "ft" and len(feet) <= 12:
        return f"{feet} ft"
    return f"{Length(nm).metres.normalize():f} m"


def _cells(row: TakenRow, run: Run) -> dict[str, Any]:
    """A row as the page shows it: its hours by clock, each with why."""
    cells = cells_of(row.leg, ZoneInfo(run.tz), _shown_depths(row, run))
    depths = [cells.get(name, "") for name in ("from_depth", "to_depth")]
    return {
        "row": row, "kind": row.kind, "day": cells.get("date") or row.row.day,
        "from": cells.get("from") or "not known", "to": cells.get("to") or "not known",
        "depths": f"{' to '.join(text or 'not known' for text in depths)} {run.string.site.length_unit}"
        if any(depths) else "",
        "clocks": [(CLOCK_NAMES[clock], "not known" if s is None else f"{hours_shown(s)} h", why, s != 0)
                   for clock, s, why in row.amounts],
    }  # fmt: skip


def _shown_depths(row: TakenRow, run: Run) -> dict[int, str]:
    site = run.string.site
    ends = (row.leg.from_nm, row.leg.to_nm) if row.leg else ()
    return {nm: Length(nm).shown(site.length_unit, site.digits) for nm in ends if nm is not None}


def _figures(taken: Taken) -> list[tuple[str, str]]:
    clocks = [clock for clock in LINE_CLOCKS if clock != "below_rotary_s"]
    return [
        ("Rows read", f"{len(taken.rows):,}"), ("Taken", f"{len(taken.taken):,}"),
        ("Left out", f"{len(taken.rows) - len(taken.taken):,}"),
        *((f"{CLOCK_NAMES[clock].capitalize()} h", amount_shown(clock, taken.total(clock)))
          for clock in clocks),
    ]  # fmt: skip


def _activities(taken: Taken) -> list[dict[str, Any]]:
    """The taken rows by their code: what was counted of each, so that a wrong code is seen at once."""
    found: dict[str, list[TakenRow]] = {}
    for row in taken.taken:
        found.setdefault(" ".join(row.row.activity.casefold().split()) or "no code", []).append(row)
    counts = []
    for name, rows in found.items():
        lasts = sum(row.leg.duration_s or 0 for row in rows if row.leg)
        turned = [row.leg.rotating_s for row in rows if row.leg]
        words = hours_shown(sum(s or 0 for s in turned), known=None not in turned)
        one = {"name": name, "rows": len(rows), "lasts": hours_shown(lasts), "turned": words}
        counts.append((lasts, one))
    return [one for _, one in sorted(counts, key=lambda count: -count[0])]


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 8 else 0
