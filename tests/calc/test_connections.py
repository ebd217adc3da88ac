"""Stiffness, torque and wear of a joint: laws that hold for every thread, and limits held to the unit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import connections as c
from rack.calc.connections.geometry import TENSION_SECTION_IN, balanced_od, pin_area, widest_od
from rack.calc.lookup import Catalogue, rows
from rack.calc.worked import Worked

WITH_DIMENSIONS = [name for name in c.known() if name not in c.COUPLED
                   and any(r["name"] == name and r["pitch_dia_C_in"] for r in rows("connections"))]
WITHOUT = [name for name in c.known() if name not in WITH_DIMENSIONS]


def test_the_threads_that_can_be_worked_with_are_counted():
    assert len(WITH_DIMENSIONS) == 29
    assert {"2-7/8 XH", "3-1/2 XH", "5 H-90", "8-5/8 H-90", "BTC"} <= set(WITHOUT)


@pytest.mark.parametrize("name", WITHOUT)
def test_a_thread_without_dimensions_is_named_by_whoever_asks_for_a_number(name):
    for function in (lambda: c.bending_strength_ratio(name, 6, 2), lambda: c.areas(name, 6, 2),
                     lambda: c.torque_ft_lb(name, 6, 2, 62_500, limit_shoulder=True),
                     lambda: c.joint_strengths(name, 6, 2),
                     lambda: c.tool_joint_limits(name, 2, 5, 0.362, 75_000, "premium")):
        with pytest.raises(ValueError, match=f"connection: {name} "):
            function()


@pytest.mark.parametrize("name", WITH_DIMENSIONS)
def test_the_limits_of_diameter_and_bore_hold_at_below_and_above(name):
    thread = c.thread_of(name)
    qc, widest = thread.counterbore, widest_od(thread)
    assert c.bending_strength_ratio(name, qc + 0.001, 0.5) > 0
    assert c.bending_strength_ratio(name, widest, 0.5) > 0
    for od in (qc, qc - 0.001, widest + 0.001):
        with pytest.raises(ValueError, match=f"od_in: .*{thread.name}"):
            c.bending_strength_ratio(name, od, 0.5)
    root = min(thread.pin_root, thread.pin_root_at(0.75))
    assert c.torque_ft_lb(name, widest, root - 0.001, 1, limit_shoulder=True) > 0
    assert c.torque_ft_lb(name, widest, 0.001, 1, limit_shoulder=True) > 0
    for bore in (root, root + 0.001, 0, -0.001):
        with pytest.raises(ValueError, match="bore_in"):
            c.torque_ft_lb(name, widest, bore, 1, limit_shoulder=True)


BAD = [True, False, None, "6", float("nan"), float("inf"), float("-inf")]


@pytest.mark.parametrize("bad", BAD)
def test_what_is_no_number_is_refused_by_name(bad):
    for named, call in (
        ("od_in", lambda: c.bending_strength_ratio("NC50", bad, 3)),
        ("bore_in", lambda: c.bending_strength_ratio("NC50", 6.5, bad)),
        ("stress_psi", lambda: c.torque_ft_lb("NC50", 6.5, 3, bad, limit_shoulder=True)),
        ("compound_factor", lambda: c.make_up_torque_ft_lb("NC50", 6.5, 3, 1e4, limit_shoulder=True,
                                                           compound_factor=bad)),
        ("yield_psi", lambda: c.joint_strengths("NC50", 6.5, 3, bad)),
        ("bore_in", lambda: c.tool_joint_limits("NC50", bad, 5, 0.362, 75_000, "premium")),
        ("od_in", lambda: c.tool_joint_limits("NC50", 3, bad, 0.362, 75_000, "premium")),
        ("wall_in", lambda: c.tool_joint_limits("NC50", 3, 5, bad, 75_000, "premium")),
        ("yield_psi", lambda: c.tool_joint_limits("NC50", 3, 5, 0.362, bad, "premium")),
        ("torque_ft_lb", lambda: c.line_pull_lb(bad, 4)), ("arm_ft", lambda: c.line_pull_lb(100, bad)),
        ("od_in", lambda: c.recommended_ratio("NS-2", bad)),
    ):
        with pytest.raises(ValueError, match=named):
            call()


def test_every_intermediate_of_a_ratio_is_shown():
    worked = c.bending_strength_ratio_worked("4-1/2 IF", 6.5, 2.8125)
    assert worked.value == c.bending_strength_ratio("NC50", 6.5, 2.8125)
    assert worked.inputs["connection"] == "NC50"
    # by hand: b_d = 0.216005/2 - 0.038, b = 5.0417 - 2*3.875/12 + 2*b_d, R = 5.0417 - 2*b_d - 2*0.125/12
    assert "b_d = H/2 - Srn = 0.070002 in" in worked.steps
    assert any("= 4.53587 in" in step for step in worked.steps)
    assert any("= 4.88086 in" in step for step in worked.steps)
    assert "API72" in worked.source


@pytest.mark.parametrize("name", WITH_DIMENSIONS)
@given(data=st.data())
def test_a_wider_box_is_stiffer_and_a_wider_bore_weakens_the_pin(name, data):
    thread = c.thread_of(name)
    ods = sorted(data.draw(st.lists(st.floats(thread.counterbore + 0.01, widest_od(thread)), min_size=2,
                                    max_size=2)))
    bores = sorted(data.draw(st.lists(st.floats(0.25, thread.pin_root_at(0.75) - 0.1), min_size=2,
                                      max_size=2)))
    assert c.bending_strength_ratio(name, ods[0], bores[0]) <= c.bending_strength_ratio(name, ods[1],
                                                                                        bores[0])
    assert c.bending_strength_ratio(name, ods[0], bores[0]) <= c.bending_strength_ratio(name, ods[0],
                                                                                        bores[1])
    for limited in (True, False):
        torques = [c.torque_ft_lb(name, ods[i], bores[j], 72_000, limit_shoulder=limited)
                   for i, j in ((0, 1), (0, 0), (1, 0))]
        assert 0 < torques[0] <= torques[1] * (1 + 1e-12)
        assert torques[1] <= torques[2] * (1 + 1e-12)
    assert (c.torque_ft_lb(name, ods[1], bores[0], 72_000, limit_shoulder=True)
            <= c.torque_ft_lb(name, ods[1], bores[0], 72_000, limit_shoulder=False))


@pytest.mark.parametrize("name", WITH_DIMENSIONS)
def test_the_weaker_member_changes_where_the_areas_are_equal(name):
    thread = c.thread_of(name)
    even = balanced_od(thread, 1.0)
    assert c.areas(name, even - 0.001, 1.0).weaker == "box"
    assert c.areas(name, even + 0.001, 1.0).weaker == "pin"
    wide, narrow = (c.torque_ft_lb(name, even + more, 1.0, 72_000, limit_shoulder=True) for more in (0.5,
                                                                                                     0.001))
    assert wide == pytest.approx(narrow, rel=1e-9)  # beyond it a collar gains nothing


def test_balanced_is_said_when_neither_member_governs():
    assert c.Areas(2.0, 2.0).weaker == "balanced"


def test_torque_is_proportional_to_stress():
    once = c.torque_ft_lb("NC46", 6.25, 3, 60_000, limit_shoulder=False)
    assert c.torque_ft_lb("NC46", 6.25, 3, 120_000, limit_shoulder=False) == pytest.approx(2 * once,
                                                                                           rel=1e-12)
    worked = c.torque_ft_lb_worked("NC46", 6.25, 3, 60_000, limit_shoulder=False)
    assert worked.value == once
    assert any("the pin governs" in step for step in worked.steps)


@pytest.mark.parametrize("factor", [0.5, 1.0, 1.25, 2.0])
def test_the_compound_multiplies_the_torque(factor):
    base = c.torque_ft_lb("NC50", 6.5, 2.8125, 62_500, limit_shoulder=True)
    found = c.make_up_torque_ft_lb("NC50", 6.5, 2.8125, 62_500, limit_shoulder=True, compound_factor=factor)
    assert found == pytest.approx(base * factor, rel=1e-12)


def test_without_a_factor_the_compound_is_the_one_of_the_formula():
    base = c.torque_ft_lb("NC50", 6.5, 2.8125, 62_500, limit_shoulder=True)
    assert c.make_up_torque_ft_lb("NC50", 6.5, 2.8125, 62_500, limit_shoulder=True) == base


def test_the_stresses_of_the_trade_are_those_of_the_table():
    said = {row["item"] + ", " + row["applies_to"]: row["value"] for row in rows("connection_inspection")}
    assert float(said["stress for collar make-up torque, H-90 collars"]) == c.H90_COLLAR_MAKE_UP_PSI
    assert float(said["stress for collar make-up torque, NC, REG, FH collars"]) == c.COLLAR_MAKE_UP_PSI
    assert float(said["stress for tool-joint make-up torque, used tool joints"]) == c.TOOL_JOINT_MAKE_UP_PSI
    assert pytest.approx(0.6 * c.TOOL_JOINT_YIELD_PSI) == c.TOOL_JOINT_MAKE_UP_PSI


@pytest.mark.parametrize("factor", [0.499, 2.001, 0, -1])
def test_a_compound_beyond_the_can_is_refused(factor):
    with pytest.raises(ValueError, match=r"compound_factor: .* at least 0.5 and at most 2"):
        c.make_up_torque_ft_lb("NC50", 6.5, 3, 1e4, limit_shoulder=True, compound_factor=factor)


def test_the_pull_on_the_tong_line_is_torque_by_arm():
    assert c.line_pull_lb(29_679, 4) == 7_419.75
    assert c.line_pull_lb_worked(29_679, 4).unit == "lb"
    assert (c.line_pull_lb(100, 1), c.line_pull_lb(120, 12), c.line_pull_lb(0, 4)) == (100, 10, 0)
    assert c.line_pull_lb(1_000_000, 1) == 1_000_000
    for torque in (-0.1, 1_000_000.1):
        with pytest.raises(ValueError, match="torque_ft_lb"):
            c.line_pull_lb(torque, 4)
    for arm in (0.99, 12.01):
        with pytest.raises(ValueError, match="arm_ft"):
            c.line_pull_lb(1000, arm)


def test_tension_is_judged_nearer_to_the_shoulder_than_torque():
    thread = c.thread_of("NC50")
    assert thread.pin_root_at(TENSION_SECTION_IN) > thread.pin_root_at(0.75)
    found = c.joint_strengths("NC50", 6.625, 2.75)
    assert found.tensile_lb == pytest.approx(120_000 * pin_area(thread, 2.75, TENSION_SECTION_IN))
    assert found.weaker == c.areas("NC50", 6.625, 2.75).weaker == "pin"
    worked = c.joint_strengths_worked("NC50", 6.625, 2.75)
    assert (worked.torsion_ft_lb.value, worked.tensile_lb.value) == (found.torsion_ft_lb, found.tensile_lb)


@pytest.mark.parametrize("stress, good", [(0, False), (0.001, True), (250_000, True), (250_001, False)])
def test_a_stress_is_above_nothing_and_of_steel(stress, good):
    if good:
        assert c.torque_ft_lb("NC50", 6.5, 3, stress, limit_shoulder=True) > 0
    else:
        with pytest.raises(ValueError, match="stress_psi"):
            c.torque_ft_lb("NC50", 6.5, 3, stress, limit_shoulder=True)


def test_the_limits_of_a_class_open_to_their_working():
    worked = c.tool_joint_limits_worked("NC50", 3.75, 5, 0.362, 75_000, "premium")
    plain = c.tool_joint_limits("4-1/2 IF", 3.75, 5, 0.362, 75_000, "premium")
    for name in ("min_od_in", "min_shoulder_in", "make_up_ft_lb"):
        one = getattr(worked, name)
        assert isinstance(one, Worked)
        assert one.value == getattr(plain, name)
        assert one.steps
        assert "RP 7G" in one.source
    assert any("too little" in step for step in worked.min_od_in.steps)


@pytest.mark.parametrize("grade", [75_000, 95_000, 105_000, 135_000])
def test_a_joint_one_step_smaller_would_not_do(grade):
    from rack.calc.tubes import strengths

    for pipe_class in ("premium", "class 2"):
        found = c.tool_joint_limits("NC50", 2.75, 5, 0.362, grade, pipe_class)
        needed = 0.8 * strengths(5, 0.362, grade, pipe_class).torsion_ft_lb
        assert (found.min_od_in * 32).is_integer()
        assert (found.min_shoulder_in * 64).is_integer()
        assert c.joint_strengths("NC50", found.min_od_in, 2.75).torsion_ft_lb >= needed
        assert c.joint_strengths("NC50", found.min_od_in - 1 / 32, 2.75).torsion_ft_lb < needed


def test_a_better_class_asks_for_a_bigger_joint():
    premium, second = (c.tool_joint_limits("NC50", 3.25, 5, 0.362, 135_000, name)
                       for name in ("premium", "class 2"))
    assert premium.min_od_in > second.min_od_in
    assert premium.min_shoulder_in > second.min_shoulder_in


@pytest.mark.parametrize("pipe_class", ["new", "Premium", "class 3", None, True])
def test_a_class_without_wear_limits_is_refused(pipe_class):
    with pytest.raises(ValueError, match=r"pipe_class: .*'premium', 'class 2'"):
        c.tool_joint_limits("NC50", 3.75, 5, 0.362, 75_000, pipe_class)


def test_a_pin_that_no_box_can_help_is_refused():
    with pytest.raises(ValueError, match=r"bore_in: 2 in leaves NC26 a pin of at most"):
        c.tool_joint_limits("NC26", 2, 5, 0.362, 135_000, "premium")


@pytest.mark.parametrize(
    "standard, od, low, high",
    [("API RP 7G-2", 5.999, 1.9, 2.5), ("API RP 7G-2", 6, 2.25, 2.75), ("API RP 7G-2", 8, 2.25, 2.75),
     ("API RP 7G-2", 8.001, 2.5, 3.2), ("NS-2", 5.999, 1.8, 2.5), ("NS-2", 6, 2.25, 2.75),
     ("DS-1 Vol 3", 7.999, 2.25, 2.75), ("DS-1 Vol 3", 8, 2.5, 3.2), ("general practice", 9.5, 2.25, 2.75)],
)
def test_each_standard_has_its_own_bands_of_ratio(standard, od, low, high):
    found = c.recommended_ratio(standard, od)
    assert (found.low, found.high, found.source != "") == (low, high, True)


@pytest.mark.parametrize("od", [0, -1, 20.001])
def test_a_ratio_band_wants_a_body(od):
    with pytest.raises(ValueError, match="od_in"):
        c.recommended_ratio("NS-2", od)


def test_an_unknown_standard_is_named():
    with pytest.raises(ValueError, match="standard: 'DS-2'"):
        c.recommended_ratio("DS-2", 6)


def _own_thread(**more):
    return {**c_row("NC50"), "name": "QX 50", "source": "maker's sheet 12", "conf": "E", **more}


def c_row(name):
    return dict(next(row for row in rows("connections") if row["name"] == name))


def test_the_office_can_bring_a_makers_thread_and_work_with_it():
    thread = c.thread_of("QX 50", Catalogue({"connections": [_own_thread()]}))
    assert "maker's sheet 12" in c.torque_ft_lb_worked(thread, 6.5, 3, 62_500, limit_shoulder=True).source
    assert c.bending_strength_ratio(thread, 6.5, 3) == c.bending_strength_ratio("NC50", 6.5, 3)


def test_the_offices_own_row_comes_before_the_shipped_one():
    own = Catalogue({"connections": [_own_thread(name="NC50", counterbore_Qc_in="5.32")]})
    assert c.thread_of("4-1/2 IF", own).counterbore == 5.32
    assert c.thread_of("4-1/2 IF").counterbore == 5.3125


def test_what_comes_from_memory_is_marked_wherever_it_is_worked_with():
    assert "verify against your standard" in c.bending_strength_ratio_worked("5-1/2 IF", 8, 3).source
    assert "verify" not in c.bending_strength_ratio_worked("NC50", 6.5, 3).source


def test_the_steps_of_areas_and_limits_can_be_redone_by_hand():
    box = c.areas_worked("NC50", 6.5, 3).box_in2  # E = 2*0.375/12, Qc - E = 5.3125 - 0.0625
    assert box.steps[:2] == ("E = 0.06250 in", "Qc - E = 5.25000 in")
    od = c.tool_joint_limits_worked("NC50", 3.75, 5, 0.362, 75_000, "premium").min_od_in
    assert od.steps[2].startswith("5.875 in carries")
    assert od.steps[3].startswith("5.84375 in carries")


def test_a_pipe_so_light_that_any_box_carries_it_leaves_the_thinnest_shoulder_that_can_be_measured():
    found = c.tool_joint_limits_worked("NC50", 2, 2.375, 0.19, 75_000, "class 2")
    assert found.min_od_in.value == 5.34375  # the first 1/32 above the counterbore
    assert found.min_od_in.steps[-1] == "5.3125 in leaves no shoulder"
    assert found.min_shoulder_in.value == 1 / 64


def test_the_refused_pin_is_named_with_what_it_carries_at_most():
    with pytest.raises(ValueError, match="leaves NC26 a pin of at most") as refused:
        c.tool_joint_limits("NC26", 1.75, 5, 0.362, 135_000, "premium")
    most = float(str(refused.value).split("at most ")[1].split(" ft-lb")[0].replace(",", ""))
    widest = widest_od(c.thread_of("NC26"))
    assert most == pytest.approx(c.joint_strengths("NC26", widest, 1.75).torsion_ft_lb, rel=0.01)


@pytest.mark.parametrize("psi, good", [(0, False), (0.001, True), (250_000, True), (250_000.1, False)])
def test_a_joint_is_of_steel(psi, good):
    if good:
        assert c.joint_strengths("NC50", 6.5, 3, psi).tensile_lb > 0
    else:
        with pytest.raises(ValueError, match="yield_psi"):
            c.joint_strengths("NC50", 6.5, 3, psi)
