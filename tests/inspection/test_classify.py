"""The class that readings make: every limit taken at it, one unit below it and one above."""

from dataclasses import replace

import pytest

from inspection.calc.classify import classify, settle
from inspection.calc.nominal import joint_sizes
from inspection.calc.readings import Look, Reading
from tests.inspection.pieces import INCH, LOOKS, good, nm, pipe

TUBES = (("3-1/2", "13.30", "0.368", "0.2944", "0.2576", "3.395", "3.360", "3.605", "3.640"),
         ("4-1/2", "16.60", "0.337", "0.2696", "0.2359", "4.365", "4.320", "4.635", "4.680"),
         ("5", "19.50", "0.362", "0.2896", "0.2534", "4.850", "4.800", "5.150", "5.200"),
         ("5-1/2", "21.90", "0.361", "0.2888", "0.2527", "5.335", "5.280", "5.665", "5.720"))  # fmt: skip
ON_WALL = ("wall", "external_corrosion", "cut_along", "internal_pitting", "internal_erosion")


def tube_class(reading, size="5", weight="19.50", *more):
    verdict = classify([reading, *more], pipe(size, weight), scope="tube")
    return verdict.tube_at_best


@pytest.mark.parametrize("what", ON_WALL)
@pytest.mark.parametrize("tube", TUBES, ids=lambda tube: tube[0])
def test_a_wall_is_compared_unrounded(what, tube):
    size, weight, wall, premium, second = tube[:5]
    edges = ((nm(wall) * 80, "Premium", "Class 2"), (nm(wall) * 70, "Class 2", "Class 3"))
    for hundredfold, at, below in edges:
        least = -(-hundredfold // 100)  # the smallest whole nanometre that meets it
        assert tube_class(Reading(what, nm=least), size, weight) == at
        assert tube_class(Reading(what, nm=least + 1), size, weight) == at
        assert tube_class(Reading(what, nm=least - 1), size, weight) == below
    assert nm(premium) * 100 == nm(wall) * 80
    assert abs(nm(second) * 100 - nm(wall) * 70) <= INCH // 200  # the guide prints it to 0.0001


@pytest.mark.parametrize("what", ["dent", "necking", "stretch"])
@pytest.mark.parametrize("tube", TUBES, ids=lambda tube: tube[0])
def test_a_diameter_that_shrank_is_compared_unrounded(what, tube):
    size, weight, premium, second = *tube[:2], *tube[5:7]
    for edge, at, below in ((premium, "Premium", "Class 2"), (second, "Class 2", "Class 3")):
        assert tube_class(Reading(what, nm=nm(edge)), size, weight) == at
        assert tube_class(Reading(what, nm=nm(edge) + 1), size, weight) == at
        assert tube_class(Reading(what, nm=nm(edge) - 1), size, weight) == below


@pytest.mark.parametrize("tube", TUBES, ids=lambda tube: tube[0])
def test_a_bulge_is_compared_unrounded(tube):
    size, weight, premium, second = *tube[:2], *tube[7:]
    for edge, at, above in ((premium, "Premium", "Class 2"), (second, "Class 2", "Class 3")):
        assert tube_class(Reading("string_shot", nm=nm(edge)), size, weight) == at
        assert tube_class(Reading("string_shot", nm=nm(edge) - 1), size, weight) == at
        assert tube_class(Reading("string_shot", nm=nm(edge) + 1), size, weight) == above


@pytest.mark.parametrize("wall, name", [("0.290", "Premium"), ("0.289", "Class 2"), ("0.2896", "Premium")])
def test_five_inch_at_0_290_passes_premium_and_0_289_does_not(wall, name):
    assert tube_class(Reading("wall", nm=nm(wall))) == name


def test_a_wall_of_exactly_four_fifths_is_not_refused_by_arithmetic():
    assert tube_class(Reading("wall", nm=nm("0.224")), "2-3/8", "6.65") == "Premium"


@pytest.mark.parametrize("what", ["cut_across", "cut", "slip_cut_across", "slip_cut"])
@pytest.mark.parametrize("wall, name", [("0.2896", "Premium"), ("0.289", "Class 3"), ("0.260", "Class 3")])
def test_a_cut_across_stays_at_80_percent_in_class_2(what, wall, name):
    """Class 2 wants what premium wants, so that one step down is two classes down; a direction that
    nobody said is across."""
    assert tube_class(Reading(what, nm=nm(wall))) == name


@pytest.mark.parametrize("wall, name", [("0.2896", "Premium"), ("0.289", "Class 2"), ("0.253", "Class 3")])
def test_a_cut_along_in_the_slip_area_relaxes_to_70(wall, name):
    assert tube_class(Reading("slip_cut_along", nm=nm(wall))) == name


@pytest.mark.parametrize("depth, name", [("0.033", "Premium"), ("0.0331", "Class 2"), ("0.066", "Class 2"),
                                         ("0.0661", "Class 3")])  # fmt: skip
def test_a_slip_cut_is_judged_by_the_mean_of_the_wall_beside_it(depth, name):
    beside = [Reading("slip_cut_adjacent", nm=nm(wall), where="4 ft from box") for wall in ("0.320", "0.340")]
    assert tube_class(Reading("slip_cut_depth", nm=nm(depth), where="4 ft from box"), "5", "19.50",
                      *beside) == name


@pytest.mark.parametrize("beside", [0, 1])
def test_a_slip_cut_without_the_wall_each_side_cannot_be_judged(beside):
    walls = [Reading("slip_cut_adjacent", nm=nm("0.340"))] * beside
    verdict = classify([*good(), Reading("slip_cut_depth", nm=nm("0.010")), *walls], pipe(), looks=LOOKS)
    assert verdict.class_computed == ""
    assert any("wall each side" in words for words in verdict.missing)


@pytest.mark.parametrize("what", ["crack", "washout", "hole"])
@pytest.mark.parametrize("part", ["tube", "box", "pin"])
def test_a_crack_is_scrap_whatever_the_wall_and_stops(what, part):
    verdict = classify([*good(), Reading(what, part, count=1)], pipe(), looks=LOOKS)
    assert verdict.class_computed == verdict.at_best == "Scrap"
    assert verdict.problems[0].severity == "STOPS"


def test_a_crack_is_past_help_even_where_nothing_else_was_read():
    assert classify([Reading("crack", count=2)], pipe()).class_computed == "Scrap"


def test_a_crack_is_the_last_class_of_a_scheme_that_is_not_computed():
    assert classify([Reading("crack", count=1)], pipe(), "ds1_4th").class_computed == "Reject"


def test_a_sound_joint_is_premium_and_every_check_names_its_limit_and_source():
    verdict = classify(good(), pipe(), looks=LOOKS)
    assert (verdict.tube_class, verdict.joint_class, verdict.class_computed) == ("Premium",) * 3
    assert verdict.missing == ()
    for check in verdict.checks:
        assert check.source
        if check.limit:
            assert check.conf
            assert check.close


def test_never_run_pipe_is_class_1_and_leaves_it_below_the_mill_tolerance():
    assert classify(good(), pipe(), looks=LOOKS, unused=True).class_computed == "Class 1"
    thin = good(wall=Reading("wall", nm=nm("0.316")))  # 87.5 % is 0.31675
    assert classify(thin, pipe(), looks=LOOKS, unused=True).class_computed == "Premium"


def test_the_worst_single_condition_decides_and_both_parts_are_kept():
    verdict = classify(good(box_od=Reading("od", "box", nm=nm("6.25"))), pipe(), looks=LOOKS)
    assert (verdict.tube_class, verdict.joint_class, verdict.class_computed) == ("Premium", "Class 2",
                                                                                 "Class 2")
    assert verdict.deciding.part == "box"


def test_a_method_without_result_is_not_looked_at():
    looks = (*LOOKS[:2], Look("EMI", ""))
    verdict = classify(good(), pipe(), looks=looks)
    assert verdict.class_computed == ""
    assert any("Cracks of the tube: not looked at" in words for words in verdict.missing)


def test_done_nothing_to_reject_is_a_look_with_or_without_a_figure():
    looks = (*LOOKS, *(Look(method, "nothing to reject") for method in ("UTW", "ODG", "DIM1")))
    assert classify([], pipe(), looks=looks, acceptance="Premium").class_computed == "Premium"
    assert classify([], pipe(), looks=looks, acceptance="Class 2").class_computed == "Class 2"


def test_a_look_without_a_figure_and_without_acceptance_proves_no_class():
    looks = (*LOOKS, *(Look(method, "nothing to reject") for method in ("UTW", "ODG", "DIM1")))
    assert classify([], pipe(), looks=looks).class_computed == ""


def test_tong_space_and_counterbore_may_be_blank():
    assert classify(good(), pipe(), looks=LOOKS).class_computed == "Premium"


def test_an_indication_is_proved_up_before_anything_passes():
    assert classify(good(), pipe(), looks=(*LOOKS, Look("UTS", "indication"))).class_computed == ""


def test_a_bent_tube_is_straightened_first():
    verdict = classify([*good(), Reading("bent", count=1)], pipe(), looks=LOOKS)
    assert verdict.tube_class == verdict.class_computed == ""
    assert any("straightened first" in words for words in verdict.to_hold)


def test_a_least_od_alone_is_judged_as_necked_and_asked():
    verdict = classify(good(od=Reading("od", nm=nm("4.81"))), pipe(), looks=LOOKS)
    assert verdict.class_computed == "Class 2"
    assert any("Worn, necked or dented?" in problem.text for problem in verdict.problems)


def test_even_wear_of_the_od_is_judged_by_the_wall():
    assert classify(good(od=Reading("od_worn", nm=nm("4.81"))), pipe(),
                    looks=LOOKS).class_computed == "Premium"


def test_a_tool_joint_without_a_stated_bore_has_that_of_the_table():
    """5 in 19.50 S135 with NC50: 6-5/8 x 3-1/4 in, whose limits are those of the stated size."""
    stated = replace(pipe(), tj_bore_nm=nm("3-1/4"))
    silent = replace(pipe(), tj_bore_nm=0, tj_od_nm=0)
    assert joint_sizes(silent) == joint_sizes(stated) and joint_sizes(stated)[0]
    assert joint_sizes(silent, nm("2-3/4")) == joint_sizes(replace(pipe(), tj_bore_nm=nm("2-3/4")))


@pytest.mark.parametrize("lacks", [{"weight_mlb_ft": 0}, {"grade": "X-7"}, {"up_conn": "", "down_conn": ""},
                                   {"tj_bore_nm": 0, "up_conn": "5-1/2 FH", "down_conn": "5-1/2 FH"}])
def test_what_the_specification_does_not_say_passes_nothing(lacks):
    verdict = classify(good(), replace(pipe(), **lacks), looks=LOOKS)
    assert verdict.class_computed == ""
    assert verdict.missing


@pytest.mark.parametrize("given, held, differs", [
    ("Premium", "Class 2", True), ("Class 2", "Class 2", False), ("Class 3", "Class 3", True),
    ("", "Class 2", False),
])  # fmt: skip
def test_of_two_classes_the_worse_holds_and_the_difference_is_told(given, held, differs):
    verdict = classify(good(wall=Reading("wall", nm=nm("0.280"))), pipe(), looks=LOOKS)
    settled = settle(given, verdict)
    assert (settled.held, bool(settled.differs)) == (held, differs)


def test_a_finding_outweighs_the_given_class_though_the_look_was_not_whole():
    verdict = classify([Reading("wall", nm=nm("0.280"))], pipe())
    assert verdict.class_computed == ""
    assert settle("Premium", verdict).held == "Class 2"


def test_where_both_are_unknown_so_is_the_class():
    assert settle("", classify([], pipe())).held == ""


def test_a_class_of_names_only_is_taken_as_given():
    verdict = classify(good(wall=Reading("wall", nm=nm("0.200"))), pipe(), "ds1_4th", looks=LOOKS)
    assert verdict.class_computed == ""
    assert settle("Ultra", verdict).held == "Ultra"


def test_a_class_of_another_scheme_is_refused():
    with pytest.raises(ValueError, match="Ultra"):
        settle("Ultra", classify(good(), pipe()))


def test_a_scheme_for_casing_does_not_judge_drill_pipe():
    with pytest.raises(ValueError, match="API RP 5C1"):
        classify(good(), pipe(), "api_rp5c1")


@pytest.mark.parametrize("more", [{"what": "colour"}, {"part": "box"}, {"nm": None}, {"nm": -1}, {"ppm": 3}])
def test_a_reading_that_says_nothing_or_two_things_is_refused(more):
    with pytest.raises(ValueError):
        Reading(**{"what": "wall", "nm": 1, **more})


def test_below_what_was_accepted_is_asked():
    low = classify(good(wall=Reading("wall", nm=nm("0.280"))), pipe(), looks=LOOKS, acceptance="Premium")
    assert "ASKS" in [problem.severity for problem in low.problems]
    enough = classify(good(wall=Reading("wall", nm=nm("0.280"))), pipe(), looks=LOOKS, acceptance="Class 2")
    assert {problem.severity for problem in enough.problems} == {"NOTE"}
