"""What the tables imply of a pick: figures of the formulas, each with its mark and its source."""

from dataclasses import replace

import pytest

from rack.calc import casing, connections, tubes, walls, weights
from rack.calc.connections import thread_of
from rack.calc.lookup import Catalogue, figure_columns, key_text, rows, tidied
from rack.calc.losses import SHIPPED
from rack.calc.reference import implied
from rack.calc.reference.bit import BitPick, bit_parts
from rack.calc.reference.casing import CasingPick, casing_parts, pipes
from rack.calc.reference.connection import JointPick, connection_parts, thread_row
from rack.calc.reference.parts import Gathering, Opened, from_row, marks, named, shared
from rack.calc.reference.picked import PipePick, grade_row, usual_joint
from rack.calc.reference.pipe import pipe_parts
from rack.calc.specs import SpecFacts
from rack.calc.worked import Worked

IN = 25_400_000
VERIFY = "from memory: verify against your standard"
FIVE_INCH = next(row for row in rows("drill_pipe") if row["nominal_weight_lb_ft"] == "19.50")
DRILL_PIPE = SpecFacts(
    kind="drill_pipe", od_nm=5 * IN, weight_mlb_ft=19500, grade="S-135", up_conn="NC50", up_gender="box",
    down_conn="NC50", down_gender="pin",
)  # fmt: skip


def picked(name="premium", **more):
    grade = grade_row("S-135", SHIPPED)
    return PipePick(FIVE_INCH, grade, name, joint=usual_joint(FIVE_INCH, "S135", "", SHIPPED), **more)


def figures(parts):
    return {(part.title, one.label): one for part in parts for one in part.figures}


def values(parts):
    return {label: one.worked.value for (_, label), one in figures(parts).items()}


@pytest.mark.parametrize("name", tubes.PIPE_CLASSES)
def test_strengths_of_a_class_are_those_of_the_formulas(name):
    shown, right = values(pipe_parts(picked(name), SHIPPED)), tubes.strengths(5, 0.362, 135_000, name)
    assert (shown["Tension"], shown["Torsion"]) == (right.tensile_lb, right.torsion_ft_lb)
    assert (shown["Burst"], shown["Collapse"]) == (right.burst_psi, right.collapse_psi)
    assert shown["Regime of the collapse"] == right.collapse_regime


def test_a_measured_wall_governs_over_the_class():
    shown = values(pipe_parts(picked(wall_left=0.83), SHIPPED))
    assert shown["Tension"] == tubes.strengths(5, 0.362, 135_000, "premium", wall_left=0.83).tensile_lb


def test_the_limit_of_a_wall_is_not_rounded_and_its_print_stands_beside_it():
    by_label = {one.label: one for one in pipe_parts(picked(), SHIPPED)[1].figures}
    assert by_label["New, from the mill"].worked.value == walls.wall_limit_in(0.362, "new") == 0.31675
    assert by_label["New, from the mill"].aside == "printed as 0.317 in"


def test_pull_torque_and_mud_are_worked_out_only_where_they_were_typed():
    bare = values(pipe_parts(picked(), SHIPPED))
    assert not {"Torsion under that pull", "Twist at that torque", "Buoyancy factor"} & set(bare)
    typed = picked(pull_lb=100_000, torque_ft_lb=20_000, length_ft=9000, mud_ppg=10)
    full = values(pipe_parts(typed, SHIPPED))
    given = (5, 0.362, 135_000, "premium", 100_000)
    assert full["Twist at that torque"] == tubes.twist_turns(5, 0.362, "premium", 20_000, 9000)
    assert full["Torsion under that pull"] == tubes.torsion_under_pull_ft_lb(*given)
    assert full["Buoyancy factor"] == weights.buoyancy_factor(10)


def test_a_connection_on_a_body_has_ratio_torque_and_pull_of_the_formulas():
    pick = JointPick(thread_of("NC50"), thread_row("NC50", SHIPPED), 6.5, 3.25, "drill collar", 1.1, 4)
    shown = values(connection_parts(pick, SHIPPED))
    more = {"limit_shoulder": True, "compound_factor": 1.1}
    torque = connections.make_up_torque_ft_lb("NC50", 6.5, 3.25, 62_500, **more)
    assert shown["Bending strength ratio"] == connections.bending_strength_ratio("NC50", 6.5, 3.25)
    assert (shown["Make-up torque"], shown["Line pull at that arm"]) == (torque, torque / 4)
    assert shown["Which member governs"] == connections.areas("NC50", 6.5, 3.25).weaker


@pytest.mark.parametrize(
    "name, body, stress, limited",
    [
        ("NC50", "new tool joint", 72_000, False),
        ("NC38", "new tool joint", 72_000, True),
        ("NC38", "worn tool joint", 72_000, False),
        ("NC38", "drill collar", 62_500, True),
        ("4-1/2 H-90", "drill collar", 56_200, True),
    ],
)
def test_what_the_body_is_decides_stress_and_shoulder(name, body, stress, limited):
    pick = JointPick(thread_of(name), thread_row(name, SHIPPED), body=body)
    assert (pick.stress_psi, pick.limit_shoulder) == (stress, limited)


def test_casing_has_drift_strength_and_loss_of_the_formulas():
    pipe = next(one for one in pipes("casing", SHIPPED) if (one.size, one.weight_lb_ft) == ("9-5/8", 47))
    shown = values(casing_parts(CasingPick(pipe, casing.grade("L-80"), "BTC", "R3"), SHIPPED))
    body = casing.body_strengths(9.625, 0.472, 80_000)
    assert shown["Drift"] == casing.drift("casing", 9.625, 9.625 - 2 * 0.472).diameter_in
    assert (shown["Collapse"], shown["Burst"]) == (body.collapse_psi, body.burst_psi)
    assert shown["Make-up loss"] == 4.8125
    assert (shown["Shortest joint"], shown["Longest joint"]) == (34, 48)


def test_what_no_table_has_becomes_a_sentence_and_the_rest_still_stands():
    pipe = next(one for one in pipes("casing", SHIPPED) if (one.size, one.weight_lb_ft) == ("16", 75))
    parts = casing_parts(CasingPick(pipe, casing.grade("J55"), "LTC"), SHIPPED)
    joint = next(part for part in parts if part.title == "Joint, LTC")
    assert joint.figures == ()
    assert any("LTC" in sentence for sentence in joint.sentences)
    assert "Collapse" in values(parts)


def test_every_figure_of_every_pipe_and_grade_opens_and_names_a_source():
    for row in rows("drill_pipe"):
        for strong in rows("grades"):
            pick = PipePick(row, strong, joint=usual_joint(row, strong["grade"], "", SHIPPED))
            for one in figures(pipe_parts(pick, SHIPPED)).values():
                assert one.worked.formula
                assert one.worked.steps
                assert one.worked.source


def test_a_row_from_memory_marks_every_figure_that_is_worked_out_with_it():
    recalled = next(row for row in rows("drill_pipe") if row["conf"] == "D")
    for part in pipe_parts(PipePick(recalled, grade_row("S", SHIPPED)), SHIPPED)[:3]:
        assert VERIFY in part.mark or all(VERIFY in one.mark for one in part.figures), part.title


def test_common_practice_is_never_a_standards_own_word():
    pick = JointPick(thread_of("NC50"), thread_row("NC50", SHIPPED), 6.5, 3.25, arm_ft=4)
    found = figures(connection_parts(pick, SHIPPED))
    asked = ("Line pull at that arm", "Recommended by general practice")
    said = [one.mark for (_, label), one in found.items() if label in asked]
    assert len(said) == 2
    assert all("common practice" in mark for mark in said)


def test_a_row_of_the_office_governs_and_loses_the_mark():
    recalled = {**rows("heavyweight")[3], "tube_id_in": "3.125", "source": "maker's sheet 12", "conf": ""}
    heavy = SpecFacts(kind="heavy_weight", od_nm=5 * IN, weight_mlb_ft=49300, down_conn="NC50")
    before = implied(heavy, SHIPPED)
    after = implied(heavy, Catalogue({"heavyweight": [recalled]}))
    assert values(before.parts)["Bore of the tube"] == 3.0
    assert values(after.parts)["Bore of the tube"] == 3.125
    assert (before.parts[0].mark, after.parts[0].mark) == (VERIFY, "")
    bore = figures(after.parts)["Heavy-weight pipe, Range 2", "Bore of the tube"]
    assert "maker's sheet 12" in bore.worked.source


@pytest.mark.parametrize(
    "spec, said",
    [
        (SpecFacts(kind="drill_pipe"), "size is not known"),
        (SpecFacts(kind="drill_pipe", od_nm=9 * IN, weight_mlb_ft=1), "Table drill_pipe has no"),
        (SpecFacts(kind="drill_pipe", od_nm=5 * IN, weight_mlb_ft=19500, grade="XX"), "known are"),
        (SpecFacts(kind="heavy_weight", od_nm=9 * IN), "Table heavyweight has no"),
        (SpecFacts(kind="casing", od_nm=9 * IN, down_conn="BTC"), "Table casing has no"),
        (SpecFacts(kind="collar", od_nm=8 * IN), "bore is not known"),
    ],
)
def test_a_piece_the_tables_do_not_know_is_told_which_table_lacks_it(spec, said):
    found = implied(spec, SHIPPED)
    assert any(said in sentence for sentence in found.sentences)
    assert found.columns == ()


def test_a_maker_s_thread_leaves_the_tube_s_figures_standing():
    found = implied(replace(DRILL_PIPE, up_conn="ZT50", down_conn="ZT50"), SHIPPED)
    assert [column.name for column in found.columns] == list(tubes.PIPE_CLASSES)
    assert any("ZT50" in sentence for part in found.parts for sentence in part.sentences)


def test_drill_pipe_implies_its_three_classes_and_the_nominal_pin():
    found = implied(DRILL_PIPE, SHIPPED)
    premium = {one.label: one.worked.value for one in found.columns[1].figures}
    assert premium["Tension"] == tubes.strengths(5, 0.362, 135_000, "premium").tensile_lb
    assert premium["Smallest wall"] == walls.wall_limit_in(0.362, "premium")
    assert figures(found.parts)["Dimensions of NC50", "Length of the pin"].aside == "nominal, ±1/8 in"


def test_a_bit_is_read_whole():
    parts, readings = bit_parts(BitPick("fixed cutter", 8.5, "3x16 2x18", "M323", "", "1-2-WT-A-X-I-NO-TD"))
    assert values(parts)["May be over its size when new"] == 0
    assert [reading.title for reading in readings] == ["Code M323", "Dull grade 1-2-WT-A-X-I-NO-TD"]
    assert readings[0].problems


@pytest.mark.parametrize("bad", [{"size_in": 0.5}, {"size_in": 8.5, "nozzles": "3x"}])
def test_a_bit_that_cannot_be_is_refused_by_name(bad):
    with pytest.raises(ValueError, match="size_in|text"):
        bit_parts(BitPick("fixed cutter", **bad))


# The small things behind them


def test_codes_of_documents_are_spelled_out_once_and_a_makers_name_is_left_alone():
    assert named("dimensions of NC50: API72;SC-NC").startswith("dimensions of NC50: API Spec 7-2 addendum")
    assert named("GX;NW") == "drift rules"
    assert named("NOV GP 3.5 15.50 sheet") == "NOV GP 3.5 15.50 sheet"


def test_a_mark_that_all_bear_is_said_once_and_the_stronger_word_wins():
    one = Worked(1.0, "in", "f", {}, ("s",), "source")
    left, common = shared((Opened("a", one, f"{VERIFY}; inferred"), Opened("b", one, VERIFY)))
    assert (common, [each.mark for each in left]) == (VERIFY, ["inferred", ""])
    assert marks(VERIFY, "from memory, reproduced by a formula") == VERIFY


def test_a_blank_cell_is_a_sentence_and_never_zero():
    found = Gathering("Tool joint")
    blank = next(row for row in rows("tool_joint_weights") if not row["tj_length_L_in"])
    found.cell("Its length", "tool_joint_weights", blank, "tj_length_L_in", "in")
    assert found.part().figures == ()
    assert "Its length" in found.part().sentences[0]
    with pytest.raises(ValueError, match="does not say"):
        from_row("tool_joint_weights", blank, "tj_length_L_in", "in")


@pytest.mark.parametrize(
    "typed, kept",
    [("4 3/4", "4.75"), ("0,362", "0.362"), (" 19.50 ", "19.50"), ("", ""), ("4-1/2", "4.5")],
)
def test_a_typed_figure_is_kept_as_the_table_writes_it(typed, kept):
    assert figure_columns("drill_pipe")["wall_in"] is True
    assert tidied("drill_pipe", {"wall_in": typed}) == {"wall_in": kept}


@pytest.mark.parametrize("typed", ["thick", "1/3", "1.2.3", "0/0", "1,000.5"])
def test_a_figure_that_cannot_be_read_is_refused_by_its_column(typed):
    with pytest.raises(ValueError, match="^wall_in: "):
        tidied("drill_pipe", {"wall_in": typed})


def test_a_fraction_stays_one_where_the_table_writes_fractions():
    assert figure_columns("heavyweight")["tool_joint_od"] is False
    assert tidied("heavyweight", {"tool_joint_od": "6 1/2"}) == {"tool_joint_od": "6 1/2"}


def test_equal_entries_have_equal_keys_however_they_are_written():
    one = key_text("drill_pipe", {"size": "5", "nominal_weight_lb_ft": "19.50"})
    assert one == key_text("drill_pipe", {"size": "5.0", "nominal_weight_lb_ft": "19.5"})
    assert one != key_text("drill_pipe", {"size": "5", "nominal_weight_lb_ft": "25.60"})
