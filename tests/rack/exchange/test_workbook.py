"""Any bytes give a table or one clear sentence: encodings, quotes, hostile workbooks."""

import io
import random
import zipfile
from datetime import date

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.errors import UnreadableFile
from rack.exchange.delivery import read_delivery
from rack.exchange.separated import split_lines
from rack.exchange.spreadsheet import cell_text
from rack.exchange.workbook import read_table

HEAD = ["Serial", "Item", "Length ft"]
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2"


def book(*rows, title="List", **cells) -> bytes:
    made = openpyxl.Workbook()
    made.active.title = title
    for row in rows:
        made.active.append(row)
    for name, value in cells.items():
        made.active[name] = value
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def repacked(data: bytes, **changed: bytes | None) -> bytes:
    """The same archive with members replaced, added, or (None) left out; "__" stands for "/"."""
    names = {name.replace("__", "/").replace("_dot_", "."): content for name, content in changed.items()}
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            if entry.filename not in names:
                new.writestr(entry.filename, old.read(entry))
        for name, content in names.items():
            if content is not None:
                new.writestr(name, content)
    return out.getvalue()


def refusal(data: bytes, name: str = "list.xlsx") -> str:
    with pytest.raises(UnreadableFile) as refused:
        read_delivery(data, name)
    sentence = str(refused.value)
    assert sentence.endswith(".")
    assert "\n" not in sentence
    return sentence


GOOD = book(HEAD, ["K1", PIPE, 31.24], ["K2", PIPE, 30.9])


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "latin-1"]
)
@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_encoding_delimiter_and_line_end_gives_the_same_rows(encoding, delimiter, end):
    rows = [["Serien-Nr", "Güte", "Länge m"], ["Ä-1", "S-135", "9.55"], ["Ä-2", "S-135", "9.60"]]
    text = end.join(delimiter.join(row) for row in rows) + end
    sheet = read_table(text.encode(encoding), "list.csv")[0]
    assert [row for row in sheet.rows if row] == rows


def test_a_decimal_comma_does_not_pass_for_the_delimiter():
    text = "Serial;Item;Length m\nA1;5 in 19,50 S-135 NC50;9,64\nA2;5 in 19,50 S-135 NC50;9,55\n"
    assert read_table(text.encode(), "x.csv")[0].rows[1] == ["A1", "5 in 19,50 S-135 NC50", "9,64"]


@pytest.mark.parametrize(
    "line, cells",
    [
        ('a,"b, c",d', ["a", "b, c", "d"]),
        ('5" DP,19.5#', ['5" DP', "19.5#"]),
        ('"5"" DP",3', ['5" DP', "3"]),
        ('S-135,",31.24', ["S-135", '"', "31.24"]),
        ("31' 6\",x", ["31' 6\"", "x"]),
        ('K1,"never closed,3', ["K1", '"never closed', "3"]),
    ],
)
def test_quotes_inch_marks_and_ditto_marks_are_told_apart(line, cells):
    assert list(split_lines([line], ",")) == [(0, cells)]


def test_a_quoted_cell_may_span_lines_and_the_next_row_keeps_its_line_number():
    records = list(split_lines(["a,b,c", 'K1,"two', 'lines",3', "K2,x,4"], ","))
    assert records == [(0, ["a", "b", "c"]), (1, ["K1", "two\nlines", "3"]), (3, ["K2", "x", "4"])]


def test_stray_quotes_on_two_rows_do_not_swallow_a_piece():
    records = list(split_lines(["a,b,c", 'K1,"5 in,31', 'K2,"5 in,32'], ","))
    assert [cells[0] for _, cells in records] == ["a", "K1", "K2"]


@given(
    st.lists(
        st.lists(st.text(alphabet='ab",; \n1', max_size=6), min_size=3, max_size=3), min_size=1, max_size=5
    )
)
def test_no_line_is_lost_by_cutting(rows):
    lines = "\n".join(",".join(row) for row in rows).split("\n")
    records = list(split_lines(lines, ","))
    starts = [start for start, _ in records]
    assert starts == sorted(set(starts))
    assert starts[0] == 0
    cut, whole = "".join(cell for _, cells in records for cell in cells), "".join(lines)
    assert [cut.count(sign) for sign in "ab1"] == [whole.count(sign) for sign in "ab1"]


@pytest.mark.parametrize(
    "value, text",
    [
        (42000001.0, "42000001"),
        (31.639999999999997, "31.64"),
        (0.1 + 0.2, "0.3"),
        (5718.09, "5718.09"),
        (True, "yes"),
        (date(2026, 3, 1), "2026-03-01"),
        ("036A", "036A"),
        (1234567890123.0, "1234567890123"),
        (31.6272976, "31.6272976"),
    ],
)
def test_a_cell_of_a_workbook_is_written_as_it_was_typed(value, text):
    assert cell_text(value) == text


@given(st.integers(0, 10**7), st.integers(0, 3))
def test_the_noise_of_binary_sums_is_never_read_as_figures(steps, digits):
    exact = steps / 10**digits
    noisy = sum([exact / 3] * 3)
    assert float(cell_text(noisy)) == exact


def test_a_formula_is_read_by_its_stored_value():
    sheet = (
        b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>Serial</t></is></c>'
        b'<c r="B1" t="inlineStr"><is><t>Item</t></is></c>'
        b'<c r="C1" t="inlineStr"><is><t>Length ft</t></is></c></row>'
        b'<row r="2"><c r="A2" t="inlineStr"><is><t>K1</t></is></c>'
        b'<c r="B2" t="inlineStr"><is><t>5 in 19.50 S-135 NC50</t></is></c>'
        b'<c r="C2"><f>30+1.24</f><v>31.240000000000002</v></c></row></sheetData></worksheet>'
    )
    read = read_delivery(repacked(GOOD, xl__worksheets__sheet1_dot_xml=sheet), "list.xlsx")
    assert read.rows[0].typed["length"] == "31.24"


def test_rows_of_a_workbook_are_numbered_as_the_sheet_has_them():
    data = book(["Delivery"], [], [], HEAD, ["K1", PIPE, 31.24])
    assert read_delivery(data, "list.xlsx").rows[0].row == 5


@pytest.mark.parametrize(
    "data, word",
    [
        (b"", "empty"),
        (b"\x00\x00\x00", "empty"),
        (b" \r\n\r\n", "empty"),
        (b"%PDF-1.7\n...", "PDF"),
        (b"\x89PNG\r\n\x1a\n....", "picture"),
        (b"\xff\xd8\xff\xe0....", "picture"),
        (b"\x1f\x8b\x08....", "packed"),
        (b"PK\x03\x04rest of nothing", "damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "cut short"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"), "password"),
        (b"<html><table>", "web page"),
        (b"<?xml version='1.0'?><wells/>", "XML"),
        (bytes(range(256)) * 4, "not text"),
        (b"Dear all,\nthe pipe is on the rack.\n", "no list of pieces"),
        (b"a,b,c\n1,2,3\n", "no list of pieces"),
        (b"Serial,Item,Length ft\n", "not one row"),
        (b"Serial,Item,Length ft\n,,\n,,\n", "not one row"),
        (b"\xff\xfe\x00", "Unicode"),
    ],
)
def test_what_is_no_list_is_refused_in_one_sentence(data, word):
    assert word in refusal(data, "list.csv")


def test_a_file_over_the_limit_is_refused_before_it_is_read():
    assert "20 MB" in refusal(b"Serial,Length\n" + b"x" * (20 * 1024 * 1024))


def test_ten_thousand_columns_are_refused():
    assert "10,000 columns" in refusal(
        (",".join(["Serial", "Item", "Length ft", *["x"] * 9997]) + "\n").encode(), "list.csv"
    )


def test_a_workbook_cut_short_is_refused_wherever_it_was_cut():
    for size in range(4, len(GOOD), 97):
        assert refusal(GOOD[:size])


def test_a_packed_file_that_is_no_workbook_is_refused():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("list.csv", "Serial,Length\n")
    assert "no workbook" in refusal(out.getvalue())


def test_a_workbook_with_macros_is_refused():
    assert "macros" in refusal(repacked(GOOD, xl__vbaProject_dot_bin=b"\x00" * 64))


def test_a_workbook_that_unpacks_to_a_mountain_is_not_opened():
    assert "unpacks" in refusal(repacked(GOOD, xl__worksheets__sheet2_dot_xml=b" " * (130 * 1024 * 1024)))


def test_a_bomb_that_lies_about_its_size_is_not_opened():
    data = bytearray(repacked(GOOD, xl__worksheets__sheet1_dot_xml=b" " * (40 * 1024 * 1024)))
    size = (40 * 1024 * 1024).to_bytes(4, "little")
    while size in data:
        at = data.index(size)
        data[at : at + 4] = (1000).to_bytes(4, "little")
    assert refusal(bytes(data))


def test_a_cell_in_the_last_corner_of_a_sheet_does_not_make_a_table_of_billions():
    assert "smaller" in refusal(book(HEAD, XFD1048576="x"))


def test_the_size_of_a_sheet_cannot_be_hidden_by_another_spelling():
    far = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    far += '<sheetData><row r="1"><c r="{}"><v>1</v></c></row></sheetData></worksheet>'
    hidden = [far.format("XFD1048576").encode("utf-16"), far.format("XFD&#49;048576").encode()]
    assert all(refusal(repacked(GOOD, xl__worksheets__sheet1_dot_xml=content)) for content in hidden)


def test_a_sheet_whose_only_far_cell_is_in_a_row_without_numbers_is_still_small():
    assert read_delivery(GOOD, "list.xlsx").counted.read == 2


def test_an_empty_workbook_is_refused():
    assert "without a filled cell" in refusal(book())


def test_a_workbook_renamed_to_csv_and_a_list_renamed_to_xlsx_are_read_by_what_they_are():
    assert read_delivery(GOOD, "list.csv").counted.read == 2
    assert read_delivery(f"Serial,Item,Length ft\nK1,{PIPE},31.24\n".encode(), "list.xlsx").counted.read == 1


def survives(data: bytes) -> None:
    try:
        assert read_delivery(data, "any").counted.read > 0
    except UnreadableFile as refused:
        assert str(refused).endswith(".")


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_give_a_list_or_one_sentence(data):
    survives(data)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.lists(st.text(alphabet=st.characters(codec="utf-8"), max_size=12), max_size=6), max_size=8),
    st.sampled_from(";,\t|"),
)
def test_any_cells_below_a_heading_give_a_list_or_one_sentence(rows, delimiter):
    lines = [["Serial", "Item", "Length ft", "Class"], ["K1", PIPE, "31.24", "Premium"], *rows]
    survives("\n".join(delimiter.join(row) for row in lines).encode())


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 2**32))
def test_a_workbook_with_damaged_bytes_gives_a_list_or_one_sentence(seed):
    chance = random.Random(seed)
    data = bytearray(GOOD)
    for _ in range(chance.randint(1, 12)):
        data[chance.randrange(len(data))] = chance.randrange(256)
    survives(bytes(data))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_a_workbook_whose_parts_are_damaged_gives_a_list_or_one_sentence(seed):
    chance = random.Random(seed)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(GOOD)) as old, zipfile.ZipFile(out, "w") as new:
        for entry in old.infolist():
            content = bytearray(old.read(entry))
            for _ in range(chance.randint(0, 4)):
                content[chance.randrange(len(content))] = chance.choice(b"<>\"'0AZ/ &9")
            new.writestr(entry.filename, bytes(content))
    survives(out.getvalue())


@pytest.mark.parametrize("formula", ["=SUM(C2:C3)", "=SUM(Lengths)", "=C2+C3"])
@pytest.mark.parametrize("label", ["Total", "Summe"])
def test_a_total_that_was_never_worked_out_is_said_with_its_cell(formula, label):
    """A sum that is counted and not held against the rows must not look like one that agreed."""
    data = book(HEAD, ["K1", PIPE, 31.24], ["K2", PIPE, 31.34], [label, None, formula])
    read = read_delivery(data, "list.xlsx")
    said = [problem for problem in read.problems if problem.code == "formula"]
    assert read.counted.sum_rows == 1 and not read.totals
    assert [(problem.severity, problem.where) for problem in said] == [(Severity.NOTE, "List C4")]
    assert formula in said[0].text and "without a stored value" in said[0].text


def test_a_total_above_the_headings_that_was_never_worked_out_is_said_too():
    data = book(["Total", "=SUM(C4:C5)"], [], HEAD, ["K1", PIPE, 31.24], ["K2", PIPE, 31.34])
    read = read_delivery(data, "list.xlsx")
    assert [problem.where for problem in read.problems if problem.code == "formula"] == ["List B1"]
