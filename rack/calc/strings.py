"""The string as sections counted from the bit upward: what it weighs, and where it goes slack.

`buoyancy` is the factor of `weights.buoyancy_factor`: the share of its weight that steel keeps in mud.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians

from rack.calc.collapse import LARGEST_OD_IN
from rack.calc.figures import figure
from rack.calc.given import number_in
from rack.calc.weights import closed_end_displacement_bbl_ft_worked, open_end_displacement_bbl_ft_worked
from rack.calc.worked import Worked

_ARITHMETIC = "arithmetic with buoyed weights (RP 7G)"


@dataclass(frozen=True)
class Section:
    """Pieces of one kind that hang together: `length_ft` in ft, `weight_lb_ft` in air with joints in lb/ft.

    `od_in` and `bore_in` in inches, and `tensile_lb` the pull at yield in lb, are None where not known.
    Raises ValueError that names what is out of range. Source: the caller's specifications.
    """

    name: str
    length_ft: float
    weight_lb_ft: float
    od_in: float | None = None
    bore_in: float | None = None
    tensile_lb: float | None = None

    def __post_init__(self) -> None:
        number_in("length_ft", self.length_ft, "ft", 0, 60_000)
        number_in("weight_lb_ft", self.weight_lb_ft, "lb/ft", 0, 10_000, above=True)
        if self.od_in is not None:
            number_in("od_in", self.od_in, "in", 0, LARGEST_OD_IN, above=True)
        if self.bore_in is not None:
            number_in("bore_in", self.bore_in, "in", 0, self.od_in or LARGEST_OD_IN, below=True)
        if self.tensile_lb is not None:
            number_in("tensile_lb", self.tensile_lb, "lb", 0, above=True)

    @property
    def air_lb(self) -> float:
        """The weight of the section in air in lb."""
        return self.length_ft * self.weight_lb_ft


def given_buoyancy(buoyancy: float) -> float:
    """Return `buoyancy` when it is a share of weight, over 0 and to 1 (no unit), else ValueError.

    Source: RP 7G; see `weights.buoyancy_factor`.
    """
    return number_in("buoyancy", buoyancy, "", 0, 1, above=True)


def _leaning(inclination_deg: float) -> float:
    return cos(radians(number_in("inclination_deg", inclination_deg, "degrees", 0, 80)))


def collar_length_ft(
    weight_on_bit_lb: float, weight_lb_ft: float, buoyancy: float,
    *, factor: float, inclination_deg: float = 0,
) -> float:  # fmt: skip
    """Return the length of collars in ft that puts a weight on the bit and stays in compression.

    `weight_on_bit_lb` in lb (0 to 500,000); `weight_lb_ft` of the collars in air in lb/ft (over 0);
    `buoyancy` a share (over 0, to 1); `factor` keeps the neutral point in the collars (1 to 2, no unit);
    `inclination_deg` in degrees (0 to 80). A ValueError names what is out of range. Source: RP 7G.
    """
    given = (weight_on_bit_lb, weight_lb_ft, buoyancy)
    return float(collar_length_ft_worked(*given, factor=factor, inclination_deg=inclination_deg).value)


def collar_length_ft_worked(
    weight_on_bit_lb: float, weight_lb_ft: float, buoyancy: float,
    *, factor: float, inclination_deg: float = 0,
) -> Worked:  # fmt: skip
    """Return `collar_length_ft` with formula, inputs and steps.

    `weight_on_bit_lb` in lb, `weight_lb_ft` in lb/ft, `buoyancy`, `factor`, `inclination_deg` in degrees,
    ranges and ValueError as in `collar_length_ft`. Source: RP 7G.
    """
    return pipe_length_for_bit_ft_worked(
        weight_on_bit_lb, 0, weight_lb_ft, buoyancy, factor=factor, inclination_deg=inclination_deg
    )


def pipe_length_for_bit_ft(
    weight_on_bit_lb: float, buoyed_below_lb: float, weight_lb_ft: float, buoyancy: float,
    *, factor: float, inclination_deg: float = 0,
) -> float:  # fmt: skip
    """Return the length of pipe (heavy-weight above collars) in ft that makes up the weight on the bit.

    `buoyed_below_lb` is what hangs below it, weighed in mud, in lb (0 or more); `weight_on_bit_lb` in lb,
    `weight_lb_ft` in lb/ft, `buoyancy`, `factor` (on this length only) and `inclination_deg` in degrees as
    in `collar_length_ft`. A ValueError names what is out of range, and `buoyed_below_lb` when the pieces
    below suffice. Source: Lyons p. 763.
    """
    worked = pipe_length_for_bit_ft_worked(
        weight_on_bit_lb, buoyed_below_lb, weight_lb_ft, buoyancy,
        factor=factor, inclination_deg=inclination_deg,
    )  # fmt: skip
    return float(worked.value)


def pipe_length_for_bit_ft_worked(
    weight_on_bit_lb: float, buoyed_below_lb: float, weight_lb_ft: float, buoyancy: float,
    *, factor: float, inclination_deg: float = 0,
) -> Worked:  # fmt: skip
    """Return `pipe_length_for_bit_ft` with formula, inputs and steps.

    `weight_on_bit_lb` and `buoyed_below_lb` in lb, `weight_lb_ft` in lb/ft, `buoyancy`, `factor`,
    `inclination_deg` in degrees, ranges and ValueError as in `pipe_length_for_bit_ft`.
    Source: RP 7G, Lyons p. 763.
    """
    on_bit = number_in("weight_on_bit_lb", weight_on_bit_lb, "lb", 0, 500_000)
    weight = number_in("weight_lb_ft", weight_lb_ft, "lb/ft", 0, 10_000, above=True)
    share, lean = given_buoyancy(buoyancy), _leaning(inclination_deg)
    over = number_in("factor", factor, "", 1, 2)
    along = on_bit / lean
    below = number_in("buoyed_below_lb", buoyed_below_lb, "lb", 0, along)
    length = (along - below) * over / (weight * share)
    inputs = {
        "weight on bit": f"{figure(on_bit)} lb", "below": f"{figure(below)} lb",
        "w": f"{figure(weight)} lb/ft", "BF": figure(share), "factor": figure(over),
        "inclination": f"{figure(float(inclination_deg))} degrees",
    }  # fmt: skip
    steps = (
        f"along the hole {figure(on_bit)} / cos = {figure(along)} lb",
        f"({figure(along)} - {figure(below)}) x {figure(over)} / ({figure(weight)} x {figure(share)})",
        f"= {figure(length)} ft",
    )
    return Worked(length, "ft", "(WOB / cos - below) x factor / (w x BF)", inputs, steps,
                  "RP 7G; Lyons p. 763")  # fmt: skip


def weight_on_bit_available_lb(
    sections: Sequence[Section], buoyancy: float, *, factor: float, inclination_deg: float = 0
) -> float:
    """Return the weight on the bit in lb that these sections give without going slack above them.

    `sections` are the collars and heavy-weight meant to be in compression; `buoyancy` a share (over 0, to
    1), `factor` 1 to 2 and `inclination_deg` 0 to 80 degrees as in `collar_length_ft`. A ValueError names
    what is out of range. Source: RP 7G.
    """
    worked = weight_on_bit_available_lb_worked(
        sections, buoyancy, factor=factor, inclination_deg=inclination_deg
    )
    return float(worked.value)


def weight_on_bit_available_lb_worked(
    sections: Sequence[Section], buoyancy: float, *, factor: float, inclination_deg: float = 0
) -> Worked:
    """Return `weight_on_bit_available_lb` with formula, inputs and steps.

    `sections`, `buoyancy`, `factor`, `inclination_deg` in degrees, ranges and ValueError as in
    `weight_on_bit_available_lb`. Source: RP 7G.
    """
    share, lean = given_buoyancy(buoyancy), _leaning(inclination_deg)
    over = number_in("factor", factor, "", 1, 2)
    air = sum(section.air_lb for section in sections)
    weight = air * share * lean / over
    inputs = {"in air": f"{figure(air)} lb", "BF": figure(share), "factor": figure(over),
              "inclination": f"{figure(float(inclination_deg))} degrees"}  # fmt: skip
    steps = (
        *(f"{section.name}: {figure(section.air_lb)} lb in air" for section in sections),
        f"{figure(air)} x {figure(share)} x cos / {figure(over)} = {figure(weight)} lb",
    )
    return Worked(weight, "lb", "w x L x BF x cos / factor", inputs, steps, "RP 7G")


def neutral_point_ft(
    sections: Sequence[Section], buoyancy: float, weight_on_bit_lb: float, *, inclination_deg: float = 0
) -> float:
    """Return how far above the bit, in ft, the string changes from compression to tension.

    `sections` count from the bit upward; `buoyancy` a share (over 0, to 1); `weight_on_bit_lb` in lb, 0 to
    what the whole string weighs in mud along the hole; `inclination_deg` 0 to 80 degrees. A ValueError
    names what is out of range. Source: buoyed weights, as RP 7G.
    """
    given = (sections, buoyancy, weight_on_bit_lb)
    return float(neutral_point_ft_worked(*given, inclination_deg=inclination_deg).value)


def neutral_point_ft_worked(
    sections: Sequence[Section], buoyancy: float, weight_on_bit_lb: float, *, inclination_deg: float = 0
) -> Worked:
    """Return `neutral_point_ft` with formula, inputs and steps.

    `sections`, `buoyancy`, `weight_on_bit_lb` in lb, `inclination_deg` in degrees, ranges and ValueError
    as in `neutral_point_ft`. Source: buoyed weights, as RP 7G.
    """
    share = given_buoyancy(buoyancy) * _leaning(inclination_deg)
    whole = sum(section.air_lb for section in sections) * share
    left = on_bit = number_in("weight_on_bit_lb", weight_on_bit_lb, "lb", 0, whole)
    height, steps = 0.0, []
    for section in sections:
        carried = section.air_lb * share
        if carried >= left:
            part = left / (section.weight_lb_ft * share)
            steps.append(f"{section.name}: {figure(left)} lb are left, {figure(part)} ft of it")
            height += part
            break
        steps.append(f"{section.name}: all {figure(section.length_ft)} ft carry {figure(carried)} lb")
        height, left = height + section.length_ft, left - carried
    inputs = {"weight on bit": f"{figure(on_bit)} lb", "BF x cos": figure(share)}
    return Worked(height, "ft", "sum of w x L x BF x cos = weight on bit", inputs, tuple(steps), _ARITHMETIC)


@dataclass(frozen=True)
class WeightBelow:
    """What hangs below a piece: `air_lb` in air and `buoyed_lb` in mud, both in lb, and `length_ft` in ft."""

    length_ft: float
    air_lb: float
    buoyed_lb: float


def weight_below(sections: Sequence[Section], index: int, buoyancy: float) -> WeightBelow:
    """Return length and weight of everything below one section: what a jar has to lift or throw.

    `sections` count from the bit upward; `index` is the place of the jar in them (0 = the lowest; no
    unit); `buoyancy` a share (over 0, to 1). A ValueError names what is out of range. Source: arithmetic.
    """
    share = given_buoyancy(buoyancy)
    if type(index) is not int or not 0 <= index < len(sections):
        raise ValueError(f"index: {index!r} is no section; allowed is 0 to {len(sections) - 1}")
    below = sections[:index]
    air = sum(section.air_lb for section in below)
    return WeightBelow(sum(section.length_ft for section in below), air, air * share)


@dataclass(frozen=True)
class StandDisplacement:
    """The mud that one stand moves in bbl: `open_bbl` when it fills, `closed_bbl` when it does not."""

    open_bbl: float
    closed_bbl: float


@dataclass(frozen=True)
class StandDisplacementWorked:
    """One `Worked` for each result of `StandDisplacement`, both in bbl."""

    open_bbl: Worked
    closed_bbl: Worked


def displacement_a_stand(weight_lb_ft: float, bore_in: float, stand_ft: float) -> StandDisplacement:
    """Return the mud in bbl that one stand moves, open-ended and closed-ended.

    `weight_lb_ft` in air with joints in lb/ft (0 to 10,000), `bore_in` in inches (0 to 60), `stand_ft` in
    ft (0 to 200). A ValueError names what is out of range. Source: geometry.
    """
    worked = displacement_a_stand_worked(weight_lb_ft, bore_in, stand_ft)
    return StandDisplacement(worked.open_bbl.value, worked.closed_bbl.value)


def displacement_a_stand_worked(
    weight_lb_ft: float, bore_in: float, stand_ft: float
) -> StandDisplacementWorked:
    """Return `displacement_a_stand` with formula, inputs and steps, one `Worked` a result.

    `weight_lb_ft` in lb/ft, `bore_in` in inches, `stand_ft` in ft, ranges and ValueError as in
    `displacement_a_stand`. Source: geometry.
    """
    stand = number_in("stand_ft", stand_ft, "ft", 0, 200, above=True)

    def for_stand(a_foot: Worked) -> Worked:
        volume = a_foot.value * stand
        last = f"{figure(a_foot.value)} x {figure(stand)} = {figure(volume)} bbl"
        inputs = {**a_foot.inputs, "stand": f"{figure(stand)} ft"}
        steps = (*a_foot.steps, last)
        return Worked(volume, "bbl", f"({a_foot.formula}) x stand", inputs, steps, a_foot.source)

    return StandDisplacementWorked(
        for_stand(open_end_displacement_bbl_ft_worked(weight_lb_ft)),
        for_stand(closed_end_displacement_bbl_ft_worked(weight_lb_ft, bore_in)),
    )
