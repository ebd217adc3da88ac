"""What a report says of a piece against what the register holds of it, and rows against each other."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inspection.calc.report_repairs import ask
from inspection.calc.report_typed import TypedJoint, TypedReport
from rack.calc.checks import Problem, asks
from rack.calc.item_grades import read_grade
from rack.calc.lengths import Length
from rack.calc.names import key_of
from rack.calc.specs import SpecFacts
from rack.calc.units import NM

_CP = "common practice"
#: Steel does not grow: so much is left to the gauge and the place.
_WALL_GROWS = NM["in"] * 15 // 1000
_OD_GROWS = NM["in"] // 16
#: Two tapes on one joint do not differ by more.
_LENGTH_OFF = NM["ft"] // 4
#: So many figures alike are no chance.
_ALIKE = 6


@dataclass(frozen=True)
class Registered:
    """A piece as the register holds it: lengths and the last readings in nm, None where not known or not to
    be told; `looked` is the day of the last inspection in words."""

    name: str
    spec: SpecFacts
    painted: str = ""
    length_nm: int | None = None
    wall_nm: int | None = None
    box_od_nm: int | None = None
    looked: str = ""


def register_problems(joint: TypedJoint, report: TypedReport, there: Registered) -> Iterator[Problem]:
    """Yield where `joint` of a `report` does not fit the piece that it is tied to, `there`.

    Sizes in nm. Raises nothing. Source: the register; what two hands and two gauges may differ by is common
    practice.
    """
    other = other_item(report, there.spec)
    if other:
        yield ask(joint, f"{there.name} is {other} in the register.", "item", source="the register")
    if joint.painted and there.painted and key_of(joint.painted) != key_of(there.painted):
        yield ask(joint, f"{there.name} is painted {there.painted} in the register, the report says "
                  f"{joint.painted}.", "painted", source="the register")  # fmt: skip
    length = joint.length
    known = there.length_nm
    if length is not None and known is not None and abs(length.nanometres - known) > _LENGTH_OFF:
        yield ask(joint, f"{length.shown('ft', 2)} ft in the report, {_feet(known)} ft in the register: "
                  "another joint, or cut since?", "length", measured=length.shown("ft", 2),
                  limit=_feet(known), unit="ft", source="the register")  # fmt: skip
    for what, now, before, grows in (
        ("wall", joint.wall, there.wall_nm, _WALL_GROWS), ("box OD", joint.box.od, there.box_od_nm, _OD_GROWS)
    ):  # fmt: skip
        if now is not None and before is not None and before + grows < now.nanometres < 4 * before:
            if what == "box OD" and "rebuil" in joint.words:
                continue
            was = Length(before).shown("in", 3)
            yield ask(joint, f"a {what} of {now.shown('in', 3)} in, {was} in at the inspection of "
                      f"{there.looked}: steel does not grow; another joint, or read amiss?", "grown",
                      measured=now.shown("in", 3), limit=was, unit="in")  # fmt: skip


def _feet(nm: int) -> str:
    return Length(nm).shown("ft", 2)


def other_item(report: TypedReport, spec: SpecFacts) -> str:
    """Return in words what `spec` is otherwise than the head of `report` says, "" where they agree.

    What either does not say is no difference. Raises nothing. Source: the register.
    """
    said = report.head.spec
    if said is None:
        return ""
    found = []
    if said.kind != spec.kind:
        found.append(f"a {spec.kind.replace('_', ' ')}")
    if said.od_nm and spec.od_nm and said.od_nm != spec.od_nm:
        found.append(f"{Length(spec.od_nm).shown('in', 3)} in")
    if said.weight_mlb_ft and spec.weight_mlb_ft and said.weight_mlb_ft != spec.weight_mlb_ft:
        found.append(f"{spec.weight_mlb_ft / 1000:.2f} lb/ft")
    if said.grade and spec.grade and _grade(said.grade) != _grade(spec.grade):
        found.append(spec.grade)
    if said.up_conn and spec.up_conn and said.up_conn != spec.up_conn:
        found.append(spec.up_conn)
    return ", ".join(found)


def _grade(text: str) -> str:
    return read_grade(text)[0] or key_of(text)


def copied_rows(report: TypedReport) -> Iterator[Problem]:
    """Yield one question for each row of `report` whose figures are those of another one throughout.

    Ditto marks have a note of their own. Raises nothing. Source: common practice.
    """
    seen: dict[tuple[object, ...], TypedJoint] = {}
    for joint in report.rows:
        figures = _figures(joint)
        if joint.dittos or joint.length is None or sum(one is not None for one in figures) < _ALIKE:
            continue
        if figures in seen:
            yield ask(joint, f"length, walls and diameters are those of {seen[figures].said} throughout: "
                      "measured, or copied?", "copied")  # fmt: skip
        seen.setdefault(figures, joint)


def _figures(joint: TypedJoint) -> tuple[object, ...]:
    box, pin = joint.box, joint.pin
    return (joint.length, joint.od, joint.wall, box.od, box.shoulder, box.counterbore, box.tong, pin.od,
            pin.bore, pin.lead, pin.tong)  # fmt: skip


def unscoped(report: TypedReport) -> Iterator[Problem]:
    """Yield the question where the head of `report` names no method: nothing counts as looked at then.

    Raises nothing. Source: trade guide 2: a record is a list of methods with results, not one word.
    """
    if not report.head.methods:
        yield asks("The scope names no method that is known, so that nothing counts as looked at: put it "
                   "right in the head.", code="scope",
                   source="an inspection is a list of methods with results, trade guide 2")  # fmt: skip


def all_alike(problems: Sequence[Problem], of: int) -> bool:
    """Say whether `problems` are one question of the whole lot, `of` so many rows, and not one a row.

    Raises nothing. Source: common practice.
    """
    return of > 2 and 100 * len(problems) >= 80 * of
