"""How the rows of a list are judged: names that stand twice, lengths that no such joint has, sums."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity, note, stops
from rack.calc.items import read_item
from rack.calc.lengths import Length
from rack.calc.list_names import name_problems
from rack.calc.list_sums import agree, total_line
from rack.calc.outliers import length_problems
from rack.calc.receiving import (
    Column,
    Mapping,
    ReadRow,
    SheetMapping,
    counted,
    hand_count_problems,
    settled,
    stopped_problems,
    with_problems,
)

PIPE, _ = read_item("5 in 19.50 lb/ft S-135 NC50")
RANGE_2, _ = read_item("5 in 19.50 lb/ft S-135 NC50 Range 2")
CASING, _ = read_item("9-5/8 in 47 lb/ft L-80 BTC Range 3")


def rows(texts, *, spec=PIPE, unit="ft"):
    return [
        ReadRow(
            row=at,
            serial=f"S{at}",
            spec=spec,
            length=Length.parse(text, unit) if text else None,
            length_unit=unit,
        )
        for at, text in enumerate(texts, start=2)
    ]


BATCH = ["31.02", "30.87", "31.14", "30.66", "31.25", "30.91", "31.33", "30.78", "31.08", "30.95"]


def test_a_serial_that_stands_twice_is_asked_on_both_rows_by_each_others_row():
    listed = [
        ReadRow(row=5, serial="HB-740"),
        ReadRow(row=6, serial="HB-741"),
        ReadRow(row=9, serial="hb 740"),
    ]
    found = name_problems(listed)
    assert set(found) == {0, 2}
    assert "row 9" in found[0][0].text
    assert "row 5" in found[2][0].text
    assert found[0][0].severity is Severity.ASKS


def test_serials_that_differ_by_o_and_zero_are_asked():
    found = name_problems(
        [ReadRow(row=2, serial="KD4101"), ReadRow(row=3, serial="KD41O1"), ReadRow(row=4, serial="KD4103")]
    )
    assert set(found) == {0, 1}
    assert "O or 0" in found[1][0].text


def test_the_same_painted_number_on_another_kind_of_pipe_is_no_question():
    listed = [ReadRow(row=2, painted="1", spec=PIPE), ReadRow(row=3, painted="1", spec=CASING)]
    assert not name_problems(listed)


def test_blank_names_are_not_the_same_name():
    assert not name_problems([ReadRow(row=2), ReadRow(row=3), ReadRow(row=4, serial="--")])


@pytest.mark.parametrize(
    "odd, unit, words",
    [
        ("43.32", "ft", "Range 2"),  # a joint of range 3 among those of range 2
        ("9.62", "ft", "Metres"),  # T14
        ("25.50", "ft", "outside"),  # between the doors
        ("13.12", "ft", "31.12"),  # T01 at its worst
    ],
)
def test_a_length_that_no_joint_of_the_batch_has_is_asked_once(odd, unit, words):
    found = length_problems(rows([*BATCH, odd], unit=unit))
    assert set(found) == {len(BATCH)}
    assert len(found[len(BATCH)]) == 1
    assert found[len(BATCH)][0].severity is Severity.ASKS
    if words != "outside":
        assert words in found[len(BATCH)][0].text


def test_good_joints_are_not_asked_about():
    assert not length_problems(rows(BATCH))
    assert not length_problems(rows(["29.10", "32.80", *BATCH, "29.30", "32.60"]))


def test_a_stated_range_is_held_even_when_every_joint_is_out_of_it():
    found = length_problems(rows(["43.10", "43.30", "43.20"], spec=RANGE_2))
    assert set(found) == {0, 1, 2}
    assert "The list says Range 2" in found[0][0].text


def test_two_joints_of_metres_in_a_feet_list_do_not_vouch_for_each_other():
    found = length_problems(rows([*BATCH, "9.62", "9.60"]))
    assert {10, 11} <= set(found)


def test_casing_is_held_to_its_range():
    assert set(length_problems(rows(["40.12", "41.00", "39.77", "31.20"], spec=CASING))) == {3}


def test_rows_without_a_length_are_not_judged():
    assert not length_problems(rows(["", "", ""]))


def test_a_fault_that_stops_makes_the_row_stopped_and_a_person_may_leave_it_out():
    row = with_problems(ReadRow(row=7), [stops("no length")])
    assert settled(row, left_out=False).fate == "stopped"
    assert settled(row, left_out=True).fate == "left out"
    assert settled(with_problems(ReadRow(row=7), [note("fine")]), left_out=False).fate == "accepted"


def test_rows_that_stop_are_named_together_and_counted():
    listed = [
        settled(with_problems(ReadRow(row=at), [stops("x")] if at % 2 else []), left_out=at == 4)
        for at in range(2, 7)
    ]
    count = counted(listed, sum_rows=1, blank_rows=2, text_rows=0)
    assert (count.read, count.accepted, count.left_out, count.stopped) == (5, 2, 1, 2)
    assert "row 3 and row 5" in stopped_problems(listed)[0].text


@pytest.mark.parametrize("in_file, same", [("94.31", True), ("94.32", False), ("94.30", False)])
def test_a_total_agrees_to_the_last_digit_or_not_at_all(in_file, same):
    listed = rows(["31.64", "31.55", "31.12"])
    total = total_line("C5", "Total", Length.parse(in_file, "ft"), listed, "ft", 2)
    assert total.agrees is same
    assert total.computed == Length.parse("94.31", "ft")


def test_a_difference_that_is_one_joint_names_the_joint():
    listed = rows(["31.64", "31.55", "31.12"])
    assert "S3" in total_line("C5", "Total", Length.parse("62.76", "ft"), listed, "ft", 2).text


@given(st.lists(st.integers(1, 5000), min_size=1, max_size=40))
def test_the_sum_of_any_rows_agrees_with_itself_and_with_nothing_a_digit_off(hundredths):
    lengths = [Length(each * 3_048_000) for each in hundredths]
    whole = sum(lengths, Length(0))
    assert agree(whole, whole, "ft", 2)
    assert not agree(whole, whole + Length(3_048_000), "ft", 2)


_COLUMNS = st.builds(
    Column,
    st.integers(0, 30),
    st.text(max_size=12),
    st.sampled_from(["", "serial", "item", "grade"]),
    st.just(""),
)
_SHEETS = st.builds(
    SheetMapping,
    st.text(max_size=8),
    st.integers(0, 99),
    st.integers(0, 99),
    st.lists(_COLUMNS, max_size=4).map(tuple),
)


@given(
    st.builds(
        Mapping,
        st.lists(_SHEETS, max_size=3).map(tuple),
        st.sampled_from(["", "ft", "m"]),
        st.text(max_size=9),
        st.sampled_from(["", ".", ","]),
        st.text(max_size=20),
    )
)
def test_a_mapping_comes_back_from_its_text(mapping):
    assert Mapping.from_json(mapping.to_json()) == mapping


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        "null",
        '{"sheets": 3}',
        Mapping(decimal="!").to_json(),
        Mapping(length_unit="mile").to_json(),
        Mapping((SheetMapping("", 1, 1, (Column(0, "x", "colour"),)),)).to_json(),
        Mapping((SheetMapping("", 1, 1, (Column(-1, "x", "serial"),)),)).to_json(),
        Mapping((SheetMapping("", 1, 1, (Column(0, "x", "length", "kg/m"),)),)).to_json(),
    ],
)
def test_a_mapping_that_makes_no_sense_is_refused(text):
    with pytest.raises(ValueError, match=r"\w"):
        Mapping.from_json(text)


# --- the count by hand ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "hand_count, words",
    [
        (None, ""),
        (3, ""),
        (2, "one piece is short landed"),
        (0, "3 pieces are short landed"),
        (5, "2 pieces are over landed"),
    ],
)
def test_a_count_by_hand_names_what_is_short_or_over_against_the_list(hand_count, words):
    listed = [ReadRow(row=at, serial=f"S{at}") for at in range(3)]
    left_out = ReadRow(row=9, serial="S9", fate="left out")
    found = hand_count_problems(hand_count, [*listed, left_out])
    assert [each.severity for each in found] == ([Severity.ASKS] if words else [])
    assert not words or words in found[0].text


# --- what a wrong sum looks like ------------------------------------------------------------------


@pytest.mark.parametrize(
    "in_file, words",
    [
        ("156.03", "Digits changed places, perhaps: 165.03?"),
        ("134.01", "That is the length of S2 (row 2)"),
        ("165.12", "divides by nine"),
        ("165.10", "the file says 0.07 ft more."),
    ],
)
def test_a_wrong_sum_is_shown_with_the_slip_that_it_looks_like(in_file, words):
    listed = rows(["31.02", "34.00", "33.00", "33.01", "34.00"])
    total = total_line("C7", "Total", Length.parse(in_file, "ft"), listed, "ft", 2)
    assert not total.agrees
    assert words in total.text
