"""Consent: what a rule asks may be answered with a reason, for a lot or a piece, until a day (law 9)."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rack.calc.checks import Severity
from rack.calc.rules.judging import Found

#: The lots that a piece belongs to: all of its specification, what came with its delivery.
Lots = Mapping[int | str, Collection[str]]


@dataclass(frozen=True)
class Consent:
    """A stored yes: the code of the rule, the reason, by whom, and what it is given for.

    `lot` names a lot; `key` is the key of a piece (`Link.key`), `piece` its ident where it has no key; none
    of the three is the string as a whole. `until` is the last day on which it holds, None for as long as
    the string stands. With `where` or `words` it holds only for the problem at that place, or of that very
    sentence. `given_for` is what it is given for as paper says it.
    """

    code: str
    reason: str
    until: date | None = None
    by: str = ""
    lot: str = ""
    piece: str = ""
    key: int = 0
    where: str = ""
    words: str = ""
    given_for: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is given for the string as a whole."""
        return not (self.lot or self.piece or self.key)


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


def left_after(problems: Sequence[Found], consents: Sequence[Consent], lots: Lots,
               today: date) -> Left:  # fmt: skip
    """Return the problems that consents leave standing on the day `today`, and those that they answer.

    `problems` of `check`, `consents` those stored for this string, `lots` the lots of a piece by its key,
    or by its ident where it has none (no unit). A consent holds to the end of its last day and only with a
    reason. A problem about pieces is answered when every one of them is covered, by its lot or itself, or
    by a consent for the whole string; one about no piece only by that. What stops is never answered.
    Raises nothing. Source: law 9 of this project.
    """
    left, consented = [], []
    for problem in problems:
        used = _answers(problem, consents, lots, today) if overridable(problem) else ()
        if used:
            consented.append((problem, used))
        else:
            left.append(problem)
    return Left(tuple(left), tuple(consented))


def _answers(problem: Found, consents: Sequence[Consent], lots: Lots,
             today: date) -> tuple[Consent, ...]:  # fmt: skip
    """The consents that answer a problem; none when a piece of it is covered by none."""
    holding = [one for one in consents if _holds(one, problem, today)]
    whole = [one for one in holding if one.whole]
    if whole:
        return (whole[0],)
    used: list[Consent] = []
    for ident, key in zip(problem.pieces, problem.keys, strict=True):
        its = lots.get(key or ident, ())
        over = [one for one in holding if _covers(one, ident, key, its)]
        if not over:
            return ()
        used.append(over[0])
    return tuple(dict.fromkeys(used))


def _covers(consent: Consent, ident: str, key: int, lots: Collection[str]) -> bool:
    """Whether a consent is for this piece: two pieces may bear one ident, so a key counts before it."""
    if consent.lot and consent.lot in lots:
        return True
    return bool(consent.key and consent.key == key) or bool(consent.piece and consent.piece == ident)


def _holds(consent: Consent, problem: Found, today: date) -> bool:
    right = consent.code == problem.code and consent.words in ("", problem.text)
    placed = consent.where in ("", problem.where)
    in_time = consent.until is None or today <= consent.until
    return right and placed and bool(consent.reason.strip()) and in_time
