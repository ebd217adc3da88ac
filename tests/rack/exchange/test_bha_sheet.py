"""A BHA sheet read back: every planted fault is named, every near miss stays silent, nothing crashes."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rack.calc.chain import length_of, placed
from rack.calc.lengths import Length
from rack.errors import UnreadableFile
from rack.exchange.bha_sheet import ReadBha, read_sheet
from tests.rack.exchange.bha_faults import FAULTS, NEAR_MISSES, laid_down, section
from tests.rack.exchange.bha_paper import COLUMNS, Planted, Sheet, sheet

TODAY = date(2026, 11, 25)
FIXTURES = Path(__file__).resolve().parents[3] / "fixtures" / "bha"


def read(made: Sheet) -> ReadBha:
    return read_sheet(made.data(), "bha.csv", today=TODAY)


def said(made: Sheet) -> list[str]:
    return [one.text for one in read(made).problems]


def test_a_sheet_without_fault_is_silent() -> None:
    assert said(sheet()) == []


@pytest.mark.parametrize("data", [
    sheet().workbook(), sheet().data(";", "cp1252"), sheet().data("\t", "utf-16"),
    sheet().data("|", "utf-8-sig"),
], ids=["workbook", "semicolons", "tabs", "bars"])  # fmt: skip
def test_any_table_says_the_same(data: bytes) -> None:
    assert read_sheet(data, "bha", today=TODAY) == read(sheet())


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_named(name: str) -> None:
    plant, words = FAULTS[name]
    made = sheet()
    plant(made)
    texts = said(made)
    assert any(words in text for text in texts), texts


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_not_told_thirty_times(name: str) -> None:
    made = sheet()
    FAULTS[name][0](made)
    assert len(said(made)) <= 9, said(made)


@pytest.mark.parametrize("name", NEAR_MISSES)
def test_a_near_miss_stays_silent(name: str) -> None:
    made = sheet()
    NEAR_MISSES[name](made)
    assert said(made) == []


def test_a_fault_carries_its_row_what_was_measured_and_the_limit() -> None:
    made = sheet()
    FAULTS["gauge wider than the hole"][0](made)
    (found, *_) = [one for one in read(made).problems if one.code == "R17"]
    assert (found.where, found.measured, found.limit, found.source) == (
        "row 9",
        "8-5/8 in",
        "8-1/2 in",
        "R17",
    )


def test_the_links_go_from_the_bit_upward_and_reach_the_foots_length() -> None:
    found = read(sheet())
    assert [link.spec.kind for link in found.links[:3]] == ["bit", "motor", "float_sub"]
    assert length_of(found.links) == found.sheet.foot.length
    assert placed(found.links)[1].bottom == Length.parse("1.10", "ft")
    motor, jar = found.links[1], found.links[11]
    assert (motor.spec.down_conn, motor.spec.down_gender, motor.spec.up_conn) == ("4-1/2 REG", "box", "NC50")
    assert motor.facts["bend"] == "1.50" and motor.facts["neck_od_nm"] == "165100000"
    assert (jar.stands, jar.opened, jar.closed) == (
        "open",
        Length.parse("31.45", "ft"),
        Length.parse("29.95", "ft"),
    )


def test_the_same_string_comes_out_whichever_end_is_written_first() -> None:
    turned = sheet()
    turned.rows.reverse()
    names = [link.serial for link in read(sheet()).links]
    assert [link.serial for link in read(turned).links] == names


def test_what_is_laid_down_is_no_link_and_said_once_when_it_is_not_counted() -> None:
    made = sheet()
    laid_down(counted=False)(made)
    found = read(made)
    assert len(found.links) == 19
    assert [one.text for one in found.problems] == ["No. 20 (HWDP 5 in) is laid down and not counted."]


def test_a_section_in_one_row_is_an_unnamed_link_of_its_count() -> None:
    made = sheet()
    section(15, 6)(made)
    link = read(made).links[-1]
    assert (link.count, link.named, link.ident) == (6, False, "HWDP 5 in, list to follow")
    assert link.length == Length.parse("182.61", "ft")


def test_the_head_and_the_foot_are_read() -> None:
    head, foot = read(sheet()).sheet.head, read(sheet()).sheet.foot
    assert (head.rig, head.well, head.bha_no, head.bit_no) == ("Sandholm 3", "SD-14", "7", "5")
    assert head.hole == 215_900_000 and head.shoe == Length.parse("7388", "ft") and head.hits == 0
    assert {clock: float(hours) for clock, hours in head.hours.items()} == {
        "rotating": 41,
        "sliding": 14.25,
        "on bottom": 51.75,
        "circulating": 58.5,
        "below rotary": 86,
    }
    assert foot.signed == ("K. Aune", "S. Moe") and foot.below_jar_in == "mud"


def test_labels_with_colons_in_one_cell_are_read_too() -> None:
    made = sheet()
    made.head = [["Rig: Sandholm 3", "Well: SD-14", "BHA No: 7", "Bit No: 5", "Hole: 8 1/2 in"],
                 ["Depth in: 2259.2 m", "Depth out: 8,655", "Mud weight: 1.22 SG",
                  "Last casing: 9-5/8 in 47 lb/ft"],
                 ["Rotating: 41.00", "Sliding: 14.25", "On bottom: 51.75", "Circulating: 58.50", "BRT: 86"],
                 ["Sensor to bit: 52.40 ft"]]  # fmt: skip
    assert said(made) == []
    head = read(made).sheet.head
    assert head.depth_in == Length.parse("2259.2", "m") and round(float(head.mud_ppg or 0), 2) == 10.18


def test_a_metric_sheet_is_read_in_its_own_units() -> None:
    made = sheet()
    for column, unit in (("Length ft", "Length m"), ("Cum. ft", "Cum. m"), ("FN lgth ft", "FN lgth m"),
                         ("lb/ft", "kg/m"), ("Weight lb", "Weight kg")):  # fmt: skip
        made.columns[COLUMNS.index(column)] = unit
    cum = Decimal(0)
    for row in made.rows:
        length = (Decimal(row["Length ft"]) * Decimal("0.3048")).quantize(Decimal("0.01"))
        cum += length
        kg_m = (Decimal(row["lb/ft"]) * Decimal("1.488")).quantize(Decimal("0.1"))
        neck = row["FN lgth ft"] and str(
            (Decimal(row["FN lgth ft"]) * Decimal("0.3")).quantize(Decimal("0.01"))
        )
        row |= {"Length ft": str(length), "Cum. ft": str(cum), "lb/ft": str(kg_m), "FN lgth ft": neck,
                "Weight lb": str((kg_m * length).quantize(Decimal(1)))}  # fmt: skip
    made.row(12)["Remarks"] = "open"
    made.foot = []
    made.swap_head("Lengths ft, pins not counted", "Lengths m, pins not counted")
    for label, text in (("Depth in", "2259"), ("Depth out", "2638"), ("Survey sensor to bit", "15.97 m")):
        made.set_head(label, text)
    made.swap_head("9 5/8 47# shoe 7388", "9 5/8 47# shoe 2252")
    assert said(made) == []
    assert read(made).links[0].length == Length.parse("0.34", "m")


def test_the_extract_betrays_only_what_it_truly_has() -> None:
    found = read_sheet((FIXTURES / "extract_of_a_sheet.csv").read_bytes(), "extract.csv", today=TODAY)
    texts = [one.text for one in found.problems]
    assert [one.code for one in found.problems] == ["missing", "TFA", "clock", "sensor"], texts
    assert "Numbers 3, 4, 6 and 7 stand nowhere" in texts[0] and "jump by 79.24 ft" in texts[0]
    assert len(found.links) == 4


@pytest.mark.parametrize("file", sorted(FIXTURES.glob("*.csv")), ids=lambda file: file.stem)
def test_every_file_of_the_shelf_names_the_fault_of_its_name(file: Path) -> None:
    words = {
        "extract_of_a_sheet": "stand nowhere on the sheet", "box_on_box": "box on box",
        "cumulative_slip_carried_on": "every one after it carries it", "without_a_fault": "",
        "rotating_hours_on_a_motor": "are the rotating hours", "numbered_from_the_top": "from the top down",
    }[file.stem]  # fmt: skip
    texts = [one.text for one in read_sheet(file.read_bytes(), file.name, today=TODAY).problems]
    assert any(words in text for text in texts) if words else texts == []


@pytest.mark.parametrize("data, words", [
    (b"", "is empty"), (b"hello, world", "There is no BHA sheet in it"), (b"%PDF-1.7", "is a PDF"),
    (b"Serial;Item;OD;Length\n1;DC;6 1/2;30.1", "There is no BHA sheet in it"),
    (b"Run,Jt,Strap 1,Eff. ft,Total ft\n1,1,40,39,39", "There is no BHA sheet in it"),
    (b"No,Item,Length ft,Cum. ft\n", "no row under it"),
], ids=["nothing", "words", "a PDF", "a delivery list", "a casing tally", "no rows"])  # fmt: skip
def test_what_is_no_bha_sheet_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(UnreadableFile, match=words) as refused:
        read_sheet(data, "x.csv")
    assert str(refused.value).endswith(".")


CELL = st.one_of(
    st.sampled_from(["", "1", "0", "-1", "8 1/2", "1/0", "0/0", "30.15", "1e9", "9" * 40, "NC50 BOX", "PIN",
                     "Bit",
                     "Hydraulic jar", "open 3.1 closed 9", "laid down", "03/04/25", "see list", '"', "=1+1",
                     "15 x DP",
                     "٣", "½", "rot", "٣٤", "0.0.0", ",,", "x" * 400, "MWD", "31-Feb-26", "99/99/9999"]),
    st.text(max_size=12), st.floats().map(str), st.integers().map(str),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.lists(CELL, min_size=len(COLUMNS), max_size=len(COLUMNS)), min_size=1, max_size=8),
       st.lists(st.lists(CELL, max_size=6), max_size=3),
       st.lists(st.tuples(st.sampled_from(["Hole", "Mud", "Casing", "Depth in", "rotating", "BHA length",
                                           "Shoe",
                                           "Weight in air", "Weight below jar", "Sensor to bit"]), CELL),
                max_size=8))  # fmt: skip
def test_any_cells_are_read_or_refused(rows: list[list[str]], foot: list[list[str]],
                                       labels: list[tuple[str, str]]) -> None:  # fmt: skip
    made = Sheet([list(pair) for pair in labels], [dict(zip(COLUMNS, row, strict=True)) for row in rows],
                 [*foot, *[list(pair) for pair in labels]])  # fmt: skip
    try:
        found = read_sheet(made.data(), "x.csv", today=TODAY)
    except UnreadableFile:
        return
    assert len(found.links) == len(found.sheet.in_hole)


@settings(max_examples=60, deadline=None)
@given(at=st.integers(min_value=0, max_value=400), noise=st.binary(max_size=30), whole=st.booleans())
def test_any_bytes_are_read_or_refused(*, at: int, noise: bytes, whole: bool) -> None:
    data = noise if whole else sheet().data()[:at] + noise + sheet().data()[at * 7 :]
    try:
        read_sheet(data, "x.csv", today=TODAY)
    except UnreadableFile as refused:
        assert str(refused)


def test_the_plants_leave_marks() -> None:
    """A plant that changes nothing would make its test say nothing."""
    plants: dict[str, Planted] = {**{name: plant for name, (plant, _) in FAULTS.items()}, **NEAR_MISSES}
    for name, plant in plants.items():
        made = sheet()
        plant(made)
        assert made.data() != sheet().data() or name == "a jar closed", name
