"""Two lists of one casing string held against each other: by number and by serial, never by total alone."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.casing_checks import names
from rack.calc.casing_tally import CasingItem
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.lengths import ZERO, Length
from rack.calc.names import key_of

#: How far rounding to a hundredth of a foot can take one line of another list from ours.
_ROUNDING = Length(1_524_000)


@dataclass(frozen=True)
class Known:
    """A joint as the plan knows it: its painted number, its serial, what the plan does with it."""

    name: str
    serial: str
    role: str
    away: bool = False
    fixed: str = ""


def rack_against_plan(known: Sequence[Known], seen: Sequence[str]) -> list[Problem]:
    """Return what the joints `seen` on the rack after landing say against the plan.

    `known` is every joint of the plan, `seen` painted numbers or serials as somebody read them there.
    A joint to run that still lies there was left out of the hole (T10), one that should lie there and
    does not went into the hole or away, one that the plan does not know was found (36A). No total is
    looked at: two slips may cancel in it. Raises nothing. Source: tally check T10.
    """
    found, there = [], set()
    by_name = _by_name(known)
    for text, times in Counter(key_of(text) for text in seen).items():
        if times > 1:
            found.append(asks(f"{_as_read(seen, text)} was written down {times} times: look which joint it "
                              "is.", code="T05", source="T05"))
        joint = by_name.get(text)
        if joint is None:
            found.append(stops(f"{_as_read(seen, text)} lies on the rack and stands in no list: a joint was "
                               "found. Strap it, and look for the one that it stands for.", code="T10",
                               where=_as_read(seen, text), source="T10"))
            continue
        there.add(joint.name)
        if joint.role == "run":
            found.append(stops(f"{joint.name} was to run and lies on the rack: left out of the hole. Stop "
                               "before landing.", code="T10", where=joint.name, source="T10"))
        elif joint.away:
            found.append(note(f"{joint.name} was said to be taken away and lies on the rack.", code="T10",
                              where=joint.name))
    gone = [joint.name for joint in known
            if joint.role != "run" and not joint.away and joint.name not in there]
    if gone:
        do = "does" if len(gone) == 1 else "do"
        found.append(stops(f"{names(gone)} must lie on the rack and {do} not: run by mistake, "
                           "or taken away.", code="T10", where=names(gone), source="T10"))
    return found


def run_against_plan(known: Sequence[Known], run: Sequence[str]) -> list[Problem]:
    """Return what the order in which joints were `run`, from the bottom up, says against the plan.

    `known` is every joint of the plan in its order; `run` painted numbers or serials. The shoe track and
    the joints beside a marker are fixed: another joint in that place is a fault (T11). Elsewhere an
    exchange of two joints moves no total, and is noted for renumbering. Raises nothing. Source: tally
    checks T10 and T11.
    """
    by_name = _by_name(known)
    planned = [joint for joint in known if joint.role == "run"]
    found = []
    order = [by_name.get(key_of(text)) for text in run]
    for text, times in Counter(key_of(text) for text in run).items():
        if times > 1:
            found.append(stops(f"{_as_read(run, text)} was run {times} times.", code="T05", source="T05"))
    for text, joint in zip(run, order, strict=True):
        if joint is None:
            found.append(stops(f"{text} went into the hole and stands in no list: a joint was found. Strap "
                               "lengths and the count are wrong until it is put in.", code="T11", where=text,
                               source="T11"))
        elif joint.role != "run":
            words = "spare" if joint.role == "spare" else "left out"
            found.append(stops(f"{joint.name} is {words} in the plan and went into the hole.", code="T11",
                               where=joint.name, source="T11"))
    for n, joint in enumerate(planned):
        if joint.fixed and n < len(order):
            stands = order[n]
            if stands is None or stands.name != joint.name:
                found.append(stops(f"Joint {n + 1} in the hole is {run[n]}; the plan has {joint.name} there, "
                                   f"{joint.fixed}.", code="T11", where=run[n], source="T11"))
    ran = {joint.name for joint in order if joint is not None}
    missed = [joint.name for joint in planned[: len(run)] if joint.name not in ran]
    if missed:
        found.append(asks(f"{names(missed)} {'was' if len(missed) == 1 else 'were'} passed over: left out of "
                          "the hole, or run later?", code="T10", where=names(missed), source="T10"))
    moved = [text for n, (text, joint) in enumerate(zip(run, order, strict=True))
             if joint is not None and joint.role == "run" and not (
                 n < len(planned) and (planned[n].name == joint.name or planned[n].fixed))]
    if moved and not missed:
        found.append(note(f"Out of the order of the plan: {names(moved)}. Renumber the running list.",
                          code="T11", source="T11"))
    return found


def total_against_plan(ours: Length, theirs: Length, losses: Sequence[Length]) -> list[Problem]:
    """Return what another list's total says against ours (T13).

    `ours` and `theirs` are totals of the same string; `losses` what each pin of it loses. A difference of
    all losses is a loss forgotten or taken twice, one of a single loss is a count of joints less one.
    Raises nothing. Source: tally check T13.
    """
    apart, whole = theirs - ours, sum(losses, ZERO)
    if apart == ZERO:
        return []
    said = f"The other total is {_feet(apart)} ft {'longer' if apart > ZERO else 'shorter'}"
    pins = len([loss for loss in losses if loss != ZERO])
    if whole != ZERO and _near(apart, whole, pins):
        return [stops(f"{said}: the make-up loss of {pins} pins was forgotten there.", code="T13",
                      source="T13")]
    if whole != ZERO and _near(-apart, whole, pins):
        return [stops(f"{said}: the make-up loss of {pins} pins was taken twice there.", code="T13",
                      source="T13")]
    one = max(losses, default=ZERO)
    if one != ZERO and _near(apart, one, 1):
        return [stops(f"{said}: one loss too few, as when joints less one are counted. Losses are counted by "
                      "pins.", code="T13", source="T13")]
    if one != ZERO and _near(-apart, one, 1):
        return [stops(f"{said}: one loss too many. A box-up shoe loses nothing itself.", code="T13",
                      source="T13")]
    return [asks(f"{said}; that is no make-up loss. Look for the joint.", code="T08", source="T08")]


def known_of(items: Sequence[CasingItem], serials: Sequence[str]) -> list[Known]:
    """Return the joints of `items` with their `serials` (one an item), and which places are fixed.

    Fixed are the joints of the shoe track and those that stand next to a marker or a stage collar.
    Raises ValueError when the lists are not of one length. Source: tally check T11.
    """
    run = [item for item in items if item.role == "run" and not item.above]
    kinds = [item.kind for item in run]
    collar = kinds.index("collar") if "collar" in kinds else -1
    fixed = {}
    for n, item in enumerate(run):
        beside = {kinds[m] for m in (n - 1, n + 1) if 0 <= m < len(run)}
        if n <= collar:
            fixed[id(item)] = "in the shoe track"
        elif beside & {"marker", "stage"}:
            fixed[id(item)] = "next to the " + ("marker" if "marker" in beside else "stage collar")
    return [Known(item.name, serial, item.role, item.away, fixed.get(id(item), ""))
            for item, serial in zip(items, serials, strict=True) if item.is_joint]


def _by_name(known: Sequence[Known]) -> dict[str, Known]:
    """Joints by serial and by painted number; where both would mean another joint the number holds."""
    return {key_of(text): joint for which in ("serial", "name") for joint in known
            if (text := getattr(joint, which))}


def _as_read(texts: Sequence[str], key: str) -> str:
    return next(text for text in texts if key_of(text) == key)


def _near(one: Length, other: Length, lines: int) -> bool:
    """Whether two differences are the same but for rounding, never more than a quarter of it apart."""
    door = max(_ROUNDING * 2, _ROUNDING * lines)
    return abs(one - other) <= min(door, Length(abs(other).nanometres // 4))


def _feet(length: Length) -> str:
    return abs(length).shown("ft", 2)
