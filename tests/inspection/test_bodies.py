"""Pieces without a ladder are accepted, repaired or rejected; casing goes by wall loss."""

import csv
from pathlib import Path

import pytest

from inspection.calc.classify import classify
from inspection.calc.readings import Look, Reading
from rack.calc.kinds import KINDS
from rack.calc.specs import SpecFacts
from tests.inspection.pieces import nm

LOOKS = (Look("VT-C", "nothing to reject"), Look("MPI-F", "nothing to reject"))
COLLAR = SpecFacts("collar", od_nm=nm("8"), bore_nm=nm("2-13/16"), up_conn="NC56", up_gender="box",
                   down_conn="NC56", down_gender="pin")  # fmt: skip
CASING = SpecFacts("casing", od_nm=nm("9-5/8"), wall_nm=nm("0.400"))


def published():
    file = Path(__file__).parents[1] / "published" / "data" / "bending_strength_ratio.csv"
    with file.open(encoding="utf-8", newline="") as text:
        return [row for row in csv.DictReader(text) if row["tolerance"]]


@pytest.mark.parametrize("row", published(), ids=lambda row: row["collar_designation"])
def test_the_bending_strength_ratio_after_a_recut_is_the_published_one_and_only_a_note(row):
    spec = SpecFacts("collar", od_nm=nm(row["od_in"]), bore_nm=nm(row["id_in"]), down_conn=row["connection"])
    verdict = classify([Reading("od", "body", nm=nm(row["od_in"]))], spec, looks=LOOKS)
    check = next(check for check in verdict.checks if check.unit == "ratio")
    assert abs(float(check.measured) - float(row["bsr_published"])) <= 0.011
    assert check.severity == "NOTE"
    assert verdict.class_computed == "Accept"


def test_a_ratio_out_of_range_is_told_and_rejects_nothing():
    """6-1/2 in collars recut to 4-1/2 IF fell to about 1.8 (a real case told by a practitioner)."""
    spec = SpecFacts("collar", od_nm=nm("6.5"), bore_nm=nm("2-13/16"), down_conn="NC50")
    verdict = classify([Reading("od", "body", nm=nm("6.5"))], spec, looks=LOOKS)
    check = next(check for check in verdict.checks if check.unit == "ratio")
    assert float(check.measured) < 2.25
    assert "out of balance" in check.words
    assert verdict.class_computed == "Accept"


@pytest.mark.parametrize("readings, name", [
    ((), "Accept"), ((Reading("lead", "pin", nm=nm("0.007")),), "Repair"),
    ((Reading("seal", "box", word="pitted"),), "Repair"),
    ((Reading("recess", "body", word="worn"),), "Repair"),
    ((Reading("recess", "body", word="scrap"),), "Reject"), ((Reading("bent", "body", count=1),), "Repair"),
    ((Reading("crack", "pin", count=1),), "Reject"), ((Reading("hole", "body", count=1),), "Reject"),
])  # fmt: skip
def test_a_collar_is_accepted_repaired_or_rejected(readings, name):
    assert classify(readings, COLLAR, looks=LOOKS).class_computed == name


@pytest.mark.parametrize("looks", [(), LOOKS[:1], LOOKS[1:], (LOOKS[0], Look("MPI-F", ""))])
def test_a_collar_not_looked_at_whole_has_no_class(looks):
    assert classify([], COLLAR, looks=looks).class_computed == ""


@pytest.mark.parametrize("kind",
                         [kind for kind in KINDS if kind not in ("drill_pipe", "casing", "tubing",
                                                                 "pup_joint",
                                                                         "marker_joint")])  # fmt: skip
def test_every_other_kind_is_accepted_by_its_looks_and_rejected_by_a_crack(kind):
    assert classify([], SpecFacts(kind), looks=LOOKS).class_computed == "Accept"
    assert classify([Reading("crack", "pin", count=1)], SpecFacts(kind),
                    looks=LOOKS).class_computed == "Reject"


@pytest.mark.parametrize("gauge, words", [("12.25", "in gauge"), ("12-3/16", "1.0/16 in under")])
def test_a_gauge_is_told_in_sixteenths(gauge, words):
    spec = SpecFacts("stabilizer", od_nm=nm("12-1/4"))
    verdict = classify([Reading("gauge", "body", nm=nm(gauge))], spec, looks=LOOKS)
    assert any(words in check.words for check in verdict.checks)
    assert verdict.class_computed == "Accept"


@pytest.mark.parametrize("percent, name", [(85, "Class 2"), (70, "Class 3"), (50, "Class 4")])
def test_casing_goes_by_wall_loss_at_the_edge(percent, name):
    looks = (Look("VT-T", "nothing to reject"), Look("VT-C", "nothing to reject"))
    edge = CASING.wall_nm * percent // 100
    names = [classify([Reading("wall", "body", nm=edge + off)], CASING, looks=looks).class_computed
             for off in (1, 0, -1)]
    steps = ("Class 2", "Class 3", "Class 4", "Class 5")
    assert names == [name, name, steps[steps.index(name) + 1]]


def test_a_work_string_goes_by_its_own_table():
    spec = SpecFacts("tubing", od_nm=nm("2-7/8"), wall_nm=nm("0.400"))
    for wall, name in (("0.350", "Critical service"), ("0.349", "Below critical service")):
        verdict = classify([Reading("wall", "tube", nm=nm(wall))], spec, "gost_33006_2_2014")
        assert verdict.tube_at_best == name
