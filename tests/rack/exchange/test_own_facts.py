"""Facts of one piece in a list: in a column or the remarks: read, shown beside the typing, doubts noted."""

import pytest

from rack.calc.checks import Severity
from rack.calc.lengths import Length
from rack.calc.receiving import ReadRow
from rack.exchange.delivery import read_delivery
from rack.exchange.own_words import day_of
from tests.stock import feet

BIT = "8-1/2 in tricone bit 4-1/2 REG"
MOTOR = "6-3/4 in mud motor 4-1/2 REG"
JAR = "6-1/2 in hydraulic jar NC50"
STABILIZER = "8 in stabilizer NC50"
PIPE = "5 in 19.50 lb/ft S-135 NC50 Range 2 drill pipe"


def only(head: str, item: str, cells: str, length: str = "28.10") -> ReadRow:
    text = f"Serial;Item;Length ft;{head}\nT1;{item};{length};{cells}\n"
    [row] = read_delivery(text.encode(), "list.csv").rows
    return row


def said(row: ReadRow) -> dict[str, str]:
    return {fact.name: fact.value for fact in row.facts}


def notes(row: ReadRow) -> str:
    return " ".join(one.text for one in row.problems if one.code in ("fact", "stands"))


@pytest.mark.parametrize("head, item, cell, name, value", [
    ("Nozzles", BIT, "3x16", "nozzles", "16-16-16"),
    ("Düsen", BIT, "16-16-18", "nozzles", "16-16-18"),
    ("IADC", BIT, "517G", "code", "517G"),
    ("Bend", MOTOR, "1.83", "bend", "1.83"),
    ("Bent housing setting", MOTOR, "1,50°", "bend", "1.50"),
    ("Stator date", MOTOR, "2026-05-01", "stator_on", "2026-05-01"),
    ("Stator", MOTOR, "01.05.2026", "stator_on", "2026-05-01"),
    ("Stator", MOTOR, "1-May-2026", "stator_on", "2026-05-01"),
    ("Gauge in", STABILIZER, "12-1/4", "gauge_nm", "311150000"),
    ("Gauge mm", STABILIZER, "311.15", "gauge_nm", "311150000"),
    ("FN OD", JAR, "6.50 in", "neck_od_nm", "165100000"),
    ("Fishing neck length in", JAR, "20", "neck_nm", "508000000"),
    ("Clamp", JAR, "on", "clamp", "on"),
    ("Remarks", BIT, "rerun, nozzles 3x16", "nozzles", "16-16-16"),
    ("Remarks", BIT, "3 x 16, 2x18 jets, IADC 517G", "nozzles", "16-16-16-18-18"),
    ("Bemerkung", BIT, "IADC 517G", "code", "517G"),
    ("Remarks", MOTOR, "bend set to 1.83, stator relined 2026-05-01", "bend", "1.83"),
    ("Remarks", MOTOR, "bend set to 1.83, stator relined 2026-05-01", "stator_on", "2026-05-01"),
    ("Remarks", MOTOR, "1.15° housing", "bend", "1.15"),
    ("Remarks", STABILIZER, "gauge 12-1/4 in, new blades", "gauge_nm", "311150000"),
    ("Remarks", STABILIZER, "gauge measured 12.20", "gauge_measured_nm", "309880000"),
])
def test_a_fact_is_read_and_shown_beside_what_was_typed(head, item, cell, name, value) -> None:
    row = only(head, item, cell)
    assert said(row)[name] == value
    [fact] = [one for one in row.facts if one.name == name]
    assert fact.typed and fact.shown
    assert all(one.severity is Severity.NOTE for one in row.problems if one.code == "fact")


@pytest.mark.parametrize("head, item, cell, words", [
    ("Nozzles", BIT, "3xBIG", "kept as typed and not read"),
    ("Bend", MOTOR, "7.5", "outside of 0 to 5 degrees"),
    ("Stator", MOTOR, "05/01/2026", "is no day"),
    ("Nozzles", PIPE, "3x16", "a drill pipe has none"),
    ("Clamp", JAR, "lost", "is none of on, off"),
])
def test_what_is_in_doubt_is_a_note_and_the_piece_comes_in(head, item, cell, words) -> None:
    row = only(head, item, cell)
    assert said(row) == {} and words in notes(row)
    assert row.fate == "accepted"
    assert row.typed[head.lower()] == cell


@pytest.mark.parametrize("item, remark", [
    (BIT, "12 1/4 hole next, 16 hrs"), (STABILIZER, "short pin, spiral bands"), (JAR, "open for rental"),
    (PIPE, "nozzle of the hose with it"), (MOTOR, "ran 16 h at 120 rpm"), (MOTOR, "stator 80 hours"),
    (BIT, "nozzle box lost"), (STABILIZER, "12-1/4"),
])
def test_a_remark_that_says_no_fact_gives_none(item, remark) -> None:
    row = only("Remarks", item, remark)
    assert said(row) == {} and notes(row) == ""


def test_the_column_goes_before_the_remark_and_the_difference_is_noted() -> None:
    row = only("Nozzles;Remarks", BIT, "3x16;nozzles 3x18")
    assert said(row)["nozzles"] == "16-16-16"
    assert "the remark says 18-18-18" in notes(row)


def test_a_fact_of_the_specification_makes_it_another_specification() -> None:
    row = only("Gauge in", STABILIZER, "12-1/4")
    assert row.spec is not None and '"gauge_nm":311150000' in row.spec.facts
    differs = only("Gauge in", f"{STABILIZER} gauge 12-1/8", "12-1/4")
    assert "the item says 12-1/8 in and the column says 12-1/4 in" in notes(differs)


@pytest.mark.parametrize("head, cells, length, stands, holds, other", [
    ("Length open ft;Length closed ft", "32.15;30.90", "30.90", "closed", "30.90", "32.15"),
    ("Length open ft;Length closed ft", "32.15;30.90", "", "closed", "30.90", "32.15"),
    ("Length open ft;Length closed ft", "32.15;30.90", "32.15", "open", "32.15", "30.90"),
    ("Open;Closed", "32.15;", "", "open", "32.15", None),
    ("Remarks", "measured closed", "30.90", "closed", "30.90", None),
    ("Bay", "R1", "30.90 closed", "closed", "30.90", None),
    ("Bay", "R1", "32.15 o", "open", "32.15", None),
])
def test_a_jar_comes_with_both_of_its_lengths(head, cells, length, stands, holds, other) -> None:
    row = only(head, JAR, cells, length)
    assert row.stands == stands
    assert row.length == Length(feet(holds))
    assert row.other == (Length(feet(other)) if other else None)
    assert not any(one.severity is Severity.STOPS for one in row.problems)


def test_lengths_that_were_exchanged_are_noted_and_kept_as_typed() -> None:
    row = only("Length open ft;Length closed ft", JAR, "30.90;32.15", "30.90")
    assert "open is longer than closed" in notes(row)
    assert (row.length, row.stands, row.other) == (Length(feet("30.90")), "", None)


def test_drill_pipe_has_no_length_open() -> None:
    row = only("Length open ft", PIPE, "31.24", "31.24")
    assert "a drill pipe has one length" in notes(row) and row.stands == ""


@pytest.mark.parametrize("typed, day", [
    ("2026-05-01", "2026-05-01"), ("2026-05-01 00:00:00", "2026-05-01"), ("1.5.2026", "2026-05-01"),
    ("25/05/2026", "2026-05-25"), ("05/25/2026", "2026-05-25"), ("05/05/2026", "2026-05-05"),
    ("05/01/2026", "05/01/2026"), ("31.02.2026", "31.02.2026"), ("1 Mai 2026", "1 Mai 2026"),
    ("01 May 2026", "2026-05-01"), ("soon", "soon"),
])
def test_a_day_that_may_be_two_is_not_guessed(typed, day) -> None:
    assert day_of(typed) == day
