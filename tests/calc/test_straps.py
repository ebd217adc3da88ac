"""Two straps compared: every planted error is named, near misses and honest straps stay silent."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.lengths import Length
from rack.calc.straps import GATE, Comparison, StrapLine, compare
from tests.calc.strapping import BASE, HUNDREDTH, changed, codes, compared, lines

PIN = Length.parse("4 1/2 in")


def one_joint(first: int, second: int, **facts: Length) -> Comparison:
    """Twelve joints of which number 7 was read as given; the rest agree."""
    strap = BASE[:12]
    before, after = list(strap), list(strap)
    before[6], after[6] = first, second
    return compared(after, before, **facts)


def test_two_equal_straps_have_no_finding() -> None:
    found = compared(BASE)
    assert found.findings == ()
    assert found.differing == ()
    assert (found.count_first, found.count_second) == (40, 40)
    assert (found.mean_nm, found.spread_nm) == (0, 0)
    assert found.totals_agree
    assert not found.cancels
    assert found.gate == GATE
    assert found.words == "The two straps agree on every joint read twice (40)."


@given(st.lists(st.integers(-1, 1), min_size=40, max_size=40))
def test_honest_straps_within_a_hundredth_are_never_questioned(errors: list[int]) -> None:
    found = compared([reading + error for reading, error in zip(BASE, errors, strict=True)])
    assert found.findings == ()
    assert not found.cancels


@pytest.mark.parametrize("apart, outside", [(0, False), (2, False), (-2, False), (3, True), (-3, True)])
def test_the_gate_is_two_hundredths_of_a_foot(apart: int, outside: bool) -> None:
    found = one_joint(3140, 3140 + apart)
    assert found.differing == ((6,) if outside else ())
    assert bool(found.findings) is outside


@pytest.mark.parametrize(
    "first, second, code, why",
    [
        (3126, 3162, "T01", "Digits changed places."),
        (3162, 3126, "T01", "Digits changed places."),
        (3126, 1326, "T01", "Digits changed places."),
        (3126, 3216, "T01", "Digits changed places."),
        (3124, 3224, "T02", "They are exactly one foot apart"),
        (3124, 2124, "T02", "They are exactly ten feet apart"),
        (3115, 3150, "T20", "15 and 50 sound alike"),
        (3190, 3119, "T20", "19 and 90 sound alike"),
        (1324, 3024, "T20", "13 and 30 sound alike"),
        (3156, 962, "T14", "The second strap was read in metres: 9.62 m is 31.56 ft."),
        (962, 3156, "T14", "The first strap was read in metres: 9.62 m is 31.56 ft."),
        (3124, 3129, "", "They are 0.05 ft apart, the gate is 0.02."),
        (3124, 3134, "T21", "The second strap is longer by 0.10 ft, the length of a thread protector"),
        (3164, 3124, "T21", "The first strap is longer by 0.40 ft, the length of a thread protector"),
    ],
)
def test_one_joint_gets_its_one_explanation(first: int, second: int, code: str, why: str) -> None:
    (finding,) = one_joint(first, second).findings
    assert finding.code == code
    assert finding.lines == (6,)
    before, after = Length(first * HUNDREDTH), Length(second * HUNDREDTH)
    assert (finding.first, finding.second) == (before, after)
    head = f"Joint 7: first strap {before.shown('ft', 2)}, second strap {after.shown('ft', 2)}. "
    assert finding.words.startswith(head + why)
    assert "ape it again" in finding.do


@pytest.mark.parametrize(
    "first, second, silent",
    [
        (3126, 3167, "T01"),
        (3126, 3135, "T01"),  # a multiple of 0.09, but no digits changed places
        (3124, 3223, "T02"),
        (3124, 3324, "T02"),
        (3115, 3199, "T20"),
        (3124, 3133, "T21"),  # 0.09: no protector is so short
        (3124, 3165, "T21"),  # 0.41: nor so long
        (3156, 958, "T14"),
        (3156, 970, "T14"),
        (3110, 3152, "T22"),  # 0.42: the pin is 0.375, the gate 0.02
    ],
)
def test_a_near_miss_is_named_as_a_plain_difference(first: int, second: int, silent: str) -> None:
    (finding,) = one_joint(first, second, pin=PIN).findings
    assert finding.code != silent
    assert finding.code == ""


def test_a_pin_counted_on_one_joint_is_named() -> None:
    (finding,) = one_joint(3110, 3148, pin=PIN).findings
    assert finding.code == "T22"
    assert "They are one pin (0.375 ft) apart: the second strap counted the pin." in finding.words


def test_several_wrong_joints_are_each_named_in_order() -> None:
    found = compared(changed(j3=BASE[2] + 100, j9=BASE[8] + 7, j30=BASE[29] - 1000))
    assert codes(found) == ["T02", "", "T02"]
    assert found.differing == (2, 8, 29)
    assert found.words == "3 of 40 joints differ: 3, 9, 30."


@pytest.mark.parametrize(
    "wrong, words",
    [
        (1, "1 of 40 joints differs: 1."),
        (10, "10 of 40 joints differ: 1, 2, 3, 4, 5, 6, 7, 8, 9, 10."),
        (12, "12 of 40 joints differ: 1, 2, 3, 4, 5, 6, 7, 8, 9, 10 and 2 more."),
    ],
)
def test_the_summary_names_ten_joints_at_most(wrong: int, words: str) -> None:
    second = [reading + (100 if place < wrong else 0) for place, reading in enumerate(BASE)]
    assert compared(second).words == words


def test_errors_that_cancel_are_shown_although_the_totals_agree() -> None:
    found = compared(changed(j3=BASE[2] + 100, j9=BASE[8] - 100))
    assert found.totals_agree
    assert found.cancels
    assert found.mean_nm == 0
    assert found.differing == (2, 8)
    assert found.words.endswith("but that clears nothing: the errors cancel.")


def test_a_total_that_agrees_to_one_figure_still_cancels_nothing() -> None:
    assert compared(changed(j3=BASE[2] + 100, j9=BASE[8] - 99)).cancels
    apart = compared(changed(j3=BASE[2] + 100, j9=BASE[8] - 98))
    assert not apart.totals_agree
    assert not apart.cancels
    assert len(apart.findings) == 2


@pytest.mark.parametrize("by", [3, -3, 5, 100])
def test_a_tape_not_held_at_zero_is_one_finding_for_the_list(by: int) -> None:
    found = compared([reading + by for reading in BASE])
    assert codes(found) == ["T03"]
    assert found.findings[0].lines == tuple(range(40))
    assert f"{abs(by) / 100:.3f} ft {'longer' if by > 0 else 'shorter'}" in found.findings[0].words
    assert found.mean_nm == by * HUNDREDTH
    assert found.spread_nm == 0
    assert len(found.differing) == 40


def test_a_zero_error_with_some_spread_and_one_slip_names_both() -> None:
    second = [reading + 5 + (-1, 0, 1)[place % 3] for place, reading in enumerate(BASE)]
    second[20] = BASE[20] + 105
    assert codes(compared(second)) == ["T03", ""]


@pytest.mark.parametrize("by", [1, 2, -2])
def test_a_constant_within_the_gate_is_silent(by: int) -> None:
    assert compared([reading + by for reading in BASE]).findings == ()


def test_a_large_mean_with_a_large_spread_is_no_zero_error() -> None:
    second = [reading + (4, 8, 16, 25)[place % 4] for place, reading in enumerate(BASE)]
    assert set(codes(compared(second))) <= {"", "T01", "T20"}


def test_a_constant_on_four_joints_is_too_few_to_say() -> None:
    assert codes(compared([reading + 5 for reading in BASE[:4]], BASE[:4])) == ["", "", "", ""]


@pytest.mark.parametrize("what, called", [("pin", "pin"), ("loss", "make-up loss")])
@pytest.mark.parametrize("sign, longer", [(1, "second"), (-1, "first")])
def test_a_loss_forgotten_on_every_joint_is_one_finding(
    what: str, called: str, sign: int, longer: str
) -> None:
    found = compared([reading + sign * 38 for reading in BASE], **{what: PIN})
    assert codes(found) == ["T13"]
    assert f"The {longer} strap is longer" in found.findings[0].words
    assert f"by the {called} (0.375 ft) on 40 of 40 joints" in found.findings[0].words


@pytest.mark.parametrize("joints, expected", [(2, ["T22", "T22"]), (3, ["T13"])])
def test_three_joints_are_enough_to_see_a_forgotten_pin(joints: int, expected: list[str]) -> None:
    found = compared([reading + 38 for reading in BASE[:joints]], BASE[:joints], pin=PIN)
    assert codes(found) == expected


@pytest.mark.parametrize("others, expected", [(1, ["T13"]), (2, ["T22"] * 4)])
def test_four_in_five_joints_make_it_the_lists_error(others: int, expected: list[str]) -> None:
    second = [reading + 38 for reading in BASE[:4]] + BASE[4 : 4 + others]
    assert codes(compared(second, BASE[: 4 + others], pin=PIN)) == expected


def test_a_loss_that_is_hardly_more_than_the_gate_explains_nothing() -> None:
    small = Length(4 * HUNDREDTH)
    assert codes(one_joint(3110, 3115, pin=small)) == [""]
    assert codes(one_joint(3110, 3115, pin=small + Length(1))) == ["T22"]


def test_pins_of_different_length_are_seen_where_no_constant_is() -> None:
    pins = [Length.parse("4 1/2 in") if place % 2 else Length.parse("3 in") for place in range(20)]
    first = [StrapLine(str(n), Length(BASE[n] * HUNDREDTH), pin=pins[n]) for n in range(20)]
    second = [StrapLine(str(n), Length(BASE[n] * HUNDREDTH) + pins[n], pin=pins[n]) for n in range(20)]
    found = compare(first, second, unit="ft", digits=2)
    assert codes(found) == ["T13"]


def test_a_constant_that_is_not_the_pin_is_a_zero_error() -> None:
    assert codes(compared([reading + 41 for reading in BASE], pin=PIN)) == ["T03"]


@pytest.mark.parametrize("which", [0, 1])
def test_a_whole_strap_in_metres_is_one_finding(which: int) -> None:
    metres = [round(reading * 0.3048) for reading in BASE]
    straps = (metres, BASE) if which == 0 else (BASE, metres)
    found = compared(straps[1], straps[0])
    assert codes(found) == ["T14"]
    says = f"The {('first', 'second')[which]} strap is in metres where the list is in feet"
    assert found.findings[0].words.startswith(says)


def test_a_strap_in_feet_in_a_list_in_metres_is_one_finding() -> None:
    metres = [round(reading * 0.3048) for reading in BASE]
    found = compared(BASE, metres, unit="m")
    assert codes(found) == ["T14"]
    assert "in feet where the list is in metres" in found.findings[0].words


def test_a_line_without_a_painted_number_is_named_by_its_place() -> None:
    first = [StrapLine("", Length(3126 * HUNDREDTH)), StrapLine("", Length(3140 * HUNDREDTH))]
    second = [StrapLine("", Length(3162 * HUNDREDTH)), StrapLine("", Length(3140 * HUNDREDTH))]
    assert compare(first, second, unit="ft", digits=2).findings[0].words.startswith("Line 1: ")


def test_a_strap_taken_on_an_old_list_is_said() -> None:
    found = compare(lines(BASE), lines(BASE), unit="ft", digits=2, revisions=(3, 2))
    assert codes(found) == ["T12"]
    assert "list 3" in found.findings[0].words
    assert "list 2" in found.findings[0].do
    assert compare(lines(BASE), lines(BASE), unit="ft", digits=2, revisions=(3, 3)).findings == ()


def test_a_metric_list_is_judged_in_its_own_figures() -> None:
    """Two honest readings to 0.01 m may be 0.01 m apart, which is more than 0.02 ft."""
    metric = [round(reading * 0.3048) for reading in BASE]
    assert compared([reading + 1 for reading in metric], metric, unit="m").findings == ()
    slipped = list(metric)
    slipped[3] += 100
    slipped[8] = 926
    metric[8] = 962
    found = compared(slipped, metric, unit="m")
    assert codes(found) == ["T02", "T01"]
    assert "exactly one metre apart" in found.findings[0].words


def test_a_metric_list_in_millimetres_keeps_the_gate() -> None:
    first = [StrapLine(str(n), Length.parse(f"9.{600 + n} m")) for n in range(10)]
    for apart, outside in (("0.006 m", 0), ("0.007 m", 1)):
        second = list(first)
        second[4] = StrapLine("4", Length.parse("9.604 m") + Length.parse(apart))
        assert len(compare(first, second, unit="m", digits=3).differing) == outside


def test_a_wider_gate_is_taken_and_a_finer_one_than_a_figure_is_not() -> None:
    wide = compare(lines([3124]), lines([3129]), gate=Length(5 * HUNDREDTH), unit="ft", digits=2)
    assert wide.findings == ()
    fine = compare(lines([3124]), lines([3125]), gate=Length(1), unit="ft", digits=2)
    assert fine.gate == Length(HUNDREDTH)
    assert fine.findings == ()


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="no unit of length"):
        compare(lines([3124]), lines([3124]), unit="yd", digits=2)


@pytest.mark.parametrize("first, second", [
    ([3118, 3102], [None, 3118, 3102]), ([None, 3118, 3102], [3118, 3102]),
    ([3118, 3102, 3124, None], [None, 3118, 3102, 3124]),
])  # fmt: skip
def test_a_blank_line_that_shifts_the_list_is_named_though_no_joint_is_missing(first, second) -> None:
    found = compared(second, first)
    assert codes(found) == ["T04"] or set(codes(found)) == {"T04"}
    assert "left blank" in found.findings[0].words
    assert {line for finding in found.findings for line in finding.lines} >= set(found.differing)


@given(
    st.lists(st.none() | st.integers(2800, 3300), max_size=30),
    st.lists(st.none() | st.integers(2800, 3300), max_size=30),
)
def test_whatever_was_read_every_joint_outside_the_gate_is_covered(
    first: list[int | None], second: list[int | None]
) -> None:
    found = compared(second, first)
    assert all(finding.words and finding.do and finding.words.isprintable() for finding in found.findings)
    if found.differing:
        assert found.findings
    if found.findings and "T04" not in codes(found):
        assert {line for finding in found.findings for line in finding.lines} >= set(found.differing)


@given(st.lists(st.integers(2800, 3300), min_size=1, max_size=30), st.randoms(use_true_random=False))
def test_a_comparison_is_the_same_seen_from_the_other_side(first: list[int], chance: random.Random) -> None:
    second = [reading + chance.choice((0, 0, 1, -1, 9, 100)) for reading in first]
    one, other = compared(second, first), compared(first, second)
    assert one.differing == other.differing
    assert one.cancels == other.cancels
    assert (one.total_first, one.total_second) == (other.total_second, other.total_first)
    assert one.mean_nm == -(other.mean_nm or 0)
    assert one.spread_nm == other.spread_nm
