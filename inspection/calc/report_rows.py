"""One row of an inspection report held against itself: wall and percentage, class and readings, repairs."""

import re
from collections.abc import Iterator
from fractions import Fraction

from inspection.calc.class_words import by_bands, read_bands, read_class
from inspection.calc.report_readings import as_found, end_state, has_crack, is_bent
from inspection.calc.report_repairs import STRAIGHTENED, ask, end_problems, repair_problems
from inspection.calc.report_typed import TypedJoint, TypedReport
from rack.calc.checks import Problem, note, stops
from rack.calc.item_grades import read_grade
from rack.calc.lengths import Length
from rack.calc.units import NM

_INCH, _FOOT = NM["in"], NM["ft"]
_CP = "common practice"
_GRADE = re.compile(r"\b([EXGSDV])[- ]?(\d{2,3})\b")
_SHORT = re.compile(r"\b(?:short|pup|cut off|rebuilt)\b", re.I)
#: Lengths of drill pipe pins off, with the wide doors of the trade, ft.
_DOORS = ((18, 24), (28, 33), (39, 48))


def row_problems(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Yield every fault that one row betrays against itself and the head of its `report`.

    `joint` is the row. Raises nothing. Source: paper samples, trade guide 12; limits as `classify`.
    """
    if has_crack(joint):
        yield from _crack(joint, report)
    checks = (_wall, _percentage, _sizes, _bent, _classes, _bands, end_problems, repair_problems, _grade)
    for check in (*checks, _length):
        yield from check(joint, report)


def _inches(length: Length) -> str:
    return length.shown("in", 3)


def class_of(text: str, report: TypedReport) -> str:
    """Return the class that `text` is in the scheme of `report`, "" where it is asked. Raises nothing.

    Source: `read_class`.
    """
    return read_class(text, report.by, aliases=dict(report.aliases))[0]


def is_out(joint: TypedJoint, report: TypedReport) -> bool:
    """Say whether `joint` is of the last class of the `report`'s scheme: nobody measures it any further.

    Raises nothing. Source: common practice.
    """
    return report.by.last in (class_of(joint.final, report), class_of(joint.cl, report))


def _crack(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    last = report.by.last
    named = joint.final or joint.cl
    found = class_of(named, report)
    if named and found and found != last and end_state(joint.words) != "reject":
        yield stops(
            f"{joint.said[:1].upper()}{joint.said[1:]} is cracked and classed {named}: a crack is "
            f"{last.lower()}, whatever the wall.",
            code="crack",
            where=joint.where,
            measured=named,
            limit=last,
            source="crack or washout: unfit whatever the wall, seen in two trade articles",
        )


def _wall(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    nominal, wall = report.wall_nm, joint.wall
    if "tube_wall" in report.columns and wall is None and "tube_wall" not in joint.dittos:
        if not has_crack(joint) and not is_out(joint, report):
            yield ask(joint, "no wall was read.", "wall")
        return
    if not nominal or wall is None:
        return
    if wall.nanometres > 4 * nominal:
        as_mm = Fraction(wall.nanometres, 25_400_000) * 1_000_000
        text = f"{_inches(wall)} in is no wall of this pipe"
        if 6 * nominal <= 10 * as_mm <= 13 * nominal:
            text += f"; millimetres, perhaps: {float(as_mm / _INCH):.3f} in"
        yield ask(joint, f"{text}.", "unit", measured=_inches(wall), unit="in")
    elif 100 * wall.nanometres > 125 * nominal:
        yield ask(
            joint,
            f"a wall of {_inches(wall)} in is thicker than nominal {_inches(Length(nominal))} in "
            "by more than a quarter.",
            "wall",
            measured=_inches(wall),
            unit="in",
        )
    elif 100 * wall.nanometres < 30 * nominal:
        yield ask(
            joint,
            f"a wall of {_inches(wall)} in is under a third of nominal.",
            "wall",
            measured=_inches(wall),
            unit="in",
        )


def _percentage(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """The percentage printed must follow from the wall; rounding either way is no fault."""
    nominal, wall, said = report.wall_nm, joint.wall, joint.rem
    if not nominal or wall is None or said is None or wall.nanometres > 4 * nominal:
        return
    exact = Fraction(100 * wall.nanometres, nominal)
    if abs(exact - said) < 1:
        return
    yield ask(
        joint,
        f"{float(said):g} % is printed, {_inches(wall)} in of {_inches(Length(nominal))} in is "
        f"{float(exact):.1f} %.",
        "percent",
        measured=f"{float(said):g}",
        limit=f"{float(exact):.1f}",
        unit="%",
    )


def _sizes(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Readings that no such joint can have: another unit, a digit, or the next column."""
    spec = report.head.spec
    if spec is None:
        return
    if joint.od is not None and spec.od_nm and not 90 <= 100 * joint.od.nanometres / spec.od_nm <= 102:
        yield ask(
            joint,
            f"an OD of {_inches(joint.od)} in on {_inches(Length(spec.od_nm))} in pipe.",
            "size",
            measured=_inches(joint.od),
            unit="in",
        )
    for name, end in (("box", joint.box), ("pin", joint.pin)):
        if end.od is not None and spec.tj_od_nm and not 85 <= 100 * end.od.nanometres / spec.tj_od_nm <= 102:
            yield ask(
                joint,
                f"a {name} OD of {_inches(end.od)} in, new {_inches(Length(spec.tj_od_nm))} in.",
                "size",
                measured=_inches(end.od),
                unit="in",
            )
    bore = joint.pin.bore
    if bore is not None and spec.tj_bore_nm and not 95 <= 100 * bore.nanometres / spec.tj_bore_nm <= 120:
        yield ask(
            joint,
            f"a bore of {_inches(bore)} in, new {_inches(Length(spec.tj_bore_nm))} in.",
            "size",
            measured=_inches(bore),
            unit="in",
        )
    lead = joint.pin.lead
    if lead is not None and lead.nanometres > _INCH // 10:
        yield ask(
            joint, f"a stretch of {_inches(lead)} in in 2 in.", "size", measured=_inches(lead), unit="in"
        )
    box, cbore = joint.box, joint.box.counterbore
    if box.shoulder is not None and box.od is not None and cbore is not None:
        most = (box.od.nanometres - cbore.nanometres) // 2
        if box.shoulder.nanometres > most + _INCH // 64:
            yield ask(
                joint,
                f"a shoulder of {_inches(box.shoulder)} in is wider than OD and counterbore leave, "
                f"{_inches(Length(max(most, 0)))} in.",
                "shoulder",
                measured=_inches(box.shoulder),
                unit="in",
            )


def _bent(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    named = joint.final or joint.cl
    name = class_of(named, report)
    if is_bent(joint) and name and report.by.step(name).use and not STRAIGHTENED.search(joint.words):
        yield ask(joint, f"bent, and classed {named} before it was straightened.", "bent", measured=named)


def _classes(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Class of the tube, class of the joint, and what the readings allow, each against the others."""
    one, tube, final = report.by, class_of(joint.cl, report), class_of(joint.final, report)
    for text in dict.fromkeys((joint.cl, joint.final)):
        for problem in read_class(text, one, aliases=dict(report.aliases))[1]:
            yield ask(joint, problem.text, "class", source=problem.source)
    if "class" in report.columns and not joint.final:
        yield ask(joint, "no class is given.", "class")
    if has_crack(joint):
        return
    if tube and final and one.is_worse(tube, final) and not STRAIGHTENED.search(joint.words):
        yield ask(
            joint,
            f"the tube is {tube} and the joint {final}: a joint is no better than its tube.",
            "class",
            measured=final,
            limit=tube,
        )
    verdict = as_found(joint, report)
    if verdict is None or not one.computed:
        return
    yield from _against(joint, tube, verdict.tube_at_best, "tube", report)
    if not (tube and verdict.tube_at_best and one.is_worse(verdict.tube_at_best, tube)):
        yield from _against(joint, final or tube, verdict.at_best, "", report)


def _against(
    joint: TypedJoint, given: str, allowed: str, part: str, report: TypedReport
) -> Iterator[Problem]:
    """A class given that is better than the readings allow, or worse without a word."""
    one, verdict = report.by, as_found(joint, report)
    if not given or not allowed or given == allowed or verdict is None:
        return
    what = "its readings" if not part else f"the readings of the {part}"
    if one.is_worse(allowed, given):
        cause = next((check for check in verdict.checks if check.allows == allowed), None)
        rounded = _rounded_up(joint, report, given)
        yield ask(
            joint,
            f"classed {given}; {what} allow {allowed}. {cause.words if cause else ''}{rounded}".strip(),
            "class",
            measured=given,
            limit=allowed,
            source=cause.source if cause else _CP,
        )
    elif not part and not _explained(joint) and given != "Class 1" and allowed != "Class 1":
        yield ask(
            joint,
            f"classed {given}; nothing in its row keeps it from {allowed}.",
            "class",
            measured=given,
            limit=allowed,
        )


def _rounded_up(joint: TypedJoint, report: TypedReport, given: str) -> str:
    if joint.rem is None or joint.wall is None or not report.wall_nm:
        return ""
    exact = Fraction(100 * joint.wall.nanometres, report.wall_nm)
    return f" {float(exact):.1f} % is printed {float(joint.rem):g}." if exact < joint.rem else ""


def _explained(joint: TypedJoint) -> bool:
    """Whether a word in the row may be the reason for a lower class."""
    ends = [end_state(end.cond) for end in (joint.box, joint.pin)]
    return bool(joint.defect or joint.remarks) or is_bent(joint) or any(s not in ("", "ok") for s in ends)


def _bands(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    name, paint = class_of(joint.final or joint.cl, report), read_bands(joint.bands)
    if not name or not joint.bands or paint is None:
        return
    meant = by_bands(report.by, *paint)
    if name in meant or not report.by.step(name).colour:
        return
    step = report.by.step(name)
    yield ask(
        joint,
        f"bands {joint.bands} are painted and {name} has {step.bands} {step.colour}.",
        "bands",
        measured=joint.bands,
        limit=f"{step.bands} {step.colour}",
        source=step.source,
    )


def _grade(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    """Another grade in the remarks than in the head."""
    spec = report.head.spec
    if spec is None or not spec.grade:
        return
    for found in _GRADE.finditer(joint.remarks):
        grade = read_grade(found[0])[0]
        if grade in ("E75", "X95", "G105", "S135", "V150") and grade != spec.grade:
            yield ask(
                joint,
                f"the remark says {found[0]}, the lot is {spec.grade}: another grade.",
                "grade",
                measured=found[0],
                limit=spec.grade,
            )
            return


def _length(joint: TypedJoint, report: TypedReport) -> Iterator[Problem]:
    length = joint.length
    if length is None or _SHORT.search(joint.remarks):
        return
    if not any(low * _FOOT <= length.nanometres <= high * _FOOT for low, high in _DOORS):
        text = f"{length.shown('ft', 2)} ft is no length of drill pipe"
        if any(low * _FOOT <= length.nanometres * NM["m"] // _FOOT <= high * _FOOT for low, high in _DOORS):
            text += "; metres, perhaps"
        yield ask(joint, f"{text}.", "length", measured=length.shown("ft", 2), unit="ft")


def dittos(report: TypedReport) -> Iterator[Problem]:
    """Yield one note a column whose readings repeat the row above by a ditto mark.

    `report` as read. Raises nothing. Source: paper samples.
    """
    rows: dict[str, list[str]] = {}
    for joint in report.rows:
        for role in joint.dittos:
            rows.setdefault(role, []).append(joint.jt or str(joint.row))
    for role, names in rows.items():
        shown = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
        yield note(
            f"Ditto marks for the {role.replace('_', ' ')} of joint {shown}: measured each, or copied?",
            code="ditto",
            where=role,
            source=_CP,
        )
