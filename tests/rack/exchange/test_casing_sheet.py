"""A casing sheet read back: every planted fault is named, every near miss stays silent, nothing crashes."""

import io
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from rack.errors import UnreadableFile
from rack.exchange.casing_sheet import read_sheet
from tests.rack.exchange.casing_paper import COLUMNS, Paper, Planted, paper


def problems(sheet: Paper) -> list[str]:
    return [one.text for one in read_sheet(sheet.data(), "casing.csv").problems]


def test_a_sheet_without_fault_is_silent() -> None:
    sheet = paper(60, 41)
    sheet.set_head("Hole TD", "2,390.00")
    read = read_sheet(sheet.data(), "casing.csv")
    assert [one.text for one in read.problems] == []
    assert (len(read.sheet.rows), read.sheet.received, read.sheet.track) == (63, 63, 1)
    assert read.sheet.spare_names == ("61", "62")
    assert read.sheet.left_names == ("63",)


def cell(joint: str, column: str, text: str) -> Planted:
    return lambda sheet: sheet.row(joint).update({column: text})


def then(*steps: Planted) -> Planted:
    def plant(sheet: Paper) -> None:
        for step in steps:
            step(sheet)

    return plant


def length(joint: str, text: str, loss: str = "0.40") -> Planted:
    """Another length, with everything worked out from it."""
    eff = f"{Decimal(text) - Decimal(loss):.2f}"
    return then(lambda sheet: sheet.row(joint).update(
        {"Strap 1": text, "Strap 2": text, "Mill ft": text, "Eff. ft": eff}), Paper.total_up)


def moved(name: str, after: str) -> Planted:
    def plant(sheet: Paper) -> None:
        row = sheet.row(name)
        sheet.rows.remove(row)
        sheet.rows.insert(sheet.rows.index(sheet.row(after)) + 1 if after else 0, row)
        sheet.total_up()
        for one in sheet.rows:
            one["Time"] = ""

    return plant


def all_eff(loss: str, shoe: str = "0") -> Planted:
    def plant(sheet: Paper) -> None:
        for row in sheet.rows:
            off = Decimal(shoe if row["Jt"] == "FS" else loss)
            row["Eff. ft"] = f"{Decimal(row['Strap 1']) - off:.2f}"
        sheet.total_up()

    return plant


def n_less_one(sheet: Paper) -> None:
    """Pins counted as joints less one in the foot: one loss too few."""
    total = Decimal(sheet.rows[-1]["Total ft"]) + Decimal("0.40")
    sheet.set_foot("Total", f"{total:.2f}")
    sheet.set_foot("Shoe", f"{total + Decimal('24.60'):.2f}")


def not_run(*, in_sum: bool) -> Planted:
    def plant(sheet: Paper) -> None:
        eff = sheet.row("14")["Eff. ft"] if in_sum else ""
        sheet.row("14").update({"Remarks": "L/O, thread hit", "Cent.": "", "Eff. ft": eff})
        sheet.total_up()
        sheet.set_foot("To run", "19")
        sheet.set_foot("Left out", "2: 14, 23")
        sheet.set_foot("On rack when landed", "4: 14, 21, 22, 23")
        sheet.set_foot("Centralizers", "19")

    return plant


FAULTS: dict[str, tuple[Planted, str]] = {
    "number twice": (cell("9", "Jt", "8"), "Joint 8 stands twice"),
    "number missing": (cell("9", "Jt", "9A"), "Number 9 stands nowhere on the sheet"),
    "row taken out by hand": (lambda sheet: sheet.row("9").update(Run="31"), "run order goes from"),
    "running total": (cell("9", "Total ft", "300.00"), "running total at joint 9 does not follow"),
    "slip carried on": (lambda sheet: (sheet.row("9").update(
        {"Total ft": f"{Decimal(sheet.row('9')['Total ft']) + 9:.2f}"}),
        sheet.total_up(sheet.rows.index(sheet.row("9")) + 1))[0], "9.00 too much; every total after it"),
    "too short for range 3": (length("9", "33.80"), "Joint 9 is 33.80 ft, outside 34.00 to 48.00"),
    "metres in a feet column": (length("9", "11.84"), "metres, perhaps"),
    "loss forgotten once": (then(cell("9", "Eff. ft", "39.42"), lambda sheet: sheet.row("9").update(
        {"Eff. ft": sheet.row("9")["Strap 1"]}), Paper.total_up), "0.40 ft is forgotten at joint 9"),
    "loss forgotten everywhere": (all_eff("0"), "is forgotten at every joint"),
    "loss taken twice once": (then(lambda sheet: sheet.row("9").update(
        {"Eff. ft": f"{Decimal(sheet.row('9')['Strap 1']) - Decimal('0.80'):.2f}"}), Paper.total_up),
        "0.40 ft is taken twice at joint 9"),
    "loss taken twice everywhere": (all_eff("0.80"), "is taken twice at every joint"),
    "loss off the shoe": (all_eff("0.40", "0.40"), "shoe stands box up and loses nothing itself"),
    "counted n-1": (n_less_one, "(joints less one)"),
    "threads off already": (lambda sheet: sheet.set_head("Lengths", "threads off, ft"),
                            "taken off lengths that are threads off already"),
    "one total written wrong and not carried on": (
        cell("9", "Total ft", "315.78"), "315.78 is written, 351.78 is the sum; the next one goes on"),
    "effective length turned": (then(cell("9", "Eff. ft", "49.31"), Paper.total_up), "less 0.40 make"),
    "shoe not the sum": (lambda sheet: sheet.set_foot("Shoe", "900.00"), "is not the sum"),
    "datum left away": (lambda sheet: sheet.set_foot("Shoe", sheet.rows[-1]["Total ft"]),
                        "The datum was left away"),
    "shoe below the hole": (lambda sheet: sheet.set_head("Hole TD", "500.00"), "below the hole of 500.00"),
    "foot's total": (lambda sheet: sheet.set_foot("Total", "790.00"), "the last running total"),
    "stick-up": (lambda sheet: sheet.set_foot("Stick-up", "14.50"), "The stick-up 14.50 is not"),
    "run not as counted": (lambda sheet: sheet.set_foot("To run", "21"), "The foot says 21 joints run; 20"),
    "received": (lambda sheet: sheet.set_head("Received", "24 jts"), "make 23; 24 were received"),
    "left out not as named": (lambda sheet: sheet.set_foot("Left out", "2: 23"), "2 left out; 1 are named"),
    "rack not as counted": (lambda sheet: sheet.set_foot("On rack when landed", "2: 21, 22"),
                            "2 shall lie on the rack when landed; 2 spare and 1 left out"),
    "in the hole and on the rack": (lambda sheet: sheet.set_foot("On rack when landed", "3: 14, 22, 23"),
                                    "14 stands both in the hole and outside it"),
    "not run and in the sum": (not_run(in_sum=True), "stands in the total all the same"),
    "shoe track one joint longer": (moved("FC", "2"), "The head says 1 joints of shoe track; 2 stand"),
    "shoe not first": (moved("FS", "1"), "The shoe does not go in first: joint 1 stands below it"),
    "collar below the shoe": (moved("FC", ""), "float collar stands below the shoe"),
    "thread-lock forgotten": (cell("1", "Remarks", ""), "joint 1 is not marked as thread-locked"),
    "marker out of place": (moved("MK", "14"), "it shall stand after joint 12 and stands after joint 14"),
    "marker forgotten": (then(lambda sheet: sheet.without("MK"), Paper.total_up),
                         "marker after joint 12 is not"),
    "centralizer on a joint left out": (then(not_run(in_sum=False), cell("14", "Cent.", "1")),
                                        "A centralizer stands on joint 14, which did not run"),
    "centralizer on no joint": (lambda sheet: sheet.set_foot("Centralizers", "20: jts 1, 2, 77"),
                                "sit on joint 77, which is not in the hole"),
    "centralizers counted": (lambda sheet: sheet.set_foot("Centralizers", "19"),
                             "The foot says 19 centralizers"),
    "drift forgotten": (cell("9", "Drift", ""), "Run without a drift tick: joint 9"),
    "time goes back": (cell("9", "Time", "21:50"), "time goes back at joint 9"),
    "another grade": (cell("9", "Gr", "P110"), "Joint 9 is P110; the string is"),
    "grade under a ditto": (cell("9", "Remarks", "P-110 coupling"), "remark names P110"),
    "strap turned": (cell("9", "Strap 2", "39.24"), "changed places"),
    "mill disagrees": (cell("9", "Mill ft", "42.00"), "the mill's list has 42.00"),
    "no figure": (cell("9", "Eff. ft", "39,O8"), "Row 16, 9, eff: “39,O8” is no length"),
    "mixed headings": (lambda sheet: sheet.columns.__setitem__(8, "Total m"), "headings mix feet and metres"),
    "unit of the head": (lambda sheet: sheet.set_head("Lengths", "threads on, m"),
                         "The head says lengths in m"),
    "centralizer no number": (cell("9", "Cent.", "bow"), "“bow” is no number of centralizers"),
    "no time": (cell("9", "Time", "25:99"), "“25:99” is no time of day"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_each_planted_fault_is_named(fault: str) -> None:
    plant, words = FAULTS[fault]
    sheet = paper()
    plant(sheet)
    found = problems(sheet)
    assert found
    assert any(words in text for text in found), "\n".join(found)


NEAR: dict[str, Planted] = {
    "midnight": lambda sheet: None,
    "a joint found": then(cell("9", "Jt", "8A"), lambda sheet: sheet.set_foot(
        "Left out", "2: 9 (bent), 23"), lambda sheet: sheet.set_head("Received", "24 jts"),
        lambda sheet: sheet.set_foot("On rack when landed", "4: 9, 21, 22, 23")),
    "left out and not in the sum": not_run(in_sum=False),
    "straps a hundredth apart": cell("9", "Strap 2", "39.42"),
    "a short joint that says so": then(cell("9", "Remarks", "short"), length("9", "30.00")),
    "just in the range": length("9", "34.00"),
    "spare counted, not named": then(
        lambda sheet: sheet.set_foot("Spare", "2"), lambda sheet: sheet.set_foot("Left out", "1: 23 bent"),
        lambda sheet: sheet.set_foot("On rack when landed", "3")),
    "two centralizers on one": then(cell("9", "Cent.", "2"),
                                    lambda sheet: sheet.set_foot("Centralizers", "21")),
    "a note with a figure": cell("9", "Remarks", "coupling 2 turns"),
    "the same grade spelled otherwise": cell("9", "Gr", "L-80"),
    "no strap 2": lambda sheet: [row.update({"Strap 2": ""}) for row in sheet.rows] and None,
}


@pytest.mark.parametrize("near", NEAR)
def test_a_near_miss_stays_silent(near: str) -> None:
    sheet = paper()
    NEAR[near](sheet)
    assert problems(sheet) == []


def test_an_extract_without_foot_is_not_asked_for_what_comes_later() -> None:
    sheet = paper(60, 41)
    sheet.rows, sheet.foot = sheet.rows[:7], []
    assert problems(sheet) == []


def test_every_length_in_metres_is_one_sentence() -> None:
    sheet = paper()
    for row in sheet.rows:
        for column in ("Strap 1", "Strap 2", "Mill ft"):
            if row[column]:
                row[column] = f"{Decimal(row[column]) * Decimal('0.3048'):.2f}"
        loss = Decimal(0) if row["Jt"] == "FS" else Decimal("0.40")
        row["Eff. ft"] = f"{Decimal(row['Strap 1']) - loss:.2f}"
    sheet.total_up()
    assert [text for text in problems(sheet) if "metres" in text] == [
        "Every length looks like metres: the sheet says ft."]


def test_a_workbook_reads_as_its_csv_does() -> None:
    sheet = paper()
    book = Workbook()
    for row in [*sheet.head, [], sheet.columns]:
        book.active.append(row)
    for row in sheet.rows:
        cells = [(name, row.get(name)) for name in COLUMNS]
        book.active.append([float(text) if text and name.endswith(" ft") else text or None
                            for name, text in cells])
    for row in [[], *sheet.foot]:
        book.active.append(row)
    sink = io.BytesIO()
    book.save(sink)
    assert [one.text for one in read_sheet(sink.getvalue(), "casing.xlsx").problems] == []


@pytest.mark.parametrize("data, words", [
    (b"", "is empty"), (b"%PDF-1.7", "a PDF"),
    (b"Serial;Length\nKD1;31.2\n", "There is no casing tally in it"),
    (b"Run,Jt,Strap 1,Eff.,Total\n\n", "no row under it"),
])
def test_what_is_no_casing_sheet_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(UnreadableFile, match=words):
        read_sheet(data, "x.csv")


HEADING = b"Run,Jt,Wt,Gr,Mill ft,Strap 1,Strap 2,Eff. ft,Total ft,Drift,Cent.,Time,Remarks\r\n"
CELLS = st.one_of(st.text(max_size=12), st.sampled_from(
    ["1", "FS", "FC", "MK", "36A", '"', "39.48", "-3", "1e9", "0", "99999999", "39,48", "1/2", "ok", "L/O",
     "TL", "24:00", "Total", "Shoe", "Received", "= 1+1", "³", "٣"]))


@given(st.binary(max_size=400))
def test_any_bytes_give_a_list_or_a_sentence(data: bytes) -> None:
    for whole in (data, HEADING + data, paper(3, 2).data()[:900] + data):
        try:
            read = read_sheet(whole, "any")
        except UnreadableFile as sentence:
            assert str(sentence).endswith((".", "?"))
        else:
            assert all(problem.text for problem in read.problems)


@given(st.lists(st.lists(CELLS, max_size=14), max_size=8), st.lists(st.lists(CELLS, max_size=6), max_size=5))
def test_any_cells_give_a_list_or_a_sentence(rows: list[list[str]], foot: list[list[str]]) -> None:
    sheet = paper(3, 2)
    sheet.rows = [dict(zip(COLUMNS, cells, strict=False)) for cells in rows]
    sheet.foot = foot
    sheet.head += foot
    try:
        read = read_sheet(sheet.data(), "any.csv")
    except (UnreadableFile, UnicodeEncodeError):
        return
    assert all(problem.text for problem in read.problems)
