"""Bits: what is read from a code or a dull grade must not say more than was written."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc import bits
from rack.calc.checks import Severity
from rack.calc.connections import canonical
from rack.calc.lookup import rows

NM = 25_400_000


@pytest.mark.parametrize(
    "bit_type, size, under, over",
    [("fixed cutter", 2.75, "0.015", 0), ("fixed cutter", 6.75, "0.015", 0),
     ("fixed cutter", 6.78125, "0.020", 0),
     ("fixed cutter", 9, "0.020", 0), ("fixed cutter", 9.03125, "0.030", 0),
     ("fixed cutter", 13.75, "0.030", 0),
     ("fixed cutter", 13.78125, "0.045", 0), ("fixed cutter", 17.5, "0.045", 0),
     ("fixed cutter", 17.53125, "0.063", 0), ("fixed cutter", 36, "0.063", 0),
     ("roller cone", 6.75, 0, "1/32"),
     ("roller cone", 13.75, 0, "1/32"), ("roller cone", 13.78125, 0, "1/16"),
     ("roller cone", 17.5, 0, "1/16"),
     ("roller cone", 17.53125, 0, "3/32"), ("roller cone", 26, 0, "3/32")],
)
def test_gauge_tolerance_changes_exactly_where_the_table_says(bit_type, size, under, over):
    found = bits.gauge_tolerance(bit_type, size)
    assert (found.under_in, found.over_in) == (Fraction(under), Fraction(over))
    assert found.source


@pytest.mark.parametrize("size, measured_off_nm, fixed, roller", [
    (8.5, 0, True, True), (8.5, -508_000, True, False), (8.5, -508_001, False, False), (8.5, 1, False, True),
    (8.5, 793_750, False, True), (8.5, 793_751, False, False), (8.5, -1, True, False)])
def test_a_new_fixed_cutter_is_never_over_and_a_new_roller_cone_never_under(size, measured_off_nm, fixed,
                                                                            roller):
    nominal = int(size * NM)
    assert bits.in_gauge("fixed cutter", nominal, nominal + measured_off_nm) is fixed
    assert bits.in_gauge("roller cone", nominal, nominal + measured_off_nm) is roller


def test_the_size_in_nanometres_is_put_in_its_band_exactly():
    assert bits.in_gauge("roller cone", 17 * NM + NM * 17 // 32, 17 * NM + NM * 20 // 32)
    assert not bits.in_gauge("roller cone", 17 * NM + NM // 2, 17 * NM + NM * 19 // 32)


@pytest.mark.parametrize("size", [1.49, 60.01, 6.76, 0, -8.5, True, None, float("nan"), "8 1/2"])
def test_a_size_outside_every_band_is_refused_by_name(size):
    with pytest.raises(ValueError, match="size_in"):
        bits.gauge_tolerance("fixed cutter", size)


@pytest.mark.parametrize("bit_type", ["PDC", "", None])
def test_a_type_of_bit_that_is_none_is_refused(bit_type):
    for function in (bits.gauge_tolerance, bits.pin_by_size):
        with pytest.raises(ValueError, match="bit_type"):
            function(bit_type, 8.5)


@pytest.mark.parametrize(
    "bit_type, size, threads, differ",
    [("roller cone", 3.5, ["2-3/8 REG"], False), ("roller cone", 5.25, ["2-7/8 REG", "3-1/2 REG"], True),
     ("roller cone", 8.5, ["4-1/2 REG"], False), ("roller cone", 12.25, ["6-5/8 REG"], False),
     ("roller cone", 17.5, ["6-5/8 REG", "7-5/8 REG"], False),
     ("roller cone", 26, ["7-5/8 REG", "8-5/8 REG"], False),
     ("fixed cutter", 4.5, ["2-3/8 REG"], False), ("fixed cutter", 6, ["3-1/2 REG"], False),
     ("fixed cutter", 8.5, ["4-1/2 REG"], False), ("fixed cutter", 12.25, ["6-5/8 REG"], False)],
)
def test_the_pin_goes_by_size_and_where_sources_differ_both_are_named(bit_type, size, threads, differ):
    found = bits.pin_by_size(bit_type, size)
    assert (list(found.threads), found.sources_differ) == (threads, differ)
    assert all(canonical(thread) == thread for thread in found.threads)


@pytest.mark.parametrize("size", [3.49, 4.5625, 7.4375])
def test_a_size_between_two_bands_of_pins_is_refused(size):
    with pytest.raises(ValueError, match=r"size_in: .*3 1/2 to 4 1/2"):
        bits.pin_by_size("roller cone", size)


TORQUES = [row for row in rows("bits") if row["kind"] == "makeup_torque_fixed_cutter"]


def test_every_row_of_bit_torque_is_found_by_its_own_diameter():
    found = 0
    for row in TORQUES:
        size = row["sub"].removeprefix("bit sub OD ").split(" and")[0].split(" in")[0]
        whole, _, part = size.partition(" ")
        od = float(int(whole) + (Fraction(part) if part else 0))
        torque = bits.fixed_cutter_torque(row["key"], od)
        assert f"{torque.least:g} / {torque.normal:g} / {torque.most:g}" == row["value"]
        found += 1
    assert found == 18


@pytest.mark.parametrize("thread, od, normal", [("4 1/2 Reg", 5.74, 16_600), ("4-1/2 REG", 5.99, 21_100),
                                                ("4-1/2 REG", 6.5, 21_600),
                                                ("2-3/8 REG", 3.25, 3950)])
def test_between_two_rows_the_smaller_bit_sub_holds(thread, od, normal):
    assert bits.fixed_cutter_torque(thread, od).normal == normal


@pytest.mark.parametrize("thread, od, named",
                         [("2-3/8 REG", 2.99, "sub_od_in"), ("2-3/8 REG", 3.26, "sub_od_in"),
                                               ("NC50", 6, "NC50"), ("no thread", 6, "no thread"),
                                               ("4-1/2 REG", None, "sub_od_in")])
def test_a_bit_torque_outside_the_table_is_refused_by_name(thread, od, named):
    with pytest.raises(ValueError, match=named):
        bits.fixed_cutter_torque(thread, od)


@pytest.mark.parametrize("row", [row for row in rows("bits") if row["kind"] == "nozzle_area"])
def test_the_area_of_a_nozzle_equals_the_table(row):
    assert bits.total_flow_area_in2([int(row["key"])]) == pytest.approx(float(row["value"]), abs=0.00005)


@pytest.mark.parametrize("typed, nozzles", [
    ("3x16 2x18", (16, 16, 16, 18, 18)), ("3 x 16, 2 x 18", (16, 16, 16, 18, 18)), ("16-16-16", (16, 16, 16)),
    ("12/12/13", (12, 12, 13)), ("3×14", (14, 14, 14)), ("14", (14,))])
def test_nozzles_are_read_as_a_bit_sheet_lists_them(typed, nozzles):
    assert bits.read_nozzles(typed) == nozzles


@pytest.mark.parametrize("typed", ["", "three 16", "3x", "0x16", "16.5", "3x0"])
def test_a_list_that_is_none_of_nozzles_is_refused(typed):
    with pytest.raises(ValueError, match="is no nozzle"):
        bits.read_nozzles(typed)


@pytest.mark.parametrize("nozzles", [[], [0], [65], [16.5], [True], [16, None]])
def test_a_nozzle_that_is_none_is_refused(nozzles):
    with pytest.raises(ValueError, match="nozzles_32nds"):
        bits.total_flow_area_in2(nozzles)


def test_the_flow_area_adds_up_and_opens():
    worked = bits.total_flow_area_in2_worked((16, 16, 16, 18, 18))
    assert worked.value == pytest.approx(3 * 0.19635 + 2 * 0.24850, abs=0.0001)
    assert len(worked.steps) == 6


def test_common_sizes_are_only_for_suggestion():
    assert "8 1/2" in bits.common_sizes()
    assert len(bits.common_sizes()) == 31


@pytest.mark.parametrize("typed, code, parts", [
    ("517", "517", 3), ("5-1-7", "517", 3), ("IADC 517 G", "517G", 4), ("517g", "517G", 4),
    ("IADC: 116", "116", 3)])
def test_a_roller_cone_code_is_read(typed, code, parts):
    found = bits.read_code(typed)
    assert (found.raw, found.code, found.family, len(found.parts), found.problems) == (
        typed, code, "roller cone", parts, ())


@pytest.mark.parametrize("typed, asked",
                         [("951", 2), ("051", 2), ("510", 1), ("517F", 1), ("517GX", 1), ("950QQ", 6)])
def test_what_the_table_does_not_know_is_asked_and_the_code_kept(typed, asked):
    found = bits.read_code(typed)
    assert found.raw == typed
    assert [problem.severity for problem in found.problems] == [Severity.ASKS] * asked


def test_more_than_one_letter_is_counted():
    assert bits.read_code("517GX").problems[0].text == "517GX has 2 letters, a code has one at most."


def test_an_open_bearing_is_graded_in_eighths():
    bearing = bits.read_dull("1-1-WT-A-3-I-NO-TD", "roller cone").columns[4]
    assert bearing.meaning == "open bearing life used in eighths: 3 of 8"


def test_a_fixed_cutter_code_stays_raw_because_two_readings_contradict_each_other():
    found = bits.read_code("M323")
    assert (found.code, found.family) == ("M323", "fixed cutter")
    assert [part.place for part in found.parts] == ["body"]
    assert [problem.severity for problem in found.problems] == [Severity.NOTE]
    one, other = (bits.read_code("M323", scheme).parts for scheme in ("fixed 1992", "fixed count"))
    assert [part.character for part in one] == [part.character for part in other] == list("M323")
    assert one[2].meaning != other[2].meaning


@pytest.mark.parametrize("typed, scheme, asked", [
    ("S153", "fixed 1992", 1), ("M523", "fixed 1992", 1), ("D624", "fixed 1992", 0),
    ("M313", "fixed 1992", 1),
    ("T323", "fixed 1992", 1), ("M325", "fixed count", 1), ("M345", "fixed count", 1),
    ("D624", "fixed count", 1)])
def test_a_scheme_reads_only_its_own_digits(typed, scheme, asked):
    assert len(bits.read_code(typed, scheme).problems) == asked


def test_a_cutter_from_memory_is_marked():
    assert "verify" in bits.read_code("D624", "fixed 1992").parts[2].mark
    assert bits.read_code("M323", "fixed 1992").parts[2].mark == ""


@pytest.mark.parametrize("typed, scheme",
                         [("", ""), ("abc", ""), ("5174", ""), ("M323", "roller"), ("517", "fixed 1992")])
def test_what_is_no_code_is_kept_and_asked(typed, scheme):
    found = bits.read_code(typed, scheme)
    assert (found.raw, found.family, found.parts) == (typed, "", ())
    assert found.problems[0].severity is Severity.ASKS


def test_an_unknown_scheme_is_refused():
    with pytest.raises(ValueError, match="scheme: '1987'"):
        bits.read_code("M323", "1987")


@given(st.text(max_size=12), st.sampled_from(bits.SCHEMES))
def test_any_text_is_kept_as_it_was_typed(text, scheme):
    found = bits.read_code(text, scheme)
    assert found.raw == text
    assert found.family or found.problems


@pytest.mark.parametrize("typed", ["1-2-WT-A-E-I-NO-TD", "1,2,WT,A,E,I,NO,TD", "1 2 wt a e i no td",
                                   "1/2/WT/A/E/I/NO/TD", "1 - 2 - WT - A - E - I - NO - TD"])
def test_a_dull_grade_is_read_however_its_columns_are_parted(typed):
    found = bits.read_dull(typed, "roller cone")
    assert (found.raw, found.problems, found.gauge_16ths) == (typed, (), 0)
    assert [column.code for column in found.columns] == ["1", "2", "WT", "A", "E", "I", "NO", "TD"]
    assert all(column.meaning for column in found.columns)


@pytest.mark.parametrize("typed, sixteenths",
                         [("I", 0), ("in", 0), ("x", 0), ("2", 2), ("2/16", 2), ("1/8", 2), ("1/16", 1),
                                               ("16", 16), ("1/1", 16), ("3/4", 12), ("1", 1)])
def test_gauge_wear_is_stored_in_sixteenths_however_it_is_written(typed, sixteenths):
    assert bits.gauge_16ths(typed) == sixteenths
    assert bits.read_dull(f"1-1-WT-A-E-{typed}-NO-TD", "roller cone").gauge_16ths == sixteenths


@pytest.mark.parametrize("typed", ["0", "17", "1/32", "1/0", "0/16", "", "two", "1.5", "17/16"])
def test_gauge_wear_that_is_none_is_refused(typed):
    with pytest.raises(ValueError, match="no gauge wear"):
        bits.gauge_16ths(typed)


def test_wo_means_the_bit_in_two_columns_and_the_string_in_the_last():
    meanings = [bits.read_dull("1-1-WO-A-E-I-WO-WO", "roller cone").columns[i].meaning for i in (2, 6, 7)]
    assert meanings == ["washed out bit", "washed out bit", "washout, drill string"]


def test_lc_is_a_lost_cone_and_ln_a_lost_nozzle():
    found = bits.read_dull("1-1-LC2-A-E-I-LN-DTF", "roller cone")
    assert found.columns[2].meaning.startswith("lost cone")
    assert found.columns[6].meaning.startswith("lost nozzle")
    assert found.problems == ()


@pytest.mark.parametrize("typed, bit_type, columns", [
    ("9-1-WT-A-E-I-NO-TD", "roller cone", ["inner"]),
    ("1-1-QQ-A-E-I-NO-TD", "roller cone", ["dull characteristic"]),
    ("1-1-WT-A-X-I-NO-TD", "roller cone", ["bearing/seal"]),
    ("1-1-WT-A-E-I-NO-TD", "fixed cutter", ["bearing/seal"]),
    ("1-1-LC-A-X-I-NO-TD", "fixed cutter", ["dull characteristic"]),
    ("1-1-BF-A-E-I-NO-TD", "roller cone", ["dull characteristic"]),
    ("1-1-WT-T-E-I-NO-TD", "roller cone", ["location"]),
    ("1-1-WT-A-E-3/32-NO-ZZ", "roller cone", ["gauge", "reason pulled"]),
    ("1-1-WT-A-0-8-I-NO", "roller cone", ["other characteristic", "reason pulled"])])
def test_a_code_that_does_not_belong_is_asked_by_column(typed, bit_type, columns):
    found = bits.read_dull(typed, bit_type)
    assert [problem.where for problem in found.problems] == columns
    assert all(problem.severity is Severity.ASKS for problem in found.problems)


@pytest.mark.parametrize("typed", ["", "1-1-WT", "1-1-WT-A-E-I-NO-TD-9"])
def test_a_grade_of_the_wrong_length_is_kept_and_asked(typed):
    found = bits.read_dull(typed, "roller cone")
    assert (found.raw, found.columns, found.gauge_16ths) == (typed, (), None)
    assert found.problems[0].limit == "8"


@given(st.text(alphabet="0123456789ABDEILNOTWX-/, ", max_size=24), st.sampled_from(bits.BIT_TYPES))
def test_any_dull_grade_is_kept_as_it_was_typed(text, bit_type):
    found = bits.read_dull(text, bit_type)
    assert found.raw == text
    assert found.columns or found.problems


def test_every_code_of_the_table_is_read_in_its_own_column():
    places = {column: at for at, column in enumerate(bits.COLUMNS)}
    for row in rows("dull"):
        bit_type = "fixed cutter" if row["applies_to"] == "fixed" else "roller cone"
        cells = ["1", "1", "WT", "A", "X" if bit_type == "fixed cutter" else "E", "I", "NO", "TD"]
        cells[places[row["column"]]] = "3" if row["code"] == "0-8" else row["code"]
        assert bits.read_dull(" ".join(cells), bit_type).problems == (), row
