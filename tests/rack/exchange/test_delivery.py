"""Whole lists with the faults of real ones: every row has its fate, nothing is read wrongly."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.receiving import Mapping
from rack.errors import UnreadableFile
from rack.exchange.delivery import as_json, read_delivery, refused_as_json
from tests.rack.exchange.test_workbook import book

LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "lists"
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2"


def read(name: str, **more):
    return read_delivery((LISTS / name).read_bytes(), name, **more)


def typed(text: str, **more):
    return read_delivery(text.encode(), "list.csv", **more)


def questions(row) -> list[str]:
    return [each.text for each in row.problems if each.severity is not Severity.NOTE]


def by_serial(delivery) -> dict:
    return {row.serial: row for row in delivery.rows}


# --- the lists in fixtures/lists ------------------------------------------------------------------


def test_a_tidy_list_goes_through_without_one_question():
    delivery = read("tidy_feet.csv")
    assert [row.problems for row in delivery.rows] == [()] * 10
    assert delivery.counted.accepted == 10
    row = delivery.rows[0]
    assert (row.row, row.serial, row.place, row.pipe_class) == (2, "FX110", "R3", "Premium")
    assert row.length == Length.parse("31.02 ft")
    assert row.typed["length"] == "31.02"


def test_the_german_list_is_read_with_its_four_faults_and_its_sum():
    delivery = read("german_metres_serial_twice_length_missing.csv")
    faulty = {row.row: questions(row) for row in delivery.rows if questions(row)}
    assert set(faulty) == {8, 9, 11, 13}
    assert "No length" in faulty[8][0]
    assert "row 13" in faulty[9][0]
    assert "row 9" in faulty[13][0]
    assert "Range 2" in faulty[11][0]
    row = delivery.rows[0]
    assert (row.spec.od_nm, row.spec.weight_mlb_ft, row.spec.grade, row.spec.down_conn) == (
        127_000_000,
        19_500,
        "G105",
        "NC50",
    )
    assert (row.typed["weight"], row.read["weight"]) == ("29,02", "19.50 lb/ft")
    assert any("29,02" in each.text and "19.50" in each.text for each in delivery.problems)
    assert [total.agrees for total in delivery.totals] == [True]
    assert delivery.totals[0].where == "G15"
    assert (delivery.counted.read, delivery.counted.sum_rows, delivery.counted.blank_rows) == (10, 1, 0)
    assert delivery.preamble[0] == "Versandliste 7714"


def test_a_wrong_page_total_is_found_between_right_ones():
    delivery = read("page_total_wrong.csv")
    assert [total.agrees for total in delivery.totals] == [True, False, True]
    assert delivery.totals[1].computed == Length.parse("155.05 ft")
    assert any(each.code == "T08" for each in delivery.problems)
    assert (delivery.counted.read, delivery.counted.sum_rows, delivery.counted.blank_rows) == (10, 3, 1)
    assert any("Signed" in each.text for each in delivery.problems)


def test_feet_and_inches_in_two_columns_are_one_exact_length():
    delivery = read("feet_and_inches_apart.csv")
    assert [row.length for row in delivery.rows] == [
        Length.parse(each) for each in ("31 ft 6 in", "30 ft 11 1/2 in", "31 ft")
    ]
    assert delivery.rows[0].typed["length"] == "31 ft 6 in"


def test_what_the_pieces_are_may_stand_above_the_headings():
    delivery = read("item_above_the_headings.csv")
    assert [row.spec.grade for row in delivery.rows] == ["S135", "S135"]
    assert delivery.mapping.length_unit == "m"
    assert delivery.rows[0].length_kind == "pins off"
    assert delivery.totals[0].agrees


def test_units_in_a_second_heading_row_are_read():
    delivery = read("units_in_a_second_heading_row.tsv")
    assert [row.length for row in delivery.rows] == [Length.parse("9.55 m"), Length.parse("9.60 m")]
    assert [row.row for row in delivery.rows] == [3, 4]
    assert delivery.rows[0].number == "1"


def test_ditto_marks_stand_for_the_cell_above_and_stay_as_typed():
    delivery = read("ditto_marks.csv")
    assert len({row.spec.key for row in delivery.rows}) == 1
    assert [row.typed["item"] for row in delivery.rows[1:]] == ["do.", '"']
    assert delivery.totals[0].agrees


def test_casing_goes_by_its_painted_number():
    delivery = read("casing_by_painted_number.csv")
    assert [row.painted for row in delivery.rows] == ["1", "2", "36A"]
    assert {row.spec.key for row in delivery.rows} == {delivery.rows[0].spec.key}
    assert delivery.rows[0].spec.kind == "casing"
    assert delivery.totals[0].agrees


def test_a_bottom_assembly_is_read_each_row_by_its_own_kind():
    delivery = read("bottom_hole_assembly.psv")
    assert [row.spec.kind if row.spec else "" for row in delivery.rows] == [
        "collar",
        "heavy_weight",
        "bit",
        "crossover",
        "jar",
        "stabilizer",
    ]
    assert {row.fate for row in delivery.rows} == {"accepted"}
    assert delivery.rows[3].spec.down_conn == "6-5/8 REG"


@pytest.mark.parametrize(
    "row, severity, words",
    [
        (12, "ASKS", "Metres in a list in feet, perhaps: 31.56"),
        (13, "ASKS", "No length"),
        (14, "STOPS", "abc"),
        (15, "STOPS", "negative"),
        (16, "STOPS", "A length of 0"),
        (17, "STOPS", "perhaps: 31.12"),
        (18, "ASKS", "No serial"),
        (19, "ASKS", "Q-999"),
        (20, "ASKS", "XT50"),
        (21, "STOPS", "whipstock"),
        (22, "ASKS", "Digits changed places, perhaps: 31.12"),
        (23, "ASKS", "Class “P”"),
        (24, "ASKS", "colour"),
        (25, "ASKS", "No serial"),
        (26, "ASKS", "lost its last digits"),
    ],
)
def test_every_fault_is_named_on_its_own_row(row, severity, words):
    delivery = read("every_row_has_a_fault.csv")
    found = next(each for each in delivery.rows if each.row == row)
    assert [str(each.severity) for each in found.problems if words in each.text] == [severity]
    assert found.fate == ("stopped" if severity == "STOPS" else "accepted")


def test_rows_that_stop_block_the_list_until_they_are_left_out():
    delivery = read("every_row_has_a_fault.csv")
    stopping = [each for each in delivery.problems if each.severity is Severity.STOPS]
    assert len(stopping) == 1
    out = frozenset((row.sheet, row.row) for row in delivery.rows if row.fate == "stopped")
    again = read("every_row_has_a_fault.csv", left_out=out)
    assert not [each for each in again.problems if each.severity is Severity.STOPS]
    assert again.counted.left_out == len(out) == 5
    assert again.counted.read == again.counted.accepted + again.counted.left_out


# --- mapping --------------------------------------------------------------------------------------


def test_a_person_corrects_a_column_and_the_same_file_is_read_anew():
    text = f"Serial,Item,Length ft,Mark\nA1,{PIPE},31.20,17\nA2,{PIPE},31.30,18\n"
    first = typed(text)
    assert first.rows[0].painted == ""
    corrected = first.mapping.to_json().replace(
        '"heading":"Mark","index":3,"role":""', '"heading":"Mark","index":3,"role":"painted"'
    )
    assert typed(text, mapping=Mapping.from_json(corrected)).rows[0].painted == "17"


def test_reading_with_the_proposed_mapping_gives_the_same_rows():
    for path in sorted(LISTS.iterdir()):
        first = read(path.name)
        again = read(path.name, mapping=Mapping.from_json(first.mapping.to_json()))
        assert again.rows == first.rows, path.name
        assert again.totals == first.totals


def test_columns_of_another_file_are_refused():
    mapping = read_delivery(book(["Serial", "Item", "Length ft"], ["A1", PIPE, 31.2]), "list.xlsx").mapping
    with pytest.raises(UnreadableFile, match="another file"):
        typed(f"Serial,Item,Length ft\nA1,{PIPE},31.20\n", mapping=mapping)


def test_the_item_set_for_the_whole_list_fills_what_the_rows_do_not_say():
    text = "Serial,Grade,Length ft\nA1,S-135,31.20\nA2,G-105,31.30\n"
    delivery = typed(text, default_item="5 in 19.50 lb/ft NC50 drill pipe")
    assert [row.spec.grade for row in delivery.rows] == ["S135", "G105"]
    assert {row.spec.od_nm for row in delivery.rows} == {127_000_000}


# --- the object that the command prints -----------------------------------------------------------


def test_the_object_for_the_command_has_the_agreed_names():
    made = json.loads(json.dumps(as_json(read("german_metres_serial_twice_length_missing.csv"))))
    assert made["refused"] is None
    row = made["rows"][0]
    assert {
        "row",
        "serial",
        "painted",
        "item",
        "kind",
        "grade",
        "connection",
        "pipe_class",
        "length_nm",
        "problems",
    } <= set(row)
    assert (row["kind"], row["grade"], row["connection"], row["length_nm"]) == (
        "drill pipe",
        "G105",
        "NC50",
        9_455_000_000,
    )
    assert made["rows"][3]["length_nm"] is None
    assert made["rows"][3]["problems"][0]["severity"] == "ASKS"
    assert {"where", "in_file_nm", "computed_nm", "text"} <= set(made["totals"][0])
    assert made["totals"][0]["in_file_nm"] == made["totals"][0]["computed_nm"]
    assert {"read", "accepted", "left_out", "sum_rows", "blank_rows"} <= set(made["counted"])
    assert refused_as_json("It is empty.")["refused"] == "It is empty."


def test_the_same_bytes_have_the_same_digest_and_the_same_object():
    one, two = read("tidy_feet.csv"), read("tidy_feet.csv")
    assert one == two
    assert len(one.digest) == 64


# --- properties -----------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(2850, 3250), min_size=3, max_size=30),
    st.sampled_from([(";", ","), (",", "."), ("\t", ","), ("|", ".")]),
    st.booleans(),
)
def test_what_was_written_is_what_is_read_to_the_last_digit(hundredths, marks, with_sum):
    delimiter, decimal = marks
    figures = [f"{each // 100}{decimal}{each % 100:02d}" for each in hundredths]
    lines = [
        ["Serial", "Item", "Length ft"],
        *([f"S{at}", PIPE, figure] for at, figure in enumerate(figures)),
    ]
    whole = sum(hundredths)
    if with_sum:
        lines.append(["Total", "", f"{whole // 100}{decimal}{whole % 100:02d}"])
    delivery = read_delivery("\n".join(delimiter.join(row) for row in lines).encode(), "list.csv")
    assert [row.length.nanometres for row in delivery.rows] == [each * 3_048_000 for each in hundredths]
    assert [total.agrees for total in delivery.totals] == [True] * with_sum


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(["31.20", "", "abc", "0", "-3", "9.62", "43.1"]), min_size=1, max_size=12),
    st.data(),
)
def test_every_row_below_the_headings_is_counted_once(cells, data):
    text = "Serial,Item,Length ft\n" + "".join(f"S{at},{PIPE},{cell}\n" for at, cell in enumerate(cells))
    out = data.draw(st.sets(st.integers(2, len(cells) + 1)))
    delivery = typed(text, left_out=frozenset(("", row) for row in out))
    count = delivery.counted
    assert count.read == len(cells) == count.accepted + count.left_out + count.stopped
    assert count.left_out == len(out)
    assert [row.row for row in delivery.rows] == list(range(2, len(cells) + 2))
