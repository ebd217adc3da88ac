"""Every declared fact is read, refused in a sentence where it cannot be, and shown again as it was."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rack.calc.checks import Severity
from rack.calc.facts import (
    code_meanings,
    code_problems,
    facts_of_spec,
    facts_text,
    flow_area_worked,
    read_fact,
    shown_fact,
    with_facts,
)
from rack.calc.kinds import KINDS, kind_of
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

DECLARED = [(kind.code, fact) for kind in KINDS.values() for fact in kind.facts]
GOOD = {
    "date": ["2026-05-01"], "degrees": ["1.83", "1,5", "0", "2°"], "text": ["7/8, 5.0"], "bit code": ["517G"],
    "nozzles": ["3x16", "16-16-18", "3 x 16, 18"], "yes": ["yes", "ja"],
}  # fmt: skip
BAD = {
    "date": ["yesterday", "2026-13-01", "2026-02-30", "01.05.2026", "0001-01-01"],
    "degrees": ["steep", "-1", "99", "1.234", "1e1"],
    "text": ["x" * 61, "a\x00b"],
    "bit code": ["x" * 61],
    "nozzles": ["sixteen", "0", "3x0", "99", "x"],
    "yes": ["perhaps"],
    "choice": ["banana"],
    "size": ["wide", "0", "-3", "9999", "1e3", "12 kg"],
    "length": ["long", "-3", "99999", "1e3"],
}


def good(fact):
    if fact.sort == "choice":
        return list(fact.choices)
    if fact.sort in ("size", "length"):
        low, high = int(fact.low) + 1, int(fact.high)
        return [str(low), f"{high} {fact.unit}", f"{low}.5"]
    return GOOD[fact.sort]


@pytest.mark.parametrize("code, fact", DECLARED, ids=lambda one: getattr(one, "name", one))
def test_every_declared_fact_is_read_and_shown_again_as_the_same(code, fact):
    for typed in good(fact):
        value, problems = read_fact(fact, typed)
        assert value, (typed, problems)
        assert not any(one.severity is Severity.STOPS for one in problems)
        again = value if fact.sort == "nozzles" else shown_fact(fact, value)
        assert read_fact(fact, again)[0] == value


@pytest.mark.parametrize("code, fact", DECLARED, ids=lambda one: getattr(one, "name", one))
def test_what_is_no_such_fact_is_refused_in_a_sentence_that_names_it(code, fact):
    for typed in BAD[fact.sort]:
        value, problems = read_fact(fact, typed)
        assert value == "", typed
        assert [one.severity for one in problems] == [Severity.STOPS], typed
        assert problems[0].text.startswith(f"{fact.label}: ")
        assert problems[0].text.endswith(".")


@pytest.mark.parametrize("code, fact", DECLARED, ids=lambda one: getattr(one, "name", one))
def test_a_blank_takes_a_fact_away_and_is_refused_only_where_the_fact_must_be(code, fact):
    value, problems = read_fact(fact, "  ")
    assert value == ""
    assert bool(problems) == fact.required


@given(st.sampled_from(DECLARED), st.text(max_size=90))
def test_no_text_makes_the_reading_of_a_fact_fail(declared, text):
    value, problems = read_fact(declared[1], text)
    assert not (value and any(one.severity is Severity.STOPS for one in problems))
    shown_fact(declared[1], value)


@given(st.sampled_from([one for one in DECLARED if one[1].of == "spec"]), st.data())
def test_a_fact_of_the_specification_goes_into_its_key_and_comes_out_again(declared, data):
    code, fact = declared
    value, _ = read_fact(fact, data.draw(st.sampled_from(good(fact))))
    spec = with_facts(SpecFacts(kind=code, od_nm=5 * NM["in"]), {fact.name: value})
    assert facts_of_spec(spec) == {fact.name: value}
    assert spec.key != SpecFacts(kind=code, od_nm=5 * NM["in"]).key
    assert with_facts(spec, {fact.name: ""}).facts == "{}"


def test_a_fact_of_one_piece_never_comes_into_the_specification():
    assert facts_text(kind_of("motor"), {"bend": "1.83", "stator_on": "2026-05-01", "lobes": "7/8"}) == (
        '{"lobes":"7/8"}'
    )


def test_what_another_kind_has_is_left_away():
    assert facts_text(kind_of("jar"), {"make": "PDC"}) == "{}"


def test_lengths_in_a_specification_are_whole_numbers():
    text = facts_text(kind_of("core_barrel"), {"barrel_nm": "18288000000"})
    assert json.loads(text) == {"barrel_nm": 18_288_000_000}


@pytest.mark.parametrize(
    "typed, noted", [("60", False), ("30", False), ("90 ft", False), ("20", True), ("120", True)]
)
def test_a_core_barrel_outside_of_30_to_90_ft_is_taken_and_noted(typed, noted):
    value, problems = read_fact(kind_of("core_barrel").fact("barrel_nm"), typed)
    assert value
    assert [one.severity for one in problems] == [Severity.NOTE] * noted


@pytest.mark.parametrize("size", ["2", "2-1/2", "3", "8-1/2", "36", "40"])
def test_bits_and_core_bits_of_every_size_have_their_gauge(size):
    for code in ("bit", "core_bit"):
        assert read_fact(kind_of(code).fact("gauge_measured_nm"), size)[0]


def test_the_flow_area_of_nozzles_is_worked_out():
    # Table of nozzle areas, 16/32 in: 0.1963 in2 (geometry).
    assert flow_area_worked("16-16-16").value == pytest.approx(3 * 0.19635, abs=1e-4)
    assert flow_area_worked("") is None


def test_a_roller_code_is_read_and_a_fixed_cutter_code_stays_as_it_is():
    bit = kind_of("bit")
    assert [part.character for part in code_meanings(bit, {"code": "517G"})] == ["5", "1", "7", "G"]
    assert [one.severity for one in code_problems(bit, {"code": "M323", "make": "PDC"})] == [Severity.NOTE]
    assert code_meanings(kind_of("jar"), {"code": "517G"}) == ()


def test_a_code_of_the_other_family_is_said():
    words = [one.text for one in code_problems(kind_of("bit"), {"code": "517G", "make": "PDC"})]
    assert any("517G is the code of a roller cone bit" in each for each in words)
    assert code_problems(kind_of("bit"), {"code": "517G", "make": "insert"}) == ()


def test_a_code_that_is_none_is_kept_as_written_and_asked():
    value, problems = read_fact(kind_of("bit").fact("code"), "super 9")
    assert value == "super 9"
    assert [one.severity for one in problems] == [Severity.ASKS]
