"""The closed tally, a rack and a re-tape list as workbooks: what stands in them is what the paper says."""

import io
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from rack.calc.lengths import Length
from rack.calc.rackload import Lying, load_of
from rack.calc.sheet_rows import SheetCorrection, SheetStand
from rack.calc.tally import pages
from rack.calc.units import NM
from rack.exchange import again_book, rack_book, sheet_book
from rack.exchange.book import Figure, Table, length, workbook
from tests.rack.paper.drawn import HUNDREDTH_FT, again, full, sheet, twice

ADDRESS = "https://sandholm.example/S/K7Q2M9A"
FORMULAS = ("=1+1", "+1+1", "-2", "@SUM(A1)", "=cmd|'/c calc'!A1", " =1", "＝1")


def opened(data):
    return load_workbook(io.BytesIO(data))


def written(content):
    return opened(sheet_book.write(content, ADDRESS))


def table(page, first):
    """The rows under the headings that begin with `first`, each by its headings."""
    rows = list(page.iter_rows(values_only=True))
    start = next(n for n, row in enumerate(rows) if row[0] == first)
    return [dict(zip(rows[start], row, strict=True)) for row in rows[start + 1 :]]


def every_cell(book):
    return [cell for page in book for row in page.iter_rows() for cell in row if cell.value is not None]


@pytest.mark.parametrize("count", [1, 50, 137])
@pytest.mark.parametrize("unit", ["ft", "m"])
def test_lengths_and_totals_are_figures_that_equal_the_sheet(count, unit):
    content = again(sheet(count), unit=unit, digits=2 if unit == "ft" else 3)
    *joints, total = table(written(content)["Joints"], "Line")
    assert [row["Exact length (nm)"] for row in joints] == [line.nm for line in content.lines]
    assert all(isinstance(row[f"Length ({unit})"], int | float) for row in joints)
    for row, line in zip(joints, content.lines, strict=True):
        assert row[f"Length ({unit})"] == pytest.approx(line.nm / NM[unit], rel=1e-15)
    assert (total["Line"], total["Painted"]) == ("Total", content.count)
    assert total["Exact length (nm)"] == content.sum_nm == sum(row["Exact length (nm)"] for row in joints)
    assert Length(content.sum_nm).shown(unit, 6) == f"{total[f'Length ({unit})']:,.6f}"
    assert joints[-1][f"Running total ({unit})"] == total[f"Length ({unit})"]


def test_a_length_of_the_site_is_its_exact_decimal_and_shown_with_its_digits():
    """Through a float 31.07 ft may come out as 31.070000000000004: the file holds what was read."""
    lines = sheet(2).lines
    content = again(sheet(2), lines=(replace(lines[0], nm=7 * HUNDREDTH_FT), lines[1]))
    page = written(content)["Joints"]
    cell = next(cell for row in page.iter_rows() for cell in row if cell.value == 0.07)
    assert (cell.data_type, cell.number_format) == ("n", "#,##0.00")
    assert length(7 * HUNDREDTH_FT, "ft", 2).text == "0.07"


@given(st.integers(0, 10**13), st.sampled_from(sorted(NM)), st.integers(0, 6))
@settings(max_examples=200, deadline=None)
def test_a_figure_is_what_the_page_shows_whatever_the_length(nm, unit, digits):
    """Law 1: a cell that a spreadsheet rounds to the digits of its format shows what the paper shows."""
    figure = length(nm, unit, digits)
    assert figure is not None
    rounded = Decimal(figure.text).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    assert f"{rounded:,}" == Length(nm).shown(unit, digits)


def test_head_rows_carry_revision_and_the_live_address_on_each_table_of_joints():
    book = written(full(12))
    for name in ("Joints", "Head"):
        head = {row[0]: row[1] for row in book[name].iter_rows(values_only=True) if row[0]}
        assert head["Revision"] == "2, sheet K7Q2M9A"
        assert head["Live page"] == ADDRESS
    assert head["Total (ft)"] == float(Length(full(12).sum_nm).feet)
    assert head["Made up (ft)"] == float(Length(full(12).made_up_nm).feet)


def test_sums_of_columns_and_pages_are_those_of_the_paper():
    content = sheet(63)
    rows = table(written(content)["Sums"], "Page")
    made = pages([Length(line.nm) for line in content.lines])
    assert [row["Column (ft)"] for row in rows] == [
        float(column.total.feet) for page in made for column in page.columns]
    assert [row["Page (ft)"] for row in rows if row["Page (ft)"] is not None] == [
        float(page.total.feet) for page in made]
    assert rows[-1]["Running total (ft)"] == float(Length(content.sum_nm).feet)


def test_straps_findings_and_what_was_withdrawn_have_tables_of_their_own():
    content = full(12)
    book = written(content)
    apart = table(book["Straps apart"], "Line")
    assert [(row["Line"], row["Second less first (ft)"]) for row in apart] == [
        (line.n, nm / NM["ft"]) for line, nm in content.differences]
    assert table(book["Findings"], "From")[0]["What"].startswith("Two figures")
    assert table(book["Withdrawn"], "Joint") == [
        {"Joint": "9A", "Serial": "KD4199", "Reason": content.withdrawn[0].reason}]
    assert written(sheet(3)).sheetnames == ["Joints", "Head", "Sums"]


def test_stands_and_the_accepted_correction_are_figures():
    stands = (SheetStand(1, (1, 2, 3), 93 * 304_800_000, 93 * 304_800_000 + 6 * HUNDREDTH_FT),)
    content = again(sheet(3), stands=stands, stands_words="One stand.",
                    correction=SheetCorrection(-6 * HUNDREDTH_FT, "Ola", "2026-11-02T14:00+01:00", "agreed"))
    one, total = table(written(content)["Stands"], "Stand")
    assert (one["Sum of its joints (ft)"], one["Read (ft)"], one["Read less sum (ft)"]) == (93, 93.06, 0.06)
    assert total["Read less sum (ft)"] == -0.06


@pytest.mark.parametrize("text", FORMULAS)
def test_text_stays_text_whatever_it_begins_with(text):
    lines = tuple(replace(line, serial=text, painted=text, note=text) for line in twice(3, {2: 36}).lines)
    content = again(twice(3, {2: 36}), lines=lines, title=text, reason=text)
    cells = every_cell(written(content))
    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    guarded = [cell for cell in cells if cell.value == text]
    assert guarded and all(cell.data_type == "s" and cell.quotePrefix for cell in guarded)


def test_no_cell_is_a_formula_and_all_that_is_summed_has_a_stored_value():
    book = load_workbook(io.BytesIO(sheet_book.write(full(60), ADDRESS)), data_only=True)
    assert [cell for cell in every_cell(book) if cell.data_type == "f"] == []
    assert table(book["Joints"], "Line")[-1]["Length (ft)"] is not None


def test_letters_that_a_workbook_cannot_hold_become_blanks():
    content = again(sheet(1), lines=(replace(sheet(1).lines[0], serial="KD\x07\ufffe1\ud800"),))
    assert table(written(content)["Joints"], "Line")[0]["Serial"] == "KD  1 "


def test_a_text_longer_than_a_cell_does_not_break_the_file():
    data = workbook([Table("Long", (), ("What",), [("x" * 40_000,)])])
    assert len(opened(data)["Long"]["A2"].value) == 32_767


def test_the_headings_stay_in_sight_and_are_repeated_on_paper():
    page = written(sheet(60))["Joints"]
    heading = next(row[0].row for row in page.iter_rows() if row[0].value == "Line")
    assert page.freeze_panes == f"A{heading + 1}"
    assert str(heading) in page.print_title_rows


def test_a_figure_is_shown_with_its_digits():
    assert [Figure(Decimal("1"), digits).form for digits in (0, 1, 3)] == ["#,##0", "#,##0.0", "#,##0.000"]


def rack(*lying):
    load = load_of([Lying(one.name, one.layer, one.nm, one.mlb_ft) for one in lying], (1, 2))
    return rack_book.RackBook(
        site="Sandholm 3 (SH3)", rack="R1", printed="2026-11-02 14:20", unit="ft", digits=2,
        address="https://sandholm.example/rack/R1/", rating="No rating.", notes=("Mind this.",),
        cautions=("Nobody between joints.",), layers=tuple(reversed(load.layers)), whole=load.whole,
        lying=tuple(lying),
    )


def lying(n, layer, nm, *, held=False, name=""):
    return rack_book.LyingRow(layer, str(n), name or f"KD{n}", f"K7Q2M{n:02d}", "drill pipe", nm, 19_500,
                              "label weight", held, "accepted")


def test_a_rack_as_a_workbook_adds_up_as_its_paper_does():
    ft = NM["ft"]
    made = rack(lying(1, 1, 31 * ft), lying(2, 1, 30 * ft, held=True), lying(3, 2, None, name="=1+1"))
    book = opened(rack_book.write(made))
    *layers, whole = table(book["Layers"], "Layer")
    assert [(row["Layer"], row["Pieces"], row["Held"], row["Length (ft)"]) for row in [*layers, whole]] == [
        ("Layer 2", 1, 0, 0), ("Layer 1", 2, 1, 61), ("All", 3, 1, 61)]
    assert whole["Load (lb)"] == round(61 * 19.5) == sum(row["Load (lb)"] for row in layers)
    assert whole["Not weighed"] == 1
    *pieces, total = table(book["Pieces"], "Layer")
    assert [row["Length (ft)"] for row in pieces] == [31, 30, None]
    assert pieces[2]["Serial"] == "=1+1" and pieces[2]["Weight (lb)"] is None
    assert (total["Length (ft)"], total["Exact length (nm)"], total["Weight (lb)"]) == (61, 61 * ft, 1189.5)
    head = {row[0]: row[1] for row in book["Layers"].iter_rows(values_only=True) if row[0]}
    assert (head["As it stood"], head["Live page"]) == (made.printed, made.address)
    assert [cell for cell in every_cell(book) if cell.data_type == "f"] == []


def test_a_list_to_tape_again_has_a_cell_for_the_reading_and_no_reading():
    data = again_book.write([("Revision", "2, list 3"), ("Live page", ADDRESS)],
                            [(3, "3", "=1+1"), (17, "36A", "KD4117")], "ft")
    page = opened(data)["To tape again"]
    *rows, count = table(page, "Line")
    assert [(row["Line"], row["Painted"], row["Serial"]) for row in rows] == [
        (3, "3", "=1+1"), (17, "36A", "KD4117")]
    assert {row["New reading (ft)"] for row in rows} == {None}
    assert count["Painted"] == 2
    figures = {cell.value for row in page.iter_rows() for cell in row if cell.data_type == "n"}
    assert figures - {None} == {3, 17, 2}
