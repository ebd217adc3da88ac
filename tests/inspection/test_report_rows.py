"""Rows of a report by themselves: what each is tied to, how it is recorded, what its words betray."""

import pytest

from inspection.calc.report_found import ends_of, is_mended, paint_of, reads_of, remarks_of, scope_of, seen_of
from inspection.calc.report_mapping import ReportMapping
from inspection.calc.report_names import one_sign_apart
from inspection.calc.report_register import Registered, register_problems
from inspection.calc.report_ties import Candidate, ties
from inspection.calc.report_typed import TypedEnd, TypedJoint
from inspection.exchange.report import read_report
from rack.calc.lengths import Length
from tests.inspection.pieces import nm, pipe
from tests.inspection.reports import HEAD, as_csv, lot

LOT = [Candidate(n, f"TAG000{n}", f"KD420{n}", str(n)) for n in range(1, 6)]


def tie(*rows, known=LOT, **more):
    found = ties([TypedJoint(at, *row) for at, row in enumerate(rows, 11)], known, **more)
    return [(one.piece and one.piece.pk, one.how) for one in found.values()]


@pytest.mark.parametrize("row, piece, how", [
    (("1", "KD4203", "9"), 3, "serial"), (("1", "kd 4203"), 3, "serial"),
    (("1", "ILL", "4"), 4, "painted number"), (("1", "", "4"), 4, "painted number"),
    (("1", "ILL", ""), None, ""), (("1", "KD4299", "4"), None, ""),
    (("1", "KD42O3", ""), None, ""),
])  # fmt: skip
def test_a_row_is_tied_by_a_sure_name_alone(row, piece, how):
    assert tie(row) == [(piece, how)]


@pytest.mark.parametrize("serial, guess", [
    ("KD42O3", 3), ("KD4230", None), ("KD4023", 3), ("KD4208", None), ("XX9999", None),
])  # fmt: skip
def test_a_serial_misread_is_guessed_where_one_piece_alone_is_like_it(serial, guess):
    known = [Candidate(3, "TAG0003", "KD4203", "3")]
    found = ties([TypedJoint(11, "1", serial)], known)[11]
    assert found.piece is None
    near = {"KD4208": 3, "KD4230": 3}.get(serial, guess)
    assert [one.pk for one in found.guesses] == ([near] if near else [])


def test_a_guess_is_never_a_piece_that_another_row_names():
    found = ties([TypedJoint(11, "1", "KD4203"), TypedJoint(12, "2", "KD42O3")], LOT)
    assert found[11].piece == LOT[2]
    assert LOT[2] not in found[12].guesses


def test_a_piece_that_two_rows_mean_is_tied_to_neither_until_one_is_left_out():
    rows = (("1", "KD4203", "3"), ("2", "KD4203", "5"))
    assert tie(*rows) == [(None, ""), (None, "")]
    assert tie(*rows, left_out={12})[0] == (3, "serial")


def test_a_hand_ties_what_no_name_does():
    assert tie(("1", "XX1", ""), by_hand={11: "TAG0005"}) == [(5, "by hand")]
    assert tie(("1", "XX1", ""), by_hand={11: "GONE000"}) == [(None, "")]


def test_a_piece_of_the_site_that_is_not_of_the_lot_is_offered_and_not_tied():
    away = Candidate(9, "TAG0009", "KD9999", of_lot=False)
    found = ties([TypedJoint(11, "1", "KD9999")], [*LOT, away])[11]
    assert (found.piece, found.guesses) == (None, (away,))
    assert found.why == "it is of this site and not of this lot"


@pytest.mark.parametrize("key, near", [
    ("KD4203", []), ("KD4230", ["KD4203"]), ("KD4243", ["KD4203"]), ("KD420", []), ("KD4323", []),
    ("K", []), ("DK4203", ["KD4203"]),
])  # fmt: skip
def test_one_sign_changed_or_two_neighbours_exchanged_are_near(key, near):
    assert one_sign_apart(key, [one for one in ("KD4203",) if one != key]) == near


@pytest.mark.parametrize("cond, remarks, ends", [
    ("OK", "", ("ok", "")), ("RF", "", ("reface", "")), ("RF done", "", ("reface", "ok")),
    ("RC done", "", ("recut", "ok")), ("done", "", ("ok", "ok")), ("DBR", "", ("reject", "")),
    ("shop", "", ("shop", "")), ("", "", ("", "")), ("RF", "box RF done", ("reface", "ok")),
    ("", "box refaced, BM ok", ("reface", "ok")), ("RF", "pin RF done", ("reface", "")),
    ("refaced", "", ("reface", "ok")),
])  # fmt: skip
def test_an_end_is_kept_as_found_and_after_repair(cond, remarks, ends):
    found = ends_of(TypedJoint(5, box=TypedEnd(cond=cond), remarks=remarks))
    assert (found.box_found, found.box_after) == ends


def test_what_was_mended_is_read_again_as_good_and_keeps_what_was_found():
    row = TypedJoint(5, box=TypedEnd(seal="pitted", cond="RF done"), remarks="BM ok", straight="OK")
    read = [(one.what, one.part, one.word, stage) for one, stage in reads_of(row) if one.part == "box"]
    assert read == [("seal", "box", "pitted", "found"), ("seal", "box", "ok", "after"),
                    ("bench_mark", "box", "yes", "after")]


def test_a_stretch_whose_threads_were_cut_away_stays_in_words():
    row = TypedJoint(5, pin=TypedEnd(lead=Length(nm("0.009")), cond="RC done"))
    assert not [one for one, _ in reads_of(row) if one.what == "lead"]
    assert ("stretch as found 0.009 in, before it was recut", "pin") in seen_of(row)


def test_a_bent_joint_that_was_straightened_is_read_again():
    row = TypedJoint(5, straight="B", remarks="straightened, rechecked")
    assert is_mended(row)
    assert [(one.count, stage) for one, stage in reads_of(row) if one.what == "bent"] == [
        (1, "found"), (0, "after")]


def test_what_is_no_paint_is_kept_in_the_remarks():
    row = TypedJoint(5, bands="see photo", remarks="short", stencil="3 6 E . 5")
    assert paint_of(row) == "" and remarks_of(row) == "short; bands: see photo; stencil 3 6 E . 5"
    assert paint_of(TypedJoint(5, bands="2W")) == "2W"


@pytest.mark.parametrize("scope, widest", [
    (HEAD[4][1], "full"), ("Visual tube and connections", "visual"),
    ("Visual connections, tool joint dimensions", "connections"),
    ("Visual tube, OD gauge, UT wall, EMI", "tube"), ("tool joints", "visual"),
])  # fmt: skip
def test_the_scope_recorded_is_the_widest_that_its_methods_make(scope, widest):
    head = [["Scope", scope] if row[:1] == ["Scope"] else row for row in HEAD]
    assert scope_of(read_report(as_csv(lot(12), head=head), "r.csv").report) == widest


def _said(cells, **more):
    report = read_report(as_csv(lot(12, n5=cells)), "r.csv").report
    return [one.code for one in register_problems(report.rows[4], report,
                                                  Registered("KD4205", pipe(), **more))]


@pytest.mark.parametrize("cells, there, codes", [
    ({}, {"painted": "5", "length_nm": Length.parse("31.15").nanometres, "wall_nm": nm("0.330")}, []),
    ({}, {"painted": "6"}, ["painted"]),
    ({}, {"length_nm": Length.parse("30.15").nanometres}, ["length"]),
    ({}, {"length_nm": Length.parse("31.30").nanometres}, []),
    ({}, {"wall_nm": nm("0.319"), "looked": "2025-01-01"}, ["grown"]),
    ({}, {"wall_nm": nm("0.325")}, []),
    ({"wall": "8.51"}, {"wall_nm": nm("0.325")}, []),
    ({}, {"box_od_nm": nm("6 1/4")}, ["grown"]),
    ({"remarks": "box rebuilt"}, {"box_od_nm": nm("6 1/4")}, []),
])  # fmt: skip
def test_a_row_is_held_against_what_the_register_holds(cells, there, codes):
    assert _said(cells, **there) == codes


@pytest.mark.parametrize("cells, code, words", [
    ({"emi": "IND"}, "indication", "proved up"), ({"slip": "MT ind."}, "indication", "proved up"),
    ({"defect": "gouge across, wall left 0.300", "cl": "2", "class": "2", "bands": "1Y"}, "wall",
     "leaves 0.300 in"),
    ({"ipc": "7"}, "coating", "from 1 to 4"), ({"remarks": "25.60# joint"}, "weight", "the lot is 19.50"),
    ({"b_cond": "DBR"}, "class", "Scrap"), ({"od": "5.15"}, "size", "OD of 5.150"),
])  # fmt: skip
def test_words_that_betray_a_row_are_named(cells, code, words):
    found = read_report(as_csv(lot(12, n5=cells)), "r.csv").problems
    assert [one.text for one in found if one.code == code and words in one.text and "5" in one.where], found


@pytest.mark.parametrize("cells", [
    {"emi": "no indication"}, {"emi": "nil"}, {"emi": "IND", "remarks": "proved up: ID scratch, 0.340 left"},
    {"emi": "IND", "defect": "pit 0.010 at 12 ft"}, {"ipc": "none"}, {"remarks": "19.50# ok"},
    {"defect": "cut, wall left 0.335"},
])  # fmt: skip
def test_words_that_explain_themselves_are_left_alone(cells):
    assert [one.text for one in read_report(as_csv(lot(12, n5=cells)), "r.csv").problems] == []


@pytest.mark.parametrize("label, words", [
    ("Report No.", "names no report number"), ("Acceptance", "by which document and class"),
    ("Scope", "names no method"),
])  # fmt: skip
def test_what_a_certificate_names_is_missed(label, words):
    head = [[label] if row[:1] == [label] else row for row in HEAD]
    assert [one for one in read_report(as_csv(lot(12), head=head), "r.csv").problems if words in one.text]


def test_walls_filled_down_from_top_to_bottom_are_one_question():
    rows = [{**one, "wall": "0.338", "rem": "93"} for one in lot(12)]
    assert [one.code for one in read_report(as_csv(rows), "r.csv").problems] == ["copied"]


def test_columns_are_taken_over_where_the_headings_are_the_same_and_nowhere_else():
    now = read_report(as_csv(lot(12)), "r.csv").mapping
    before = now.changed({1: "", 2: "serial"})
    assert now.like(before) == before
    assert now.like(now) is None
    assert now.like(ReportMapping(before.heading_row, before.columns[1:])) is None
