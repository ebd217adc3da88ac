"""What the inspections of a piece come to: the class that holds, its marks of zero, and when it is due.

A plain function of everything that was ever written down, so that taking an entry back needs no undoing.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
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
    scopes whose clocks it begins anew, from the moment `since` on; `repaired`: something was mended, so that
    a class may rise."""

    on: date
    scheme: str
    held: str = ""
    tube: str = ""
    joint: str = ""
    resets: frozenset[str] = frozenset()
    repaired: bool = False
    since: datetime | None = None


@dataclass(frozen=True)
class PieceFacts:
    """What is known of a piece. `looks` in the order of their days, the oldest first; `events` are the
    causes, days and moments of what it went through; `given` the class that its sender wrote; `scheme` the
    one its site follows; `drilled_inside`: casing in the well inside which drilling goes on."""

    spec: SpecFacts
    received_on: date
    scheme: str
    given: str = ""
    looks: tuple[Looked, ...] = ()
    events: tuple[tuple[str, date, datetime], ...] = ()
    has_run: bool = False
    drilled_inside: bool = False


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
        circumstances=_circumstances(facts), margin=terms.margin, by_events=_by_events(facts, zeros, since),
    )  # fmt: skip
    return Decided(one.code, one.edition, name, tube, joint, day, zeros, since, due, hard_limit(due.days))


def _class_of(facts: PieceFacts) -> tuple[Scheme, str, str, str, date | None]:
    one = scheme(facts.scheme)
    name = tube = joint = read_class(facts.given, one)[0] if facts.given else ""
    if facts.spec.kind != "drill_pipe":
        tube = joint = ""
    day: date | None = None
    for look in facts.looks:
        if not (look.held or look.tube or look.joint):
            continue
        if look.scheme != one.code or look.repaired or day is None:
            if look.scheme != one.code:
                one, name, tube, joint = scheme(look.scheme), "", "", ""
            tube, joint = look.tube or tube, look.joint or joint
            name = one.worst((look.held or name, look.tube, look.joint))
        else:
            name = one.worst((name, look.held, look.tube, look.joint))
            tube, joint = one.worst((tube, look.tube)), one.worst((joint, look.joint))
        day = look.on
    return one, name, tube, joint, day


def kept_down(facts: PieceFacts, look: Looked) -> str:
    """Return the class that keeps a new `look` from raising the class, "" where nothing does.

    `facts` are those before the look. Raises ValueError for an unknown scheme. Source: a class rises only by
    repair plus inspection, trade guide 1.
    """
    if look.repaired or not look.held or not any(each.held for each in facts.looks):
        return ""
    one, name, *_ = _class_of(facts)
    if one.code != look.scheme or not name:
        return ""
    return name if one.is_worse(name, look.held) else ""


def _zeros(
    facts: PieceFacts, one: Scheme
) -> tuple[dict[str, date | None], dict[str, datetime | None]]:
    """New pieces were looked at by their mill, and have run nothing."""
    new = read_class(facts.given, one)[0] == _NEW if facts.given else False
    zeros: dict[str, date | None] = dict.fromkeys(BASES)
    since: dict[str, datetime | None] = dict.fromkeys(BASES)
    zeros["rental"] = facts.received_on
    if new:
        zeros |= dict.fromkeys(("new", *_LOOKED), facts.received_on)
    for look in facts.looks:
        for basis in look.resets:
            zeros[basis], since[basis] = look.on, look.since
    return zeros, since


def _circumstances(facts: PieceFacts) -> set[str]:
    found = {"non-magnetic" if is_non_magnetic(facts.spec) else "steel"}
    if facts.drilled_inside:
        found.add("drilled inside")
    return found


def _by_events(
    facts: PieceFacts, zeros: dict[str, date | None], since: dict[str, datetime | None]
) -> list[DayLimit]:
    """What events made due and no look has answered: a look answers what was before its own moment."""
    known = set(event_codes())
    found = []
    for cause, day, moment in facts.events:
        for limit in due_by_event(cause, facts.spec.kind, day) if cause in known else ():
            zero, looked = zeros.get(limit.basis), since.get(limit.basis)
            answered = looked >= moment if looked else zero is not None and zero > day
            if not answered:
                found.append(limit)
    return found


def hard_limit(days: Iterable[DayLimit]) -> tuple[date, str]:
    """Return the first day on which a limit that stops is passed, and whose it is; (NEVER, "") for none.

    `days` are limits by the calendar. Raises nothing. Source: law 9 of the house.
    """
    hard = [(one.over_on, one.authority) for one in days if one.severity is Severity.STOPS]
    return min(hard, default=(NEVER, ""))
