"""What stands in the way of closing a tally, and which of two readings a third one settles."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.checks import Problem, Severity, asks, stops
from rack.calc.lengths import Length
from rack.calc.stands import Judgement
from rack.calc.strapped import Finding


@dataclass(frozen=True)
class ClosingLine:
    """One standing line as closing sees it: whether a piece is tied to it, and its two readings."""

    painted: str
    tied: bool
    first: Length | None
    second: Length | None
    questions: int = 0


@dataclass(frozen=True)
class StandFacts:
    """A strap out of the hole: what its stands say, the joints in no stand, how its correction stands
    ("accepted", "stale" when the stands changed since, "" for none)."""

    judgement: Judgement
    count: int
    left: tuple[str, ...] = ()
    correction: str = ""


@dataclass(frozen=True)
class ClosingFacts:
    """A tally that somebody wants to close. `differing` are the indexes of lines outside the gate, `checks`
    what the list betrays of itself; `stands` where it is read by the stand and not by the joint; `hands`
    what `strap_hands` says of the two straps."""

    lines: tuple[ClosingLine, ...]
    straps_wanted: int
    second_begun: bool
    second_finished: bool
    differing: tuple[int, ...] = ()
    cancels: bool = False
    checks: tuple[Finding, ...] = ()
    stands: StandFacts | None = None
    hands: tuple[Problem, ...] = ()


def closing_problems(facts: ClosingFacts) -> list[Problem]:
    """Return every problem of closing this tally: STOPS where it cannot, ASKS where a reason is needed.

    A NOTE asks for no reason.

    `facts` is the tally as it stands. Raises nothing. Source: common practice; law 9 and law 13 of
    this project's blueprint (a total that agrees never clears joints that do not).
    """
    problems: list[Problem] = []
    lines = facts.lines
    if not lines:
        problems.append(stops("The tally has no lines yet; there is nothing to close.", code="empty"))
    if facts.second_begun and not facts.second_finished:
        problems.append(stops("The second strap is still open; finish it first.", code="second open"))
    unread = [line.painted for line in lines if line.first is None and line.second is None]
    if unread:
        why = (
            f"No length is known of {_joints(unread)}, taken as this tally takes them. Strap them on another "
            "tally, or withdraw them with a reason."
            if facts.stands
            else f"Not read yet: {_joints(unread)}. Read them, or withdraw them with a reason."
        )
        problems.append(
            stops(
                why,
                code="unread",
                where=_joints(unread),
                measured=str(len(unread)),
                limit="0",
            )
        )
    untied = [line.painted for line in lines if not line.tied]
    if untied:
        problems.append(
            stops(
                f"No piece stands behind {_joints(untied)}. Tie each to a piece, take them into the "
                "register, or withdraw them.",
                code="untied",
                where=_joints(untied),
            )
        )
    asked = [line.painted for line in lines if line.questions]
    if asked:
        problems.append(
            asks(
                f"A reading still asks a question at {_joints(asked)}; nobody has confirmed it.",
                code="questions",
                where=_joints(asked),
            )
        )
    problems += _strap_problems(facts, unread)
    problems += [
        asks(f"{found.words} {found.do}".strip(), code=found.code or "list")
        for found in facts.checks
        if found.severity is Severity.ASKS
    ]
    problems += facts.hands
    return problems + (_stand_problems(facts.stands) if facts.stands else [])


def _stand_problems(stands: StandFacts) -> list[Problem]:
    if not stands.count:
        return [stops("No stand was read yet; there is nothing to close.", code="stands")]
    problems = [asks(f"{found.words} {found.do}", code=found.code) for found in stands.judgement.findings]
    if stands.left:
        problems.append(asks(f"In no stand: {_joints(stands.left)}.", code="stands"))
    if stands.correction == "stale":
        text = "The stands say another thing than when the correction was accepted. Accept it again."
        problems.append(stops(text, code="correction"))
    elif not stands.correction and stands.judgement.looks != "nothing":
        problems.append(asks(f"{stands.judgement.words} No correction was accepted.", code="correction"))
    return problems


def _strap_problems(facts: ClosingFacts, unread: Sequence[str]) -> list[Problem]:
    problems: list[Problem] = []
    if facts.straps_wanted >= 2 and not facts.second_finished:
        problems.append(
            asks(
                "Two straps were wanted and one was taken. Give the reason; it is printed.",
                code="straps",
                measured="1",
                limit="2",
            )
        )
    elif facts.second_finished:
        once = [
            line.painted
            for line in facts.lines
            if (line.first is None) != (line.second is None) and line.painted not in unread
        ]
        if once:
            problems.append(
                asks(
                    f"Read by one strap only: {_joints(once)}. Give the reason; it is printed.",
                    code="one strap",
                    where=_joints(once),
                )
            )
    if facts.differing:
        where = _joints([facts.lines[n].painted for n in facts.differing])
        also = " The totals agree, but that clears nothing: the errors cancel." if facts.cancels else ""
        problems.append(
            asks(
                f"The straps differ at {where}.{also} Tape them again, or give the reason.",
                code="differ",
                where=where,
            )
        )
    return problems


def settles(first: Length, second: Length, again: Length, gate: Length) -> int:
    """Return which reading a third one replaces: 2 when it bears out the first, 1 when the second.

    All are lengths; `gate` is how far two readings of one joint may lie apart. A third reading that
    bears out neither replaces the first and leaves the joint differing (1). When it lies within the
    gate of both, the farther one is replaced. Raises nothing. Source: common practice.
    `first` and `second` are the two readings, `again` is the third.
    """
    to_first = abs(again.nanometres - first.nanometres)
    to_second = abs(again.nanometres - second.nanometres)
    return 2 if to_first <= gate.nanometres and to_first <= to_second else 1


def _joints(painted: Sequence[str]) -> str:
    """Name up to eight joints and count the rest."""
    some = ", ".join(name or "without number" for name in painted[:8])
    more = f" and {len(painted) - 8} more" if len(painted) > 8 else ""
    return f"{'joint' if len(painted) == 1 else 'joints'} {some}{more}"
