"""Law 10: every figure can be opened. A function and its twin take the same and give the same."""

import inspect
import math

import pytest

from rack.calc import bending, bits, casing, connections, loads, stiffness, strings, tubes, walls, weights
from rack.calc.strings import Section
from rack.calc.worked import Worked

STRING = (Section("collars", 300, 150), Section("pipe", 5000, 20.87, tensile_lb=560_764))

#: function -> arguments and keyword arguments that it takes.
CALLS = {
    connections.bending_strength_ratio: (("NC50", 6.5, 2.8125), {}),
    connections.torque_ft_lb: (("NC50", 6.5, 2.8125, 62_500), {"limit_shoulder": True}),
    connections.make_up_torque_ft_lb: (
        ("NC50", 6.5, 2.8125, 62_500), {"limit_shoulder": True, "compound_factor": 1.1}),
    connections.line_pull_lb: ((29_679, 4), {}),
    casing.joint_strength_lb: (("LTC", 7, 0.408, 80_000, 100_000), {"weight_lb_ft": 29}),
    bits.total_flow_area_in2: (((16, 16, 18),), {}),
    tubes.torsion_under_pull_ft_lb: ((5, 0.362, 135_000, "premium", 100_000), {}),
    tubes.torque_turn_ft_lb: ((5, 0.362, "class 2"), {}),
    tubes.twist_turns: ((5, 0.362, "new", 20_000, 9000), {"wall_left": 0.9}),
    walls.wall_limit_in: ((0.362, "premium"), {}),
    weights.buoyancy_factor: ((10,), {}),
    weights.collar_weight_lb_ft: ((8, 2.8125), {}),
    weights.spiral_collar_weight_lb_ft: ((8, 2.8125), {}),
    weights.air_weight_lb: ((20.87, 1000), {}),
    weights.buoyed_weight_lb: ((20.87, 1000, 10), {}),
    weights.jointed_weight_lb_ft: ((17.93, 8.6, 5.125, 6.375, 3.75, 17), {}),
    weights.capacity_bbl_ft: ((4.276,), {}),
    weights.open_end_displacement_bbl_ft: ((20.87,), {}),
    weights.closed_end_displacement_bbl_ft: ((20.87, 4.276), {}),
    strings.collar_length_ft: ((50_000, 92, 0.83), {"factor": 1.1}),
    strings.pipe_length_for_bit_ft: ((50_000, 20_000, 41, 0.83), {"factor": 1.15, "inclination_deg": 40}),
    strings.weight_on_bit_available_lb: ((STRING, 0.85), {"factor": 1.15}),
    strings.neutral_point_ft: ((STRING, 0.85, 50_000), {"inclination_deg": 20}),
    stiffness.modulus_ratio: ((8, 2.8125, 5, 3), {}),
    loads.load_at_lb: ((STRING, 0.85, 1000), {}),
    loads.overpull_lb: ((200_000, 560_764), {"rig_limit_lb": 400_000}),
    loads.longest_section_ft: ((560_764, 20.87, 0.85, 50_000, 100_000), {}),
    bending.dogleg_limit_deg_100ft: ((5, 4.276, "E75", 100_000), {}),
    bending.stretch_in: ((100_000, 10_000, 5, 4.276), {}),
    bending.own_weight_stretch_in: ((20.87, 0.85, 10_000, 5, 4.276), {}),
}
#: Results that are whole tables or several at once; their twins are tried beside the functions themselves.
SEVERAL = {
    "tubes.geometry", "tubes.strengths", "strings.displacement_a_stand", "strings.weight_below",
    "strings.given_buoyancy", "stiffness.steps", "loads.loads", "walls.wall_limit_printed",
    "bending.bending_stress_psi",
}  # fmt: skip


def _twin(function):
    return getattr(inspect.getmodule(function), f"{function.__name__}_worked")


@pytest.mark.parametrize("function", CALLS, ids=lambda function: function.__name__)
def test_the_twin_gives_the_same_value_and_everything_to_redo_it(function):
    args, more = CALLS[function]
    worked = _twin(function)(*args, **more)
    assert isinstance(worked, Worked)
    assert worked.value == function(*args, **more)
    assert math.isfinite(worked.value)
    assert worked.value != 0
    assert worked.formula
    assert worked.source
    assert worked.steps
    assert all(isinstance(text, str) and text for text in (*worked.inputs, *worked.inputs.values()))


@pytest.mark.parametrize("function", CALLS, ids=lambda function: function.__name__)
def test_the_twin_takes_the_same_arguments(function):
    assert inspect.signature(_twin(function)).parameters == inspect.signature(function).parameters


@pytest.mark.parametrize("module", [tubes, weights, walls, strings, stiffness, loads, bending])
def test_no_function_was_left_without_a_twin_or_a_reason(module):
    short = module.__name__.rpartition(".")[2]
    found = {
        f"{short}.{name}"
        for name, thing in vars(module).items()
        if inspect.isfunction(thing) and thing.__module__ == module.__name__
        if not name.startswith("_") and not name.endswith("_worked")
    }
    tried = {f"{short}.{function.__name__}" for function in CALLS if function.__module__ == module.__name__}
    assert found - SEVERAL == tried
