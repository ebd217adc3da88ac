"""A casing string laid out from the bottom up: what each part adds, where it stands, where the shoe is.

Losses are counted by pins: every pin that stands in a box loses its make-up loss once. Everything
is a whole number of nanometres; what is not known stays None and is never taken for zero.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from rack.calc.casing_parts import JOINT, PARTS
from rack.calc.lengths import ZERO, Length
from rack.calc.worked import Worked


@dataclass(frozen=True)
class CasingItem:
    """One joint or part of the plan, in its order from the bottom up.

    `kind` is "joint" or a code of `casing_parts.PARTS`; `name` the painted number or the part's mark;
    `role` one of `casing_parts.ROLES`. `length` as it was strapped or measured, `loss` what each of its
    `pins` loses in the box below (None: not known), `cut_off` what is cut away above the slips.
    `centralizers` is how many sit on it. `line` ties it to a line of the tally under the plan ("" for a
    part or a joint that no tally has).
    """

    name: str
    kind: str = JOINT
    role: str = "run"
    length: Length | None = None
    loss: Length | None = ZERO
    pins: int = 1
    cut_off: Length = ZERO
    reason: str = ""
    away: bool = False
    locked: bool = False
    drifted: bool = False
    threads: bool = False
    centralizers: int = 0
    line: str = ""
    withdrawn: bool = False
    moved: bool = False

    @property
    def is_joint(self) -> bool:
        return self.kind == JOINT

    @property
    def above(self) -> bool:
        """Whether it stands above the landing shoulder."""
        return not self.is_joint and PARTS[self.kind].above

    @property
    def off(self) -> Length | None:
        """What its pins lose in all; None when the loss is not known."""
        if not self.pins:
            return ZERO
        return None if self.loss is None else self.loss * self.pins

    @property
    def effective(self) -> Length | None:
        """What it adds to the string: its length less its losses and the cut-off; None when not known."""
        if self.length is None or self.off is None:
            return None
        return self.length - self.off - self.cut_off


@dataclass(frozen=True)
class Stood:
    """An item where it stands: `n` counts from 1 at the bottom, `joint_n` counts the joints so far.

    `total` is the length from the bottom of the string to its top; `top` and `bottom` are depths below
    the datum, None while the datum or a length of the string is not known.
    """

    item: CasingItem
    n: int
    joint_n: int
    effective: Length | None
    total: Length | None
    top: Length | None
    bottom: Length | None


@dataclass(frozen=True)
class Layout:
    """A string laid out. `total` is what hangs below the landing shoulder, `pins` how many lose length."""

    stood: tuple[Stood, ...]
    above: tuple[CasingItem, ...]
    total: Length | None
    gross: Length | None
    losses: Length | None
    cut_off: Length
    pins: int
    joints: int
    anchor: Length | None
    shoe: Length | None
    stick_up: Length | None
    unknown: tuple[str, ...] = field(default=())


def lay_out(items: Sequence[CasingItem], anchor: Length | None) -> Layout:
    """Return the string that `items`, in order from the bottom up, make when they are run.

    Only what is to run counts. `anchor` is the depth of the landing shoulder (or of a liner's top) below
    the datum, None while it is not known. The shoe stands at the anchor and the sum of everything below
    it; the bottom of a part stands at the shoe less what hangs below that part. Raises nothing: what is
    not known is None. Source: trade guide 5.5 and 11, losses counted by pins, common practice.
    """
    run = [item for item in items if item.role == "run"]
    below = [item for item in run if not item.above]
    above = tuple(item for item in run if item.above)
    total = _sum([item.effective for item in below])
    shoe = None if anchor is None or total is None else anchor + total
    stood, so_far, joints, known = [], ZERO, 0, True
    for n, item in enumerate(below, start=1):
        joints += item.is_joint
        start = so_far
        known = known and item.effective is not None
        so_far = start + (item.effective or ZERO)
        stood.append(
            Stood(item, n, joints, item.effective, so_far if known else None,
                  None if shoe is None else shoe - so_far, None if shoe is None else shoe - start)
        )
    return Layout(
        stood=tuple(stood), above=above, total=total, gross=_sum([item.length for item in below]),
        losses=_sum([item.off for item in below]),
        cut_off=sum((item.cut_off for item in below), ZERO),
        pins=sum(item.pins for item in below), joints=joints, anchor=anchor, shoe=shoe,
        stick_up=_stick_up(above, anchor),
        unknown=tuple(item.name for item in run if item.effective is None),
    )


def _stick_up(above: Sequence[CasingItem], anchor: Length | None) -> Length | None:
    """How far the landing joint stands above the datum when the string is landed."""
    landing = _sum([item.effective for item in above])
    return None if anchor is None or landing is None or not above else landing - anchor


def _sum(lengths: Sequence[Length | None]) -> Length | None:
    known = [length for length in lengths if length is not None]
    return sum(known, ZERO) if len(known) == len(lengths) else None


@dataclass(frozen=True)
class Counts:
    """How many joints, and which painted numbers must lie on the rack when the string is landed."""

    received: int
    to_run: int
    spare: int
    left_out: int
    away: int
    on_rack: tuple[str, ...]


def counts(items: Sequence[CasingItem], received: int) -> Counts:
    """Return the counts of the joints among `items`; `received` is how many joints the tally has.

    On the rack must lie every spare joint and every joint left out that was not taken away. Joints that
    no tally has are counted as received too. Raises nothing. Source: trade guide 5.5.
    """
    joints = [item for item in items if item.is_joint]
    left = [item for item in joints if item.role == "spare" or (item.role == "out" and not item.away)]
    return Counts(
        received=received + sum(not item.line for item in joints),
        to_run=sum(item.role == "run" for item in joints),
        spare=sum(item.role == "spare" for item in joints),
        left_out=sum(item.role == "out" for item in joints),
        away=sum(item.role == "out" and item.away for item in joints),
        on_rack=tuple(item.name for item in left),
    )


def shoe_worked(layout: Layout, *, datum: str, unit: str, digits: int) -> Worked | None:
    """Return the shoe depth with its working, None while it is not known.

    `layout` is the string, `datum` the name of what depths are counted from ("RKB"); figures are shown
    in `unit` with `digits`, the losses with one more. Raises ValueError for another unit.
    Source: trade guide 5.5, common practice.
    """
    if layout.shoe is None or layout.gross is None or layout.losses is None or layout.anchor is None:
        return None
    total = layout.gross - layout.losses - layout.cut_off

    def said(length: Length, more: int = 0) -> str:
        return f"{length.shown(unit, digits + more)} {unit}"

    inputs = {
        "lengths": f"{said(layout.gross)}, {len(layout.stood)} items",
        "losses": f"{said(layout.losses, 1)}, {layout.pins} pins",
        "landing shoulder": f"{said(layout.anchor)} below {datum or 'the datum'}",
    }
    cut = ""
    if layout.cut_off != ZERO:
        inputs["cut-off"] = said(layout.cut_off)
        cut = f" - {said(layout.cut_off)}"
    steps = (
        f"below the shoulder = {said(layout.gross)} - {said(layout.losses, 1)}{cut} = {said(total)}",
        f"shoe = {said(total)} + {said(layout.anchor)} = {said(layout.shoe)}",
        f"exactly {layout.shoe.nanometres:,} nm",
    )
    return Worked(layout.shoe, unit, "shoe depth = sum of (length - loss x pins) - cut-off + depth of the "
                  "landing shoulder", inputs, steps, "common practice; losses counted by pins")


@dataclass(frozen=True)
class Landing:
    """What landing needs: how far off bottom, what is missing or too much, how many joints that is."""

    off_bottom: Length | None
    space_out: Length | None
    joints: int
    shoulder: Length | None
    stick_up: Length | None


def landing(layout: Layout, hole: Length | None, off_bottom: Length | None) -> Landing:
    """Return what landing this string needs.

    `layout` is the string, `hole` the depth of the hole and `off_bottom` how far above it the shoe is
    wanted, both below the datum, None where nobody said. `space_out` is what must come in (above zero)
    or out; `joints` how many whole average joints that is. `shoulder` is how far the hanger still goes
    down from the datum. Raises nothing. Source: trade guide 5.5, common practice.
    """
    off = None if hole is None or layout.shoe is None else hole - layout.shoe
    space = None if off is None or off_bottom is None else off - off_bottom
    bodies = [one.effective for one in layout.stood if one.item.is_joint and one.effective is not None]
    average = sum(bodies, ZERO).nanometres // len(bodies) if bodies else 0
    whole = int(space.nanometres / average) if space is not None and average else 0
    return Landing(off, space, whole, layout.anchor, layout.stick_up)
