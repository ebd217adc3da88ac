"""How much stiffer one piece of a string is than its neighbour: where the string likes to break."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from rack.calc.collapse import LARGEST_OD_IN
from rack.calc.figures import figure
from rack.calc.given import number_in
from rack.calc.strings import Section
from rack.calc.worked import Worked


def modulus_ratio(
    lower_od_in: float, lower_bore_in: float, upper_od_in: float, upper_bore_in: float
) -> float:
    """Return the ratio of the section moduli where the string changes size, the stiffer over the limber.

    All four arguments, `lower_od_in`, `lower_bore_in`, `upper_od_in` and `upper_bore_in`, are in inches
    (OD over 0, to 60; bore less than the OD); a ValueError names what is out of range. Common practice
    keeps it under 5.5 in soft and under 3.5 in hard rock. Source: geometry.
    """
    return float(modulus_ratio_worked(lower_od_in, lower_bore_in, upper_od_in, upper_bore_in).value)


def modulus_ratio_worked(
    lower_od_in: float, lower_bore_in: float, upper_od_in: float, upper_bore_in: float
) -> Worked:
    """Return `modulus_ratio` with formula, inputs and steps.

    `lower_od_in`, `lower_bore_in`, `upper_od_in`, `upper_bore_in` in inches, ranges and ValueError as in
    `modulus_ratio`. Source: geometry.
    """
    moduli, inputs = [], {}
    sizes = (("lower", lower_od_in, lower_bore_in), ("upper", upper_od_in, upper_bore_in))
    for place, od_in, bore_in in sizes:
        od = number_in(f"{place}_od_in", od_in, "in", 0, LARGEST_OD_IN, above=True)
        bore = number_in(f"{place}_bore_in", bore_in, "in", 0, od, below=True)
        moduli.append(pi / 32 * (od**4 - bore**4) / od)
        inputs[place] = f"{figure(od)} x {figure(bore)} in"
    ratio = max(moduli) / min(moduli)
    done = (
        f"lower Z = {figure(moduli[0])} in3, upper Z = {figure(moduli[1])} in3",
        f"ratio = {figure(ratio)}",
    )
    return Worked(ratio, "", "Z = pi/32 x (D^4 - d^4) / D, larger over smaller", inputs, done, "geometry")


@dataclass(frozen=True)
class Step:
    """A change of size between neighbours: their names and the `ratio` (no unit), None when unknown."""

    lower: str
    upper: str
    ratio: float | None


def steps(sections: Sequence[Section]) -> tuple[Step, ...]:
    """Return the section-modulus ratio at every change of size, from the bit upward.

    `sections` count from the bit upward, sizes in inches; where OD or bore is not known the ratio is None,
    and equal neighbours are no step. Raises nothing. Source: `modulus_ratio`.
    """
    found = []
    for lower, upper in zip(sections, sections[1:], strict=False):
        sizes = (lower.od_in, lower.bore_in, upper.od_in, upper.bore_in)
        if None in sizes:
            found.append(Step(lower.name, upper.name, None))
        elif sizes[:2] != sizes[2:]:
            found.append(Step(lower.name, upper.name, modulus_ratio(*(float(size or 0) for size in sizes))))
    return tuple(found)
