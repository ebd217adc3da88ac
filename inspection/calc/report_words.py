"""What the words of a row betray against its class and its figures: indications, defects, other pipe."""

import re
from collections.abc import Iterator
from fractions import Fraction

from inspection.calc.class_words import read_class
from inspection.calc.report_readings import has_crack, is_clear
from inspection.calc.report_repairs import ask
from inspection.calc.report_typed import TypedJoint, TypedReport
from rack.calc.checks import Problem, asks
from rack.calc.lengths import Length
from rack.calc.units import NM

_INCH = NM["in"]
_PROVED = re.compile(r"\bprov(?:ed|e)|\bprove-?up|\bPU\b|\bground\b|\bgrind|\bbuff|\bcleared\b|\bfalse\b"
                     r"|\bno (?:indication|defect|reject)|\bnon-?relevant", re.I)  # fmt: skip
_LEFT = re.compile(r"\b(?:wall left|left|rem(?:aining|\.)?(?: wall)?|wall)\s*[:=]?\s*(0?\.\d{3})\b", re.I)
_WEIGHT = re.compile(r"\b(\d{2}\.\d{1,2})\s*(?:#|lb|ppf)", re.I)
_WEAR = "no two joints wear alike, common practice"
_BLANKS = ("n/a", "na", "n.a.", "-", "–", "x")


def word_problems(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Yield what the words of `joint` betray against its class and figures in its `report`.

    Raises nothing. Source: columns of the paper samples, common practice.
    """
    name = read_class(joint.final or joint.cl, report.by, aliases=dict(report.aliases))[0]
    in_use = bool(name) and report.by.step(name).use
    if in_use and not has_crack(joint):
        yield from _indications(joint)
    yield from _wall_left(joint, report)
    yield from _other_weight(joint, report)
    grade = re.fullmatch(r"\d+", joint.coating.strip())
    if grade and not 1 <= int(grade[0]) <= 4:
        yield ask(joint, f"internal coating {joint.coating}: the scale goes from 1 to 4.", "coating",
                  measured=joint.coating, limit="1 to 4")


def _indications(joint: TypedJoint) -> Iterator[Problem]:
    said = f"{joint.defect} | {joint.remarks}"
    for what, text in (("EMI", joint.emi), ("slip and upset", joint.slip)):
        words = text.strip()
        if not words or is_clear(words) or words.lower() in _BLANKS or _PROVED.search(f"{words} | {said}"):
            continue
        if joint.defect.strip():
            continue  # the defect column says what the indication was
        named = joint.final or joint.cl
        yield ask(joint, f"{what} says “{words[:30]}”, and it is classed {named} without a word of what was "
                  "found: proved up?", "indication", source="an indication is proved up before it is classed")


def _wall_left(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """The wall column is the least wall of the joint; a defect that leaves less says otherwise."""
    found = _LEFT.search(joint.defect) or _LEFT.search(joint.remarks)
    if not found or joint.wall is None or joint.wall.nanometres > 4 * (report.wall_nm or _INCH):
        return
    left = int(Fraction(found[1]) * _INCH)
    if left < joint.wall.nanometres - _INCH // 1000:
        least, said = Length(left).shown("in", 3), joint.wall.shown("in", 3)
        yield ask(joint, f"the defect leaves {least} in, and the least wall is said to be {said} in.", "wall",
                  measured=said, limit=least, unit="in")


def _other_weight(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    spec = report.head.spec
    for found in _WEIGHT.finditer(joint.remarks):
        if spec and spec.weight_mlb_ft and int(Fraction(found[1]) * 1000) != spec.weight_mlb_ft:
            yield ask(joint, f"the remark says {found[0]}, the lot is {spec.weight_mlb_ft / 1000:.2f} lb/ft.",
                      "weight", measured=found[0])


def same_walls(report: TypedReport) -> Iterator[Problem]:
    """Yield the question where every wall of `report` is the same: measured each, or filled down?

    Raises nothing. Source: no two joints wear alike, common practice.
    """
    walls = [row.wall for row in report.rows if row.wall is not None and "tube_wall" not in row.dittos]
    if len(walls) >= 8 and len(set(walls)) == 1:
        words = f"Every wall is {walls[0].shown('in', 3)} in: measured each, or filled down?"
        yield asks(words, code="copied", where="tube_wall", source=_WEAR)


def unnamed(report: TypedReport) -> Iterator[Problem]:
    """Yield what a certificate names and `report` does not: company, number, acceptance, instruments.

    Raises nothing. Source: certificate fields, trade guide 2.
    """
    head = report.head
    source = "certificate fields, trade guide 2"
    for text, what in ((head.company, "company"), (head.number, "report number")):
        if not text.strip():
            yield asks(f"The report names no {what}.", code="head", where=what, source=source)
    if not head.acceptance.strip():
        yield asks("The report does not say by which document and class the pipe was judged.",
                   code="acceptance", where="acceptance", source=source)
    if not head.instruments:
        yield asks("The report names no instrument, so that no calibration can be checked.",
                   code="calibration", where="equipment", source=source)
