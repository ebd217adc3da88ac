"""Consent: what a rule asks may be answered with a reason, for a lot or a piece, until a day (law 9)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rack.calc.checks import Severity
from rack.calc.rules.judging import Found


@dataclass(frozen=True)
class Consent:
    """A stored yes: the code of the rule, what it is given for, the reason, by whom and its last day.

    `lot` or `piece` (an ident) names what it is given for; both "" is the string as a whole. With `words`
    it holds for the problem of that very sentence alone. `until` is the last day on which it holds.
    """

    code: str
    until: date
    reason: str
    by: str = ""
    lot: str = ""
    piece: str = ""
    words: str = ""


@dataclass(frozen=True)
class Left:
    """What is left of the problems, and what was consented to with the consents that did it, in order."""

    problems: tuple[Found, ...]
    consented: tuple[tuple[Found, tuple[Consent, ...]], ...]


def overridable(problem: Found) -> bool:
    """Return whether `problem` may be consented to: what stops may not (no unit).

    Raises nothing. Source: law 9 of this project.
    """
    return problem.severity is not Severity.STOPS


def left_after(problems: Sequence[Found], consents: Sequence[Consent], lots: Mapping[str, str],
               today: date) -> Left:  # fmt: skip
    """Return the problems that consents leave standing on the day `today`, and those that they answer.

    `problems` of `check`, `consents` those stored for this string, `lots` ident of a piece -> its lot (no
    unit). A consent holds to the end of its last day and only with a reason. A problem about pieces is
    answered when every one of them is covered, by its lot or its own name, or by a consent for the whole
    string; one about no piece only by that. What stops is never answered. Raises nothing. Source: law 9
    of this project.
    """
    left, consented = [], []
    for problem in problems:
        used = _answers(problem, consents, lots, today) if overridable(problem) else ()
        if used:
            consented.append((problem, used))
        else:
            left.append(problem)
    return Left(tuple(left), tuple(consented))


def _answers(problem: Found, consents: Sequence[Consent], lots: Mapping[str, str],
             today: date) -> tuple[Consent, ...]:  # fmt: skip
    """The consents that answer a problem; none when a piece of it is covered by none."""
    holding = [one for one in consents if _holds(one, problem, today)]
    whole = [one for one in holding if not one.lot and not one.piece]
    if whole:
        return (whole[0],)
    used: list[Consent] = []
    for piece in problem.pieces:
        over = [one for one in holding if one.piece == piece or (one.lot and one.lot == lots.get(piece))]
        if not over:
            return ()
        used.append(over[0])
    return tuple(dict.fromkeys(used))


def _holds(consent: Consent, problem: Found, today: date) -> bool:
    right = consent.code == problem.code and consent.words in ("", problem.text)
    return right and bool(consent.reason.strip()) and today <= consent.until
