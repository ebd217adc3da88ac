"""The shipped tables of inspection: nothing lost, nothing slipped, each row with its source."""

from collections import Counter
from fractions import Fraction

import pytest

from inspection.calc import lookup
from inspection.calc.criteria import (
    at_first_use,
    fixed_limit,
    limits,
    scheme,
    schemes,
    schemes_for,
)
from rack.calc.kinds import KINDS


@pytest.mark.parametrize("table", lookup.TABLES)
def test_a_table_has_the_rows_letters_and_sums_that_its_source_note_says(table):
    source, rows = lookup.SOURCES[table], lookup.rows(table)
    assert len(rows) == source.rows
    assert Counter(row["conf"] for row in rows) == source.confidence
    for column, total in source.sums.items():
        assert sum((_figure(row[column]) for row in rows), Fraction(0)) == Fraction(total), column


def _figure(cell):
    try:
        return lookup.number(cell) if cell.strip() and "-" not in cell and " " not in cell else Fraction(0)
    except ValueError:
        return Fraction(0)


@pytest.mark.parametrize("table", lookup.TABLES)
def test_every_row_names_its_source_in_words_and_its_confidence(table):
    for row in lookup.rows(table):
        assert len(row["source"]) > 5, row
        assert row["conf"] in {"A", "B", "C", "D", "M", "CP"}, row
        assert None not in row
        assert None not in row.values()


@pytest.mark.parametrize("table", lookup.TABLES)
def test_no_two_rows_share_a_key_and_a_source(table):
    rows, key = lookup.rows(table), (*lookup.SOURCES[table].key, "source")
    assert len({tuple(row[column] for column in key) for row in rows}) == len(rows)


def test_every_file_is_described_and_every_described_table_has_a_file():
    files = {path.relative_to(lookup._FOLDER).with_suffix("").as_posix()
             for path in lookup._FOLDER.rglob("*.csv")} - {"documents"}
    assert files == set(lookup.TABLES)


def test_an_unknown_table_is_named():
    with pytest.raises(ValueError, match="tubes"):
        lookup.rows("tubes")


@pytest.mark.parametrize("code, names", [
    ("api_rp7g2_2009", ("Class 1", "Premium", "Class 2", "Class 3", "Scrap")),
    ("ds1_4th", ("Class 1", "Ultra", "Premium", "Premium, reduced torsional ratio", "Class 2", "Reject")),
    ("api_rp7g_six_rows", ("Class 1", "Premium", "Class 2", "Class 3", "Class 4", "Scrap")),
    ("api_rp5c1", ("Class 2", "Class 3", "Class 4", "Class 5")),
    ("api_rp7g2_2009_components", ("Accept", "Repair", "Reject")),
])  # fmt: skip
def test_each_scheme_has_its_own_ladder_in_its_own_order(code, names):
    assert scheme(code).names == names


@pytest.mark.parametrize("one", schemes(), ids=lambda one: one.code)
def test_a_ladder_is_ranked_from_one_without_a_gap(one):
    assert [step.rank for step in one.steps] == list(range(1, len(one.steps) + 1))
    assert one.edition


@pytest.mark.parametrize("code", ["ds1_4th", "api_rp7g2_2020", "api_rp7g_six_rows"])
def test_a_scheme_of_names_has_no_limits_and_is_not_computed(code):
    assert not scheme(code).computed
    assert limits(code, "od_wear") == ()


@pytest.mark.parametrize("condition, premium, second", [
    ("od_wear", 80, 70), ("dent", 97, 96), ("necking", 97, 96), ("stretch", 97, 96),
    ("string_shot", 103, 104), ("external_corrosion", 80, 70), ("cut_along", 80, 70), ("cut_across", 80, 80),
    ("internal_pitting", 80, 70), ("internal_erosion", 80, 70), ("slip_cut_depth", 10, 20),
])  # fmt: skip
def test_every_row_of_the_used_pipe_table_has_its_two_limits(condition, premium, second):
    found = {limit.step: limit.value for limit in limits("api_rp7g2_2009", condition)}
    assert (found["Premium"], found["Class 2"]) == (premium, second)


@pytest.mark.parametrize("code, value, conf", [
    ("lead", "3/500", "M"), ("reface_once", "1/32", "A"), ("reface_total", "1/16", "B"),
    ("bench_pin", "3/16", "B"), ("bench_box", "1/16", "B"), ("seal_depth", "1/32", "B"),
    ("seal_width", "25", "B"), ("counterbore", "1/32", "M"),
])  # fmt: skip
def test_a_limit_of_no_class_has_its_value_and_its_letter(code, value, conf):
    limit = fixed_limit(code)
    assert (limit.value, limit.conf) == (Fraction(value), conf)


def test_an_unknown_fixed_limit_is_named():
    with pytest.raises(ValueError, match="hardness"):
        fixed_limit("hardness")


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_scheme(kind):
    first = schemes_for(kind)[0]
    assert first.computed
    assert not first.kinds or kind in first.kinds


@pytest.mark.parametrize("before, after",
                         [("Class 1", "Premium"), ("Premium", "Premium"), ("Scrap", "Scrap")])
def test_new_pipe_is_premium_after_its_first_run(before, after):
    assert at_first_use("api_rp7g2_2009", before) == after


def test_a_class_of_another_scheme_is_refused_with_those_there_are():
    with pytest.raises(ValueError, match="Class 2, Reject"):
        scheme("ds1_4th").step("Class 3")
