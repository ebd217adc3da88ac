"""The pages where a pipe, a connection, a casing or a bit is picked; the pick stands in the address."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from rack.calc import connections as threads
from rack.calc import tubes, weights
from rack.calc.casing import grade
from rack.calc.connections import Thread, thread_of
from rack.calc.connections.geometry import checked
from rack.calc.given import number_in
from rack.calc.lookup import Catalogue
from rack.calc.reference import Part
from rack.calc.reference.bit import BitPick, bit_parts
from rack.calc.reference.casing import THREADS, CasingPick, casing_parts
from rack.calc.reference.connection import (
    BODIES,
    JointPick,
    connection_parts,
    names_worked,
    thread_row,
)
from rack.calc.reference.heavy import heavy_parts
from rack.calc.reference.picked import Joint, PipePick, grade_row, usual_joint
from rack.calc.reference.pipe import pipe_parts
from rack.desk import at_desk, site_of
from rack.forms.reference import (
    BitForm,
    CasingForm,
    ConnectionForm,
    PickForm,
    PipeForm,
    heavy_code,
    pipe_code,
)
from rack.models.reference import catalogue
from rack.views.opening import shown_parts
from rack.views.reference import CRUMB
from rack.views.reference_here import picks_here

#: What a page shows below its form: a heading, the parts, and what the template alone needs.
Result = tuple[str, tuple[Part, ...], dict[str, Any]]


@at_desk()
@require_GET
def pipe(request: HttpRequest) -> HttpResponse:
    return _page(request, "pipe", "Drill pipe and heavy-weight", PipeForm, _pipe)


@at_desk()
@require_GET
def connections(request: HttpRequest) -> HttpResponse:
    return _page(request, "connections", "Connections", ConnectionForm, _connection)


@at_desk()
@require_GET
def casing(request: HttpRequest) -> HttpResponse:
    return _page(request, "casing", "Casing and tubing", CasingForm, _casing)


@at_desk()
@require_GET
def bits(request: HttpRequest) -> HttpResponse:
    return _page(request, "bits", "Bits", BitForm, _bit)


def _page(
    request: HttpRequest, page: str, title: str, make: Callable[..., PickForm],
    work: Callable[[Any, dict[str, Any], Catalogue], Result],
) -> HttpResponse:  # fmt: skip
    """Show the form, and what was picked below it. A refusal of calc stands beside its field."""
    site, tables = site_of(request), catalogue()
    typed = {name: value for name, value in request.GET.items() if name != "open"}
    form = make(typed or None, site=site, catalogue=tables)
    heading, parts = "", []
    more: dict[str, Any] = {}
    if form.is_bound and form.is_valid():
        try:
            heading, found, more = work(form, form.cleaned_data, tables)
            parts = shown_parts(found, site)
        except ValueError as refusal:
            form.refuse(refusal)
    context = {
        "form": form, "title": title, "heading": heading, "parts": parts, "crumbs": [CRUMB],
        "all_open": "open" in request.GET, "open_at": "?" + urlencode({**typed, "open": "1"}),
        "closed_at": "?" + urlencode(typed), "threads": threads.known(tables),
        "here": picks_here(site, page, tables), "page_name": page, **more,
    }  # fmt: skip
    wrong = form.is_bound and not form.is_valid()
    return render(request, "rack/reference_pick.html", context, status=422 if wrong else 200)


def _pipe(form: PipeForm, typed: dict[str, Any], tables: Catalogue) -> Result:
    for row in tables.rows("heavyweight"):
        if heavy_code(row) == typed["pipe"]:
            words = f"Heavy-weight pipe {row['size']} in"
            return words, heavy_parts(row, tables), {"governs": True}
    row = next(row for row in tables.rows("drill_pipe") if pipe_code(row) == typed["pipe"])
    left = typed["wall_left"]
    if left is not None:
        left = number_in("wall_left", left, "%", 0, 100, above=True) / 100
    pick = PipePick(
        row, grade_row(typed["grade"], tables), typed["pipe_class"] or "new", left,
        _tool_joint(row, typed, tables), typed["mud"], typed["pull"], typed["torque"], typed["length"],
    )  # fmt: skip
    _check_loads(form, pick)
    if form.errors:
        return "", (), {}
    words = f"{row['size']} in {row['nominal_weight_lb_ft']} lb/ft {pick.grade['grade']}, {pick.in_words}"
    return words, pipe_parts(pick, tables), {}


def _check_loads(form: PipeForm, pick: PipePick) -> None:
    """Ask calc about each load that was typed, so that all that is wrong is said at once."""
    body, left = (pick.od_in, pick.wall_in), pick.wall_left
    mud, pull, torque, length = pick.mud_ppg, pick.pull_lb, pick.torque_ft_lb, pick.length_ft
    if mud is not None:
        form.check(lambda: weights.buoyancy_factor(mud))
    if pull is not None:
        loaded = (*body, pick.yield_psi, pick.pipe_class, pull)
        form.check(lambda: tubes.torsion_under_pull_ft_lb(*loaded, wall_left=left))
    if torque is not None:
        form.check(lambda: tubes.twist_turns(*body, pick.pipe_class, torque, 1, wall_left=left))
    if length is not None:
        form.check(lambda: number_in("length_ft", length, "ft", 0, 60_000, above=True))


def _tool_joint(row: Any, typed: dict[str, Any], tables: Catalogue) -> Joint | None:
    """The tool joint as it was typed; where diameters were not, as the table has it for this pipe."""
    connection, od, bore = typed["connection"], typed["od"], typed["bore"]
    if connection:
        _thread(connection, tables)
    named = usual_joint(row, typed["grade"], connection, tables)
    if od is None and bore is None:
        return named
    if not connection and named is None:
        raise ValueError("connection: type the connection that these diameters are of")
    thread = _thread(connection, tables) if connection else named.thread  # type: ignore[union-attr]
    if od is None or bore is None:
        if named is None:
            raise ValueError(f"{'od_in' if od is None else 'bore_in'}: type both diameters of the tool joint")
        od, bore = od or named.od_in, bore or named.bore_in
    checked(thread, od, bore)
    return Joint(thread, od, bore)


def _connection(form: ConnectionForm, typed: dict[str, Any], tables: Catalogue) -> Result:
    thread = _thread(typed["connection"], tables)
    row = thread_row(thread.name, tables)
    factor = 1.0 if typed["factor"] is None else typed["factor"]
    mates = _mates(form, thread.name, typed["other"], tables)
    _check_body(form, thread, typed, factor)
    if form.errors:
        return thread.name, (), {}
    body = typed["body"] or BODIES[0]
    pick = JointPick(thread, row, typed["od"], typed["bore"], body, factor, typed["arm"])
    more = {"names": names_worked(row, tables)[1:], "thread": thread.name, "mates": mates}
    return thread.name, connection_parts(pick, tables), more


def _thread(name: str, tables: Catalogue) -> Thread:
    """The thread, or the sentence of calc under the name of the field."""
    try:
        return thread_of(name, tables)
    except ValueError as wrong:
        raise ValueError(f"connection: {str(wrong).removeprefix('connection: ')}") from None


def _check_body(form: ConnectionForm, thread: Thread, typed: dict[str, Any], factor: float) -> None:
    """Ask calc about each thing that was typed, so that all that is wrong is said at once."""
    od, bore, arm = typed["od"], typed["bore"], typed["arm"]
    if (od is None) != (bore is None):
        form.add_error("od" if od is None else "bore", "Type both diameters, or neither.")
    elif od is not None:
        form.check(lambda: checked(thread, od, bore))
    form.check(lambda: number_in("compound_factor", factor, "", 0.5, 2.0))
    if arm is not None:
        form.check(lambda: threads.line_pull_lb_worked(0, arm))


def _mates(form: ConnectionForm, name: str, other: str, tables: Catalogue) -> str:
    """One sentence on whether the other thread makes up with this one, "" when none was asked."""
    if not other:
        return ""
    try:
        agree = f"{name} makes up with {other}: pin into box of the same thread."
        return threads.why_not(name, other, tables) or agree
    except ValueError as wrong:
        form.add_error("other", f"{wrong}.")
        return ""


def _casing(form: CasingForm, typed: dict[str, Any], tables: Catalogue) -> Result:
    one = form.pipes[typed["pipe"]]
    if typed["thread"] not in THREADS[one.product]:
        allowed = ", ".join(THREADS[one.product])
        raise ValueError(f"thread: {typed['thread']} is no thread of {one.product}; allowed are {allowed}")
    pick = CasingPick(one, grade(typed["grade"], catalogue=tables), typed["thread"], typed["range"])
    words = f"{one.product.capitalize()} {one.label} {pick.grade['grade']} {pick.thread}"
    return words, casing_parts(pick, tables), {}


def _bit(form: BitForm, typed: dict[str, Any], tables: Catalogue) -> Result:
    pick = BitPick(
        typed["bit"], typed["size"], typed["nozzles"], typed["code"], typed["scheme"], typed["dull"]
    )
    parts, readings = bit_parts(pick, tables)
    return f"{typed['bit'].capitalize()} bit", parts, {"readings": readings}
