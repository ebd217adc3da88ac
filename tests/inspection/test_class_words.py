"""A class as papers write it is read where every house means the same, and asked where they do not."""

import pytest

from inspection.calc.class_words import by_bands, read_bands, read_class
from inspection.calc.criteria import scheme

API, DS1, PIPE5C1 = scheme("api_rp7g2_2009"), scheme("ds1_4th"), scheme("api_rp5c1")


@pytest.mark.parametrize("text, name", [
    ("P", "Premium"), ("prem.", "Premium"), ("Premium", "Premium"), ("2W", "Premium"),
    ("2 white bands", "Premium"), ("2", "Class 2"), ("Cl. 2", "Class 2"), ("class II", "Class 2"),
    ("1Y", "Class 2"), ("1 yellow", "Class 2"), ("3", "Class 3"), ("1OR", "Class 3"), ("S", "Scrap"),
    ("1RED", "Scrap"), ("rej", "Scrap"), ("", ""),
])  # fmt: skip
def test_what_means_one_thing_is_read(text, name):
    assert read_class(text, API) == (name, ())


@pytest.mark.parametrize("text",
                         ["C1", "C2", "C3", "N", "1", "Class 1", "Grade 1", "A", "1W", "green", "1G", "??",
                                  "yellow", "Ultra"])  # fmt: skip
def test_what_means_two_things_is_asked_and_never_guessed(text):
    name, problems = read_class(text, API)
    assert name == ""
    assert len(problems) == 1
    assert problems[0].severity == "ASKS"


def test_letters_between_premium_and_class_2_get_no_guess():
    assert "perhaps" not in read_class("C1", API)[1][0].text
    assert "Class 2, perhaps" in read_class("C2", API)[1][0].text


def test_what_was_settled_for_a_company_is_not_asked_again():
    assert read_class("C2", API, aliases={"c-2": "Class 2"}) == ("Class 2", ())


def test_a_settled_word_of_another_scheme_settles_nothing():
    assert read_class("C2", DS1, aliases={"C2": "Class 3"})[0] == ""


def test_below_class_2_there_is_no_class_3_in_the_other_scheme():
    assert read_class("3", DS1)[0] == ""
    assert read_class("S", DS1) == ("Reject", ())


def test_bands_belong_to_their_scheme():
    assert by_bands(API, "1", "yellow") == ("Class 2",)
    assert by_bands(PIPE5C1, "1", "blue") == ("Class 3",)
    assert by_bands(PIPE5C1, "2", "white") == ()


@pytest.mark.parametrize("text, bands", [
    ("2W", ("2", "white")), ("two white", ("2", "white")), ("1OR", ("1", "orange")), ("RED", ("", "red")),
    ("flush", None), ("", None),
])  # fmt: skip
def test_paint_is_told_from_words(text, bands):
    assert read_bands(text) == bands
