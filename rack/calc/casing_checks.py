"""What a casing plan has against it before it is printed: order, balance, what is not known or not ticked."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.casing_parts import PARTS
from rack.calc.casing_tally import CasingItem, Landing, Layout
from rack.calc.checks import Problem, asks, note, stops
from rack.calc.lengths import ZERO, Length

R28 = "rule R28, common practice"
#: The shoe is wanted so far off bottom (trade guide 5.5: 10 to 30 ft).
OFF_BOTTOM_FT = (10, 30)


@dataclass(frozen=True)
class PlanFacts:
    """A plan as its checks see it. `items` from the bottom up; `nowhere` are joints of the tally that
    stand nowhere in the plan; `track` is how many joints the shoe track shall have, None where not said."""

    items: tuple[CasingItem, ...]
    layout: Layout
    landing: Landing
    received: int
    nowhere: tuple[str, ...] = ()
    track: int | None = None
    unit: str = "ft"
    digits: int = 2


def plan_problems(facts: PlanFacts) -> list[Problem]:
    """Return everything that stands against a plan, what STOPS it first.

    `facts` is the plan as it stands. Raises nothing. Source: trade guide 5.5 and 12, rule R28, tally
    checks T10, T11 and T16; common practice.
    """
    found = [*_balance(facts), *_unknown(facts), *_order(facts), *_track(facts), *_ticks(facts),
             *_depths(facts)]
    return sorted(found, key=lambda one: ("STOPS", "ASKS", "NOTE").index(one.severity.value))


def _balance(facts: PlanFacts) -> list[Problem]:
    """T10: every joint received stands in the plan once, with its fate."""
    found = []
    if not any(item.role == "run" and not item.above for item in facts.items):
        found.append(stops("Nothing is to run yet.", code="empty"))
    if facts.nowhere:
        found.append(stops(
            f"{names(facts.nowhere)} of the tally stand{_s(facts.nowhere)} nowhere in the plan: say whether "
            "to run, spare or left out.", code="T10", where=names(facts.nowhere),
            measured=str(len(facts.nowhere)), limit="0", source="T10"))
    gone = [item.name for item in facts.items if item.withdrawn and item.role != "out"]
    if gone:
        found.append(stops(f"{names(gone)} {_was(gone)} withdrawn from the tally: leave {_it(gone)} out.",
                           code="T10", where=names(gone), source="T10"))
    bare = [item.name for item in facts.items if item.role == "out" and not item.reason]
    if bare:
        found.append(stops(f"{names(bare)} {_is(bare)} left out without a reason.", code="reason",
                           where=names(bare)))
    loose = [item.name for item in facts.items if item.is_joint and not item.line and item.role == "run"]
    if loose:
        found.append(asks(f"{names(loose)} {_is(loose)} to run and on no tally: who strapped {_it(loose)}, "
                          "and is the drift done?", code="T11", where=names(loose), source="T11"))
    times = Counter(item.name for item in facts.items if item.is_joint)
    twice = sorted(name for name, count in times.items() if count > 1)
    if twice:
        found.append(stops(f"{names(twice)} {_is(twice)} in the plan twice.", code="T05",
                           where=names(twice), source="T05"))
    return found


def _unknown(facts: PlanFacts) -> list[Problem]:
    run = [item for item in facts.items if item.role == "run"]
    blank = [item.name for item in run if item.length is None]
    lost = [item.name for item in run if item.length is not None and item.off is None]
    moved = [item.name for item in run if item.moved]
    found = []
    if blank:
        found.append(stops(f"The length of {names(blank)} is not known.", code="unread", where=names(blank)))
    if lost:
        found.append(stops(f"What {names(lost)} lose{_s(lost)} in make-up is not known: no table says it. "
                           "Type the make-up loss at the head of the plan.", code="loss", where=names(lost),
                           source="T13"))
    if moved:
        found.append(asks(f"The length of {names(moved)} was changed since the tally: strap {_it(moved)} "
                          "again.", code="T16", where=names(moved), source="T16"))
    short = [item.name for item in run if item.effective is not None and item.effective <= ZERO
             and not item.cut_off.nanometres and (item.is_joint or PARTS[item.kind].pins)]
    if short:
        found.append(stops(f"{names(short)} would be no longer than what is lost in make-up.", code="loss",
                           where=names(short)))
    return found


def _order(facts: PlanFacts) -> list[Problem]:
    """R28: the shoe at the bottom, the shoe track, the float collar; what hangs the string on its top."""
    below = [one.item for one in facts.layout.stood]
    if not below:
        return []
    kinds = [item.kind for item in below]
    found = []
    if "shoe" not in kinds:
        found.append(asks("There is no shoe in the plan.", code="R28", source=R28))
    elif kinds[0] != "shoe":
        found.append(asks(f"{below[0].name} stands below the shoe; the shoe goes in first.", code="R28",
                          where=below[0].name, source=R28))
    if kinds.count("shoe") > 1:
        found.append(asks("There is more than one shoe in the plan.", code="R28", source=R28))
    if "collar" not in kinds:
        found.append(asks("There is no float collar in the plan.", code="R28", source=R28))
    elif "shoe" in kinds and kinds.index("collar") < kinds.index("shoe"):
        found.append(asks("The float collar stands below the shoe.", code="R28", source=R28))
    for kind, word in (("stage", "stage collar"), ("marker", "marker")):
        if kind in kinds and "collar" in kinds and kinds.index(kind) < kinds.index("collar"):
            found.append(asks(f"The {word} stands in the shoe track, below the float collar.", code="R28",
                              where=below[kinds.index(kind)].name, source=R28))
    hangs = [n for n, item in enumerate(below) if not item.is_joint and PARTS[item.kind].hangs]
    if len(hangs) > 1:
        found.append(asks("The string hangs on more than one hanger.", code="hanger", source=R28))
    if hangs and hangs[-1] != len(below) - 1:
        found.append(asks(f"{below[-1].name} stands above what the string hangs on.", code="hanger",
                          where=below[-1].name, source=R28))
    if not hangs:
        found.append(note("No hanger and no slips are in the plan: the string ends with its uppermost joint.",
                          code="hanger"))
    cut = [item.name for item in below if item.cut_off.nanometres and item.kind != "slips"]
    if cut:
        found.append(asks(f"{names(cut)}: only what stands above slips is cut off.", code="cut-off"))
    return found


def _track(facts: PlanFacts) -> list[Problem]:
    """The shoe track: how many joints, and thread-locked from the shoe up to the float collar."""
    below = [one.item for one in facts.layout.stood]
    kinds = [item.kind for item in below]
    if "collar" not in kinds:
        return []
    track = below[: kinds.index("collar") + 1]
    joints, found = sum(item.is_joint for item in track), []
    if facts.track is not None and joints != facts.track:
        found.append(asks(f"{joints} joint{'' if joints == 1 else 's'} stand{'s' if joints == 1 else ''} "
                          f"below the float collar; the shoe track shall have {facts.track}.", code="R28",
                          measured=str(joints), limit=str(facts.track), source=R28))
    free = [item.name for item in track if not item.locked]
    if free:
        found.append(asks(f"Not ticked as thread-locked in the shoe track: {names(free)}.", code="lock",
                          where=names(free), source=R28))
    return found


def _ticks(facts: PlanFacts) -> list[Problem]:
    joints = [one.item for one in facts.layout.stood if one.item.is_joint]
    found = []
    dull = [item.name for item in joints if not item.drifted]
    if dull:
        found.append(asks(f"Not ticked as drifted: {names(dull)}.", code="drift", where=names(dull),
                          measured=str(len(dull)), limit="0"))
    rough = [item.name for item in joints if not item.threads]
    if rough:
        found.append(note(f"Threads not ticked: {names(rough)}.", code="threads", where=names(rough)))
    lost = [item.name for item in facts.items if item.centralizers and item.role != "run"]
    if lost:
        found.append(asks(f"Centralizers stand on {names(lost)}, which {_is(lost)} not to run.",
                          code="centralizer", where=names(lost)))
    return found


def _depths(facts: PlanFacts) -> list[Problem]:
    layout, land = facts.layout, facts.landing

    def said(length: Length) -> str:
        return f"{length.shown(facts.unit, facts.digits)} {facts.unit}"

    found = []
    if layout.anchor is None:
        found.append(asks("The depth of the landing shoulder below the datum is not said, so no depth is "
                          "known.", code="T18", source="T18"))
    if land.off_bottom is not None and land.off_bottom <= ZERO:
        found.append(asks(f"The shoe would stand {said(-land.off_bottom)} deeper than the hole.",
                          code="hole", measured=said(land.off_bottom), limit="0"))
    elif land.off_bottom is not None and not _usual(land.off_bottom):
        found.append(note(f"The shoe stands {said(land.off_bottom)} off bottom; usual are "
                          f"{OFF_BOTTOM_FT[0]} to {OFF_BOTTOM_FT[1]} ft.", code="hole",
                          source="trade guide 5.5, common practice"))
    if land.stick_up is not None and land.stick_up <= ZERO:
        found.append(asks(f"The landing joint ends {said(-land.stick_up)} below the datum: it does not reach "
                          "the floor.", code="stick-up", measured=said(land.stick_up), limit="0"))
    if not layout.above:
        found.append(note("No landing joint is in the plan: the stick-up is not known.", code="stick-up"))
    return found


def _usual(off: Length) -> bool:
    low, high = (Length.parse(str(feet), "ft") for feet in OFF_BOTTOM_FT)
    return low <= off <= high


def names(joints: Sequence[str]) -> str:
    """Return up to eight of `joints` in words and count the rest. Raises nothing. Source: house style."""
    some = ", ".join(name or "one without number" for name in joints[:8])
    return f"{some} and {len(joints) - 8} more" if len(joints) > 8 else some


def _s(joints: Sequence[str]) -> str:
    return "s" if len(joints) == 1 else ""


def _is(joints: Sequence[str]) -> str:
    return "is" if len(joints) == 1 else "are"


def _was(joints: Sequence[str]) -> str:
    return "was" if len(joints) == 1 else "were"


def _it(joints: Sequence[str]) -> str:
    return "it" if len(joints) == 1 else "them"
