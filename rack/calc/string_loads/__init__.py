"""The loads of a string section by section and as a whole, every figure opened (law 10).

`string_figures(links, case)` is what a page asks; `case_of(plan)` makes the case from a plan.
"""

from rack.calc.string_loads.cases import LoadCase, Run, case_of, lowest, runs_of
from rack.calc.string_loads.floor import FloorLine, floor_lines, thread_torque
from rack.calc.string_loads.sections import SectionFigures, section_figures
from rack.calc.string_loads.whole import BelowJar, Passes, Sensor, StringFigures, string_figures

__all__ = [
    "BelowJar", "FloorLine", "LoadCase", "Passes", "Run", "SectionFigures", "Sensor", "StringFigures",
    "case_of", "floor_lines", "lowest", "runs_of", "section_figures", "string_figures", "thread_torque",
]  # fmt: skip
