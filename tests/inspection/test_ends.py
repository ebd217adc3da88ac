"""Box and pin: tool joint limits at the edge, pin stretch, seals, refaces and bench marks."""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from inspection.calc.classify import classify
from inspection.calc.readings import Reading
from tests.inspection.pieces import INCH, LOOKS, good, nm, pipe

_DATA = Path(__file__).parents[1] / "published" / "data"


def published(name):
    with (_DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = published("tool_joint_limits")
CELLS = [(row, column, name, below) for row in ROWS
         for column, name, below in (("premium", "Premium", "Class 2"), ("class2", "Class 2", "Class 3"))
         if row[f"{column}_min_od_in"]]  # fmt: skip
ROUND = {"2.375": "2-3/8", "2.875": "2-7/8", "3.5": "3-1/2", "4": "4", "4.5": "4-1/2", "5": "5",
         "5.5": "5-1/2",
         "6.625": "6-5/8"}


def spec_of(row):
    return pipe(ROUND[row["pipe_od_in"]], row["weight_lb_ft"], row["grade"], row["connection"],
                row["new_od_in"], row["new_id_in"])


def joint_class(row, reading):
    return classify([reading], spec_of(row), scope="connections").joint_at_best


@pytest.mark.parametrize("row, column, name, below", CELLS)
def test_a_published_tool_joint_od_is_the_edge(row, column, name, below):
    edge = nm(Fraction(row[f"{column}_min_od_in"]))
    assert joint_class(row, Reading("od", "box", nm=edge)) == name
    assert joint_class(row, Reading("od", "box", nm=edge + 1)) == name
    assert joint_class(row, Reading("od", "box", nm=edge - 1)) == below


@pytest.mark.parametrize("row, column, name, below", CELLS)
def test_a_published_shoulder_is_the_edge(row, column, name, below):
    edges = {step: nm(Fraction(row[f"{key}_min_shoulder_in"])) for key, step in
             (("premium", "Premium"), ("class2", "Class 2")) if row[f"{key}_min_shoulder_in"]}
    edge = edges[name]
    if name == "Class 2" and edges.get("Premium") == edge:
        name = "Premium"  # two cells of one size may be alike
    assert joint_class(row, Reading("shoulder", "box", nm=edge)) == name
    assert joint_class(row,
                       Reading("shoulder", "box", nm=edge - 1)) == ("Class 3" if edge == edges.get("Class 2")
                                                                           else below)


@pytest.mark.parametrize("row",
                         [row for row in published("wall_limits") if row["quantity"] == "nominal_wall"],
                         ids=lambda row: f"{row['size']} {row['nominal_weight']}")
def test_a_published_wall_limit_taken_in_thousandths(row):
    """The booklet rounds; a wall one thousandth above its print passes, one below does not."""
    of_size = {one["quantity"]: one["value"] for one in published("wall_limits")
               if (one["size"], one["nominal_weight"]) == (row["size"], row["nominal_weight"])}
    spec = pipe(row["size"], row["nominal_weight"])
    for column, name in (("min_wall_premium_80pct", "Premium"), ("min_wall_class2_70pct", "Class 2")):
        printed = nm(of_size[column])
        steps = [classify([Reading("wall", nm=printed + off)], spec, scope="tube").tube_at_best
                 for off in (INCH // 1000, -INCH // 1000)]
        assert steps[0] == name
        assert steps[1] != name


def states(*readings):
    verdict = classify([*good(), *readings], pipe(), looks=LOOKS)
    return verdict.box_state, verdict.pin_state, verdict.class_computed


@pytest.mark.parametrize("lead, state", [("0.006", ""), ("0.0061", "recut"), ("0.009", "recut")])
def test_pin_stretch_over_six_thousandths_is_recut(lead, state):
    assert states(Reading("lead", "pin", nm=nm(lead)))[1] == state


@pytest.mark.parametrize("reading, box, pin", [
    (Reading("seal_depth", "box", nm=nm("1/32")), "", ""),
    (Reading("seal_depth", "box", nm=nm("1/32") + 1), "reface", ""),
    (Reading("seal_width", "pin", ppm=250_000), "", ""),
    (Reading("seal_width", "pin", ppm=250_001), "", "reface"),
    (Reading("seal", "box", word="OK"), "ok", ""), (Reading("seal", "box", word="pitted"), "reface", ""),
    (Reading("seal", "pin", word="washed"), "", "shop"),
    (Reading("threads", "box", word="galled"), "recut", ""),
    (Reading("bench", "pin", nm=nm("3/16") - 1), "", ""),
    (Reading("bench", "pin", nm=nm("3/16")), "", "recut"),
    (Reading("bench", "box", nm=nm("1/16") + 1), "", ""),
    (Reading("bench", "box", nm=nm("1/16")), "recut", ""),
])  # fmt: skip
def test_what_an_end_needs(reading, box, pin):
    assert states(reading)[:2] == (box, pin)


@pytest.mark.parametrize("what, most", [("reface_once", "1/32"), ("reface_total", "1/16")])
def test_a_reface_has_its_two_limits_from_a_bench_mark(what, most):
    mark = Reading("bench_mark", "box", word="yes")
    assert states(mark, Reading(what, "box", nm=nm(most)))[0] == ""
    assert states(mark, Reading(what, "box", nm=nm(most) + 1))[0] == "recut"


def test_without_a_bench_mark_a_reface_is_not_allowed():
    assert states(Reading("bench_mark", "box", word="no"),
                  Reading("reface_once", "box", nm=nm("1/64")))[0] == "shop"


def test_a_bench_mark_that_nobody_mentions_is_asked_for():
    found = classify([*good(), Reading("reface_once", "box", nm=nm("1/64"))], pipe(), looks=LOOKS)
    assert any("is there a bench mark" in words for words in found.missing)


def test_an_end_beyond_repair_takes_the_joint_with_it():
    assert states(Reading("state", "pin", word="DBR")) == ("", "reject", "Scrap")


def test_an_unknown_word_of_an_end_is_asked():
    assert states(Reading("state", "pin", word="see list"))[2] == ""


@pytest.mark.parametrize("reading",
                         [Reading("counterbore", "box", nm=nm("5.5")), Reading("tong", "pin", nm=nm("3")),
                                     Reading("tong", "box", nm=nm("3"))])  # fmt: skip
def test_a_doubtful_limit_only_notes(reading):
    verdict = classify([*good(), reading], pipe(), looks=LOOKS)
    assert verdict.class_computed == "Premium"
    assert [problem.severity for problem in verdict.problems] == ["NOTE"]
