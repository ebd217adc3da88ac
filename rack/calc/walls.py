"""The smallest wall of a class: the limit itself, and the figure that may be printed for it."""

from fractions import Fraction
from math import ceil

from rack.calc.collapse import LARGEST_OD_IN
from rack.calc.figures import figure
from rack.calc.given import number_in, one_of
from rack.calc.worked import Worked

#: Smallest wall by class as an exact fraction of the nominal wall: mill tolerance, then RP 7G.
LIMITS = {"new": Fraction(7, 8), "premium": Fraction(4, 5), "class 2": Fraction(7, 10)}
_SOURCES = {"new": "API Spec 5D, mill tolerance 12.5 %", "premium": "RP 7G, 80 %", "class 2": "RP 7G, 70 %"}


def _exact(wall_in: float, pipe_class: str) -> Fraction:
    one_of("pipe_class", pipe_class, tuple(LIMITS))
    wall = number_in("wall_in", wall_in, "in", 0, LARGEST_OD_IN / 2, above=True, below=True)
    # The shortest text of the float is what was meant: 0.28 is 280/1000, and 80 % of it is 0.224.
    return Fraction(repr(wall)) * LIMITS[pipe_class]


def wall_limit_in(wall_in: float, pipe_class: str) -> float:
    """Return the smallest wall in inches that `pipe_class` allows; a reading is compared with this.

    `wall_in` is the nominal wall in inches, more than 0 and less than 30; `pipe_class` is "new"
    (87.5 % from the mill), "premium" (80 %) or "class 2" (70 %). A ValueError names what is out of
    range. Source: API Spec 5D, RP 7G.
    """
    return float(wall_limit_in_worked(wall_in, pipe_class).value)


def wall_limit_in_worked(wall_in: float, pipe_class: str) -> Worked:
    """Return `wall_limit_in` with formula, inputs and steps.

    `wall_in` in inches, `pipe_class`, ranges and ValueError as in `wall_limit_in`.
    Source: API Spec 5D, RP 7G.
    """
    limit = float(_exact(wall_in, pipe_class))
    percent = f"{float(LIMITS[pipe_class] * 100):g} %"
    step = f"{percent} of {figure(float(wall_in))} in = {figure(limit)} in"
    inputs = {"t": f"{figure(float(wall_in))} in", "class": pipe_class}
    return Worked(limit, "in", "percentage x nominal wall", inputs, (step,), _SOURCES[pipe_class])


def wall_limit_printed(wall_in: float, pipe_class: str) -> str:
    """Return the limit in inches to 0.001, rounded up so that a reading equal to the print passes.

    `wall_in` in inches and `pipe_class` as in `wall_limit_in`, with the same ValueError. Published
    tables round half up instead, which lowers some limits (3-1/2 13.30 premium 0.2944 prints 0.294).
    Source: the limit of RP 7G; the rounding is ours, common practice.
    """
    return f"{ceil(_exact(wall_in, pipe_class) * 1000) / 1000:.3f}"
