"""The whole string: hook load, overpull, weight on bit, neutral point, jars, bores, sensors, volumes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rack.calc import loads, strings, weights
from rack.calc.bodies import NM_PER_IN, PIPE, UNWEIGHED, Bodies, Figure, figure_of
from rack.calc.chain import Link, Placed, length_of, placed
from rack.calc.figures import figure
from rack.calc.lengths import Length
from rack.calc.lookup import Catalogue
from rack.calc.losses import SHIPPED
from rack.calc.reference.parts import with_step
from rack.calc.rules.judging import names_of
from rack.calc.rules.plan import Passing
from rack.calc.rules.sizes import NO_BORE, way_through
from rack.calc.specs import inches
from rack.calc.string_loads.cases import LoadCase, Run, runs_of
from rack.calc.string_loads.floor import FloorLine, floor_lines
from rack.calc.string_loads.sections import (
    NO_MUD,
    SectionFigures,
    feet,
    hanging,
    section_figures,
)
from rack.calc.worked import Worked


@dataclass(frozen=True)
class BelowJar:
    """What hangs below a jar, without it: length (exact, None unknown), weight in air and in mud in lb."""

    ident: str
    n: int
    length: Length | None
    air_lb: Figure
    mud_lb: Figure


@dataclass(frozen=True)
class Sensor:
    """How far a measuring tool's sensor is above the bit: exact length, or the reason why it is not known."""

    ident: str
    n: int
    above_bit: Length | None
    reason: str = ""


@dataclass(frozen=True)
class Passes:
    """Whether something passes: True, False, or None where a bore on its way is not known; and in words."""

    passing: Passing
    fits: bool | None
    words: str


@dataclass(frozen=True)
class StringFigures:
    """A string as a whole and section by section, from the bit upward; every figure opens or has a reason.

    `length` is exact, None when one in it is not known. Weights and pulls are lb, volumes bbl, heights ft
    above the bit, `least_bore` in. `overpull_lb` is the least of the sections of drill pipe, `weakest` the
    name of the section where it is.
    """

    length: Length | None
    sections: tuple[SectionFigures, ...]
    buoyancy: Figure
    air_lb: Figure
    mud_lb: Figure
    hook_lb: Figure
    overpull_lb: Figure
    weakest: str
    weight_on_bit_lb: Figure
    neutral_ft: Figure
    below_jars: tuple[BelowJar, ...]
    open_bbl: Figure
    closed_bbl: Figure
    capacity_bbl: Figure
    least_bore: Figure
    narrowest: str
    passes: tuple[Passes, ...]
    sensors: tuple[Sensor, ...]
    floor: tuple[FloorLine, ...]


def string_figures(links: Sequence[Link], case: LoadCase, *, catalogue: Catalogue = SHIPPED) -> StringFigures:
    """Return every figure of a string; units as `StringFigures` and `SectionFigures` say.

    `links` count from the bit upward, `case` says for what, `catalogue` holds the rows in force. Loads hang
    free in a vertical hole; the inclination counts for the weight on bit and the neutral point only.
    Unknown is a reason, never a guess; a bit that is not weighed is left out and named. Raises ValueError
    for a kind of piece that there is not. Source: RP 7G and geometry, each figure with its own.
    """
    bodies = Bodies(catalogue)
    runs = runs_of(links)
    weighed = [(run, bodies.of(run.links[0]).weight) for run in runs]
    sections: list[SectionFigures] = []
    bottom: Length | None = Length(0)
    for n, run in enumerate(runs):
        sections.append(section_figures(run, weighed[: n + 1], bottom, case, bodies))
        bottom = sections[-1].top
    places = placed(links)
    least, weakest = _weakest(sections)
    narrow, narrowest = _narrowest(places, bodies)
    last = sections[-1] if sections else None
    return StringFigures(
        length_of(links), tuple(sections), _buoyancy(case),
        _sum([one.air_lb for one in sections], sections), _sum([one.mud_lb for one in sections], sections),
        last.hook_lb if last else Figure(reason="the string is empty."), least, weakest,
        _on_bit(weighed, case), _neutral(weighed, case), _jars(places, runs, weighed, case),
        _sum([one.open_bbl for one in sections], sections),
        _sum([one.closed_bbl for one in sections], sections),
        _sum([one.capacity_bbl for one in sections], sections), narrow, narrowest,
        tuple(_passes(one, places, bodies) for one in case.passes), _sensors(places, bodies),
        floor_lines(links, case, bodies))  # fmt: skip


def _buoyancy(case: LoadCase) -> Figure:
    mud = case.mud_ppg
    return NO_MUD if mud is None else figure_of(lambda: weights.buoyancy_factor_worked(mud))


def _sum(figures: Sequence[Figure], sections: Sequence[SectionFigures]) -> Figure:
    """The sum of one figure over the sections; a bit that has none is left out and named."""
    steps, total, left_out, unit, source = [], 0.0, [], "", ""
    if not figures:
        return Figure(reason="the string is empty.")
    for one, section in zip(figures, sections, strict=True):
        if one.worked is None:
            if one is NO_MUD:
                return NO_MUD
            if section.run.spec.kind in UNWEIGHED:
                left_out.append(f"without {section.run.name}, of which it is not known")
                continue
            return Figure(reason=f"{section.run.name}: {one.reason}".replace(
                f"{section.run.name}: {section.run.name}: ", f"{section.run.name}: "))  # fmt: skip
        total += float(one.worked.value)
        unit, source = one.worked.unit, one.worked.source
        steps.append(f"{section.run.name}: {figure(float(one.worked.value))} {unit}")
    worked = Worked(total, unit, "sum of the sections", {"sections": str(len(steps))},
                    (*steps, f"sum = {figure(total)} {unit}"), source or "addition")  # fmt: skip
    return Figure(worked, left_out="; ".join(left_out))


def _weakest(sections: Sequence[SectionFigures]) -> tuple[Figure, str]:
    """The least overpull of the drill pipe; unknown when that of one of its sections is."""
    pipe = [one for one in sections if one.run.spec.kind == PIPE]
    if not pipe:
        return Figure(reason="no drill pipe is in the string."), ""
    for one in pipe:
        if one.overpull_lb.worked is None:
            return Figure(reason=one.overpull_lb.reason), ""
    least = min(pipe, key=lambda one: one.overpull_lb.value or 0)
    return least.overpull_lb, least.run.name


def _below_pipe(weighed: Sequence[tuple[Run, Figure]]) -> list[tuple[Run, Figure]]:
    found = []
    for run, weight in weighed:
        if run.spec.kind == PIPE:
            break
        found.append((run, weight))
    return found


def _on_bit(weighed: Sequence[tuple[Run, Figure]], case: LoadCase) -> Figure:
    if case.mud_ppg is None:
        return NO_MUD
    sections, reason, left_out = hanging(_below_pipe(weighed))
    if reason or not sections:
        return Figure(reason=reason or "nothing that is weighed stands below the drill pipe.")
    factor = weights.buoyancy_factor(case.mud_ppg)
    found = figure_of(lambda: strings.weight_on_bit_available_lb_worked(
        sections, factor, factor=case.bit_factor, inclination_deg=case.inclination_deg))  # fmt: skip
    return Figure(found.worked, found.reason, left_out)


def _neutral(weighed: Sequence[tuple[Run, Figure]], case: LoadCase) -> Figure:
    if case.mud_ppg is None:
        return NO_MUD
    if case.weight_on_bit_lb is None:
        return Figure(reason="the weight on bit is not given.")
    sections, reason, left_out = hanging(weighed)
    if reason or not sections:
        return Figure(reason=reason or "nothing that is weighed is in the string.")
    factor, on_bit = weights.buoyancy_factor(case.mud_ppg), case.weight_on_bit_lb
    found = figure_of(lambda: strings.neutral_point_ft_worked(
        sections, factor, on_bit, inclination_deg=case.inclination_deg))  # fmt: skip
    if found.worked is None or not left_out:
        return found
    return _over_the_bit(found.worked, weighed, left_out)


def _over_the_bit(found: Worked, weighed: Sequence[tuple[Run, Figure]], left_out: str) -> Figure:
    """A height in ft over the bit when the bit itself was not weighed: its length comes on top."""
    bits = [run for run, weight in weighed if run.spec.kind in UNWEIGHED and weight.worked is None]
    lengths = [run.length for run in bits]
    if any(one is None for one in lengths):
        return Figure(reason=f"the length of {bits[0].name} is not known.")
    more = sum(feet(one) for one in lengths if one is not None)
    value = float(found.value) + more
    step = f"and {figure(more)} ft of {bits[0].name} = {figure(value)} ft"
    return Figure(with_step(replace(found, value=value), step), left_out=left_out)


def _jars(places: Sequence[Placed], runs: Sequence[Run], weighed: Sequence[tuple[Run, Figure]],
          case: LoadCase) -> tuple[BelowJar, ...]:  # fmt: skip
    found = []
    for n, run in enumerate(runs):
        if run.spec.kind != "jar":
            continue
        at = places[run.first - 1]
        sections, reason, left_out = hanging(weighed[:n])
        height = sum(section.length_ft for section in sections)

        def one(share: float, sections: list[strings.Section] = sections, height: float = height,
                reason: str = reason, left_out: str = left_out) -> Figure:  # fmt: skip
            if reason:
                return Figure(reason=reason)
            worked = figure_of(lambda: loads.load_at_lb_worked(sections, share, height))
            return Figure(worked.worked, worked.reason, left_out)

        mud = NO_MUD if case.mud_ppg is None else one(weights.buoyancy_factor(case.mud_ppg))
        found.append(BelowJar(at.link.ident, at.n, at.bottom, one(1), mud))
    return tuple(found)


def _narrowest(places: Sequence[Placed], bodies: Bodies) -> tuple[Figure, str]:
    """The least bore of what has a way through, in inches, and the piece that has it."""
    way = [at for at in places if at.link.spec.kind not in NO_BORE]
    if not way:
        return Figure(reason="nothing in the string has a bore that counts."), ""
    unknown = [at.link for at in way if bodies.of(at.link).least_nm is None]
    if unknown:
        return Figure(reason=f"the least bore of {names_of(unknown)} is not known."), ""
    sizes = {at.n: bodies.of(at.link).least_nm or 0 for at in way}
    least = min(way, key=lambda at: (sizes[at.n], at.n))
    value = sizes[least.n] / NM_PER_IN
    steps = (f"{least.link.ident}: {inches(sizes[least.n])} in",)
    inputs = {"pieces": f"{len(way)}, tool joints counted"}
    return Figure(Worked(value, "in", "the least of all bores", inputs, steps, "the bores of the pieces")), \
        least.link.ident


def _passes(passing: Passing, places: Sequence[Placed], bodies: Bodies) -> Passes:
    way = way_through(places, passing)
    shown = f"{passing.name}, {inches(passing.size_nm)} in,"
    tight = [at for at in way if (bodies.of(at.link).least_nm or passing.size_nm + 1) <= passing.size_nm]
    if tight:
        bore = bodies.of(tight[0].link).least_nm or 0
        return Passes(passing, False, f"{shown} stops at {tight[0].link.ident}: {inches(bore)} in.")
    unknown = [at.link for at in way if bodies.of(at.link).least_nm is None]
    if unknown:
        words = f"{shown} is not certain to pass: the bore of {names_of(unknown)} is not known."
        return Passes(passing, None, words)
    return Passes(passing, True, f"{shown} passes.")


def _sensors(places: Sequence[Placed], bodies: Bodies) -> tuple[Sensor, ...]:
    found = []
    for at in places:
        if at.link.spec.kind != "mwd":
            continue
        offset = bodies.of(at.link).facts.get("sensor_nm", "")
        if not offset:
            found.append(Sensor(at.link.ident, at.n, None, "its sensor's distance from the lower shoulder is "
                                "not known."))
        elif at.bottom is None:
            found.append(Sensor(at.link.ident, at.n, None, "a length below it is not known."))
        else:
            found.append(Sensor(at.link.ident, at.n, at.bottom + Length(int(offset))))
    return tuple(found)
