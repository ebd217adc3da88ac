"""Serials that a spreadsheet or an eye damaged are asked about with a guess; true serials are left alone."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.receiving import ReadRow
from rack.calc.serial_slips import serial_questions, spreadsheet_slip

KD = [f"KD{n}" for n in range(4100, 4130)]


def asked(serials: list[str]) -> dict[str, str]:
    rows = [ReadRow(row=at, serial=serial) for at, serial in enumerate(serials, start=2)]
    found = serial_questions(rows)
    assert all(each.severity is Severity.ASKS for problems in found.values() for each in problems)
    return {serials[at]: problems[0].text for at, problems in found.items()}


@pytest.mark.parametrize(
    "damaged, guess",
    [
        ("4.20E+07", "42000000 or 42E6"),
        ("4,2E+7", "42000000"),
        ("1E+05", "100000 or 1E5"),
        ("2026-01-02", "1-2, 2-1, JAN2 or JAN-26"),
        ("2026-01-02 00:00:00", "JAN2"),
        ("02-Jan", "became a date"),
        ("Jan-26", "became a date"),
        ("46024", "1-2, 2-1, JAN2"),
        ("KD41O7", "KD4107"),
        ("KD4I11", "KD4111"),
        ("K04111", ""),
    ],
)
def test_a_damaged_serial_is_asked_about_with_what_it_was_perhaps(damaged, guess):
    found = asked([*KD, damaged])
    assert set(found) == ({damaged} if guess else set())
    assert guess in found.get(damaged, "")


def test_the_neighbours_give_the_guess_where_the_digits_were_lost():
    serials = ["42000015", "4.20E+07", "42000017", "42000018", "42000019"]
    assert "perhaps: 42000016?" in asked(serials)["4.20E+07"]


def test_a_figure_for_a_letter_is_asked_about_too():
    assert "perhaps: KO4111?" in asked([*[f"KO{n}" for n in range(4100, 4120)], "K04111"])["K04111"]


@pytest.mark.parametrize(
    "serials, short, guess",
    [
        ([*[f"00{n}" for n in range(4210, 4230)], "4217"], "4217", "004217"),
        ([*[f"GK00{n}" for n in range(10, 30)], "GK25"], "GK25", "GK0025"),
        ([*[str(n) for n in range(54_000, 54_020)], "4217"], "4217", "04217"),
    ],
)
def test_a_number_that_lost_its_zeros_is_asked_about_against_the_width_of_its_neighbours(
    serials, short, guess
):
    assert f"perhaps: {guess}?" in asked(serials)[short]


@pytest.mark.parametrize(
    "serials",
    [
        KD,
        [str(n) for n in range(990, 1010)],
        [str(n) for n in range(46_000, 46_030)],
        ["KD1", "HB-702", "TS5200", "X1", "77", "4.5A", "", "A-1-2", "7E", "E7"],
        [f"{n}E" for n in range(100, 120)],
        ["7E12", "42E6", "1E5"],
        ["46024", "KD1"],
        [f"JAN{n}" for n in range(10, 20)],
        [*[f"KD{n}" for n in range(4100, 4110)], *[str(n) for n in range(46_000, 46_010)]],
        [],
    ],
)
def test_true_serials_raise_no_question(serials):
    assert asked(serials) == {}


@given(st.text(max_size=20))
def test_any_name_is_judged_without_a_fall(name):
    said = spreadsheet_slip(name)
    assert said == "" or "spreadsheet" in said


def test_fewer_than_two_in_a_hundred_true_serials_are_questioned(record_property):
    chance = random.Random(41)
    rows = questions = 0
    for _ in range(200):
        head, start = chance.choice(["KD", "HB-", "", "TS", "R7/", "00"]), chance.randint(1, 60_000)
        count = chance.randint(10, 300)
        numbers = (
            range(start, start + count)
            if chance.random() < 0.7
            else sorted(chance.sample(range(start, start + 10 * count), count))
        )
        serials = [f"{head}{n:05d}" if head == "00" else f"{head}{n}" for n in numbers]
        rows += count
        questions += len(asked(serials))
    record_property("true serials", rows)
    record_property("of them questioned", questions)
    assert 50 * questions < rows
