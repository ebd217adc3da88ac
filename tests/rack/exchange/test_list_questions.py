"""What a list asks: with a guess beside, once where it is one question, and nothing is repaired."""

from pathlib import Path

import pytest

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.exchange.delivery import read_delivery
from rack.exchange.remembered import with_remembered

LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "lists"
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2"


def read(name: str, **more):
    return read_delivery((LISTS / name).read_bytes(), name, **more)


def typed(text: str, **more):
    return read_delivery(text.encode(), "list.csv", **more)


def row_questions(delivery) -> dict[int, list[str]]:
    found = {
        row.row: [each.text for each in row.problems if each.severity is Severity.ASKS]
        for row in delivery.rows
    }
    return {row: texts for row, texts in found.items() if texts}


def list_questions(delivery) -> list[str]:
    return [each.text for each in delivery.problems if each.severity is Severity.ASKS]


@pytest.mark.parametrize(
    "name, rows",
    [
        ("serials_a_spreadsheet_damaged.csv", {3, 4, 7, 10, 13, 16}),
        ("serials_without_their_zeros.csv", {6, 10}),
        ("three_equal_lengths_in_a_row.csv", {3, 4, 5}),
        ("painted_number_on_two_serials.csv", {6, 9}),
        ("casing_grades_as_typed.csv", {4, 5, 6, 7}),
        ("class_letters.csv", set()),
        ("inch_tape_read_as_tenths.csv", set()),
        ("feet_and_inches_with_a_dash.csv", set()),
    ],
)
def test_a_fault_of_the_list_is_asked_on_its_own_rows_and_on_no_other(name, rows):
    assert set(row_questions(read(name))) == rows


def test_a_damaged_serial_is_never_repaired():
    delivery = read("serials_a_spreadsheet_damaged.csv")
    assert [row.serial for row in delivery.rows] == [row.typed["serial"] for row in delivery.rows]
    assert "46024" in [row.serial for row in delivery.rows]


def test_a_letter_of_a_class_is_asked_once_for_the_list_with_its_rows():
    delivery = read("class_letters.csv")
    assert len(list_questions(delivery)) == 2
    assert "8 rows" in list_questions(delivery)[0] and "“P”" in list_questions(delivery)[0]
    assert [row.pipe_class for row in delivery.rows][0] == "P"


def test_rows_left_out_are_not_asked_about_for_their_class():
    delivery = read("class_letters.csv")
    out = frozenset((row.part, row.row) for row in delivery.rows if row.pipe_class == "C2")
    assert len(list_questions(read("class_letters.csv", left_out=out))) == 1


def test_feet_and_inches_with_a_dash_are_read_and_asked_once():
    delivery = read("feet_and_inches_with_a_dash.csv")
    assert len(list_questions(delivery)) == 1
    assert delivery.rows[0].length == Length.parse("31 ft 3 in")
    assert delivery.rows[0].typed["length"] == "31-03"


@pytest.mark.parametrize("text", ["31-12", "31-3-1"])
def test_what_is_no_feet_and_inches_with_a_dash_stops(text):
    delivery = typed(f"Serial,Item,Length ft\nA1,{PIPE},{text}\n")
    assert delivery.rows[0].fate == "stopped"


def test_an_inch_tape_is_asked_about_once():
    assert ["inch tape" in text for text in list_questions(read("inch_tape_read_as_tenths.csv"))] == [True]


def test_grades_are_kept_as_typed_with_the_guess_beside():
    delivery = read("casing_grades_as_typed.csv")
    assert [row.typed["grade"] for row in delivery.rows][1:4] == ["P=110", "HCP110", "N-8O"]
    assert [row.spec.grade for row in delivery.rows][:4] == ["P110", "P110", "HCP110", "N-8O"]
    guesses = row_questions(delivery)
    assert "P110, perhaps" in guesses[4][0] and "N80, perhaps" in guesses[5][0] and "Q125" in guesses[6][0]


def test_one_number_painted_on_two_serials_names_both():
    found = row_questions(read("painted_number_on_two_serials.csv"))
    assert "on serial PN305 here and PN308 there" in found[6][0]


def test_a_painted_number_that_is_the_serial_of_another_row_is_asked():
    text = f"Serial,Painted,Item,Length ft\nKD4101,KD4102,{PIPE},31.2\nKD4102,2,{PIPE},31.3\n"
    assert "is the serial in row 3" in row_questions(typed(text))[2][0]


def test_a_serial_that_is_known_with_another_painted_number_says_both():
    text = f"Serial,Painted,Item,Length ft\nA1,17,{PIPE},31.20\nA2,18,{PIPE},31.30\n"
    found = row_questions(typed(text, known_serials=lambda _: {"A1": "71", "A2": "18"}))
    assert "It is painted 71 and the list says 17" in found[2][0]
    assert "painted" not in found[3][0]


@pytest.mark.parametrize("mark", ["N/A", "-", "n.a.", "–"])
def test_marks_that_stand_for_nothing_are_nothing(mark):
    text = f"Serial,Item,Length ft,Class,Rack\nA1,{PIPE},31.20,{mark},{mark}\n"
    row = typed(text).rows[0]
    assert (row.pipe_class, row.place, row.problems) == ("", "", ())


@pytest.mark.parametrize(
    "cell, words",
    [("=A1+1", "formula without a stored value"), ("#REF!", "formula without"), ("#N/A", "formula without")],
)
def test_a_formula_or_an_error_in_a_cell_is_a_problem_of_its_row(cell, words):
    delivery = typed(f"Serial,Item,Length ft\nA1,{PIPE},{cell}\n{cell},{PIPE},31.2\n")
    assert words in delivery.rows[0].problems[0].text
    assert delivery.rows[0].fate == "stopped"
    assert words in delivery.rows[1].problems[0].text
    assert delivery.rows[1].serial == ""


def test_figures_that_a_spreadsheet_was_told_to_keep_as_text_are_read():
    assert typed(f'Serial,Item,Length ft\n="00421",{PIPE},31.2\n').rows[0].serial == "00421"


# --- columns remembered for a sender ---------------------------------------------------------------

SENT = f"Serial,Item,Length ft,Mark\nA1,{PIPE},31.20,17\n"


def set_columns(text: str):
    first = typed(text).mapping
    changed = first.to_json().replace(
        '"heading":"Mark","index":3,"role":""', '"heading":"Mark","index":3,"role":"painted"'
    )
    return first, type(first).from_json(changed)


def test_columns_set_once_are_put_on_the_next_list_with_the_same_headings():
    first, changed = set_columns(SENT)
    later = typed("Packing list 12,,,\n" + SENT.replace("A1", "B1")).mapping
    made = with_remembered(later, changed)
    assert made.sheets[0].heading_row == 2
    assert [column.role for column in made.sheets[0].columns] == ["serial", "item", "length", "painted"]
    assert with_remembered(first, first) is None


@pytest.mark.parametrize(
    "headings", ["Serial,Item,Length ft,Colour", "Serial,Item,Length m,Mark", "Serial,Item,Length ft"]
)
def test_columns_are_not_put_on_other_headings(headings):
    _, changed = set_columns(SENT)
    assert (
        with_remembered(typed(SENT.replace("Serial,Item,Length ft,Mark", headings)).mapping, changed) is None
    )
