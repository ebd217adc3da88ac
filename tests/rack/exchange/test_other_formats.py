"""Old workbooks, OpenDocument, text in columns: read like any list, refused in a sentence when hostile."""

import struct
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.errors import UnreadableFile
from rack.exchange.delivery import read_delivery
from rack.exchange.workbook import read_table
from tests.rack.exchange.workbooks import BEGIN, END, compound, ods, ods_sheet, record

LISTS = Path(__file__).resolve().parents[3] / "fixtures" / "lists"
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2"
HEAD: list[object] = ["Serial", "Item", "Length ft"]
ROWS: list[list[object]] = [HEAD, ["A1", PIPE, 31.24], ["A2", PIPE, 30.97]]


def refusal(data: bytes, name: str = "list") -> str:
    with pytest.raises(UnreadableFile) as refused:
        read_delivery(data, name)
    sentence = str(refused.value)
    assert sentence.endswith(".") and "\n" not in sentence
    return sentence


def read(name: str):
    return read_delivery((LISTS / name).read_bytes(), name)


@pytest.mark.parametrize("name", ["old_workbook.xls", "open_document.ods", "columns_of_fixed_width.txt"])
def test_a_list_of_another_format_is_read_with_its_total(name):
    delivery = read(name)
    assert delivery.counted.accepted == delivery.counted.read >= 8
    assert [total.agrees for total in delivery.totals] == [True]
    assert not [each for row in delivery.rows for each in row.problems]


def test_single_blanks_set_columns_apart_where_every_row_has_as_many_words():
    delivery = read("columns_set_apart_by_blanks.txt")
    assert [row.serial for row in delivery.rows] == [f"BL{n}" for n in range(4101, 4111)]
    assert {row.pipe_class for row in delivery.rows} == {"Premium"}
    assert {row.spec.grade for row in delivery.rows} == {"S135"}


def test_an_empty_cell_of_a_fixed_width_stays_empty():
    rows = read("columns_of_fixed_width.txt").rows
    assert [row.pipe_class for row in rows].count("") == 1
    assert rows[2].pipe_class == "" and rows[2].number == "3"


@given(st.lists(st.integers(2850, 3250), min_size=3, max_size=20), st.integers(2, 6), st.booleans())
def test_what_stands_in_fixed_columns_is_read_to_the_last_digit(hundredths, gap, right):
    figures = [f"{each / 100:.2f}" for each in hundredths]
    cells = [["Serial", "Item", "Length ft"], *([f"S{n}", PIPE, each] for n, each in enumerate(figures))]
    widths = [max(len(row[at]) for row in cells) for at in range(3)]
    lines = [
        (" " * gap).join(
            cell.rjust(width) if right else cell.ljust(width) for cell, width in zip(row, widths, strict=True)
        )
        for row in cells
    ]
    delivery = read_delivery("\n".join(lines).encode(), "list.txt")
    assert [row.length for row in delivery.rows] == [Length.parse(each, "ft") for each in figures]
    assert [row.serial for row in delivery.rows] == [f"S{n}" for n in range(len(figures))]


# --- OpenDocument ---------------------------------------------------------------------------------


def test_an_open_document_gives_stored_values_and_not_what_is_shown():
    sheet = read_table(ods(ods_sheet("One", ROWS)), "list.ods")[0]
    assert sheet.rows[1] == ["A1", PIPE, "31.24"]
    assert (1, 2) in sheet.numbers


def test_repeated_rows_and_cells_are_written_out_and_the_endless_filler_is_not():
    row = (
        '<table:table-row table:number-rows-repeated="2">'
        '<table:table-cell table:number-columns-repeated="2"/>'
        '<table:table-cell office:value-type="float" office:value="31.5" table:number-columns-repeated="2">'
        "<text:p>31.5</text:p></table:table-cell></table:table-row>"
    )
    filler = '<table:table-row table:number-rows-repeated="1048000">'
    sheet = read_table(ods(ods_sheet("One", ROWS).replace(filler, row + filler)), "list.ods")[0]
    assert sheet.rows[3:] == [["", "", "31.5", "31.5"]] * 2


def test_a_formula_without_a_stored_value_is_a_problem_of_its_row():
    delivery = read_delivery(ods(ods_sheet("One", [*ROWS, ["A3", PIPE, "of:=[.C2]+0.1"]])), "list.ods")
    found = [(row.serial, each.text) for row in delivery.rows for each in row.problems]
    assert [serial for serial, _ in found] == ["A3"]
    assert "formula without a stored value" in found[0][1]
    assert "formula without a stored value" in read("formula_without_a_value.xlsx").rows[1].problems[0].text


def test_a_hidden_sheet_is_not_read():
    style = (
        '<style:style style:name="ta2" style:family="table"><style:table-properties table:display="false"/>'
        "</style:style>"
    )
    hidden = ods_sheet("Old", [HEAD, ["OLD1", PIPE, 30.1]], 'table:style-name="ta2"')
    delivery = read_delivery(ods(ods_sheet("One", ROWS), hidden, styles=style), "list.ods")
    assert [row.serial for row in delivery.rows] == ["A1", "A2"]


WIDE = '<table:table-row><table:table-cell office:value-type="string" table:number-columns-repeated="{n}">'
BOMB = WIDE.format(n=10_000) + "<text:p>x</text:p></table:table-cell></table:table-row>"
LONG = (
    '<table:table-row table:number-rows-repeated="900000"><table:table-cell office:value-type="string">'
    "<text:p>x</text:p></table:table-cell></table:table-row>"
)


@pytest.mark.parametrize(
    "data, word",
    [
        (ods(ods_sheet("One", ROWS).replace("</table:table>", BOMB + "</table:table>")), "10,000 columns"),
        (ods(ods_sheet("One", ROWS).replace("</table:table>", LONG + "</table:table>")), "rows"),
        (ods(ods_sheet("One", ROWS), extra={"Basic/Standard/Module1.xml": b"<x/>"}), "macros"),
        (
            ods(ods_sheet("One", ROWS), extra={"META-INF/manifest.xml": b"<manifest:encryption-data/>"}),
            "password",
        ),
        (ods(ods_sheet("One", ROWS))[:400], "cut short"),
        (ods(), "without a filled cell"),
        (ods(*[ods_sheet(f"S{n}", ROWS) for n in range(60)]), "sheets"),
        (ods("<table:table><"), "damaged"),
    ],
    ids=lambda value: value.replace(" ", "-") if isinstance(value, str) else "ods",
)
def test_a_hostile_open_document_is_refused_in_one_sentence(data, word):
    assert word in refusal(data, "list.ods")


# --- old workbooks --------------------------------------------------------------------------------


def test_an_old_workbook_with_a_password_is_refused():
    data = compound({"Workbook": BEGIN + record(0x002F, bytes(6)) + END})
    assert "password" in refusal(data, "list.xls")


def test_an_old_workbook_with_macros_is_refused():
    data = compound({"Workbook": BEGIN + END, "_VBA_PROJECT": b"x"})
    assert "macros" in refusal(data, "list.xls")


def test_an_old_text_document_is_no_workbook():
    assert "no workbook" in refusal(compound({"WordDocument": b"Dear all"}), "letter.doc")


@pytest.mark.parametrize(
    "body",
    [
        record(0x0200, struct.pack("<IIHHH", 0, 0xFFFFFFFF, 0, 0xFFFF, 0)),
        record(0x0203, struct.pack("<HHHd", 65_535, 10_000, 0, 31.2)),
        record(0x0203, struct.pack("<HHHd", 65_535, 255, 0, 31.2)),
    ],
)
def test_an_old_workbook_that_claims_too_much_is_refused_before_it_is_opened(body):
    assert "smaller" in refusal(compound({"Workbook": BEGIN + body + END}), "list.xls")


@pytest.mark.parametrize("length", [8, 40, 512, 600, 2000, 5000])
def test_an_old_workbook_that_was_cut_short_is_refused(length):
    data = (LISTS / "old_workbook.xls").read_bytes()
    refusal(data[:length], "list.xls")


@given(st.data())
def test_an_old_workbook_with_bytes_changed_is_a_list_or_a_sentence(data):
    whole = bytearray((LISTS / "old_workbook.xls").read_bytes())
    for _ in range(data.draw(st.integers(1, 8))):
        whole[data.draw(st.integers(8, len(whole) - 1))] = data.draw(st.integers(0, 255))
    try:
        read_delivery(bytes(whole), "list.xls")
    except UnreadableFile as refused:
        assert str(refused).endswith(".")


# --- the five languages ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, first, last_class",
    [
        ("english_feet_with_marks_for_nothing.csv", "EN-301", ""),
        ("german_metres.csv", "DE-301", "Class 2"),
        ("french_metres.csv", "FR-801", "Premium"),
        ("spanish_metres.csv", "ES-901", "Class 2"),
        ("norwegian_metres.tsv", "NO-601", "Class 2"),
    ],
)
def test_a_list_in_each_language_is_read_whole(name, first, last_class):
    delivery = read(name)
    assert [column.role for column in delivery.mapping.sheets[0].columns] == [
        "number",
        "serial",
        "item",
        "od",
        "weight",
        "grade",
        "connection",
        "length",
        "pipe_class",
        "place",
    ]
    assert delivery.mapping.length_kind == "pins off"
    assert [row.serial for row in delivery.rows] == [first, first[:-1] + "2", ""]
    for row in delivery.rows:
        facts = (row.spec.kind, row.spec.od_nm, row.spec.weight_mlb_ft, row.spec.grade, row.spec.up_conn)
        assert facts == ("drill_pipe", 127_000_000, 19_500, "S135", "NC50")
    assert delivery.rows[2].pipe_class == last_class
    assert "not readable" in delivery.rows[2].problems[0].text
    assert [total.agrees for total in delivery.totals] == [True]
    questions = [each for each in delivery.problems if each.severity is not Severity.NOTE]
    assert questions == []
