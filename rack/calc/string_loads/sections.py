"""A section of a string: what it weighs, carries and displaces, each figure opened or with its reason."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from rack.calc import loads, strings, tubes, weights
from rack.calc.bodies import (
    HEAVY,
    PIPE,
    TUBE_CLASSES,
    UNWEIGHED,
    Bodies,
    Body,
    Figure,
    figure_of,
    strengths_of,
)
from rack.calc.casing import body_strengths_worked
from rack.calc.figures import figure
from rack.calc.kinds import kind_of
from rack.calc.lengths import Length
from rack.calc.reference.parts import from_row
from rack.calc.string_loads.cases import LoadCase, Run
from rack.calc.string_loads.floor import thread_torque
from rack.calc.strings import Section
from rack.calc.units import NM
from rack.calc.worked import Worked

NO_MUD = Figure(reason="the mud weight is not given.")


@dataclass(frozen=True)
class SectionFigures:
    """One section from the bit upward: places, lengths (exact, None unknown) and figures that open.

    Weights, loads and pulls are lb, torques ft-lb, pressures psi, volumes bbl. `hook_lb` is what hangs at
    its top, in mud; `overpull_lb` what may still be pulled there by its class; `torque_limit_ft_lb` the
    less of torsion and make-up torque. `stand_open_bbl`, `stand_closed_bbl` are for a stand of it.
    """

    run: Run
    bottom: Length | None
    top: Length | None
    weight_lb_ft: Figure
    air_lb: Figure
    mud_lb: Figure
    hook_lb: Figure
    tensile_lb: Figure
    overpull_lb: Figure
    torsion_ft_lb: Figure
    torsion_under_load_ft_lb: Figure
    make_up_ft_lb: Figure
    torque_limit_ft_lb: Figure
    burst_psi: Figure
    collapse_psi: Figure
    open_bbl: Figure
    closed_bbl: Figure
    capacity_bbl: Figure
    stand_open_bbl: Figure
    stand_closed_bbl: Figure


def feet(length: Length) -> float:
    """Return a `length` in ft as a float, for weights and volumes only. Raises nothing. Source: exact."""
    return length.nanometres / NM["ft"]


def then(figures: Sequence[Figure], ask: Callable[..., Worked]) -> Figure:
    """Return what `ask` makes of the values of `figures` (their units), or the first reason among them.

    What is left out of one is left out of the result. Raises nothing. Source: that of the working.
    """
    values = []
    for one in figures:
        if one.worked is None:
            return Figure(reason=one.reason)
        values.append(one.worked.value)
    found = figure_of(lambda: ask(*values))
    left_out = "; ".join(dict.fromkeys(one.left_out for one in figures if one.left_out))
    return Figure(found.worked, found.reason, left_out if found.worked else "")


def length_figure(run: Run) -> Figure:
    """Return the length of `run` in ft, or which pieces have none. Raises nothing. Source: addition."""
    if run.length is None:
        lacking = [link.ident for link in run.links if link.length is None]
        more = f" and {len(lacking) - 3} more" if len(lacking) > 3 else ""
        return Figure(reason=f"the length of {', '.join(lacking[:3])}{more} is not known.")
    shown = f"{feet(run.length):,.2f} ft"
    return Figure(Worked(feet(run.length), "ft", "sum of the lengths", {"pieces": str(run.count)},
                         (f"sum = {shown}",), "the lengths of the pieces"))  # fmt: skip


def hanging(below: Sequence[tuple[Run, Figure]]) -> tuple[list[Section], str, str]:
    """Return the runs up to here as sections (ft, lb/ft), why they are none, and what is left out.

    `below` are runs from the bit upward, each with its weight in lb/ft. A bit that is not weighed is left
    out of the sum and named. Raises nothing. Source: the weights of the pieces.
    """
    found, left_out = [], ""
    for run, weight in below:
        length = length_figure(run)
        if run.spec.kind in UNWEIGHED and weight.worked is None:
            left_out = f"without {run.name}, which is not weighed"
        elif weight.value is None:
            return [], f"{run.name}: {weight.reason}", ""
        elif length.value is None:
            return [], length.reason, ""
        elif length.value > 0:
            found.append(Section(run.name, length.value, weight.value))
    return found, "", left_out


def _hook(below: Sequence[tuple[Run, Figure]], case: LoadCase) -> Figure:
    if case.mud_ppg is None:
        return NO_MUD
    sections, reason, left_out = hanging(below)
    if reason or not sections:
        return Figure(reason=reason or "nothing that is weighed hangs here.")
    factor = weights.buoyancy_factor(case.mud_ppg)
    height = sum(section.length_ft for section in sections)
    found = figure_of(lambda: loads.load_at_lb_worked(sections, factor, height))
    return Figure(found.worked, found.reason, left_out)


def _strengths(run: Run, body: Body) -> tuple[Figure, Figure, Figure, Figure]:
    """Pull, torsion, burst and collapse of the tube, by the class of the section."""
    spec = run.spec
    if spec.kind == PIPE:
        found: Any = strengths_of(body, run.pipe_class)
        if isinstance(found, str):
            return (Figure(reason=f"{run.name}: {found}"),) * 4
        return (Figure(found.tensile_lb), Figure(found.torsion_ft_lb), Figure(found.burst_psi),
                Figure(found.collapse_psi))  # fmt: skip
    if spec.kind == HEAVY and body.row is not None:
        row = body.row
        absent = Figure(reason="no table has it for heavy-weight pipe; the maker's sheet governs.")
        return (figure_of(lambda: from_row("heavyweight", row, "tube_tensile_lb_55ksi", "lb")),
                figure_of(lambda: from_row("heavyweight", row, "tube_torsion_ft_lb_55ksi", "ft-lb")),
                absent, absent)  # fmt: skip
    if kind_of(spec.kind).family == "coupled" and body.od_in and body.wall_in and body.yield_psi:
        od, wall, strong = body.od_in, body.wall_in, body.yield_psi
        try:
            coupled = body_strengths_worked(od, wall, strong)
        except ValueError as wrong:
            return (Figure(reason=f"{wrong}."),) * 4
        return (Figure(coupled.body_lb), Figure(reason="casing is not turned by its torsion."),
                Figure(coupled.burst_psi), Figure(coupled.collapse_psi))  # fmt: skip
    return (Figure(reason=f"no table has the strength of a {kind_of(spec.kind).name}."),) * 4


def _under_load(run: Run, body: Body, hook: Figure) -> Figure:
    """Torsion of drill pipe while it carries what hangs at the top of the section."""
    if run.spec.kind != PIPE:
        return Figure(reason="it is no drill pipe.")
    known = strengths_of(body, run.pipe_class)
    if isinstance(known, str):
        return Figure(reason=f"{run.name}: {known}")
    sizes = (body.od_in or 0, body.wall_in or 0, body.yield_psi or 0,
             TUBE_CLASSES[run.pipe_class.strip().lower()])  # fmt: skip
    return then((hook,), lambda pull: tubes.torsion_under_pull_ft_lb_worked(*sizes, pull))


def _less(torsion: float, make_up: float) -> Worked:
    value = min(torsion, make_up)
    return Worked(value, "ft-lb", "the less of torsion of the tube and make-up torque of its joints",
                  {"torsion": f"{figure(torsion)} ft-lb", "make-up": f"{figure(make_up)} ft-lb"},
                  (f"{'the tube' if torsion <= make_up else 'the joint'} governs: {figure(value)} ft-lb",),
                  "common practice; RP 7G for both")  # fmt: skip


def _times(per_foot: Worked, length_ft: float) -> Worked:
    value = per_foot.value * length_ft
    last = f"{figure(per_foot.value)} x {figure(length_ft)} = {figure(value)} bbl"
    inputs = {**per_foot.inputs, "L": f"{figure(length_ft)} ft"}
    return Worked(value, "bbl", f"({per_foot.formula}) x L", inputs, (*per_foot.steps, last), per_foot.source)


def section_figures(run: Run, below: Sequence[tuple[Run, Figure]], bottom: Length | None, case: LoadCase,
                    bodies: Bodies) -> SectionFigures:  # fmt: skip
    """Return the figures of one section; units as `SectionFigures` says.

    `run` is the section, `below` it and those under it with their weights in lb/ft, `bottom` its distance
    from the bit, `case` and `bodies` those of the string. Raises nothing: what is out of range or unknown
    is a reason. Source: RP 7G, API 5C3, geometry; each figure with its own.
    """
    body = bodies.of(run.links[0])
    weight, length = body.weight, length_figure(run)
    bore = Figure(Worked(body.bore_in, "in", "", {}, (), "")) if body.bore_in is not None else \
        Figure(reason=f"the bore of {run.name} is not known.")
    hook = _hook(below, case)
    tensile, torsion, burst, collapse = _strengths(run, body)
    make_up = thread_torque(body, body, run.spec.down_conn or run.spec.up_conn, case, bodies.catalogue)
    stand = _stand(run, weight, length, bore, case)
    top = None if bottom is None or run.length is None else bottom + run.length
    return SectionFigures(
        run, bottom, top, weight,
        then((weight, length), weights.air_weight_lb_worked),
        NO_MUD if case.mud_ppg is None else then(
            (weight, length), lambda w, ft: weights.buoyed_weight_lb_worked(w, ft, case.mud_ppg or 0)),
        hook, tensile,
        then((hook, tensile), lambda load, strong: loads.overpull_lb_worked(
            load, strong, usable=case.usable, rig_limit_lb=case.rig_limit_lb)),
        torsion, _under_load(run, body, hook), make_up, then((torsion, make_up), _less), burst, collapse,
        then((weight, length), lambda w, ft: _times(weights.open_end_displacement_bbl_ft_worked(w), ft)),
        then((weight, bore, length),
             lambda w, d, ft: _times(weights.closed_end_displacement_bbl_ft_worked(w, d), ft)),
        then((bore, length), lambda d, ft: _times(weights.capacity_bbl_ft_worked(d), ft)),
        *stand)  # fmt: skip


def _stand(run: Run, weight: Figure, length: Figure, bore: Figure, case: LoadCase) -> tuple[Figure, Figure]:
    """The mud a stand of this section moves, open and closed; a stand of its own average joints."""
    if run.count < case.stand_joints:
        return (Figure(reason=f"{run.name} has less than a stand of {case.stand_joints}."),) * 2

    def one(w: float, d: float, ft: float) -> strings.StandDisplacementWorked:
        return strings.displacement_a_stand_worked(w, d, ft / run.count * case.stand_joints)

    figures = (weight, bore, length)
    return (then(figures, lambda w, d, ft: one(w, d, ft).open_bbl),
            then(figures, lambda w, d, ft: one(w, d, ft).closed_bbl))  # fmt: skip
