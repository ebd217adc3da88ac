"""Whole lists with the faults of real ones: every row has its fate, and nothing is read wrongly without a word."""

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


def test_a_bottom_assembly_is_read_and_the_kind_that_is_not_kept_stops_its_row():
    delivery = read("bottom_hole_assembly.psv")
    assert [row.spec.kind if row.spec else "" for row in delivery.rows] == [
        "collar",
        "heavy_weight",
        "bit",
        "sub",
        "jar",
        "",
    ]
    assert [row.fate for row in delivery.rows] == [*["accepted"] * 5, "stopped"]
    assert "stabilizer" in questions(delivery.rows[5])[0]
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


# --- one fault at a time --------------------------------------------------------------------------


def test_leaving_one_of_two_equal_serials_out_settles_the_question():
    text = f"Serial,Item,Length ft\nA1,{PIPE},31.20\nA1,{PIPE},31.30\n"
    assert all(questions(row) for row in typed(text).rows)
    assert not any(questions(row) for row in typed(text, left_out=frozenset({("", 3)})).rows)


def test_a_serial_that_the_site_knows_is_asked_and_never_stops():
    asked_for: list[list[str]] = []

    def known(serials):
        asked_for.append(serials)
        return {"A2"}

    delivery = typed(
        f"Serial,Item,Length ft\nA1,{PIPE},31.20\nA2,{PIPE},31.30\n,{PIPE},31.10\n", known_serials=known
    )
    assert asked_for == [["A1", "A2"]]
    assert not questions(delivery.rows[0])
    assert "bears the serial A2 already" in questions(delivery.rows[1])[0]
    assert delivery.rows[1].fate == "accepted"


@pytest.mark.parametrize(
    "cell, unit, length",
    [
        ("31.24", "ft", "31.24 ft"),
        ("31' 6\"", "ft", "31 ft 6 in"),
        ("31 ft 3 in", "ft", "31 ft 3 in"),
        ("9.62 m", "ft", "9.62 m"),
        ("9,62", "m", "9.62 m"),
        ("9.640", "m", "9.64 m"),
        ("9640", "mm", "9.64 m"),
        ("964", "cm", "9.64 m"),
        ("31.2756", "ft", "31.2756 ft"),
        ("31.6272966", "ft", "31.62730 ft"),
    ],
)
def test_a_length_is_read_in_the_unit_of_its_cell_else_of_its_heading(cell, unit, length):
    quoted = '"' + cell.replace('"', '""') + '"'
    delivery = typed(f"Serial;Item;Length {unit}\nA1;{PIPE};{quoted}\n")
    assert delivery.rows[0].length == Length.parse(length)
    assert delivery.rows[0].typed["length"] == cell


@pytest.mark.parametrize(
    "cells, decimal, lengths",
    [
        (["9,640", "9,550"], ",", ["9.64 m", "9.55 m"]),  # three figures after a comma are no thousands
        (["9.640", "9.55"], ".", ["9.64 m", "9.55 m"]),
        (["9,64", "9.55"], "", ["9.64 m", "9.55 m"]),  # two hands, two marks
    ],
)
def test_the_decimal_mark_is_that_of_the_whole_list(cells, decimal, lengths):
    delivery = typed(
        "Serial;Item;Length m\n" + "".join(f"A{at};{PIPE};{cell}\n" for at, cell in enumerate(cells))
    )
    assert delivery.mapping.decimal == decimal
    assert [row.length for row in delivery.rows] == [Length.parse(each) for each in lengths]


def test_three_figures_in_millimetres_are_thousands():
    delivery = typed(f"Serial;Item;Length mm\nA1;{PIPE};9.640\nA2;{PIPE};9.550\n;Sum;19.190\n")
    assert delivery.rows[0].length == Length.parse("9.64 m")
    assert delivery.totals[0].agrees


def test_without_a_unit_the_lengths_say_which_and_it_is_asked():
    delivery = typed(f"Serial,Item,Length\nA1,{PIPE},9.64\nA2,{PIPE},9.55\n")
    assert delivery.rows[0].length == Length.parse("9.64 m")
    assert any(each.severity is Severity.ASKS and each.code == "unit" for each in delivery.problems)


def test_the_persons_unit_counts_where_the_list_names_none():
    text = f"Serial,Item,Length\nA1,{PIPE},9.64\nA2,{PIPE},9.55\n"
    assert typed(text, length_unit="ft").rows[0].length == Length.parse("9.64 ft")
    assert not [each for each in typed(text, length_unit="ft").problems if each.code == "unit"]
    assert typed(text.replace("Length", "Length m"), length_unit="ft").rows[0].length == Length.parse(
        "9.64 m"
    )


@pytest.mark.parametrize("blank", ["", "-", "n/a", "?", "not measured"])
def test_a_length_that_was_not_taken_is_asked_and_not_zero(blank):
    row = typed(f"Serial,Item,Length ft\nA1,{PIPE},{blank}\nA2,{PIPE},31.20\n").rows[0]
    assert row.length is None
    assert row.fate == "accepted"
    assert "No length" in questions(row)[0]


def test_a_list_without_lengths_says_it_once():
    delivery = typed(f"Serial,Item\nA1,{PIPE}\nA2,{PIPE}\n")
    assert not any(row.problems for row in delivery.rows)
    assert any("no column of lengths" in each.text for each in delivery.problems)


def test_a_decimal_comma_that_cut_a_figure_in_two_stops_the_row():
    delivery = typed(f"Serial,Item,Length m\nA1,{PIPE},9,64\nA2,{PIPE},9,55\n")
    assert [row.fate for row in delivery.rows] == ["stopped", "stopped"]


def test_a_row_for_several_pieces_stops():
    row = typed(f"Serial,Item,Qty,Length ft\nA1,{PIPE},3,31.20\nA2,{PIPE},1,31.20\n").rows[0]
    assert "3 pieces" in questions(row)[0]
    assert row.fate == "stopped"


def test_a_column_called_item_that_counts_is_the_running_number():
    delivery = typed(
        "Item,Serial,OD,Grade,Connection,Length ft\n1,A1,5,S-135,NC50,31.20\n2,A2,5,S-135,NC50,31.30\n"
    )
    assert [row.number for row in delivery.rows] == ["1", "2"]
    assert not any(questions(row) for row in delivery.rows)


def test_a_number_column_that_holds_serials_is_the_serial():
    delivery = typed(f"No,Item,Length ft\nKD41,{PIPE},31.20\nKD42,{PIPE},31.30\n")
    assert [row.serial for row in delivery.rows] == ["KD41", "KD42"]


def test_two_lengths_that_are_not_one_are_asked():
    delivery = typed(f"Serial,Item,Length ft,Length m\nA1,{PIPE},31.20,9.51\nA2,{PIPE},31.30,9.45\n")
    assert not questions(delivery.rows[0])
    assert "two lengths" in questions(delivery.rows[1])[0]


@pytest.mark.parametrize(
    "label",
    [
        "Total",
        "Summe",
        "TOTAL LENGTH",
        "Gesamtlänge",
        "Sum:",
        "Grand total",
        "Somme",
        "Suma",
        "Zwischensumme",
        "Übertrag",
        "",
    ],
)
def test_a_sum_row_is_no_piece_whatever_it_is_called(label):
    delivery = typed(
        f"Serial;Item;Length ft\nA1;{PIPE};31.20\nA2;{PIPE};31.30\nA3;{PIPE};31.00\n{label};;93.50\n"
    )
    assert (delivery.counted.read, delivery.counted.sum_rows) == (3, 1)
    assert delivery.totals[0].agrees


@pytest.mark.parametrize("label", ["Total", "", "Page 1 total"])
def test_a_sum_that_is_a_hundredth_off_is_not_let_pass(label):
    delivery = typed(
        f"Serial;Item;Length ft\nA1;{PIPE};31.20\nA2;{PIPE};31.30\nA3;{PIPE};31.00\n{label};;93.51\n"
    )
    assert not delivery.totals[0].agrees
    assert any(each.code == "T08" and each.severity is Severity.ASKS for each in delivery.problems)


def test_a_total_above_the_headings_speaks_of_all_rows():
    delivery = typed(
        f"Total length: 62.50 ft;;\n;;\nSerial;Item;Length ft\nA1;{PIPE};31.20\nA2;{PIPE};31.30\n"
    )
    assert [total.agrees for total in delivery.totals] == [True]
    assert delivery.counted.sum_rows == 0


def test_a_count_that_is_not_the_number_of_rows_is_asked():
    delivery = typed(f"Serial;Item;Length ft\nA1;{PIPE};31.20\nA2;{PIPE};31.30\nTotal 3 joints;;62.50\n")
    assert any("3 pieces" in each.text and "2 rows" in each.text for each in delivery.problems)


def test_a_serial_with_the_word_of_a_sum_in_it_is_a_piece():
    assert typed(f"Serial;Item;Length ft\nTOTAL-7;{PIPE};31.20\nA2;{PIPE};31.30\n").counted.read == 2


def test_serials_that_a_workbook_keeps_as_numbers_and_dates():
    from datetime import date

    data = book(
        ["Serial", "Item", "Length ft"],
        [42000001, PIPE, 31.24],
        [date(2026, 3, 12), PIPE, 31.1],
        ["007", PIPE, 31.0],
    )
    delivery = read_delivery(data, "list.xlsx")
    assert [row.serial for row in delivery.rows] == ["42000001", "2026-03-12", "007"]
    assert "became a date" in questions(delivery.rows[1])[0]


def test_every_sheet_with_a_list_is_read_and_the_others_are_named():
    import io

    import openpyxl

    made = openpyxl.Workbook()
    for name, rows in (
        ("R2", [["Serial", "Item", "Length ft"], ["A1", PIPE, 31.2]]),
        ("Casing", [["Jt", "Item", "Length m"], [1, "7 in 29 lb/ft N-80 LTC", 12.1]]),
        ("Notes", [["call before ten"]]),
    ):
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    made.save(out)
    delivery = read_delivery(out.getvalue(), "two.xlsx")
    assert [(row.sheet, row.spec.kind) for row in delivery.rows] == [
        ("R2", "drill_pipe"),
        ("Casing", "casing"),
    ]
    assert any("Notes" in each.text for each in delivery.problems)


def test_blocks_side_by_side_are_refused_and_never_read_as_the_first_block():
    text = ",".join(["No.,Serial,Length"] * 3) + "\n1,A1,31.2,11,A11,31.3,21,A21,31.1\n"
    with pytest.raises(UnreadableFile, match="3 blocks"):
        typed(text)


def test_headings_deep_below_a_preamble_are_found():
    above = "".join(f"line {at} of a letter;;\n" for at in range(30))
    assert typed(f"{above}Serial;Item;Length ft\nA1;{PIPE};31.20\n").rows[0].row == 32


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
