"""One fault at a time: what a list says wrongly, and the one thing that is asked about it."""

import io
from datetime import date

import openpyxl
import pytest

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.errors import UnreadableFile
from rack.exchange.delivery import read_delivery
from tests.rack.exchange.test_delivery import PIPE, questions, typed
from tests.rack.exchange.test_workbook import book


def test_leaving_one_of_two_equal_serials_out_settles_the_question():
    text = f"Serial,Item,Length ft\nA1,{PIPE},31.20\nA1,{PIPE},31.30\n"
    assert all(questions(row) for row in typed(text).rows)
    assert not any(questions(row) for row in typed(text, left_out=frozenset({("", 3)})).rows)


def test_a_serial_that_the_site_knows_is_asked_and_never_stops():
    asked_for: list[list[str]] = []

    def known(serials):
        asked_for.append(serials)
        return {"A2": ""}

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
        ("31'6", "ft", "31 ft 6 in"),
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


def test_a_column_of_units_says_the_unit_of_each_row():
    delivery = typed(f"Serial,Item,Length,Unit\nA1,{PIPE},31.20,ft\nA2,{PIPE},9.55,m\n")
    assert [row.length for row in delivery.rows] == [Length.parse("31.20 ft"), Length.parse("9.55 m")]
    assert not any(questions(row) for row in delivery.rows)


def test_a_sum_may_stand_beside_the_column_of_lengths():
    rows = f"A1,{PIPE},31.20,31.20\nA2,{PIPE},31.30,62.50\n,,Total,62.51\n"
    delivery = typed("Serial,Item,Length ft,Running total\n" + rows)
    assert delivery.totals[0].where == "D4"
    assert not delivery.totals[0].agrees


def test_a_cell_of_five_thousand_signs_takes_no_time_to_refuse():
    long = " 1" * 2400
    head = "Serial;Item;OD;Grade;Connection;Class;Length ft\n"
    delivery = typed(f"{head}A1;{long};{long};{long};{long};{long};{long}\nA2;;5;S135;NC50;;31.2\n")
    assert [row.fate for row in delivery.rows] == ["stopped", "accepted"]


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


def test_blocks_side_by_side_are_never_read_as_the_first_block():
    text = ",".join(["No.,Serial,Length"] * 3) + "\n1,A1,31.2,11,A11,31.3,21,A21,31.1\n"
    assert [row.serial for row in typed(text, default_item=PIPE).rows] == ["A1", "A11", "A21"]


def test_blocks_with_unlike_headings_are_refused():
    text = "No.,Serial,Length,No.,Length,No.,Serial,Length\n1,A1,31.2,11,31.3,21,A21,31.1\n"
    with pytest.raises(UnreadableFile, match="same headings"):
        typed(text)


def test_headings_deep_below_a_preamble_are_found():
    above = "".join(f"line {at} of a letter;;\n" for at in range(30))
    assert typed(f"{above}Serial;Item;Length ft\nA1;{PIPE};31.20\n").rows[0].row == 32
