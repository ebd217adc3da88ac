"""Rows of the office count wherever a table is read: bits, dull grades, names of threads, ratio standards."""

import pytest

from rack.calc import bits, connections
from rack.calc.lookup import Catalogue
from rack.calc.losses import make_up_loss
from rack.calc.reference.bit import BitPick, bit_parts
from rack.calc.reference.connection import names_worked, ratio_ranges, thread_row

OWN = {"source": "maker's sheet 12", "conf": "E"}


def of(table: str, **cells: str) -> Catalogue:
    return Catalogue({table: [{**OWN, **cells}]})


def test_the_gauge_of_the_office_goes_before_that_of_the_table() -> None:
    shipped = bits.gauge_tolerance("roller cone", 8.5)
    own = of("bits", kind="gauge_tolerance_roller_cone", key="8", sub="9", value="-0 / +1/4", unit="in")
    found = bits.gauge_tolerance("roller cone", 8.5, catalogue=own)
    assert (found.over_in, found.source) == (0.25, "maker's sheet 12") and shipped.over_in != found.over_in
    assert bits.gauge_tolerance("roller cone", 6.0, catalogue=own) == bits.gauge_tolerance("roller cone", 6.0)
    quarter = 25_400_000 // 4
    assert bits.in_gauge("roller cone", 215_900_000, 215_900_000 + quarter, catalogue=own)
    assert not bits.in_gauge("roller cone", 215_900_000, 215_900_000 + quarter)


def test_the_pin_of_the_office_goes_before_that_of_the_table() -> None:
    own = of("bits", kind="pin_by_size_roller_cone", key="8", sub="9", value="5-1/2 REG")
    assert bits.pin_by_size("roller cone", 8.5, catalogue=own).threads == ("5-1/2 REG",)
    assert bits.pin_by_size("roller cone", 8.5).threads == ("4-1/2 REG",)


def test_a_torque_of_the_office_counts_between_those_of_the_table() -> None:
    own = of("bits", kind="makeup_torque_fixed_cutter", key="4-1/2 REG", sub="bit sub OD 5 3/4",
             value="1 / 2 / 3", unit="ft-lb")  # fmt: skip
    found = bits.fixed_cutter_torque("4-1/2 REG", 5.75, catalogue=own)
    assert (found.least, found.normal, found.most) == (1, 2, 3)
    at_another = bits.fixed_cutter_torque("4-1/2 REG", 6.5)
    assert bits.fixed_cutter_torque("4-1/2 REG", 6.5, catalogue=own) == at_another


def test_a_letter_of_a_code_and_a_word_of_a_grade_that_the_office_knows_are_read() -> None:
    code = of("bits", kind="iadc_roller_4_feature", key="Q", value="a feature of one maker")
    assert bits.read_code("517Q", catalogue=code).parts[-1].meaning == "a feature of one maker"
    assert bits.read_code("517Q").problems
    dull = of("dull", column="8 reason pulled", code="XX", meaning="the boat came", applies_to="both")
    grade = "1-2-WT-A-E-I-NO-XX"
    assert bits.read_dull(grade, "roller cone", catalogue=dull).columns[-1].meaning == "the boat came"
    assert bits.read_dull(grade, "roller cone").problems
    _, readings = bit_parts(BitPick("roller cone", 8.5, code="517Q"), code)
    assert not any(one.problems for one in readings)


@pytest.mark.parametrize("typed", ["Delta 50 X", "delta 50  x"])
def test_a_name_of_the_office_is_the_thread_it_says(typed: str) -> None:
    own = of("interchange", canonical_thread="NC50", same_thread_name="Delta 50 X")
    assert connections.canonical(typed, own) == "NC50"
    assert connections.mates(typed, "4-1/2 IF", own)
    assert "Delta 50 X" in connections.names_of("NC50", own)
    assert "Delta 50 X" in names_worked(thread_row("NC50", own), own)
    with pytest.raises(ValueError, match="no thread is known"):
        connections.canonical(typed)
    assert connections.canonical("4-1/2 IF", own) == "NC50"


def test_a_thread_that_only_the_office_has_goes_by_its_own_name() -> None:
    own = of("interchange", canonical_thread="RIG 7", same_thread_name="R-7")
    assert connections.canonical("R-7", own) == connections.canonical("rig 7", own) == "RIG 7"
    assert not connections.mates("R-7", "NC50", own)
    assert "RIG 7" in connections.known(own) and "RIG 7" not in connections.known()
    given = of("interchange", canonical_thread="NC50", same_thread_name="Delta 50 X")
    loss = make_up_loss(kind_family="shouldered", thread="Delta 50 X", catalogue=given)
    assert loss == make_up_loss(kind_family="shouldered", thread="NC50")


def test_a_standard_of_the_office_recommends_ratios_too() -> None:
    own = of("bsr_ranges", standard="Company 4", od_from_in="6", od_to_in="9", bsr_low="2.1", bsr_high="2.6")
    assert connections.ratio_standards(catalogue=own) == (*connections.ratio_standards(), "Company 4")
    assert connections.recommended_ratio("Company 4", 8, catalogue=own).low == 2.1
    assert "Company 4" in [name for name, _, _ in ratio_ranges(2.3, 8, own)]
    with pytest.raises(ValueError, match="standard"):
        connections.recommended_ratio("Company 4", 8)
