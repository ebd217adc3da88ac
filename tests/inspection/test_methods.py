"""Which method fits which piece, whose zero a look resets, and whether the report may stand."""

from datetime import date

import pytest

from inspection.calc.methods import (
    equipment_problems,
    inspector_problems,
    method,
    method_problems,
    methods,
    methods_for,
    programme,
    scopes_reset,
)
from inspection.calc.readings import Look
from inspection.calc.wear import wear
from rack.calc.specs import SpecFacts
from tests.inspection.pieces import nm, pipe

STEEL, SOFT = SpecFacts("collar"), SpecFacts("collar", facts='{"non_magnetic":true}')


@pytest.mark.parametrize("code", ["MPI-F", "EMI", "MPI-D"])
def test_magnetic_on_non_magnetic_steel_is_refused(code):
    assert "STOPS" in [problem.severity for problem in method_problems([code], SOFT)]


@pytest.mark.parametrize("code", ["PT", "UTC", "VT-C"])
def test_penetrant_and_ultrasonic_go_on_any_steel(code):
    assert method_problems([code], SOFT) == method_problems([code], STEEL) == []


def test_a_method_of_another_kind_is_asked():
    assert [problem.severity for problem in method_problems(["ODG"], STEEL)] == ["ASKS"]


@pytest.mark.parametrize("wall, count", [("0.400", 0), ("0.401", 1), ("0.362", 0)])
def test_full_length_ultrasonic_is_preferred_over_0_400_in(wall, count):
    found = method_problems(["EMI"], pipe(), wall_nm=nm(wall))
    assert [problem.severity for problem in found] == ["NOTE"] * count


def test_an_unknown_method_is_named():
    with pytest.raises(ValueError, match="XRAY"):
        method("XRAY")


def test_a_non_magnetic_collar_is_offered_no_magnetic_method():
    assert not any(one.magnetic for one in methods_for(SOFT))
    assert any(one.magnetic for one in methods_for(STEEL))


def test_every_method_has_a_source_and_something_it_looks_at():
    assert len(methods()) == 23
    assert all(one.source and one.looks_at and one.looks_at[0] for one in methods())


@pytest.mark.parametrize("kind, category, codes, acceptance", [
    ("drill_pipe", "1", ("VT-C", "VT-T"), "Class 2"),
    ("drill_pipe", "3", ("VT-C", "DIM1", "VT-T", "ODG", "UTW", "EMI"), "Premium"),
    ("collar", "4", ("VT-C", "MPI-F", "DIM3", "GRV", "HCK"), ""), ("bit", "", ("RING", "VT-C"), ""),
])  # fmt: skip
def test_a_programme_names_its_methods(kind, category, codes, acceptance):
    assert programme(kind, category)[:2] == (codes, acceptance)


def test_a_category_that_is_none_is_refused():
    with pytest.raises(ValueError, match="programme"):
        programme("drill_pipe", "9")


def done(*codes):
    return [Look(code, "nothing to reject") for code in codes]


TUBE = ("VT-T", "ODG", "UTW", "EMI")


@pytest.mark.parametrize("kind, codes, scopes", [
    ("drill_pipe", (), set()), ("drill_pipe", ("VT-T",), set()), ("drill_pipe", ("VT-T", "VT-C"), {"visual"}),
    ("drill_pipe", ("VT-C", "DIM1"), {"connections"}), ("drill_pipe", TUBE, {"tube"}),
    ("drill_pipe", TUBE[:3], set()), ("drill_pipe", (*TUBE, "VT-C"), {"visual", "tube"}),
    ("drill_pipe", (*TUBE, "VT-C", "DIM1"), {"visual", "tube", "connections", "full"}),
    ("collar", ("VT-C",), {"visual"}), ("collar", ("VT-C", "MPI-F"), {"visual", "connections", "full"}),
    ("casing", ("VT-T", "VT-C"), {"visual", "connections"}),
])  # fmt: skip
def test_a_look_resets_only_the_scopes_it_did(kind, codes, scopes):
    assert scopes_reset(done(*codes), kind) == scopes


def test_a_method_without_result_resets_nothing():
    assert scopes_reset([Look("VT-C", "nothing to reject"), Look("MPI-F", "")], "collar") == {"visual"}


@pytest.mark.parametrize("name, level, to, severities", [
    ("A. Berg", "Level II", date(2026, 3, 13), []), ("A. Berg", "Level II", date(2026, 3, 12), ["ASKS"]),
    ("A. Berg", "Level I", date(2027, 1, 1), ["ASKS"]), ("A. Berg", "", date(2027, 1, 1), ["ASKS"]),
    ("", "II", date(2027, 1, 1), ["ASKS"]), ("A. Berg", "III", None, ["NOTE"]),
])  # fmt: skip
def test_level_and_its_end_are_held_against_the_last_day(name, level, to, severities):
    assert [problem.severity for problem in inspector_problems(name, level, to,
                                                               date(2026, 3, 13))] == severities


@pytest.mark.parametrize("due, count", [(date(2026, 3, 13), 0), (date(2026, 3, 12), 1), (None, 0)])
def test_calibration_is_held_against_every_day(due, count):
    assert len(equipment_problems("UT 7", due, [date(2026, 3, 12), date(2026, 3, 13)])) == count


def test_wear_says_when_the_next_limit_is_reached():
    found = wear(nm("0.350"), nm("0.330"), 1000 * 3600, nm("0.362"))
    assert found.step == "Premium"
    assert found.rate == nm("0.020") / 1000
    assert found.left // 3600 == 2020  # 0.0404 in at 0.020 in a thousand hours
    assert "Indicative" in found.source


@pytest.mark.parametrize("later, step", [("0.280", "Class 2"), ("0.200", "")])
def test_below_a_limit_the_next_one_is_meant(later, step):
    assert wear(nm("0.350"), nm(later), 3600, nm("0.362")).step == step


def test_no_loss_reaches_no_limit():
    assert wear(nm("0.330"), nm("0.335"), 3600, nm("0.362")).left is None


@pytest.mark.parametrize("more", [{"used": 0}, {"clock": "days"}, {"nominal_nm": 0}])
def test_wear_of_nothing_is_refused(more):
    with pytest.raises(ValueError):
        wear(**{"earlier_nm": 9, "later_nm": 8, "used": 1, "nominal_nm": 10, **more})
