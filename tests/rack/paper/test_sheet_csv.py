"""The closed tally as a file: the same figures as on paper, and nothing a spreadsheet would compute."""

import csv
import io
from dataclasses import replace

import pytest

from rack.calc.lengths import Length
from rack.calc.sheets import Withdrawn
from rack.exchange import sheet_csv
from tests.rack.paper.drawn import HUNDREDTH_FT, again, full, sheet, twice


def rows(content):
    """The file as a program reads it: from its bytes."""
    data = sheet_csv.write(content).encode("utf-8")
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def table(content):
    """The head of the table and what stands under it."""
    found = rows(content)
    start = next(place for place, row in enumerate(found) if row[:2] == ["Line", "Painted"])
    return [dict(zip(found[start], row, strict=False)) for row in found[start + 1 :]]


def test_a_mark_at_the_beginning_says_that_it_is_utf_8():
    assert sheet_csv.write(sheet(1)).encode("utf-8").startswith(b"\xef\xbb\xbfSite,")


@pytest.mark.parametrize("count", [1, 50, 137])
def test_every_length_and_the_total_read_back_are_the_ones_of_the_sheet(count):
    content = sheet(count)
    *joints, total = table(content)
    exact = [line.nm for line in content.lines]
    assert [Length.parse(row["Length (ft)"]).nanometres for row in joints] == exact
    assert [int(row["Exact length (nm)"]) for row in joints] == exact
    assert [row["Serial"] for row in joints] == [line.serial for line in content.lines]
    assert (total["Line"], total["Painted"]) == ("Total", str(count))
    assert Length.parse(total["Length (ft)"]) == Length(content.sum_nm)
    assert int(total["Exact length (nm)"]) == content.sum_nm


def test_both_straps_stand_beside_the_length_that_holds():
    joints = table(twice(5, {2: 36}))
    first, second = (Length.parse(joints[1][f"{which} strap (ft)"]) for which in ("First", "Second"))
    assert second - first == Length(36 * HUNDREDTH_FT)
    assert table(sheet(2))[0]["Second strap (ft)"] == ""


def test_the_head_says_revision_kind_hands_losses_findings_and_reason():
    head = {}
    for row in rows(full(12)):
        if not row:
            break
        head.setdefault(row[0], row[1])
    assert head["Revision"] == "2, sheet K7Q2M9A"
    assert head["Kind of length"] == "threads on"
    assert head["Strap 2"] == "tape T-09, reader Łukasz Żółć, writer Ола Брандт"
    assert head["Make-up loss"].startswith("0.333 ft off 12 pins: 7 in 29.00 LTC casing")
    assert head["Finding"].startswith("T01: ")
    assert head["Mind"].startswith("Errors that cancel")
    assert head["Reason"].startswith("The crane")


def test_lines_that_do_not_give_the_total_are_owned_up_to():
    content = sheet(3)
    lines = tuple(replace(line, nm=line.nm + 1_016_000) for line in content.lines)
    said = [row[1] for row in rows(again(content, lines=lines)) if row and row[0] == "Mind"]
    assert said and "do not add up" in said[0]
    assert [row for row in rows(content) if row and row[0] == "Mind"] == []


WIDE = "＝＋－＠"
FORMULAS = (
    "=1+1", "+1", "-2", "@SUM(A1)", "\t=1", "\r=1", " =1", "\xa0=1", "\n=2", *(f"{sign}1" for sign in WIDE)
)


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_of_a_hand_becomes_a_formula(text):
    content = sheet(1)
    line = replace(
        content.lines[0], painted=text, serial=text, tag=text, item=text, note=text, loss_source=text
    )
    found = rows(again(
        content, lines=(line,), site_name=text, title=text, item=text, purpose=text, reason=text,
        closed_at=text, withdrawn=(Withdrawn(text, text, text),),
    ))
    cells = [cell for row in found for cell in row if text.strip() in cell]
    assert len(cells) >= 11
    assert [cell for cell in cells if cell.lstrip().startswith(tuple("=+-@" + WIDE))] == []
    assert f"'{text}" in cells


@pytest.mark.parametrize("text", ["KD4101", "36A", "5-1/2", "", "'quoted", "a=b"])
def test_an_ordinary_text_stays_as_it_is(text):
    assert sheet_csv.text_cell(text) == text


def test_the_same_sheet_is_the_same_text():
    assert sheet_csv.write(full(51)) == sheet_csv.write(full(51))
