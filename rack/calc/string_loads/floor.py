"""The floor's list: how each connection from the bit upward is made up, in ft-lb and as line pull."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rack.calc import bits, connections
from rack.calc.bodies import COLLARS, HEAVY, PIPE, Bodies, Body, Figure, figure_of
from rack.calc.chain import Link
from rack.calc.kinds import kind_of
from rack.calc.kinds.facts import FIXED
from rack.calc.lookup import Catalogue
from rack.calc.reference.pipe import LIMITED_WHEN_NEW
from rack.calc.string_loads.cases import LoadCase
from rack.calc.worked import Worked

_BITS = ("bit", "core_bit")


@dataclass(frozen=True)
class FloorLine:
    """A connection, or several alike one over the other: the pieces `first` to `last` that it joins.

    `torque_ft_lb` in ft-lb and `pull_lb` in lb, opened or with their reason; `count` is how many.
    """

    first: int
    last: int
    thread: str
    lower: str
    upper: str
    count: int
    torque_ft_lb: Figure
    pull_lb: Figure


def thread_torque(box: Body, pin: Body, thread: str, case: LoadCase, catalogue: Catalogue) -> Figure:
    """Return the make-up torque in ft-lb of a `thread` cut in two bodies, the new joint's figure.

    `box` and `pin` are the bodies it stands in, `case` has the factor of the compound, `catalogue` the rows
    in force. Raises nothing: what is missing is the reason. Source: RP 7G appendix A.8; the maker governs.
    """
    if not thread:
        return Figure(reason="the connection is not known.")
    kinds = {box.spec.kind, pin.spec.kind}
    if any(kind_of(kind).family == "coupled" for kind in kinds):
        return Figure(reason="casing and tubing are made up by the maker's torque and turns.")
    if kinds & set(_BITS):
        return _bit(box, pin, thread, catalogue)
    if box.box_od_in is None or pin.pin_bore_in is None:
        body, what = (box, "OD") if box.box_od_in is None else (pin, "bore")
        part = "tool joint" if body.spec.kind in (PIPE, HEAVY) else kind_of(body.spec.kind).name
        return Figure(reason=f"the {what} of the {part} is not known.")
    od, bore = box.box_od_in, pin.pin_bore_in
    found = figure_of(lambda: _worked(thread, od, bore, kinds, case, catalogue))
    if found.worked is None:
        return found
    marks = [mark for mark in dict.fromkeys((box.joint_mark, pin.joint_mark)) if mark]
    if kinds - {PIPE, HEAVY, COLLARS}:
        marks.append("the maker's figure governs")
    source = "; ".join([found.worked.source, *marks])
    return Figure(replace(found.worked, source=source))


def _worked(thread: str, od: float, bore: float, kinds: set[str], case: LoadCase,
            catalogue: Catalogue) -> Worked:  # fmt: skip
    dimensions = connections.thread_of(thread, catalogue)
    pipe_only = kinds == {PIPE}
    stress = connections.TOOL_JOINT_MAKE_UP_PSI if pipe_only else connections.COLLAR_MAKE_UP_PSI
    if not pipe_only and dimensions.name.endswith("H-90"):
        stress = connections.H90_COLLAR_MAKE_UP_PSI
    limited = dimensions.name in LIMITED_WHEN_NEW if pipe_only else True
    return connections.make_up_torque_ft_lb_worked(
        dimensions, od, bore, stress, limit_shoulder=limited, compound_factor=case.compound_factor)


def _bit(box: Body, pin: Body, thread: str, catalogue: Catalogue) -> Figure:
    """The torque of a bit: fixed cutters by the table, roller cones by the maker's sheet."""
    bit, sub = (box, pin) if box.spec.kind in _BITS else (pin, box)
    if bit.facts.get("make") not in FIXED:
        return Figure(reason="the torque of this bit is on its maker's sheet; no table here has it.")
    if sub.od_in is None:
        return Figure(reason="the OD of the piece over the bit is not known.")
    try:
        torque = bits.fixed_cutter_torque(thread, sub.od_in, catalogue=catalogue)
    except ValueError as wrong:
        return Figure(reason=f"{wrong}.")
    steps = (f"least {torque.least:,.0f}, normal {torque.normal:,.0f}, most {torque.most:,.0f} ft-lb",)
    return Figure(Worked(torque.normal, "ft-lb", "as it stands in table bits",
                         {"thread": thread, "OD over the bit": f"{sub.od_in:g} in"}, steps, torque.source))


def floor_lines(links: Sequence[Link], case: LoadCase, bodies: Bodies) -> tuple[FloorLine, ...]:
    """Return how every connection of the string is made up, from the bit upward, equal neighbours as one.

    `links` from the bit upward, `case` with the tong's arm (ft) and the compound, `bodies` those of the
    string; torque in ft-lb, pull in lb. Raises nothing. Source: RP 7G appendix A.8, table "bits".
    """
    found: list[FloorLine] = []
    for one in _lines(links, case, bodies):
        before = found[-1] if found else None
        alike = before and (before.thread, before.torque_ft_lb) == (one.thread, one.torque_ft_lb)
        if before and alike:
            found[-1] = replace(before, last=one.last, upper=one.upper, count=before.count + one.count)
        else:
            found.append(one)
    return tuple(found)


def _lines(links: Sequence[Link], case: LoadCase, bodies: Bodies) -> Iterator[FloorLine]:
    """Every connection by itself; those within a section by count stand before the one on top of it."""
    for n, lower in enumerate(links, 1):
        if lower.count > 1:
            yield replace(_line(n, lower, lower, case, bodies), last=n, count=lower.count - 1)
        if n < len(links):
            yield _line(n, lower, links[n], case, bodies)


def _line(n: int, lower: Link, upper: Link, case: LoadCase, bodies: Bodies) -> FloorLine:
    turned = lower.spec.up_gender == "pin"  # a bit's pin, or a string of boxes down
    box, pin = (upper, lower) if turned else (lower, upper)
    thread = lower.spec.up_conn or upper.spec.down_conn
    torque = thread_torque(bodies.of(box), bodies.of(pin), thread, case, bodies.catalogue)
    if torque.worked is None:
        pull = Figure(reason=torque.reason)
    elif case.tong_arm_ft is None:
        pull = Figure(reason="the arm of the tong is not given.")
    else:
        value, arm = torque.worked.value, case.tong_arm_ft
        pull = figure_of(lambda: connections.line_pull_lb_worked(value, arm))
    return FloorLine(n, n + 1, thread, lower.ident, upper.ident, 1, torque, pull)
