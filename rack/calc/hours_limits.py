"""Hours against limits: how much of its limit a clock has used, and the bar that shows it, in words too."""

from collections.abc import Sequence
from dataclasses import dataclass

from rack.calc.hours import PIECE_CLOCKS
from rack.calc.hours.rules import rules
from rack.calc.standing import DUE, FINE, OVERDUE, SOON, Clock, clock_words, hours_left, hours_run, left

#: A share is counted in thousandths of the limit, cut off: 100 % is never written too early.
WHOLE = 1000
#: What stands behind an amount that is read by itself.
_UNITS = {"_s": "h", "_n": "times"}
#: Whose limit it is, in words; a default is ours and nobody's rule.
WHOSE = {"default": "common practice", "maker": "by the maker", "law": "by law", "contract": "by contract",
         "company": "by the company"}  # fmt: skip


@dataclass(frozen=True)
class Bar:
    """One clock of a piece as a bar and in words.

    `share` is thousandths of the limit, None where there is none; `run` what it ran since its mark and
    `limit` that limit (0: none) in the clock's own unit, `known` whether that is all that ran. `marks` are
    the limits by name, each in thousandths of that one. `words` stands beside the bar, `more` says what is
    left.
    """

    name: str
    item: str
    counts: str
    clock: str
    state: str
    run: int
    limit: int
    known: bool
    share: int | None
    marks: tuple[tuple[str, int], ...]
    words: str
    more: str


def limit_of(clock: Clock) -> tuple[str, int] | None:
    """Return the limit that the bar of `clock` is drawn against, with its name; None where it has none.

    The due limit, else the overdue one, else the one for soon; in the clock's own unit. Raises nothing.
    Source: law 8 of this project, due is what the rig plans by.
    """
    named = ((DUE, clock.due), (OVERDUE, clock.over), (SOON, clock.soon))
    return next(((name, limit) for name, limit in named if limit is not None), None)


def share_of_limit(clock: Clock) -> int | None:
    """Return how much of its limit `clock` has used, in whole thousandths; None where it has no limit.

    Cut off, never rounded up. A clock whose history is not known has used a due or soon limit whole, as in
    `standing`: unknown is not zero. A limit of zero or less is used up. Raises nothing. Source: laws 7 and
    8 of this project.
    """
    found = limit_of(clock)
    if found is None:
        return None
    name, limit = found
    used = WHOLE if limit <= 0 else max(clock.run, 0) * WHOLE // limit
    gone = limit <= 0 or (not clock.known and name != OVERDUE)
    return max(used, WHOLE) if gone else used


def state_of(clock: Clock) -> str:
    """Return "overdue", "due", "soon" or "fine" for `clock` alone, "" where it has no limit at all.

    The same comparisons as `standing.dates`, without the days. Raises nothing. Source: model of this
    project, points 3 and 4.
    """
    if limit_of(clock) is None:
        return ""
    if clock.over is not None and clock.run >= clock.over:
        return OVERDUE
    if left(clock) <= 0:
        return DUE
    early = clock.soon is not None and (not clock.known or clock.run >= clock.soon)
    return SOON if early else FINE


def bar_of(
    clock: Clock, name: str, item: str, *, whose: str = "", unit: str = "ft", digits: int = 2
) -> Bar:
    """Return the bar of `clock` of the piece called `name`, which is an `item`.

    `whose` limit it is: a key of `WHOSE`, "" where nobody said. Hours and lengths in words have `digits`
    figures, lengths are in `unit`. Raises ValueError for other digits or units. Source: law 8 of the house;
    the text stands beside every bar.
    """
    share, found = share_of_limit(clock), limit_of(clock)
    ran = f"{hours_run(clock, unit=unit, digits=digits)} {_unit(clock.clock, unit)}"
    if found is None or share is None:
        words, more = ran, "no limit written down"
    else:
        part = f"{share // 10} %" if found[1] > 0 else "used up"
        at_least = clock.known or not part.endswith("%")
        words = f"{ran}, {part if at_least else 'share not known'}"
        more = hours_left(clock, unit=unit, digits=digits) or f"no due limit; {found[0]} is written down"
        more += f"; {WHOSE.get(whose, whose)}" if whose else ""
    return Bar(
        name, item, clock_words(clock), clock.clock, state_of(clock), clock.run,
        found[1] if found else 0, clock.known, share, _marks(clock, found), words, more,
    )  # fmt: skip


def _unit(clock: str, unit: str) -> str:
    return _UNITS.get(clock[-2:], unit)


def _marks(clock: Clock, found: tuple[str, int] | None) -> tuple[tuple[str, int], ...]:
    """The limits of a clock in thousandths of the one that its bar is drawn against."""
    if found is None or found[1] <= 0:
        return ()
    named = ((SOON, clock.soon), (DUE, clock.due), (OVERDUE, clock.over))
    return tuple((name, limit * WHOLE // found[1]) for name, limit in named if limit is not None)


def bar_order(bar: Bar) -> tuple[bool, int, int]:
    """Return the key that puts bars in order: the largest share of the limit first, then without a limit.

    Among `bar`s without a limit what ran longest comes first. Raises nothing. Source: what is due first is
    read first, a rule of this house.
    """
    return (bar.share is None, -(bar.share or 0), -bar.run)


def longest(bars: Sequence[Bar]) -> dict[str, int]:
    """Return the largest amount of each clock among `bars`, in its own unit and at least 1.

    What bars without a limit are drawn against. Raises nothing. Source: a scale needs an end.
    """
    found: dict[str, int] = {}
    for bar in bars:
        found[bar.clock] = max(found.get(bar.clock, 1), bar.run)
    return found


def chief_clocks() -> dict[str, tuple[str, ...]]:
    """Return the kinds that go by each clock first: clock -> codes of kinds.

    Takes nothing, raises nothing. Source: table hours_basis, common practice.
    """
    kinds: dict[str, list[str]] = {}
    for kind, rule in rules().items():
        if rule.clocks:
            kinds.setdefault(rule.clocks[0], []).append(kind)
    return {clock: tuple(kinds[clock]) for clock in PIECE_CLOCKS if clock in kinds}
