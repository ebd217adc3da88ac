"""The figures of a string by published examples, the floor's list of torques, casing and plans."""

from dataclasses import replace

import pytest

from rack.calc.bodies import Bodies
from rack.calc.chain import Link
from rack.calc.connections import torque_ft_lb
from rack.calc.lengths import Length
from rack.calc.string_loads import LoadCase, case_of, string_figures
from tests.calc.stringing import (
    PLAN,
    bit,
    bit_sub,
    casing,
    collar,
    ft,
    good,
    heavy,
    jar,
    pipe,
    spec,
)

CASE = LoadCase(mud_ppg=10, weight_on_bit_lb=20_000)


def mud_of(buoyancy):
    return 65.5 * (1 - buoyancy)


def block(kind, length, **made):
    """A section by count of one length, as a planned string has it."""
    return Link(kind, spec(kind, **made), ft(length), count=10, pipe_class="Premium")


# Published examples: W1, W2 "Drill String Design" 2013 after RP 7G; W4 Lyons p. 763;
# W5 Air and Gas Drilling Manual 2001, example 3.1


def w1(lower_ft=7410, upper_ft=0):
    links = [block("collar", 720, od=7, bore="2-1/4", weight=92),
             block("drill_pipe", lower_ft, od=5, weight=19.5, grade="E75",
                   tj=("6-3/8", "3-3/4"))]  # fmt: skip
    if upper_ft:
        links.append(block("drill_pipe", upper_ft, od=5, weight=19.5, grade="G105", tj=("6-5/8", "3-1/4")))
    return string_figures(links, LoadCase(mud_ppg=mud_of(0.83), bit_factor=1.10, usable=1 / 1.10))


def test_w1_720_ft_of_collars_put_50000_lb_on_the_bit():
    assert w1().weight_on_bit_lb.value == pytest.approx(50_000, abs=30)


def test_w1_the_lower_pipe_of_7410_ft_leaves_100000_lb():
    # The deck weighs the pipe 20.85 lb/ft, the formula of RP 7G 20.87: 123 lb over 7,410 ft.
    lower = w1().sections[1]
    assert lower.tensile_lb.value == pytest.approx(311_535, abs=1)
    assert lower.overpull_lb.value == pytest.approx(100_000, abs=200)


def test_w1_the_upper_pipe_of_6224_ft_leaves_100000_lb():
    # The deck weighs it 21.93 lb/ft, the formula 21.86 with its likeliest tool joint.
    found = w1(upper_ft=6224)
    assert found.sections[2].tensile_lb.value == pytest.approx(436_150, abs=1)
    assert found.sections[2].overpull_lb.value == pytest.approx(100_000, abs=400)
    assert found.overpull_lb.value == min(one.overpull_lb.value for one in found.sections[1:])
    assert found.weakest == "5 in 19.50 E75 NC50 drill pipe, Premium"


def test_w2_an_8_in_collar_weighs_149_8_lb_ft():
    found = string_figures([collar("C1", od=8, length=10)], CASE)
    assert found.sections[0].weight_lb_ft.value == pytest.approx(149.8, abs=0.06)
    assert found.air_lb.value == pytest.approx(1498, abs=0.6)


def test_w4_the_neutral_point_of_lyons_is_in_the_heavy_weight():
    # 711 ft hold the factor 1.15 on the heavy-weight: the neutral point is 711 / 1.15 ft up in it.
    links = [block("collar", 330, od=7, bore="2-1/4", weight=93.18 / 0.847),
             block("heavy_weight", 711, od="4-1/2", bore="2-3/4", up="NC46", down="NC46")]  # fmt: skip
    case = LoadCase(mud_ppg=mud_of(0.847), weight_on_bit_lb=40_000, inclination_deg=40)
    found = string_figures(links, case)
    assert found.sections[1].weight_lb_ft.value == 41
    assert found.neutral_ft.value == pytest.approx(330 + 711 / 1.15, abs=0.5)


def w5(**more):
    joint = {"od": "4-1/2", "weight": 16.6, "grade": "S135", "tj": ("6-3/8", "3-1/2")}
    weight = Bodies().of(block("drill_pipe", 1, **joint)).weight.value
    length = Length(round(226_890 / weight * 304_800_000))
    link = replace(block("drill_pipe", 1, **joint), length=length, pipe_class="New")
    return string_figures([link], LoadCase(mud_ppg=0, **more)).sections[0]


def test_w5_the_safety_factor_is_2_36_at_90_percent():
    found = w5()
    assert found.hook_lb.value == pytest.approx(226_890, abs=0.1)
    assert 0.9 * found.tensile_lb.value / found.hook_lb.value == pytest.approx(2.36, abs=0.005)


def test_w5_a_rig_of_300000_lb_leaves_73110_lb():
    assert w5(rig_limit_lb=300_000).overpull_lb.value == pytest.approx(73_110, abs=0.1)


# The floor's list


def floor(links, **more):
    return string_figures(links, replace(CASE, **more)).floor


def test_the_torque_of_a_collar_is_the_published_one_and_the_pull_is_torque_over_arm():
    # Seen and exact: collar NC50 6-1/2 x 2-13/16 = 29,679 ft-lb.
    (line,) = floor([collar("C1", od="6-1/2"), collar("C2", od="6-1/2")], tong_arm_ft=4)
    assert line.torque_ft_lb.value == pytest.approx(29_679, abs=1)
    assert line.pull_lb.value == pytest.approx(29_679 / 4, abs=1)


def test_the_torque_of_a_tool_joint_is_that_of_its_edition():
    # NC50 6-3/8 x 3-3/4: 22,606 ft-lb; 6-5/8 x 3-3/4: 22,836 ft-lb.
    for od, torque in (("6-3/8", 22_606), ("6-5/8", 22_836)):
        (line,) = floor([pipe("P1", tj=(od, "3-3/4")), pipe("P2", tj=(od, "3-3/4"))])
        assert line.torque_ft_lb.value == pytest.approx(torque, abs=1)


def test_the_box_is_the_lower_piece_and_the_pin_the_upper():
    (line,) = floor([collar("C1"), heavy("H1")])
    assert line.torque_ft_lb.value == pytest.approx(
        torque_ft_lb("NC50", 6.75, 3.0625, 62_500, limit_shoulder=True))


def test_alike_connections_are_one_line():
    lines = floor([pipe(f"P{n}") for n in range(1, 11)])
    assert [(line.first, line.last, line.count) for line in lines] == [(1, 10, 9)]


def test_a_section_by_count_is_made_up_within_itself():
    lines = floor([heavy("15 heavy-weight", count=15), heavy("H1")])
    assert sum(line.count for line in lines) == 15


def test_the_compound_changes_the_torque():
    plain, heavier = (floor([collar("C1"), collar("C2")], compound_factor=one)[0] for one in (1.0, 1.1))
    assert heavier.torque_ft_lb.value == pytest.approx(1.1 * plain.torque_ft_lb.value)


@pytest.mark.parametrize("links, words", [
    ([bit(), bit_sub()], "maker's sheet"),
    ([casing("K1"), casing("K2")], "maker's torque and turns"),
    ([collar("C1", od=0), collar("C2")], "the OD of the drill collar is not known"),
    ([collar("C1"), collar("C2", bore=0)], "the bore of the drill collar is not known"),
    ([collar("C1", conn=""), collar("C2", conn="")], "the connection is not known"),
    ([collar("C1", conn="3-1/2 XH"), collar("C2", conn="3-1/2 XH")], "3-1/2 XH"),
])  # fmt: skip
def test_a_torque_that_nobody_knows_has_its_reason(links, words):
    (line,) = floor(links, tong_arm_ft=4)
    assert line.torque_ft_lb.value is None
    assert words in line.torque_ft_lb.reason
    assert line.pull_lb.value is None


def test_a_pdc_bit_has_the_torque_of_the_table():
    # Table "bits", one vendor's page; the sub's OD decides.
    lower = bit()
    lower = replace(lower, facts={"make": "PDC"})
    (line,) = floor([lower, bit_sub()])
    assert line.torque_ft_lb.value > 0
    assert "least" in line.torque_ft_lb.worked.steps[0]


def test_the_joint_governs_the_torque_of_premium_pipe():
    section = string_figures(good(), CASE).sections[-2]
    assert section.torque_limit_ft_lb.value == min(section.torsion_ft_lb.value, section.make_up_ft_lb.value)
    assert "the joint governs" in section.torque_limit_ft_lb.worked.steps[0]


# Casing and plans


def test_casing_carries_what_its_body_carries():
    section = string_figures([casing("K1"), casing("K2")], LoadCase(mud_ppg=9)).sections[0]
    assert section.tensile_lb.value == pytest.approx(1_086_000, rel=0.001)  # API Bul 5C2, 9-5/8 47 L80
    assert section.weight_lb_ft.value == 47


def test_a_jar_or_a_collar_has_no_strength_in_the_tables():
    section = string_figures([jar()], CASE).sections[0]
    assert "no table has the strength of a jar" in section.tensile_lb.reason


def test_the_case_of_a_plan_has_its_figures():
    case = case_of(PLAN, rig_limit_lb=500_000, tong_arm_ft=4)
    assert (case.mud_ppg, case.weight_on_bit_lb, case.rig_limit_lb) == (10.0, 20_000, 500_000)
