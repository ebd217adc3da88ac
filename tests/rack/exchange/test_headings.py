"""Headings are known by words and units, in the languages of the trade."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.receiving import ROLE_UNITS, ROLES
from rack.exchange.headings import (
    WORDS,
    columns_of,
    length_kind_in,
    length_unit_in,
    read_heading,
    repeats,
    score,
)


@pytest.mark.parametrize(
    "heading, role, unit",
    [
        ("Serial", "serial", ""),
        ("S/N", "serial", ""),
        ("Serial #", "serial", ""),
        ("Serien-Nr", "serial", ""),
        ("N° de série", "serial", ""),
        ("Número de serie", "serial", ""),
        ("Serienr.", "serial", ""),
        ("Lfd", "number", ""),
        ("No.", "number", ""),
        ("Jt", "number", ""),
        ("Painted no", "painted", ""),
        ("Ptd No", "painted", ""),
        ("Owner no", "owner_no", ""),
        ("Owner's no.", "owner_no", ""),
        ("Item", "item", ""),
        ("Bezeichnung", "item", ""),
        ("Désignation", "item", ""),
        ("Beskrivelse", "item", ""),
        ("OD", "od", ""),
        ("AD mm", "od", "mm"),
        ("O.D. (in)", "od", "in"),
        ('OD "', "od", "in"),
        ("Größe", "od", ""),
        ("Tool joint OD in", "tj_od", "in"),
        ("Wall", "wall", ""),
        ("WT mm", "wall", "mm"),
        ("ID in", "bore", "in"),
        ("Gew kg/m", "weight", "kg/m"),
        ("Weight (lb/ft)", "weight", "lb/ft"),
        ("lb/ft", "weight", "lb/ft"),
        ("Nominal Wt (ppf)", "weight", "lb/ft"),
        ("Güte", "grade", ""),
        ("Grade", "grade", ""),
        ("Verb.", "connection", ""),
        ("Connection", "connection", ""),
        ("Gewinde", "connection", ""),
        ("Länge m", "length", "m"),
        ("Laenge in m", "length", "m"),
        ("Length ft", "length", "ft"),
        ("Lengths [ft]", "length", "ft"),
        ("Longueur (m)", "length", "m"),
        ("Longitud m", "length", "m"),
        ("Lengde m", "length", "m"),
        ("Länge ohne Zapfen (m)", "length", "m"),
        ("Klasse", "pipe_class", ""),
        ("Class", "pipe_class", ""),
        ("Rack", "place", ""),
        ("Qty", "quantity", ""),
        # What looks like a length and is none.
        ("Cum. ft", "", ""),
        ("Total ft", "", ""),
        ("Length checked by", "", ""),
        ("Weight kg", "", ""),
        ("Last insp.", "", ""),
        ("Remarks", "remarks", ""),
    ],
)
def test_a_heading_is_known_by_its_words_and_its_unit(heading, role, unit):
    read = read_heading(heading)
    assert read.known
    assert (read.role, read.unit) == (role, unit)


def test_every_role_of_the_words_is_a_role_and_no_word_is_claimed_twice():
    assert set(WORDS) <= set(ROLES)
    seen: dict[str, str] = {}
    for role, words in WORDS.items():
        for word in (each.strip() for each in words.split("|")):
            assert word not in seen or {role, seen[word]} <= {"weight", "wall"}, (word, role, seen.get(word))
            seen[word] = role


@pytest.mark.parametrize(
    "text",
    [
        "Item: 5 in 19.50 S-135 NC50 R2",
        "Lieferschein Nr. 88213",
        "31.24",
        "KD4101",
        "Premium joints on the upper layer",
        "",
    ],
)
def test_what_stands_in_rows_is_no_heading(text):
    assert not read_heading(text).known


def test_the_row_of_headings_scores_above_its_rows_and_preamble():
    assert score(("Lfd", "Serien-Nr", "AD mm", "Gew kg/m", "Güte", "Verb.", "Länge m", "Klasse")) == 8
    assert score(("1", "HB-701", "127,0", "29,02", "G105", "NC50 (4 1/2 IF)", "9,640", "Premium")) == 0
    assert score(("Length",)) == 0
    assert score(("Remarks", "Date", "Total")) == 0


def test_feet_and_inches_in_two_columns_are_one_length():
    assert [column.role for column in columns_of(["Serial", "Ft", "In"])] == [
        "serial",
        "length_ft",
        "length_in",
    ]
    assert [column.role for column in columns_of(["Serial", "Length ft", "In"])] == [
        "serial",
        "length_ft",
        "length_in",
    ]


def test_the_second_length_is_there_to_compare_and_the_plain_one_is_taken():
    columns = columns_of(["Serial", "Mill length m", "Length m"])
    assert [column.role for column in columns] == ["serial", "length_again", "length"]


def test_blocks_side_by_side_are_counted():
    assert repeats(["No.", "Serial", "Length"] * 5) == 5
    assert repeats(["No.", *["Length"] * 10]) == 10
    assert repeats(["Serial", "OD", "ID", "OD", "ID", "Length"]) == 1


@pytest.mark.parametrize(
    "text, kind",
    [
        ("Lengths in feet, shoulder to shoulder", "pins off"),
        ("Länge ohne Zapfen", "pins off"),
        ("threads on, ft", "threads on"),
        ("Overall length", "overall, tool"),
        ("Length threads off", "threads off"),
        ("Length ft", ""),
    ],
)
def test_how_lengths_were_taken_is_read_from_words(text, kind):
    assert length_kind_in(text) == kind


@pytest.mark.parametrize(
    "text, unit",
    [
        ("Lengths in feet, shoulder to shoulder", "ft"),
        ("Alle Längen in m", "m"),
        ("Unit: ft", "ft"),
        ("Longueurs en metres", "m"),
        ("Pipe tally 12", ""),
        ("From: yard 2", ""),
    ],
)
def test_the_unit_of_lengths_is_read_from_a_line_above(text, unit):
    assert length_unit_in(text) == unit


@given(st.lists(st.text(max_size=20), max_size=8))
def test_no_cells_make_the_reading_of_headings_fail(cells):
    for column in columns_of(cells):
        assert column.role in ROLES
        assert not column.unit or column.unit in ROLE_UNITS[column.role]
