"""The bands of a class: derived from scheme and class, and never from a colour back to a class."""

import pytest

from rack.calc.bands import DRILL_PIPE, bands_of, scheme_of
from rack.calc.kinds import KINDS
from rack.calc.lookup import rows


@pytest.mark.parametrize(("pipe_class", "count", "colour"), [
    ("New", 1, "white"), ("Premium", 2, "white"), ("Class 2", 1, "yellow"), ("Class 3", 1, "orange"),
    ("Scrap", 1, "red"), ("premium", 2, "white"), ("  CLASS  2 ", 1, "yellow"),
])  # fmt: skip
def test_the_ladder_of_drill_pipe_has_its_bands(pipe_class, count, colour):
    found = bands_of(DRILL_PIPE, pipe_class)
    assert (found.count, found.colour) == (count, colour)
    assert found.source and found.conf == "A" and "RP 7G" in found.edition


@pytest.mark.parametrize("pipe_class", [
    "Class 1", "Critical service", "Ultra", "Reject", "white", "2", "", "Class 4",
])  # fmt: skip
def test_what_is_no_class_of_the_scheme_or_means_two_has_none(pipe_class):
    """Some write class 1 for new pipe and some for premium; one white band is another class on tubing."""
    assert bands_of(DRILL_PIPE, pipe_class) is None


def test_one_white_band_is_another_class_in_another_scheme():
    assert bands_of("tubing work string", "Critical service").words == "one white band"
    assert bands_of(DRILL_PIPE, "New").words == "one white band"
    assert bands_of("tubing work string", "Premium") is None


def test_only_drill_pipe_has_this_ladder():
    """Heavy-weight pipe, collars and casing are not classed by it: a band there would say what is not so."""
    assert [kind for kind in KINDS if scheme_of(kind)] == ["drill_pipe"]


def test_the_words_say_number_and_colour():
    said = {bands_of(row["scheme"], row["class"]).words for row in rows("class_bands")}
    assert {"one white band", "two white bands", "one yellow band", "one orange band", "one red band"} <= said
