"""What the inspections of a piece come to: the class that holds, its marks of zero, and when it is due.

A plain function of everything that was ever written down, so that taking an entry back needs no undoing.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from fractions import Fraction

from inspection.calc.class_words import read_class
from inspection.calc.criteria import Scheme, at_first_use, scheme
from inspection.calc.due import DayLimit, Due, limits_for
from inspection.calc.events import due_by_event, event_codes
from inspection.calc.methods import is_non_magnetic
from inspection.calc.rules import ONE_TENTH, Rule
from rack.calc.checks import Severity
from rack.calc.specs import SpecFacts
from rack.calc.standing import BASES, NEVER

_LOOKED = ("visual", "connections", "tube", "full", "service")
_NEW = "Class 1"


@dataclass(frozen=True)
class Looked:
    """One inspection as it counts: `held` is the class that it came to, "" where it made none; `resets` the
    scopes whose clocks it begins anew, from the moment `since` on; `mended` the parts, "tube" and "joint",
    that were repaired, so that their class may rise."""

    on: date
    scheme: str
    held: str = ""
    tube: str = ""
    joint: str = ""
    resets: frozenset[str] = frozenset()
    mended: frozenset[str] = frozenset()
    since: datetime | None = None


@dataclass(frozen=True)
class PieceFacts:
    """What is known of a piece. `looks` in the order of their days, the oldest first; `events` are the
    causes, days and moments of what it went through; `given` the class that its sender wrote; `scheme` the
    one its site follows; `drilled_inside`: casing in the well inside which drilling goes on. It came first
    on `came_on` and on this hire on `hired_on`, at the moment `hired_at`; None is on `received_on`, from the
    first, so that going from site to site begins nothing anew."""

    spec: SpecFacts
    received_on: date
    scheme: str
    given: str = ""
    looks: tuple[Looked, ...] = ()
    events: tuple[tuple[str, date, datetime], ...] = ()
    has_run: bool = False
    drilled_inside: bool = False
    came_on: date | None = None
    hired_on: date | None = None
    hired_at: datetime | None = None


@dataclass(frozen=True)
class Terms:
    """What a site goes by on a day: its `rules`, the `service` and the `margin` of "soon"."""

    rules: Sequence[Rule]
    on: date
    service: str = "typical"
    margin: Fraction = ONE_TENTH


@dataclass(frozen=True)
class Decided:
    """What holds. `zeros` is the day of each mark of zero, None where it is not known; `since` the moment
    from which the clocks of a mark count, None from the first; `hard` the first day on which a limit by
    days that is none of ours is passed, and whose it is."""

    scheme: str
    edition: str
    pipe_class: str
    tube_class: str
    joint_class: str
    class_on: date | None
    zeros: dict[str, date | None]
    since: dict[str, datetime | None]
    due: Due
    hard: tuple[date, str] = field(default=(NEVER, ""))

    @property
    def days(self) -> tuple[date, date, date]:
        """The first soon_on, due_on and over_on of the limits by days alone, NEVER without any."""
        all_of_them = [(one.soon_on, one.due_on, one.over_on) for one in self.due.days]
        soon, due, over = zip(*all_of_them, strict=True) if all_of_them else ((NEVER,),) * 3
        return min(soon), min(due), min(over)


def decide(facts: PieceFacts, terms: Terms) -> Decided:
    """Return the class, the marks of zero and the limits of a piece.

    `facts` is what is known, `terms` what its site goes by. A class falls with any look; it rises by a
    repair with its inspection alone. The best class, never run, becomes premium by the first run. Raises
    ValueError for an unknown scheme or event. Source: laws 5 to 8 of the house; trade guide 1, 3 and 12.
    """
    one, name, tube, joint, day = _class_of(facts)
    if facts.has_run:
        name, tube, joint = (at_first_use(one.code, each) if each else "" for each in (name, tube, joint))
    zeros, since = _zeros(facts, one)
    due = limits_for(
        facts.spec.kind, zeros, on=terms.on, rules=terms.rules, service=terms.service,
        circumstances=_circumstances(facts), margin=terms.margin, by_events=_by_events(facts, since),
    )  # fmt: skip
    return Decided(one.code, one.edition, name, tube, joint, day, zeros, since, due, hard_limit(due.days))


def _class_of(facts: PieceFacts) -> tuple[Scheme, str, str, str, date | None]:
    one = scheme(facts.scheme)
    name = tube = joint = read_class(facts.given, one)[0] if facts.given else ""
    if not _has_parts(facts):
        tube = joint = ""
    day: date | None = None
    for look in facts.looks:
        if not (look.held or look.tube or look.joint):
            continue
        if day is None:  # the first look supersedes the word of the sender
            one, name, tube, joint = scheme(look.scheme), "", "", ""
        elif look.scheme != one.code:
            new = scheme(look.scheme)
            name, tube, joint = (_carried(each, one, new) for each in (name, tube, joint))
            one = new
        was, known = name, (bool(tube), bool(joint))
        tube = look.tube or tube if "tube" in look.mended else one.worst((tube, look.tube))
        joint = look.joint or joint if "joint" in look.mended else one.worst((joint, look.joint))
        name = one.worst((look.held or was, tube, joint))
        if not (look.held or was or (tube and joint)) and _has_parts(facts):
            name = _lowered(name, one)  # the part that nobody looked at makes no good class
        if not _may_rise(facts, look, known):
            name = one.worst((name, was))
        day = look.on
    return one, name, tube, joint, day


def _has_parts(facts: PieceFacts) -> bool:
    """Whether tube and tool joints are classed each by itself."""
    return facts.spec.kind == "drill_pipe"


def _lowered(name: str, one: Scheme) -> str:
    """What one part alone says of the piece: that it is no better than a class below premium."""
    best = at_first_use(one.code, one.names[0])
    return name if name and one.is_worse(name, best) else ""


def _may_rise(facts: PieceFacts, look: Looked, known: tuple[bool, bool]) -> bool:
    """Whether a look may raise the class: only what was mended rises, and of drill pipe the part that was
    not mended must be known, or it may be the one that made the class."""
    if not _has_parts(facts):
        return bool(look.mended)
    return all(
        part in look.mended or (look.mended and there)
        for part, there in zip(("tube", "joint"), known, strict=True)
    )


def _carried(name: str, before: Scheme, new: Scheme) -> str:
    """A class under another scheme: of the same name; what was not for use is of its last one."""
    if not name:
        return ""
    if not before.step(name).use:
        return new.last
    return name if name in new.names else ""


def kept_down(facts: PieceFacts, look: Looked) -> str:
    """Return the class that keeps a new `look` from raising the class, "" where nothing does.

    `facts` are those before the look. Raises ValueError for an unknown scheme. Source: a class rises only by
    repair plus inspection, trade guide 1.
    """
    if not look.held or not facts.looks:
        return ""
    alone = replace(facts, looks=(look,))
    one, name, *_ = _class_of(replace(facts, looks=(*facts.looks, look)))
    by_itself = _class_of(alone)[1]
    return name if name and by_itself and one.is_worse(name, by_itself) else ""


def _zeros(
    facts: PieceFacts, one: Scheme
) -> tuple[dict[str, date | None], dict[str, datetime | None]]:
    """New pieces were looked at by their mill, and have run nothing."""
    new = read_class(facts.given, one)[0] == _NEW if facts.given else False
    zeros: dict[str, date | None] = dict.fromkeys(BASES)
    since: dict[str, datetime | None] = dict.fromkeys(BASES)
    zeros["rental"], since["rental"] = facts.hired_on or facts.received_on, facts.hired_at
    if new:
        zeros |= dict.fromkeys(("new", *_LOOKED), facts.came_on or facts.received_on)
    for look in facts.looks:
        for basis in look.resets:
            zeros[basis], since[basis] = look.on, look.since
    return zeros, since


def _circumstances(facts: PieceFacts) -> set[str]:
    found = {"non-magnetic" if is_non_magnetic(facts.spec) else "steel"}
    if facts.drilled_inside:
        found.add("drilled inside")
    return found


def _by_events(facts: PieceFacts, since: dict[str, datetime | None]) -> list[DayLimit]:
    """What events made due and no look has answered: a look answers what was before its own moment."""
    known = set(event_codes())
    found = []
    for cause, day, moment in facts.events:
        for limit in due_by_event(cause, facts.spec.kind, day) if cause in known else ():
            looked = since.get(limit.basis)
            if looked is None or looked < moment:  # a delivery answers nothing: nobody looked
                found.append(limit)
    return found


def hard_limit(days: Iterable[DayLimit]) -> tuple[date, str]:
    """Return the first day on which a limit that stops is passed, and whose it is; (NEVER, "") for none.

    `days` are limits by the calendar. Raises nothing. Source: law 9 of the house.
    """
    hard = [(one.over_on, one.authority) for one in days if one.severity is Severity.STOPS]
    return min(hard, default=(NEVER, ""))
