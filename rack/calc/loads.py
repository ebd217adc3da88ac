"""What hangs at every depth, how much pull is left, and how long a section may be.

Loads are those of a string hanging free in a vertical hole, weighed in mud by its buoyancy factor.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.figures import figure
from rack.calc.given import number_in
from rack.calc.strings import Section, given_buoyancy
from rack.calc.worked import Worked

#: Share of the strength at yield that RP 7G lets a design use.
USABLE = 0.9


@dataclass(frozen=True)
class SectionLoad:
    """One section as it hangs: heights above the bit in ft, loads in lb, None where strength is not known.

    `allowed_lb` is the usable strength, `left_lb` what may still be pulled at the top of the section
    (below 0 when it is overloaded), `safety` the allowed load over the load.
    """

    name: str
    bottom_ft: float
    top_ft: float
    bottom_lb: float
    top_lb: float
    allowed_lb: float | None
    left_lb: float | None
    safety: float | None


def loads(
    sections: Sequence[Section], buoyancy: float, *, usable: float = USABLE, rig_limit_lb: float | None = None
) -> tuple[SectionLoad, ...]:
    """Return the load at both ends of every section and the pull left there, from the bit upward.

    `sections` count from the bit upward; `buoyancy` is a share (over 0, to 1, no unit); `usable` the share
    of the strength a design may use (over 0, to 1); `rig_limit_lb` what the rig may pull in lb (over 0),
    None when not known. The least `left_lb` is the overpull of the string. A ValueError names what is out
    of range. Source: RP 7G.
    """
    share = given_buoyancy(buoyancy)
    used = number_in("usable", usable, "", 0, 1, above=True)
    height = load = 0.0
    found = []
    for section in sections:
        top, top_lb = height + section.length_ft, load + section.air_lb * share
        tensile = section.tensile_lb
        allowed = None if tensile is None else _allowed(tensile, used, rig_limit_lb)
        safety = allowed / top_lb if allowed is not None and top_lb > 0 else None
        left = None if allowed is None else allowed - top_lb
        found.append(SectionLoad(section.name, height, top, load, top_lb, allowed, left, safety))
        height, load = top, top_lb
    return tuple(found)


def _allowed(tensile_lb: float, usable: float, rig_limit_lb: float | None) -> float:
    pipe = usable * tensile_lb
    if rig_limit_lb is None:
        return pipe
    return min(pipe, number_in("rig_limit_lb", rig_limit_lb, "lb", 0, above=True))


def load_at_lb(sections: Sequence[Section], buoyancy: float, above_bit_ft: float) -> float:
    """Return the load in lb that hangs at a height above the bit.

    `sections` count from the bit upward; `buoyancy` is a share (over 0, to 1); `above_bit_ft` in ft, 0 to
    the length of the string. A ValueError names what is out of range. Source: RP 7G.
    """
    return float(load_at_lb_worked(sections, buoyancy, above_bit_ft).value)


def load_at_lb_worked(sections: Sequence[Section], buoyancy: float, above_bit_ft: float) -> Worked:
    """Return `load_at_lb` with formula, inputs and steps.

    `sections`, `buoyancy`, `above_bit_ft` in ft, ranges and ValueError as in `load_at_lb`. Source: RP 7G.
    """
    share = given_buoyancy(buoyancy)
    whole = sum(section.length_ft for section in sections)
    left = height = number_in("above_bit_ft", above_bit_ft, "ft", 0, whole)
    air, steps = 0.0, []
    for section in sections:
        part = min(left, section.length_ft)
        if part > 0:
            air += part * section.weight_lb_ft
            steps.append(f"{section.name}: {figure(part)} ft x {figure(section.weight_lb_ft)} lb/ft")
        left -= part
    load = air * share
    steps.append(f"{figure(air)} lb x {figure(share)} = {figure(load)} lb")
    inputs = {"height above the bit": f"{figure(height)} ft", "BF": figure(share)}
    return Worked(load, "lb", "sum of w x L x BF", inputs, tuple(steps), "RP 7G")


def overpull_lb(
    load_lb: float, tensile_lb: float, *, usable: float = USABLE, rig_limit_lb: float | None = None
) -> float:
    """Return the pull in lb that is left over a load: below 0 when the load is already too much.

    `load_lb` and `tensile_lb` (strength at yield) in lb, 0 or more; `usable` the share of strength a design
    may use (over 0, to 1); `rig_limit_lb` what the rig may pull in lb (over 0), None when not known. A
    ValueError names what is out of range. Source: RP 7G.
    """
    return float(overpull_lb_worked(load_lb, tensile_lb, usable=usable, rig_limit_lb=rig_limit_lb).value)


def overpull_lb_worked(
    load_lb: float, tensile_lb: float, *, usable: float = USABLE, rig_limit_lb: float | None = None
) -> Worked:
    """Return `overpull_lb` with formula, inputs and steps.

    `load_lb`, `tensile_lb`, `rig_limit_lb` in lb, `usable`, ranges and ValueError as in `overpull_lb`.
    Source: RP 7G.
    """
    load = number_in("load_lb", load_lb, "lb", 0)
    tensile = number_in("tensile_lb", tensile_lb, "lb", 0, above=True)
    used = number_in("usable", usable, "", 0, 1, above=True)
    allowed = _allowed(tensile, used, rig_limit_lb)
    left = allowed - load
    inputs = {"T": f"{figure(tensile)} lb", "share used": figure(used), "load": f"{figure(load)} lb"}
    if rig_limit_lb is not None:
        inputs["rig"] = f"{figure(float(rig_limit_lb))} lb"
    steps = (f"allowed = {figure(allowed)} lb", f"{figure(allowed)} - {figure(load)} = {figure(left)} lb")
    return Worked(left, "lb", "share x T, or the rig's limit if less, - load", inputs, steps, "RP 7G")


def longest_section_ft(
    tensile_lb: float, weight_lb_ft: float, buoyancy: float,
    buoyed_below_lb: float, overpull_wanted_lb: float,
    *, usable: float = USABLE,
) -> float:  # fmt: skip
    """Return the greatest length in ft of one pipe that still leaves the overpull that is wanted.

    `tensile_lb` is the strength at yield in lb (over 0); `weight_lb_ft` in air with joints in lb/ft (over
    0); `buoyancy` a share (over 0, to 1); `buoyed_below_lb` what hangs below, weighed in mud, and
    `overpull_wanted_lb`, both in lb, 0 or more and together within the usable strength; `usable` the share
    of strength a design may use (0.9, or 1 over a design factor). A ValueError names what is out of range.
    Source: RP 7G; one public page multiplies by the buoyancy where it must divide.
    """
    given = (tensile_lb, weight_lb_ft, buoyancy, buoyed_below_lb, overpull_wanted_lb)
    return float(longest_section_ft_worked(*given, usable=usable).value)


def longest_section_ft_worked(
    tensile_lb: float, weight_lb_ft: float, buoyancy: float,
    buoyed_below_lb: float, overpull_wanted_lb: float,
    *, usable: float = USABLE,
) -> Worked:  # fmt: skip
    """Return `longest_section_ft` with formula, inputs and steps.

    `tensile_lb`, `buoyed_below_lb`, `overpull_wanted_lb` in lb, `weight_lb_ft` in lb/ft, `buoyancy`,
    `usable`, ranges and ValueError as in `longest_section_ft`. Source: RP 7G.
    """
    tensile = number_in("tensile_lb", tensile_lb, "lb", 0, above=True)
    weight = number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 10_000, above=True)
    share = given_buoyancy(buoyancy)
    used = number_in("usable", usable, "", 0, 1, above=True)
    allowed = used * tensile
    wanted = number_in("overpull_wanted_lb", overpull_wanted_lb, "lb", 0, allowed)
    below = number_in("buoyed_below_lb", buoyed_below_lb, "lb", 0, allowed - wanted)
    length = (allowed - wanted - below) / (weight * share)
    inputs = {
        "T": f"{figure(tensile)} lb", "share used": figure(used), "overpull": f"{figure(wanted)} lb",
        "below": f"{figure(below)} lb", "w": f"{figure(weight)} lb/ft", "BF": figure(share),
    }  # fmt: skip
    steps = (
        f"allowed = {figure(used)} x {figure(tensile)} = {figure(allowed)} lb",
        f"({figure(allowed)} - {figure(wanted)} - {figure(below)})",
        f"divided by ({figure(weight)} x {figure(share)})",
        f"= {figure(length)} ft",
    )
    return Worked(length, "ft", "(share x T - overpull - below) / (w x BF)", inputs, steps, "RP 7G")
