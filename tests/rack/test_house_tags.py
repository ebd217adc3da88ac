"""The tags of the pages: a length as the site reads it, the worst problem first, where an undo leads."""

from types import SimpleNamespace

import pytest
from django.template import Context, Template

from rack.calc.checks import Problem, asks, note, stops
from rack.calc.lengths import Length
from rack.templatetags import house

FEET = SimpleNamespace(length_unit="ft", digits=2)
METRES = SimpleNamespace(length_unit="m", digits=3)


@pytest.mark.parametrize(
    "length, site, shown, with_unit",
    [
        (Length.parse("31.24"), FEET, "31.24", "31.24 ft"),
        (Length.parse("9.625", unit="m"), METRES, "9.625", "9.625 m"),
        (Length.parse("1 m").nanometres, METRES, "1.000", "1.000 m"),
        (None, FEET, "–", "–"),
    ],
)
def test_a_length_is_shown_as_the_site_reads_it(length, site, shown: str, with_unit: str):
    assert house.shown(length, site) == shown
    assert house.shown_with_unit(length, site) == with_unit


def test_the_worst_problem_comes_first_and_equals_keep_their_order():
    problems = [note("a"), asks("b"), stops("c"), asks("d"), stops("e")]
    assert [problem.text for problem in house.worst_first(problems)] == ["c", "e", "b", "d", "a"]


@pytest.mark.parametrize(
    "problem, place",
    [
        (asks("Joint 31 reads 36.12 ft.", where="joint 31"), ""),
        (stops("KD4105 is scrapped.", where="row 17"), "row 17"),
        (note("All totals agree."), ""),
    ],
)
def test_a_place_is_not_said_twice(problem: Problem, place: str):
    assert house.where_unsaid(problem) == place


@pytest.mark.parametrize(
    "tags, address",
    [
        ("undo:/tallies/14/back/", "/tallies/14/back/"),
        ("quiet undo:/x/", "/x/"),
        ("", ""),
        ("quiet", ""),
        ("undo:https://elsewhere.example/", ""),
        ("undo://elsewhere.example/", ""),
        ("undo:/\\elsewhere.example/", ""),
    ],
)
def test_an_undo_leads_nowhere_but_to_this_site(tags: str, address: str):
    assert house.undo_address(SimpleNamespace(extra_tags=tags)) == address


def drawn(source: str, **context: object) -> str:
    return Template("{% load house %}" + source).render(Context(context))


def test_two_forms_of_one_page_carry_different_keys():
    first, second = drawn("{% key_field %}|{% key_field %}").split("|")
    assert 'name="key"' in first
    assert first != second


def test_a_state_is_said_and_not_only_drawn():
    html = drawn('{% include "_state.html" with shape="over" text="231 h over" %}')
    assert 'aria-label="overdue"' in html
    assert "icons.svg#over" in html
    assert "231 h over" in html


def test_a_problem_shows_its_severity_as_a_word_with_what_was_measured_and_the_limit():
    problem = asks(
        "It reads long.", where="joint 31", measured="36.12", limit="31.90", unit="ft", source="x.csv"
    )
    html = drawn('{% include "_problems.html" %}', problems=[problem])
    for words in ("ASKS", "Joint 31:", "measured 36.12 ft", "limit 31.90 ft", "x.csv"):
        assert words in html


@pytest.mark.parametrize("partial", ["_problems.html", "_pager.html", "_figures.html"])
def test_a_part_without_content_draws_nothing(partial: str):
    assert drawn(f'{{% include "{partial}" %}}').strip() == ""


def test_what_a_list_typed_is_never_read_as_markup():
    html = drawn('{% include "_problems.html" %}', problems=[stops("<b>x</b> is no length.", where="<i>")])
    assert "<b>" not in html
    assert "<i>" not in html
