"""Two straps are two opinions only by two hands, and only while neither has seen the other."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.checks import Problem, asks, note

#: So many late lines are named; the rest is a number.
NAMED = 20


@dataclass(frozen=True)
class StrapHands:
    """Who took one strap, with which tape, as it was typed at its head; "" where nobody said."""

    tape: str = ""
    reader: str = ""
    writer: str = ""


@dataclass(frozen=True)
class LateLine:
    """One reading that came after its strap was over: of which line, and when, on the site's clock."""

    painted: str
    at: str


def same_hands(first: StrapHands, second: StrapHands) -> list[Problem]:
    """Return what two straps by the same hands are not: ASKS for one reader, NOTE for one tape.

    The two who change places between the straps are two readers. Names are compared as text, whatever
    their case and blanks; a blank is not known and says nothing. Raises nothing. Source: common practice.
    `first` and `second` are the heads of the two straps.
    """
    problems: list[Problem] = []
    if _same(first.reader, second.reader):
        also = " and the same writer" if _same(first.writer, second.writer) else ""
        problems.append(
            asks(
                f"Both straps have the same reader, {_plain(second.reader)}{also}: two straps by the same "
                "hands are no second opinion.",
                code="hands",
                source="common practice",
            )
        )
    if _same(first.tape, second.tape):
        problems.append(
            note(
                f"Both straps were taken with the same tape, {_plain(second.tape)}: what is wrong with the "
                "tape is in both.",
                code="tape",
                source="common practice",
            )
        )
    return problems


def late_problems(first: Sequence[LateLine], second: Sequence[LateLine]) -> list[Problem]:
    """Return a NOTE for each strap of which readings came late, with their lines and times.

    `first` are lines of the first strap that were stored after the second was opened, `second` those of
    the second strap that were stored after it was finished and both were shown. Raises nothing. Source:
    law 12 and law 13 of this project's blueprint (nothing typed is lost; blind means blind).
    """
    said = (
        (first, "first strap", "the second was opened"),
        (second, "second strap", "both straps were shown"),
    )
    return [
        note(f"Read in the {which} after {when}: {_lines(late)}.", code="late")
        for late, which, when in said
        if late
    ]


def _lines(late: Sequence[LateLine]) -> str:
    some = ", ".join(f"joint {line.painted or 'without number'} at {line.at}" for line in late[:NAMED])
    return f"{some} and {len(late) - NAMED} more" if len(late) > NAMED else some


def _plain(name: str) -> str:
    return " ".join(name.split())


def _same(one: str, other: str) -> bool:
    return bool(_plain(one)) and _plain(one).casefold() == _plain(other).casefold()
