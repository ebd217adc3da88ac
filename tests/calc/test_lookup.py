"""The shipped tables: nothing lost, nothing slipped, each row with its source."""

from collections import Counter
from decimal import Decimal

import pytest

from rack.calc import lookup


@pytest.mark.parametrize("table", lookup.TABLES)
def test_a_table_has_the_rows_letters_and_sums_that_its_source_note_says(table):
    source, rows = lookup.SOURCES[table], lookup.rows(table)
    assert len(rows) == source.rows
    assert Counter(row["conf"] for row in rows) == source.confidence
    for column, total in source.sums.items():
        assert sum(Decimal(row[column]) for row in rows if row[column]) == Decimal(total), column


@pytest.mark.parametrize("table", lookup.TABLES)
def test_every_row_names_its_source_and_its_confidence(table):
    for row in lookup.rows(table):
        assert row["source"].strip(), row
        assert row["conf"] in {"A", "B", "C", "D", "M", "CP"}, row
        assert "note" in row
        assert None not in row
        assert None not in row.values()


@pytest.mark.parametrize("table", lookup.TABLES)
def test_the_key_columns_exist_and_no_two_rows_share_a_key_and_a_source(table):
    rows, key = lookup.rows(table), (*lookup.SOURCES[table].key, "source")
    assert len({tuple(row[column] for column in key) for row in rows}) == len(rows)


def test_every_table_file_is_described_and_every_described_table_has_a_file():
    files = {path.stem for path in lookup._FOLDER.glob("*.csv")} - {"documents"}
    assert files == set(lookup.TABLES)


def test_an_unknown_table_is_named():
    with pytest.raises(ValueError, match="drillpipes"):
        lookup.rows("drillpipes")


def test_a_row_cannot_be_changed_by_who_reads_it():
    with pytest.raises(TypeError):
        lookup.rows("grades")[0]["min_yield_psi"] = "1"


@pytest.mark.parametrize(
    "text, value",
    [("0.362", "0.362"), ("4-3/4", "4.75"), ("6 3/4", "6.75"), ("7/64", "0.109375"), ("8", "8")],
)
def test_a_cell_is_read_exactly(text, value):
    assert lookup.number(text) == Decimal(value)


def test_a_blank_cell_is_not_zero():
    assert lookup.number("  ") is None


@pytest.mark.parametrize("text", ["about 3", "3/0", "1-2-3/4", "4.75 x 2"])
def test_what_is_no_number_is_refused_by_name(text):
    with pytest.raises(ValueError, match="is no number"):
        lookup.number(text)


@pytest.mark.parametrize(
    "conf, words", [("A", ""), ("B", ""), ("E", ""), ("D", "verify"), ("M", "verify"), ("CP", "common")]
)
def test_memory_and_common_practice_are_marked(conf, words):
    said = lookup.caution({"conf": conf})
    assert words in said if words else said == ""


def test_an_unknown_letter_is_refused():
    with pytest.raises(ValueError, match="conf"):
        lookup.caution({"conf": "Z"})


def test_heavy_weight_pipe_is_marked_as_memory():
    assert all(lookup.caution(row) for row in lookup.rows("heavyweight"))


def test_document_codes_are_spelled_out():
    assert "API Spec 7-2" in lookup.source_in_words(lookup.rows("connections")[0]["source"])


def _maker_row(**more):
    return {"size": "5", "nominal_weight_lb_ft": "19.5", "od_in": "5", "wall_in": "0.362", "id_in": "4.276",
            "source": "maker's sheet 7", **more}


def test_a_row_of_the_office_supersedes_the_shipped_one_and_leaves_it_as_it_was():
    before = lookup.rows("drill_pipe")
    catalogue = lookup.Catalogue({"drill_pipe": [_maker_row()]})
    found = catalogue.find("drill_pipe", size="5", nominal_weight_lb_ft="19.50")
    assert [row["source"] for row in found] == ["maker's sheet 7"]
    assert found[0]["conf"] == "E"
    assert len(catalogue.rows("drill_pipe")) == len(before)
    assert [row["nominal_weight_lb_ft"] for row in catalogue.superseded("drill_pipe")] == ["19.50"]
    assert lookup.rows("drill_pipe") == before


def test_the_rules_of_the_string_take_no_row_of_the_office():
    assert set(lookup.TABLES) - set(lookup.OPEN_TABLES) == {"rules"}
    with pytest.raises(ValueError, match="rules takes no rows"):
        lookup.Catalogue({"rules": [{"rule": "R32", "source": "a habit"}]})


def test_a_new_row_of_the_office_is_added():
    catalogue = lookup.Catalogue({"drill_pipe": [_maker_row(nominal_weight_lb_ft="21.00")]})
    assert len(catalogue.rows("drill_pipe")) == len(lookup.rows("drill_pipe")) + 1
    assert catalogue.superseded("drill_pipe") == ()


def test_rows_that_disagree_stand_side_by_side():
    found = lookup.Catalogue().find("tool_joint_weights", size="5", nominal_weight="19.5", grade="E75")
    assert {row["approx_lb_ft"] for row in found} == {"20.85", "21.36"}


@pytest.mark.parametrize(
    "row, named",
    [
        (_maker_row(source=" "), "source"),
        (_maker_row(colour="red"), "colour"),
        (_maker_row(conf="Q"), "conf"),
        ({"source": "maker's sheet 7", "od_in": "5"}, "size"),
    ],
)
def test_a_row_of_the_office_that_cannot_stand_is_refused_by_name(row, named):
    with pytest.raises(ValueError, match=named):
        lookup.Catalogue({"drill_pipe": [row]})


def test_a_search_by_an_unknown_column_is_refused():
    with pytest.raises(ValueError, match="colour"):
        lookup.Catalogue().find("drill_pipe", colour="red")
