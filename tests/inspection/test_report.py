"""An inspection report: what is wrong is named once, what only looks wrong is left alone."""

import io

import openpyxl
import pytest

from inspection.calc.report_mapping import ReportMapping
from inspection.calc.report_names import LotJoint
from inspection.exchange.report import read_report
from rack.errors import UnreadableFile
from tests.inspection.reports import HEAD, HEADINGS, as_csv, foot_for, joint, lot


def read(joints, **more):
    given = {name: more.pop(name) for name in ("mapping", "aliases", "sheet") if name in more}
    known = more.pop("known", ())
    return read_report(as_csv(joints, **more), "report.csv", lot=known, **given)


def said(joints, **more):
    return [(problem.code, problem.text) for problem in read(joints, **more).problems]


def with_head(label, text):
    """The head with the cell behind `label` replaced."""
    return [[text if at and row[at - 1] == label else cell for at, cell in enumerate(row)] for row in HEAD]


def test_a_sound_report_raises_nothing():
    joints = lot(40)
    assert said(joints, foot=foot_for(joints)) == []


#: What is done to joint 5, the code of the one question it raises, and a word of its sentence.
FAULTS = [
    ({"jt": "4"}, "number", "no. 4 stands twice"),
    ({"serial": "KD4204"}, "serial", "KD4204 stands twice"),
    ({"painted": "4"}, "painted", "painted number 4 stands twice"),
    ({"serial": "ILL"}, "serial", "cannot be read; tied by the painted number 5"),
    ({"serial": "ILL", "painted": ""}, "serial", "nothing ties the row"),
    ({"serial": ""}, "serial", "is blank"),
    ({"serial": "4.20E+07"}, "serial", "lost its last digits"),
    ({"serial": "2026-04-05"}, "serial", "became a date"),
    ({"serial": "KD42O5"}, "serial", "KD42O5"),
    ({"wall": "8.61", "rem": "94"}, "unit", "millimetres, perhaps: 0.339"),
    ({"wall": ""}, "wall", "no wall was read"),
    ({"rem": "88"}, "percent", "88 % is printed"),
    ({"wall": "0.288", "rem": "80"}, "class", "79.6 % is printed 80"),
    ({"wall": "0.280", "rem": "77"}, "class", "allow Class 2"),
    ({"wall": "0.250", "rem": "69", "cl": "2", "class": "2", "bands": "1Y"}, "class", "allow Class 3"),
    ({"od": "4.81", "defect": "necked at slips"}, "class", "allow Class 2"),
    ({"b_od": "6 3/16", "b_shldr": "27/64"}, "class", "allow Class 2"),
    ({"b_shldr": "27/64"}, "class", "Least shoulder width"),
    ({"slip": "crack 1/2 in"}, "crack", "is cracked and classed P"),
    ({"remarks": "crack in box threads"}, "crack", "is cracked and classed P"),
    ({"str": "B"}, "bent", "before it was straightened"),
    ({"bands": "1Y"}, "bands", "Premium has 2 white"),
    ({"bands": "1W"}, "bands", "Premium has 2 white"),
    ({"cl": "2", "wall": "0.280", "rem": "77"}, "class", "no better than its tube"),
    ({"class": ""}, "class", "no class is given"),
    ({"cl": "C1", "class": "C1", "bands": ""}, "class", "different houses"),
    ({"cl": "2", "class": "2", "bands": "1Y"}, "class", "nothing in its row keeps it from Premium"),
    ({"b_cond": "RF done", "remarks": "new length 31.14"}, "bench", "no bench mark is mentioned"),
    ({"b_cond": "RF done", "remarks": "BM ok"}, "length", "the length is void"),
    ({"p_cond": "RC done"}, "length", "the length is void"),
    ({"b_cond": "RF done", "remarks": "no bench mark, new length 31.14"}, "bench", "not allowed"),
    ({"p_lead": "9"}, "cond", "0.009 in is over 0.006"),
    ({"p_lead": "0.009"}, "cond", "0.009 in is over 0.006"),
    ({"b_seal": "pitted"}, "cond", "reface"),
    ({"b_thd": "galled"}, "cond", "recut"),
    ({"b_cond": "see list"}, "cond", "what does that end need"),
    ({"emi": ""}, "scan", "EMI is blank"),
    ({"slip": ""}, "scan", "MPI-D is blank"),
    ({"remarks": "G-105"}, "grade", "the lot is S135"),
    ({"length": "13.11"}, "length", "no length of drill pipe"),
    ({"length": "9.55"}, "length", "metres, perhaps"),
    ({"stencil": "3 6 E . 6"}, "stencil", "stencilled no. 6"),
    ({"stencil": "4 6 E . 5"}, "stencil", "the work was in 3 6"),
    ({"b_od": "65"}, "size", "box OD"),
    ({"b_od": "8.5"}, "size", "box OD"),
    ({"b_shldr": "39/64"}, "shoulder", "wider than OD and counterbore"),
    ({"p_id": "2 1/4"}, "size", "bore"),
    ({"od": "9.471"}, "size", "OD of 9.471"),
    ({"wall": "O.339"}, "unread", "no length"),
    ({"rem": "9O"}, "unread", "no percentage"),
    ({"b_od": "=A1"}, "unread", "formula"),
]  # fmt: skip


@pytest.mark.parametrize("damage, code, words", FAULTS, ids=lambda value: str(value)[:50])
def test_one_fault_is_named_and_its_sentence_says_where(damage, code, words):
    found = said(lot(12, n5=damage))
    assert [text for found_code, text in found if found_code == code and words in text], found
    assert len({code for code, _ in found}) <= 2, found
    for problem in read(lot(12, n5=damage)).problems:
        if problem.where.startswith("row"):
            assert "5" in problem.text or "4" in problem.text


#: What looks odd and is right: no question.
SILENT = [
    {"wall": "0.290", "rem": "80"}, {"rem": "92"}, {"p_od": ""}, {"b_tong": ""},
    {"b_cbore": ""}, {"length": ""}, {"length": "27.40", "remarks": "short"}, {"stencil": ""},
    {"stencil": "E-5"},
    {"bands": ""}, {"bands": "2 white"}, {"cl": "Prem", "class": "Premium"}, {"slip": "no crack"},
    {"slip": "No indication"}, {"b_hb": "worn 1/32"}, {"ipc": ""}, {"p_lead": "0"}, {"p_lead": "6"},
    {"p_lead": "0.003"}, {"b_cond": "RF done", "remarks": "BM ok, new length 31.14"},
    {"str": "B", "remarks": "straightened, rechecked"}, {"wall": "0.290", "rem": "80", "defect": "even wear"},
    {"cl": "2", "class": "2", "bands": "1Y", "wall": "0.280", "rem": "77", "defect": "OD wear"},
    {"cl": "2", "class": "2", "bands": "1Y", "defect": "gouge across 4 ft from box"},
    {"slip": "crack 1/2 in", "cl": "S", "class": "S", "bands": "1RED"},
    {"cl": "P", "class": "S", "bands": "1RED", "b_cond": "DBR"}, {"jt": "5", "serial": "kd 4205"},
    {"b_od": "6.5", "p_od": "6-1/2"}, {"rem": ""}, {"b_shldr": "33"},
    {"remarks": "S-135"}, {"p_cond": "RC", "cl": "P", "class": "2", "bands": "1Y"},
    {"cl": "S", "class": "S", "bands": "1RED", "wall": "", "rem": "", "emi": "",
     "remarks": "bent beyond repair"},
    {"b_cbore": "5.35"}, {"defect": "pit 0.010 at 12 ft"},
]  # fmt: skip


@pytest.mark.parametrize("cells", SILENT, ids=lambda value: str(value)[:50])
def test_what_only_looks_odd_is_left_alone(cells):
    assert said(lot(12, n5=cells)) == []


def test_a_joint_left_out_is_missed_by_its_number():
    joints = [one for one in lot(12) if one["jt"] != "5"]
    assert [text for code, text in said(joints) if code == "number"] == [
        "Joint no. 5 stands nowhere: skipped, or a row lost?"]


def test_numbers_need_not_begin_at_1():
    assert said([joint(number) for number in range(40, 52)]) == []


@pytest.mark.parametrize("label, text, code, words", [
    ("Equipment", "UT gauge 7 cal. due 10-Mar-26", "calibration", "ran out on 2026-03-10"),
    ("Inspectors", "A. Berg, Level II to 02-2026", "inspector", "ended on 2026-02-28"),
    ("Inspectors", "A. Berg, Level I to 11-2027", "inspector", "level II or III"),
    ("Inspectors", "A. Berg", "inspector", "level is not said"),
    ("Inspectors", "", "inspector", "names no inspector"),
    ("Date finished", "11-Mar-26", "days", "before it began"),
    ("Date started", "03/04/26", "days", "two different days"),
    ("Acceptance", "API Premium", "acceptance", "names no edition"),
    ("Pipe", "see order", "pipe", "does not say which pipe"),
])  # fmt: skip
def test_a_fault_of_the_head_is_named(label, text, code, words):
    found = said(lot(12), head=with_head(label, text))
    assert [line for found_code, line in found if found_code == code and words in line], found


@pytest.mark.parametrize("text", ["UT gauge 7 cal. due 13-Mar-26", "UT gauge 7, checked daily"])
def test_a_calibration_good_to_the_last_day_is_good(text):
    assert said(lot(12), head=with_head("Equipment", text)) == []


@pytest.mark.parametrize("count, value",
                         [("Inspected", 13), ("Premium", 11), ("Class 2", 1), ("Bent", 2), ("RF", 1),
                                          ("DBR", 1)])  # fmt: skip
def test_the_foot_is_held_against_the_rows(count, value):
    joints = lot(12)
    found = [text for code, text in said(joints, foot=foot_for(joints, **{count: value})) if code == "foot"]
    assert [text for text in found if f"says {value}" in text], found


def test_refaced_ends_may_be_counted_by_end_or_by_joint():
    joints = lot(12, n5={"b_cond": "RF", "p_cond": "RF"})
    for count in (1, 2):
        assert not [code for code, _ in said(joints, foot=foot_for(joints, RF=count)) if code == "foot"]
    assert [code for code, _ in said(joints, foot=foot_for(joints, RF=3)) if code == "foot"]


def test_an_unsigned_foot_is_noted():
    joints = lot(12)
    assert "bears no signature" in said(joints, foot=foot_for(joints)[:1])[0][1]


LOT = tuple(LotJoint(f"KD{4200 + number}", str(number)) for number in range(1, 13))


def test_the_whole_lot_with_its_rows_raises_nothing():
    assert said(lot(12), known=LOT) == []


def test_a_joint_of_the_lot_without_a_row_is_listed():
    assert said(lot(11), known=LOT) == [("lot", "1 joint of the lot has no row: KD4212.")]


def test_a_serial_misread_is_guessed_from_the_lot():
    found = said(lot(12, n5={"serial": "KD42O5"}), known=LOT)
    assert [text for code, text in found if code == "lot" and "KD4205, perhaps?" in text], found
    assert not [text for code, text in found if "no row" in text]


def test_a_row_that_is_of_no_lot_is_named():
    found = said([*lot(12), joint(13)], known=LOT)
    assert ("lot", "Joint 13: serial KD4213 is not of this lot.") in found


def test_walls_all_in_millimetres_are_one_fault_and_one_choice():
    joints = [{**one, "wall": f"{float(one['wall']) * 25.4:.2f}"} for one in lot(12)]
    assert [code for code, _ in said(joints)] == ["unit"]
    headings = ["UT wall mm" if text == "UT wall" else text for text in HEADINGS]
    assert said(joints, headings=headings) == []


def test_ditto_marks_are_read_and_told_once_a_column():
    joints = lot(12, **{f"n{number}": {"p_id": '"'} for number in range(2, 13)})
    found = read(joints)
    assert [problem.code for problem in found.problems] == ["ditto"]
    assert found.report.rows[11].pin.bore == found.report.rows[0].pin.bore


def test_the_headings_again_on_the_next_page_are_no_row():
    joints = lot(12)
    lines = as_csv(joints).decode().split("\r\n")
    heading = next(line for line in lines if line.startswith("Jt No"))
    lines.insert(lines.index(heading) + 7, heading)
    found = read_report("\r\n".join(lines).encode(), "report.csv")
    assert len(found.report.rows) == 12
    assert found.problems == ()


def test_a_workbook_reads_like_the_text():
    book = openpyxl.Workbook()
    lines = as_csv(lot(12)).decode().split("\r\n")
    for line in lines:
        book.active.append(line.split(",") if '"' not in line else [])
    out = io.BytesIO()
    book.save(out)
    found = read_report(out.getvalue(), "report.xlsx")
    assert [row.serial for row in found.report.rows] == [f"KD{4200 + number}" for number in range(1, 13)]


def test_a_mapping_is_remembered_and_corrected():
    found = read(lot(12))
    assert ReportMapping.from_text(found.mapping.to_text()) == found.mapping
    corrected = found.mapping.changed({2: "", 1: "painted"})
    assert corrected.index_of("painted") == 1
    assert corrected.index_of("serial") is None
    again = read(lot(12), mapping=corrected)
    assert again.report.rows[0].painted == "KD4201"
    with pytest.raises(ValueError, match="colour"):
        found.mapping.changed({1: "colour"})


@pytest.mark.parametrize("text",
                         ["", "{}", "[1]", '{"heading_row":1,"columns":[[1]]}', "null", '{"columns":5}'])
def test_what_is_no_mapping_is_refused(text):
    with pytest.raises(ValueError, match="no mapping"):
        ReportMapping.from_text(text)


def test_class_words_settled_for_a_company_are_read():
    joints = lot(12, n5={"cl": "N1", "class": "N1"})
    assert [code for code, _ in said(joints)]
    assert said(joints, aliases={"N1": "P"}) == []


def test_what_is_no_report_is_refused_in_a_sentence():
    with pytest.raises(UnreadableFile, match="no inspection report"):
        read_report(b"Serial,Length\nA1,31.20\nA2,31.30\n", "list.csv")
    with pytest.raises(UnreadableFile, match="no row under it"):
        read_report(as_csv([]), "empty.csv")


def test_headings_without_groups_are_told_apart_by_their_order():
    lines = as_csv(lot(12)).decode().split("\r\n")
    at = next(n for n, line in enumerate(lines) if line.startswith("Jt No"))
    lines[at - 1] = ""
    lines[at] = lines[at].replace("OD min", "Tube OD")
    mapping = read_report("\r\n".join(lines).encode(), "report.csv").mapping
    assert (mapping.index_of("tube_od"), mapping.index_of("box_od"), mapping.index_of("pin_od")) == (4, 13,
                                                                                                     21)
    assert (mapping.index_of("tube_cl"), mapping.index_of("class")) == (12, 28)
