"""Count times the average of twenty joints, drawn so that anybody can draw the same twenty again."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from hashlib import sha256
from math import isqrt

from rack.calc.lengths import Length
from rack.calc.strapped import Finding, Terms

TAKE = 20
#: The sum may be so many standard errors off (tally check T09, a suggestion).
ERRORS = 3


@dataclass(frozen=True)
class Sample:
    """Joints drawn by lot, and what they say of the whole.

    `lines` count from 1, in the order drawn; `mean_nm` is their exact average, `expected_nm` that times
    `count`; `limit_nm` three standard errors of it, computed for a draw without putting back.
    """

    code: str
    count: int
    lines: tuple[int, ...]
    mean_nm: Fraction
    expected_nm: Fraction
    limit_nm: int

    def agrees(self, total: Length) -> bool:
        """Say whether a `total` is as near to count times average as the draw allows. Raises nothing.

        Source: tally check T09, computed."""
        return abs(self.expected_nm - total.nanometres) <= self.limit_nm


def drawn(count: int, code: str, take: int = TAKE) -> tuple[int, ...]:
    """Return `take` line numbers of 1 to `count`, drawn by lot from the text `code`.

    The lines whose SHA-256 of "code:number" is smallest, smallest first: the same code draws the same
    lines for ever, and any other tool can draw them too. All lines where there are no more than `take`.
    Raises nothing. Source: trade guide 5.3 (count times the mean of 20 random joints).
    """
    lots = sorted((sha256(f"{code}:{n}".encode()).digest(), n) for n in range(1, count + 1))
    return tuple(n for _, n in lots[:take])


def sample(lengths: Sequence[Length], code: str) -> Sample | None:
    """Return the sample of twenty of `lengths`, None where there are not more than twenty.

    `code` is the sheet's. The standard error is computed from the spread of the whole, which is known here,
    so that a few pups that were not drawn do not make it too small; it is less for a draw that takes a good
    part of the whole. Raises nothing. Source: tally check T09, computed.
    """
    count = len(lengths)
    if count <= TAKE:
        return None
    lines = drawn(count, code)
    read = [lengths[n - 1].nanometres for n in lines]
    mean = Fraction(sum(read), TAKE)
    middle = Fraction(sum(each.nanometres for each in lengths), count)
    variance = sum((each.nanometres - middle) ** 2 for each in lengths) / (count - 1)
    error = variance / TAKE * (1 - Fraction(TAKE, count)) * count**2
    return Sample(code, count, lines, mean, mean * count, ERRORS * isqrt(round(error)))


def average_test(made: Sample | None, total: Length | None, called: str, terms: Terms) -> Finding | None:
    """Return T09 where the sample `made` does not bear a `total` out, None where it does.

    `called` is what the total is of ("the sender's list"); None for either says nothing. Raises nothing.
    Source: tally check T09, trade guide 5.3.
    `terms` give the unit and figures.
    """
    if made is None or total is None or made.agrees(total):
        return None
    mean, expected = Length(round(made.mean_nm)), Length(round(made.expected_nm))
    words = (
        f"{made.count} joints times the average of {TAKE} drawn ones ({terms.fine(mean)}) is "
        f"{terms.shown(expected)} {terms.unit}; {called} adds up to {terms.shown(total)}, further off than "
        f"three standard errors ({terms.shown(Length(made.limit_nm))})."
    )
    do = "Count the joints and look for many small errors before either figure is used."
    return Finding("T09", (), words, do)


def written_total(
    total: Length, written: Length, terms: Terms, *, where: str = "The total"
) -> Finding | None:
    """Return T08 where a total that somebody wrote is not the exact one as shown, None where it is.

    `total` is the exact sum, `written` the figure on paper; half a last figure of the terms apart is
    rounding. `where` begins the sentence. Raises nothing. Source: tally check T08; the drill-ship page of
    formulas J1 is such a slip.
    `terms` give the unit and figures.
    """
    off = terms.steps(written) - terms.steps(total)
    if not off:
        return None
    apart = terms.shown(Length(abs(written.nanometres - total.nanometres)))
    guess = " A difference that nine divides: two figures changed places, perhaps." if off % 9 == 0 else ""
    words = (
        f"{where} was written as {terms.shown(written)} {terms.unit}; the lengths give {terms.shown(total)}, "
        f"{apart} {'less' if off > 0 else 'more'}.{guess}"
    )
    return Finding("T08", (), words, "Put the sum right and keep the lengths as they were read.")
